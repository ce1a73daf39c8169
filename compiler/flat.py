"""Warnings about measured shaping: rounds that grow so that they can't lie flat, measures by another gauge.

The limits within which a round counts as flat are ours: from 15 % too few stitches to 15 % too many. Work
that grows by less than half of what is flat is shaped on purpose, as a cone is, and nothing is said of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..lang.diagnostics import Diagnostic
from .counted import Block, CountedPattern
from .faults import warning
from .plan import PiecePlan, Stretch
from .shapes import Fabric, flatness

CUPS, RUFFLES, CONE = 0.85, 1.15, 0.5
EARLY = 4
"""Rounds from a ring within which work that grows is meant to be flat."""


def measured_doubtfully(patterns: Sequence[CountedPattern]) -> Iterator[Diagnostic]:
    """Yield warnings, each once, whatever sizes it holds in."""
    seen: set[tuple[str, int]] = set()
    for pattern in patterns:
        for piece in pattern.pieces:
            for part in piece.parts:
                if isinstance(part, Block) and part.stretch.shaping is not None:
                    for found in _about(part.stretch, part.first, piece.plan):
                        key = (found.name, part.stretch.start)
                        if key not in seen:
                            seen.add(key)
                            yield found.shifted(part.stretch.start)


def _about(stretch: Stretch, first: int | None, piece: PiecePlan) -> Iterator[Diagnostic]:
    shaping = stretch.shaping
    assert shaping is not None
    if shaping.borrowed:
        yield warning(
            "other-gauge",
            f"this is measured by the gauge in {shaping.borrowed}, but worked in another stitch",
            shaping.span,
            help="add a `gauge` line in the stitch that it is worked in",
        )
    if not piece.in_rounds or not shaping.height or shaping.shape or len(shaping.changes) != 1:
        return
    (change,) = shaping.changes
    if change.kind != "by" or change.spot != "evenly" or change.amount <= 0 or change.rows:
        return
    ratio = flatness(Fabric(1.0, shaping.height), change.amount / change.gap)
    from_ring = piece.start is not None and piece.start.kind == "ring" and (first or 1) <= EARLY
    if ratio > RUFFLES or (from_ring and CONE < ratio < CUPS):
        too = "long" if ratio > 1 else "short"
        flat = 6.2832 * shaping.height * change.gap
        rounds = "round" if change.gap == 1 else f"{change.gap} rounds"
        yield warning(
            "not-flat",
            f"growing by {change.amount} every {rounds}, this {'ruffles' if ratio > 1 else 'cups'}: "
            f"its edge is {abs(ratio - 1) * 100:.0f} % too {too} to lie flat",
            change.span,
            help=f"about {flat:.1f} every {rounds} lie flat at this gauge; leave it if it is meant",
        )
