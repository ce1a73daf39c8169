"""What pieces measure when they are done, by their checked rows and the gauges of their stitches.

A row is as wide as its stitches by the gauge of each kind, a chain as wide as the stitches beside it, and as
high as its tallest stitch. All lengths are in cm.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import pi

from ..lang.measures import Gauge
from ..lang.stitches import Stitch, vocabulary
from .counted import Block, CountedPiece, CountedRow, Worked
from .fabric import CHAIN, SPACE, tally
from .gauges import gauge_of
from .plan import PiecePlan
from .steps import BranchStep, GroupStep, OwnStep, SkipStep, StitchStep

FLAT = (0.85, 1.15)
"""Parts of a flat disc's edge within which a round counts as flat, as for the warning."""
SQUARE = 1.65
"""The outline of a square is 1.27 times that of the circle within it, and chains at its corners stand out."""
SHELL = 3
"""Stitches in one place that, where others are skipped for them, make no more width."""
BASED = frozenset({"together", "cluster", "bobble", "puff", "popcorn", "shell", "foundation", "increase"})
"""Sorts of stitches that are as high and as wide as what they are made of."""


@dataclass(frozen=True, slots=True)
class Finished:
    """What one piece measures in one size."""

    shape: str
    """`flat` for rows, `disc`, `polygon`, or `tube` for other rounds."""
    first: Fraction
    """How wide it begins; of rounds, how far around."""
    widest: Fraction
    narrowest: Fraction
    last: Fraction
    length: Fraction
    """From the first row to the last; of a disc or a polygon from the middle to the edge."""
    about: bool
    """Whether it has no plain row to go by."""
    from_ring: bool
    """Whether it begins in a ring, around nothing."""


def finished(piece: CountedPiece, gauges: Sequence[Gauge]) -> Finished | None:
    """Return what a piece measures; None where there is no gauge, or not all of its rows are known."""
    rows = list(rows_of(piece))
    if not gauges or not rows or any(not block.rows for block in _blocks(piece) if block.times):
        return None
    plain = [row for row in rows if _is_plain(row)]
    if not plain and any(_stitch(kind) is None for row in rows for kind in _kinds(row)):
        return None
    widths = [width(row, gauges) for row in plain or rows]
    length = sum((row.times * height(row, gauges) for row in rows), height_of_start(piece.plan, gauges))
    from_ring = _is_from_ring(piece, rows[0])
    shape = _shape(piece, width(rows[-1], gauges), length, from_ring=from_ring)
    return Finished(
        shape, widths[0], max(widths), min(widths), widths[-1], length, about=not plain, from_ring=from_ring
    )


def rows_of(piece: CountedPiece) -> Iterator[CountedRow]:
    """Yield the rows of a piece."""
    for block in _blocks(piece):
        yield from block.rows


def _blocks(piece: CountedPiece) -> Iterator[Block]:
    return (part for part in piece.parts if isinstance(part, Block))


def _is_from_ring(piece: CountedPiece, first: CountedRow) -> bool:
    """Tell whether a piece begins in a ring, of yarn or of a few chains that the first round goes into."""
    start = piece.plan.start
    if start is None or start.kind not in ("ring", "joined chain"):
        return False
    targets = (getattr(item.step, "target", None) for item in _flattened(first.worked))
    return start.kind == "ring" or any(target is not None and target.kind == "ring" for target in targets)


def _shape(piece: CountedPiece, around: Fraction, radius: Fraction, *, from_ring: bool) -> str:
    if not piece.plan.in_rounds:
        return "flat"
    if not from_ring or not radius:
        return "tube"
    if any(block.stretch.shaping is not None and block.stretch.shaping.corners for block in _blocks(piece)):
        return "polygon"
    least, most = FLAT
    part = float(around / radius) / (2 * pi)
    return "disc" if least <= part <= most else "polygon" if most < part <= SQUARE else "tube"


# ---- one row -----------------------------------------------------------------------------------------------


def measured_by(gauges: Iterable[Gauge], key: str) -> Gauge | None:
    """Return the gauge that measures a stitch: its own, that of what it is made of, or of its other post."""
    own = gauge_of(gauges, key)
    stitch = _stitch(key)
    if own is not None or stitch is None:
        return own
    if stitch.family in BASED:
        return gauge_of(gauges, stitch.base)
    if stitch.family == "post":
        return gauge_of(gauges, {"f": "b", "b": "f"}[key[0]] + key[1:])
    return None


