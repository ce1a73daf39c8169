"""What pieces measure when they are done, by their checked rows and the gauges of their stitches.

A row is as wide as its stitches by the gauge of each kind, a chain as wide as the stitches beside it, and as
high as its tallest stitch. A row with a stitch of the author's own that has a gauge goes by that alone. All
lengths are in cm.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import pi

from ..lang.measures import Gauge
from ..lang.stitches import Stitch, vocabulary
from .counted import Block, CountedPattern, CountedPiece, CountedRow, Worked
from .fabric import CHAIN, SPACE, tally
from .gauges import Gauges
from .plan import LaidPlan, PiecePlan
from .steps import BranchStep, GroupStep, OwnStep, SkipStep, SpreadStep, StitchStep
from .zigzags import drawn_in, is_zigzag

FLAT = (0.85, 1.15)
"""Parts of a flat disc's edge within which a round counts as flat, as for the warning."""
SQUARE = 1.65
"""The outline of a square is 1.27 times that of the circle within it, and chains at its corners stand out."""
SHELL = 3
"""Stitches in one place that, where others are skipped for them, make no more width."""


@dataclass(frozen=True, slots=True)
class Finished:
    """What one piece measures in one size."""

    shape: str
    """`flat` for rows and for motifs in a grid, `border` around what is flat; of other rounds `disc`,
    `polygon`, `ball` or `tube`."""
    first: Fraction
    """How wide it begins; of rounds, how far around."""
    widest: Fraction
    narrowest: Fraction
    last: Fraction
    length: Fraction
    """From the first row to the last; of a disc or a polygon from the middle to the edge."""
    about: bool = False
    """Whether it has no plain row to go by."""
    from_ring: bool = False
    """Whether it begins in a ring, around nothing."""
    around: str = ""
    """Of a border, the title of the piece that it goes around, or that borders before it do."""
    with_it: tuple[Fraction, Fraction] | None = None
    """Of a border, the width and the length of that piece with its borders."""


def finished_pieces(pattern: CountedPattern) -> tuple[Finished | None, ...]:
    """Return what each piece of a pattern measures, None where that is not known."""
    found: list[Finished | None] = []
    for piece in pattern.pieces:
        laid = piece.plan.laid
        if laid is not None:
            found.append(_of_motifs(laid, found[laid.index]))
            continue
        one = finished(piece, pattern.gauges)
        inner = _gone_around(piece)
        if one is not None and inner is not None:
            one = _around(one, found[inner], pattern.pieces[inner].plan.title)
        found.append(one)
    return tuple(found)


def _of_motifs(laid: LaidPlan, motif: Finished | None) -> Finished | None:
    """Return what motifs measure side by side. A seam or a join takes nothing away and adds nothing.

    Those from a ring have corners, and lie flat so far as the author sees to it.
    """
    if motif is None or not (motif.from_ring or motif.shape == "flat"):
        return None
    flat = motif.shape == "flat"
    wide = laid.across * (motif.widest if flat else 2 * motif.length)
    high = laid.high * (motif.length if flat else 2 * motif.length)
    return Finished("flat", wide, wide, wide, wide, high, about=flat and motif.about)


def _gone_around(piece: CountedPiece) -> int | None:
    """Return the piece whose whole edge another goes all around; None if it does not."""
    start = piece.plan.start
    if start is None or len(start.along) != 1 or not piece.plan.in_rounds:
        return None
    (along,) = start.along
    whole = along.edge in ("around", "top") if along.in_rounds else along.edge == "around"
    return along.index if whole and along.row is None and along.end is None else None


def _around(border: Finished, inner: Finished | None, title: str) -> Finished:
    """Return a border with what it comes to around another piece, which has to be flat."""
    if inner is None or not (inner.with_it or (inner.shape == "flat" and inner.widest == inner.narrowest)):
        return border
    wide, long = inner.with_it or (inner.widest, inner.length)
    with_it = wide + 2 * border.length, long + 2 * border.length
    return replace(border, shape="border", around=inner.around or title, with_it=with_it)


def finished(piece: CountedPiece, gauges: Gauges) -> Finished | None:
    """Return what a piece measures by itself; None without a gauge or where some row is not known."""
    rows = list(rows_of(piece))
    if not gauges or not rows or any(not block.rows for block in _blocks(piece) if block.times):
        return None
    if any(map(_hangs, rows)):
        return None
    plain = [row for row in rows if _is_plain(row, gauges)]
    if not plain and any(_stitch(kind) is None for row in rows for kind in _kinds(row)):
        return None
    widths = [wide for row in plain or rows if (wide := width(row, gauges)) is not None]
    if not widths:
        return None
    drawn = _drawn_in(rows, gauges)
    widths = [each * drawn for each in widths]
    length = sum((high * times for high, times in heights(rows, gauges)), height_of_start(piece.plan, gauges))
    from_ring = _is_from_ring(piece, rows[0])
    shape = _shape(piece, widths[-1], length, from_ring=from_ring)
    about = not plain and not gauges.in_pattern
    return Finished(shape, widths[0], max(widths), min(widths), widths[-1], length, about, from_ring)


