"""Seams: which edges meet, how long they are, and whether they agree."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ..lang.diagnostics import Diagnostic
from .counted import CountedMakingUp, CountedPattern, CountedSeam, Length
from .edges import Edges
from .faults import Fault, HeldBack, fault, plural, warning
from .gauges import Gauges
from .lengths import SIDEWAYS, length_of
from .plan import Along, MakingUp, Remark, SeamPlan


@dataclass(frozen=True, slots=True)
class Sewing:
    """What seams are counted with."""

    edges: Edges
    gauges: Gauges
    """What stitches and row ends are compared by."""


def counted_making_up(plan: MakingUp, sewing: Sewing) -> tuple[CountedMakingUp, list[Diagnostic]]:
    """Return seams that stand together with their lengths, and what is wrong with them."""
    parts: list[CountedSeam | Remark] = []
    found: list[Diagnostic] = []
    for part in plan.parts:
        if isinstance(part, Remark):
            parts.append(part)
            continue
        try:
            parts.append(_counted(part, sewing))
        except HeldBack:
            pass
        except Fault as wrong:
            found.append(wrong.diagnostic.shifted(part.start))
    return CountedMakingUp(plan.above, tuple(parts)), found


def _counted(plan: SeamPlan, sewing: Sewing) -> CountedSeam:
    edges = sewing.edges
    makes = [edges.pieces[along.index].plan.make for along in (*plan.first, *plan.second)]
    between_copies = _places_named(plan.first) == _places_named(plan.second)
    if between_copies:
        times, odd = divmod(min(makes), 2)
        if odd:
            raise _to_itself(plan, makes[0])
        first = second = _length(sewing, plan.first, 2 * times)
    else:
        times = min(makes)
        first, second = (_length(sewing, side, times) for side in (plan.first, plan.second))
    if not plan.node.eased and not agree(first, second):
        raise _uneven(plan, first, second)
    return CountedSeam(plan, times, first, second, between_copies)


def _places_named(side: Sequence[Along]) -> list[tuple[int, str, int | None, str | None, int]]:
    return [(each.index, each.edge, each.row, each.end, each.count) for each in side]


def _length(sewing: Sewing, side: Sequence[Along], copies: int) -> Length:
    """Use up a side of a seam, and return how long it is. Raises Fault."""
    edges = sewing.edges
    taken = [(edges.pieces[along.index], each) for along in side for each in edges.taken(along, copies)]
    return length_of(taken, sewing.gauges)


def agree(first: Length, second: Length) -> bool:
    """Tell whether two edges are as long as one another.

    Stitches are counted against stitches, and row ends against row ends that one gauge measures. Else the
    gauges tell, to the width of a stitch; without them the numbers must be equal.
    """
    only_stitches = not first.row_ends and not second.row_ends
    if first == second and only_stitches:
        return True
    if not _by_gauge(first, second):
        return first == second if _alike(first, second) else first.places == second.places
    assert first.centimetres is not None
    assert second.centimetres is not None
    within = max(gauge.width(1) for gauge in first.gauges | second.gauges)
    return abs(first.centimetres - second.centimetres) < within


def _alike(first: Length, second: Length) -> bool:
    """Tell whether both edges are of places of the same sorts."""
    return bool(first.stitches) == bool(second.stitches) and bool(first.row_ends) == bool(second.row_ends)


def _by_gauge(first: Length, second: Length) -> bool:
    """Tell whether two edges are compared by gauges: of places of different sorts, or of different gauges."""
    known = first.centimetres is not None and second.centimetres is not None
    return known and (not _alike(first, second) or len(first.gauges | second.gauges) > 1)


def said_length(length: Length) -> str:
    """Return what messages call a length."""
    parts = []
    if length.stitches or not length.row_ends:
        parts.append(plural(length.stitches, "stitch", "stitches"))
    if length.row_ends:
        parts.append(plural(length.row_ends, "row end"))
    return " and ".join(parts)


# ---- what is wrong -----------------------------------------------------------------------------------------


def _said_side(side: Sequence[Along]) -> str:
    return " and ".join(each.said for each in side)


def _to_itself(plan: SeamPlan, make: int) -> Fault:
    said = _said_side(plan.first)
    return fault(
        "used-edge",
        f"{said} can't be sewn to itself" if make == 1 else f"{make} copies can't be sewn in pairs",
        plan.node.span,
        help=f"name another edge; or make an even number of {plan.first[0].title}, and two copies are sewn "
        "together",
    )


def _uneven(plan: SeamPlan, first: Length, second: Length) -> Fault:
    one, two = _said_side(plan.first), _said_side(plan.second)
    notes: tuple[str, ...] = ()
    if _by_gauge(first, second):
        lengths = [f"{float(each.centimetres or 0):.1f} cm" for each in (first, second)]
        notes = (f"by the gauge the one is {lengths[0]} long and the other {lengths[1]}",)
    return fault(
        "uneven-seam",
        f"{one} has {said_length(first)}, and {two} has {said_length(second)}",
        plan.node.span,
        notes=notes,
        help="work as many on both edges, name a part of the longer (`, first 12`), or end the line with "
        "`eased` if the longer is to be eased in",
        facts={"expected": first.places, "found": second.places},
    )


def doubtful_seams(patterns: Sequence[CountedPattern]) -> Iterator[Diagnostic]:
    """Yield warnings about seams that are likely not meant, each once."""
    by_line: dict[int, list[CountedSeam]] = {}
    for pattern in patterns:
        for group in pattern.making_up:
            for seam in group.parts:
                if isinstance(seam, CountedSeam):
                    by_line.setdefault(seam.plan.start, []).append(seam)
    for start, seams in by_line.items():
        for found in _doubts(seams):
            yield found.shifted(start)


def _doubts(seams: Sequence[CountedSeam]) -> Iterator[Diagnostic]:
    plan = seams[0].plan
    edges = [side[0].edge for side in (plan.first, plan.second) if len(side) == 1]
    if len(edges) == 2 and edges[0] == edges[1] and edges[0] in SIDEWAYS:
        yield warning(
            "upside-down",
            f"the {edges[0]} edges of two pieces meet upside down, or one of them shows its wrong side",
            plan.node.span,
            help=f"name the {'right' if edges[0] == 'left' else 'left'} edge of one of them, as seen from "
            "its right side; or leave it if it is meant",
        )
    if plan.node.eased and all(seam.first == seam.second for seam in seams):
        yield warning(
            "nothing-to-ease",
            "both edges of this seam are as long as one another: nothing is eased",
            plan.node.span,
            help="take `eased` out, so that a slip in a length shows here",
        )
