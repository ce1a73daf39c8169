"""Lengths of edges: in places, and by the gauges of the stitches and rows that stand along them in cm."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from ..lang.measures import Gauge
from ..lang.stitches import vocabulary
from .counted import CountedPiece, CountedRow, Length
from .fabric import CHAIN, ROW_END, SPACE, Segment, tally
from .finished import gauge_of, heights, rows_of
from .gauges import Gauges
from .outline import Stretch, row_ends

SIDEWAYS = ("left", "right")


def measured(parts: Iterable[Segment]) -> Length:
    """Return how long places side by side are; a space is as long as its chains."""
    kinds = tally(parts)
    chains = kinds.pop("chains", 0) - kinds.pop(CHAIN, 0)
    kinds.pop(SPACE, 0)
    ends = kinds.pop(ROW_END, 0)
    return Length(chains + sum(n for kind, n in kinds.items() if not kind.startswith("as ")), ends)


def length_of(edges: Sequence[tuple[CountedPiece, Stretch]], gauges: Gauges) -> Length:
    """Return how long stretches of edges are, one after the other."""
    length = measured(part for _, stretch in edges for part in stretch.parts)
    others = gauges.others
    cm = sewn = Fraction(0)
    used: set[Gauge] = set()
    for piece, stretch in edges:
        rows = list(rows_of(piece))
        if others is None or not rows:
            return length
        if stretch.key in SIDEWAYS:
            for row, high, times in _up(piece, rows, stretch, gauges):
                gauge = gauge_of(row, gauges) or others
                cm += high * times
                sewn += high * times / (others if gauge.counted else gauge).width(1)
                used.add(gauge)
        else:
            for gauge, many in _across(rows, stretch, gauges, others):
                cm += gauge.width(many)
                sewn += many
                used.add(gauge)
    return Length(length.stitches, length.row_ends, cm, sewn, frozenset(used))


def _up(
    piece: CountedPiece, rows: Sequence[CountedRow], stretch: Stretch, gauges: Gauges
) -> Iterator[tuple[CountedRow, Fraction, int]]:
    """Yield the rows whose ends are a stretch of a side, with the height of one and how many are like it."""
    first = stretch.at
    if stretch.key == "left":
        # It is met downwards.
        first = row_ends(piece, "left") - stretch.end
    last = first + stretch.end - stretch.at
    at = 0
    for row, (high, times) in zip(rows, heights(rows, gauges), strict=True):
        here = min(last, at + times) - max(first, at)
        if here > 0:
            yield row, high, here
        at += times


def _across(
    rows: Sequence[CountedRow], stretch: Stretch, gauges: Gauges, others: Gauge
) -> Iterator[tuple[Gauge, int]]:
    """Yield how many stitches of a stretch each gauge measures; chains go by what stands beside."""
    kinds = tally(stretch.parts)
    chains = kinds.pop("chains", 0) - kinds.pop(CHAIN, 0)
    kinds.pop(SPACE, 0)
    beside = tally(rows[0 if stretch.key == "foundation" else -1].after.parts)
    usual = max((each for each in beside if _is_stitch(each)), key=lambda each: beside[each], default="")
    for kind, many in kinds.items():
        if not kind.startswith("as "):
            yield gauges.measuring(kind if _is_stitch(kind) else usual) or others, many
    if chains:
        yield gauges.measuring(usual) or others, chains


def _is_stitch(kind: str) -> bool:
    return vocabulary("US").find(kind) is not None
