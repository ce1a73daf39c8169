"""Items laid evenly over an edge: what may be spread, what it makes, and in which places it goes."""

from __future__ import annotations

from .faults import Fault, fault
from .makes import places_used
from .steps import BracketStep, ChainStep, GroupStep, OwnStep, SaidStep, SkipStep, Step, Steps, StitchStep

MOST_NAMED = 200
"""Places that are named one by one, where the gaps between them are not all the same."""


def check_spread(body: Steps) -> None:
    """Raise Fault unless every item is worked in places of its own, one a stitch, or in none."""
    for step in body:
        if isinstance(step, BracketStep) and step.count is not None:
            check_spread(step.body)
        elif not _uses_single_places(step):
            raise _not_spread(step)


def _uses_single_places(step: Step) -> bool:
    match step:
        case ChainStep():
            return True
        case StitchStep(stitch, int(), target=target):
            if target is None:
                return stitch.uses <= 1
            return target.kind in ("st", "top", "stem")
        case GroupStep(target=target):
            return target.kind == "st"
        case OwnStep(own, int(), target=None):
            one = own.body if isinstance(own.body, tuple) else (own.body,)
            return places_used(one) == 1 and not any(isinstance(each, SkipStep | SaidStep) for each in one)
        case _:
            return False


def _not_spread(step: Step) -> Fault:
    return fault(
        "stray-word",
        "this can't be spread: it is not so many stitches of one place each",
        step.span,
        help="inside `spread [...]` say how many: `2 sc`, `dc in st`, `(2 dc, ch, 2 dc) in st`",
    )


def spread_places(body: Steps) -> int:
    """Return how many places the items use; only of items that `check_spread` lets pass."""
    total = 0
    for step in body:
        if isinstance(step, BracketStep) and step.count is not None:
            total += step.count * spread_places(step.body)
        else:
            # What goes into the last stitch itself uses no place.
            total += places_used((step,)) or 0
    return total


def place_of(index: int, many: int, over: int, *, in_round: bool) -> int:
    """Return in which of `over` places the stitch of that index goes, out of `many`; both count from 0.

    In a row the first goes into the first place and the last into the last, and the places are the same from
    either end; a single one stands in the middle. A round has no ends: its
    gaps are told off from its first place.
    """
    if in_round:
        return index * over // many
    if many == 1:
        return (over - 1) // 2
    ends, gaps = over - 1, many - 1
    if 2 * index > gaps:
        return ends - place_of(gaps - index, many, over, in_round=False)
    # The nearest place; from one that lies halfway between two, towards the near end.
    return -((gaps - 2 * index * ends) // (2 * gaps))


def even_gap(many: int, over: int, *, in_round: bool) -> int | None:
    """Return the distance from stitch to stitch if it is the same everywhere; None if it is not."""
    if in_round:
        return None if over % many else over // many
    if many == 1:
        return None if over % 2 == 0 else over
    return None if (over - 1) % (many - 1) else (over - 1) // (many - 1)


def even_lengths(many: int, over: int, *, in_round: bool) -> tuple[int, int]:
    """Return the numbers of places next to `over` that give the same gap everywhere."""
    unit, ends = (many, 0) if in_round else (many - 1, 1)
    fewer = (over - ends) // unit * unit + ends
    return fewer, fewer + unit