def _hangs(row: CountedRow) -> bool:
    """Tell whether chains between stitches spread over an edge are longer than it is: they hang in loops."""
    along = sum(_kinds(row).values()) + tally(row.after.parts)["chains"]
    return along > row.before.places and any(isinstance(each.step, SpreadStep) for each in row.worked)


def _drawn_in(rows: Sequence[CountedRow], gauges: Gauges) -> Fraction:
    """Return how wide zigzags lie, by the width of their stitches side by side; 1 of other rows.

    A gauge in the pattern, or in a stitch of the author's own, is measured over the zigzags themselves.
    """
    if gauges.in_pattern or any(_own_gauge(row, gauges) for row in rows):
        return Fraction(1)
    by = gauges.measuring(tallest(rows[-1])) or gauges.others if rows else None
    if by is None:
        return Fraction(1)
    length = sum((row.times * height(row, gauges) for row in rows), Fraction(0))
    return drawn_in(rows, by.width(1), length / sum(row.times for row in rows))


def heights(rows: Sequence[CountedRow], gauges: Gauges) -> list[tuple[Fraction, int]]:
    """Return how high each of rows one above the other stands, and how many like it follow one another."""
    drawn = _drawn_in(rows, gauges)
    return [(height(row, gauges) / drawn, row.times) for row in rows]


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
    shapings = [block.stretch.shaping for block in _blocks(piece) if block.stretch.shaping is not None]
    if any(shaping.shape == "ball" for shaping in shapings):
        return "ball"
    if any(shaping.corners for shaping in shapings):
        return "polygon"
    least, most = FLAT
    part = float(around / radius) / (2 * pi)
    return "disc" if least <= part <= most else "polygon" if most < part <= SQUARE else "tube"


# ---- one row -----------------------------------------------------------------------------------------------


def _own_gauge(row: CountedRow, gauges: Gauges) -> tuple[Gauge, int] | None:
    """Return the gauge of a stitch of the author's own that a row makes, and how often it does."""
    if not gauges.of_own:
        return None
    made = tally(row.after.parts)
    return next(((each, many) for each in gauges.of_own if (many := made[f"as {each.stitch}"])), None)


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


def width(row: CountedRow, gauges: Gauges) -> Fraction | None:
    """Return how wide a row is, or how far around; None if no gauge measures it."""
    kinds = _kinds(row)
    chains = tally(row.after.parts)["chains"]
    own = _own_gauge(row, gauges)
    if own is not None:
        gauge, many = own
        return gauge.width(many if gauge.counted else sum(kinds.values()) + chains)
    by = {kind: gauges.measuring(kind) or gauges.others for kind in kinds}
    beside = by[max(kinds, key=lambda kind: kinds[kind])] if kinds else gauges.others
    widths = [(gauge, kinds[kind]) for kind, gauge in by.items()] + [(beside, chains)]
    if any(gauge is None for gauge, _ in widths):
        return None
    return sum((gauge.width(many) for gauge, many in widths if gauge is not None), Fraction(0))


def height(row: CountedRow, gauges: Gauges) -> Fraction:
    """Return how high a row is: its tallest stitch, by that stitch's gauge or else that of all others."""
    gauge = gauge_of(row, gauges)
    return gauge.height(1) if gauge is not None else Fraction(0)


def gauge_of(row: CountedRow, gauges: Gauges) -> Gauge | None:
    """Return the gauge that a row is as high by; None if it adds no height.

    Between rows of a stitch of the author's own, where there is no other gauge, all are as high as they.
    """
    own = _own_gauge(row, gauges)
    if own is not None:
        return own[0]
    kind = tallest(row)
    gauge = gauges.measuring(kind)
    if gauge is None and is_low(kind):
        return None
    return gauge or gauges.others or gauges.first


def height_of_start(plan: PiecePlan, gauges: Gauges) -> Fraction:
    """Return how high a piece is before its first row: as its stitches, where it is started on some."""
    start = plan.start
    if start is None or start.stitch is None:
        return Fraction(0)
    gauge = gauges.measuring(start.stitch.key) or gauges.others or gauges.first
    assert gauge is not None
    return gauge.height(1)


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


def without_gauge(piece: CountedPiece, gauges: Gauges) -> dict[str, int]:
    """Return the stitches that are as high as their rows and have no gauge, with how many rows they have.

    A gauge in the pattern itself measures everything, and so does one in a stitch of the author's own where
    there is no other.
    """
    found: dict[str, int] = {}
    if not gauges or gauges.in_pattern or gauges.others is None or gauges.others.is_own:
        return found
    for row in rows_of(piece):
        kind = tallest(row)
        if kind and not is_low(kind) and not _own_gauge(row, gauges) and gauges.measuring(kind) is None:
            found[kind] = found.get(kind, 0) + row.times
    return found


def _is_plain(row: CountedRow, gauges: Gauges) -> bool:
    """Tell whether a row lies as wide as its stitches: no chains, and no shells over skipped places.

    One of an own stitch with a gauge does; one of plain stitches that no gauge measures does not.
    """
    if gauges.of_own and (_own_gauge(row, gauges) or width(row, gauges) is None):
        return _own_gauge(row, gauges) is not None
    if tally(row.after.parts)["chains"]:
        return False
    if is_zigzag(row):
        return True
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
