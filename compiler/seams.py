"""Seams: which edges meet, how long they are, and whether they agree."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from ..lang.diagnostics import Diagnostic
from ..lang.measures import Gauge
from .counted import CountedMakingUp, CountedPattern, CountedSeam, Length
from .edges import Edges
from .fabric import CHAIN, ROW_END, SPACE, Segment, tally
from .faults import Fault, HeldBack, fault, plural, warning
from .plan import Along, MakingUp, Remark, SeamPlan

SIDEWAYS = ("left", "right")


@dataclass(frozen=True, slots=True)
class Sewing:
    """What seams are counted with."""

    edges: Edges
    gauge: Gauge | None
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
        first = second = _length(edges, plan.first, 2 * times)
    else:
        times = min(makes)
        first, second = (_length(edges, side, times) for side in (plan.first, plan.second))
    if not plan.node.eased and not agree(first, second, sewing.gauge):
        raise _uneven(plan, first, second, sewing.gauge)
    return CountedSeam(plan, times, first, second, between_copies)


def _places_named(side: Sequence[Along]) -> list[tuple[int, str, int | None, str | None, int]]:
    return [(each.index, each.edge, each.row, each.end, each.count) for each in side]


def _length(edges: Edges, side: Sequence[Along], copies: int) -> Length:
    """Use up a side of a seam, and return how long it is. Raises Fault."""
    return measured([part for along in side for part in edges.taken(along, copies)])


def measured(parts: Sequence[Segment]) -> Length:
    """Return how long places side by side are; a space is as long as its chains."""
    kinds = tally(parts)
    chains = kinds.pop("chains", 0) - kinds.pop(CHAIN, 0)
    kinds.pop(SPACE, 0)
    ends = kinds.pop(ROW_END, 0)
    return Length(chains + sum(n for kind, n in kinds.items() if not kind.startswith("as ")), ends)


def agree(first: Length, second: Length, gauge: Gauge | None) -> bool:
    """Tell whether two edges are as long as one another.

    Stitches are counted against stitches and row ends against row ends. Where the sorts differ, the gauge
    tells, to the width of a stitch; without one the numbers must be equal.
    """
    if first == second:
        return True
    if not (first.row_ends or second.row_ends) or not (first.stitches or second.stitches):
        return False
    if gauge is None or not gauge.stitches or not gauge.rows:
        return first.places == second.places
    return abs(_centimetres(first, gauge) - _centimetres(second, gauge)) < gauge.width(1)


def _centimetres(length: Length, gauge: Gauge) -> Fraction:
    return gauge.width(length.stitches) + gauge.height(length.row_ends)


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


def _uneven(plan: SeamPlan, first: Length, second: Length, gauge: Gauge | None) -> Fault:
    one, two = _said_side(plan.first), _said_side(plan.second)
    notes: tuple[str, ...] = ()
    sorts = bool(first.row_ends) != bool(second.row_ends) or bool(first.stitches) != bool(second.stitches)
    if gauge is not None and sorts:
        lengths = [f"{float(_centimetres(each, gauge)):.1f} cm" for each in (first, second)]
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