def tallest(row: CountedRow) -> str:
    """Return the key of the tallest stitch that a row makes; empty if it makes none."""
    kinds = [(stitch.height, kind) for kind in _kinds(row) if (stitch := _stitch(kind)) is not None]
    return max(kinds)[1] if kinds else ""


def _stitch(key: str) -> Stitch | None:
    return vocabulary("US").find(key)


def _kinds(row: CountedRow) -> dict[str, int]:
    return {
        kind: many
        for kind, many in tally(row.after.parts).items()
        if kind not in (SPACE, CHAIN, "chains") and not kind.startswith("as ")
    }


def width(row: CountedRow, gauges: Sequence[Gauge]) -> Fraction:
    """Return how wide a row is, or how far around: its stitches by the gauge of each kind."""
    kinds = _kinds(row)
    by = {kind: measured_by(gauges, kind) or gauges[0] for kind in kinds}
    width = sum((by[kind].width(many) for kind, many in kinds.items()), Fraction(0))
    chains = tally(row.after.parts)["chains"]
    beside = by[max(kinds, key=lambda kind: kinds[kind])] if kinds else gauges[0]
    return width + beside.width(chains)


def height(row: CountedRow, gauges: Sequence[Gauge]) -> Fraction:
    """Return how high a row is: its tallest stitch, by that stitch's gauge or else the first."""
    kind = tallest(row)
    gauge = measured_by(gauges, kind)
    if gauge is None and is_low(kind):
        return Fraction(0)
    return (gauge or gauges[0]).height(1)


def height_of_start(plan: PiecePlan, gauges: Sequence[Gauge]) -> Fraction:
    """Return how high a piece is before its first row: as its stitches, where it is started on some."""
    start = plan.start
    if start is None or start.stitch is None:
        return Fraction(0)
    return (measured_by(gauges, start.stitch.key) or gauges[0]).height(1)


def rows_to(length: Fraction, heights: Iterable[tuple[Fraction, int]]) -> tuple[int, Fraction]:
    """Return how many rows come nearest to a length, the higher of two equally near, and what is left of it.

    `heights` are those of rows in order, with how many like each follow one another.
    """
    rows = 0
    for high, times in heights:
        if length <= 0:
            break
        fitting = min(times, int(length / high + Fraction(1, 2))) if high else times
        rows += fitting
        length -= fitting * high
        if fitting < times:
            break
    return rows, length


def source_name(key: str, dialect: str) -> str:
    """Return the word that an author types for a stitch; its key if it is one of the author's own."""
    stitch = _stitch(key)
    return stitch.source_name(dialect) if stitch is not None else key


def is_low(kind: str) -> bool:
    """Tell whether a stitch adds no height of its own, as the slip stitch."""
    stitch = _stitch(kind)
    return stitch is not None and stitch.family == "slip"


def without_gauge(piece: CountedPiece, gauges: Sequence[Gauge]) -> dict[str, int]:
    """Return the stitches that are as high as their rows and have no gauge, with how many rows they have.

    A first gauge in a stitch of the author's own is one in the pattern itself, and measures everything.
    """
    found: dict[str, int] = {}
    if not gauges or _stitch(gauges[0].stitch) is None:
        return found
    for row in rows_of(piece):
        kind = tallest(row)
        if kind and not is_low(kind) and measured_by(gauges, kind) is None:
            found[kind] = found.get(kind, 0) + row.times
    return found


def _is_plain(row: CountedRow) -> bool:
    """Tell whether a row lies as wide as its stitches: no chains, and no shells over skipped places."""
    if tally(row.after.parts)["chains"]:
        return False
    items = list(_flattened(row.worked))
    if any(isinstance(item.step, BranchStep) for item in items):
        return False
    return not (any(isinstance(item.step, SkipStep) for item in items) and any(map(_is_shell, items)))


def _is_shell(item: Worked) -> bool:
    step = item.step
    if isinstance(step, StitchStep):
        return step.target is not None and item.count >= SHELL
    return isinstance(step, GroupStep | OwnStep)


def _flattened(items: Iterable[Worked]) -> Iterator[Worked]:
    for item in items:
        yield item
        yield from _flattened(item.body)
