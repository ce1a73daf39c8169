"""Warnings about measured shaping: rounds that grow so that they can't lie flat, measures by another gauge.

The limits within which a round counts as flat are ours: from 15 % too few stitches to 15 % too many, of a
polygon by its own outline. Work that grows by less than half of what is flat is shaped on purpose, as a cone
is, and nothing is said of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import gcd

from ..lang.diagnostics import Diagnostic
from .counted import Block, CountedPattern, CountedPiece
from .faults import plural, warning
from .finished import rows_of, source_name, without_gauge
from .plan import PiecePlan, Shaping
from .planned import Planned, marked_at
from .shapes import fabric_of, flat_growth

CUPS, RUFFLES, CONE = 0.85, 1.15, 0.5
EARLY = 4
"""Rounds from a ring within which work that grows is meant to be flat."""
FEW = 0.1
FEW_ROWS = 2
"""The part of a piece's rows, and the number, that may be worked in stitches without a gauge: an edging, say.
Ours."""
FEWEST_CORNERS = 3
"""Fewer do not go around."""


def measured_doubtfully(dialect: str, patterns: Sequence[CountedPattern]) -> Iterator[Diagnostic]:
    """Yield warnings, each once, whatever sizes it holds in."""
    seen: set[tuple[str, int]] = set()
    for pattern in patterns:
        for piece in pattern.pieces:
            # After an error it is not known how many rows there are.
            if (
                not pattern.diagnostics
                and piece.plan.again is None
                and (missing := _without_gauge(piece, pattern, dialect)) is not None
            ):
                key = (missing.name, piece.plan.start_offset)
                if key not in seen:
                    seen.add(key)
                    yield missing.shifted(piece.plan.start_offset)
            for part in piece.parts:
                if isinstance(part, Block) and part.stretch.shaping is not None:
                    for found in _about(part, part.stretch.shaping, piece.plan):
                        key = (found.name, part.stretch.start)
                        if key not in seen:
                            seen.add(key)
                            yield found.shifted(part.stretch.start)


def _without_gauge(piece: CountedPiece, pattern: CountedPattern, dialect: str) -> Diagnostic | None:
    if any(isinstance(part, Block) and _borrows(part) for part in piece.parts):
        return None
    found = without_gauge(piece, pattern.gauges)
    rows = sum(row.times for row in rows_of(piece))
    if sum(found.values()) <= max(FEW_ROWS, rows * FEW):
        return None
    measured_by = pattern.gauges.others
    assert measured_by is not None
    unit = "round" if piece.plan.in_rounds else "row"
    names = [source_name(kind, dialect) for kind in found]
    return warning(
        "no-gauge",
        f"{sum(found.values())} of {plural(rows, unit)} are worked in {' and '.join(names)}, and no gauge is "
        f"given for {'it' if len(found) == 1 else 'them'}: what the piece measures is reckoned by that in "
        f"{source_name(measured_by.stitch, dialect)}",
        piece.plan.node.name_span,
        help=f"work a swatch in it and add a line such as `gauge 16 st, 10 rows = 10 cm in {names[0]}`",
        facts={"line": "gauge"},
    )


def _borrows(block: Block) -> bool:
    return block.stretch.shaping is not None and bool(block.stretch.shaping.borrowed)


def _about(block: Block, shaping: Shaping, piece: PiecePlan) -> Iterator[Diagnostic]:
    if shaping.borrowed:
        yield warning(
            "other-gauge",
            f"this is measured by the gauge in {shaping.borrowed}, but worked in another stitch",
            shaping.span,
            help="add a `gauge` line in the stitch that it is worked in",
            facts={"line": "gauge"},
        )
    if not piece.in_rounds or shaping.gauge is None or len(block.planned) != 1 or not block.rows:
        return
    (one,) = block.planned
    growth = _growth(one, block)
    if growth is None:
        return
    grown, rounds, corners = growth
    flat = flat_growth(fabric_of(shaping.gauge), corners) * rounds
    ratio = grown / flat
    from_ring = piece.start is not None and piece.start.kind == "ring" and (block.first or 1) <= EARLY
    if ratio > RUFFLES or (from_ring and CONE < ratio < CUPS):
        too = "long" if ratio > 1 else "short"
        often = "round" if rounds == 1 else f"{rounds} rounds"
        at = f" at {corners} corners" if corners else ""
        yield warning(
            "not-flat",
            f"growing by {grown}{at} every {often}, this {'ruffles' if ratio > 1 else 'cups'}: "
            f"its edge is {abs(ratio - 1) * 100:.0f} % too {too} to lie flat",
            one.change.span,
            help=f"about {flat:.1f} every {often} lie flat at this gauge; leave it if it is meant",
        )


def _growth(one: Planned, block: Block) -> tuple[int, int, int] | None:
    """Return by how many stitches work grows in how many rounds, and at how many corners, 0 for all around.

    None for what does not grow, or grows in one direction only.
    """
    change = one.change
    before = block.rows[0].before
    corners = 0
    if change.spot == "mark":
        corners = len(marked_at(before.parts, change.mark, change.span))
        if corners < FEWEST_CORNERS:
            return None
    elif change.spot != "evenly":
        return None
    if change.rows:
        return None
    if change.kind == "by":
        grown, rounds = change.amount * max(1, corners), change.gap
    else:
        grown, rounds = block.rows[-1].stitches - before.places, block.times
        common = gcd(grown, rounds)
        grown, rounds = (grown // common, rounds // common) if common else (0, 1)
    return (grown, rounds, corners) if grown > 0 else None
