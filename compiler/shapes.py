"""Shapes by measurement: how many stitches each round has, so that the work has the outline asked for.

All lengths are in cm. The half turn is a float: the counts are rounded to whole stitches, far from where that
could matter. Each shape is a sequence of counts, one a round.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import floor, hypot, pi, sin, sqrt, tan

from ..lang.measures import Gauge

Rounding = Callable[[float], int]
"""Makes a count of stitches of the ideal number, as the author's multiple asks for."""

CORNERS = {
    "triangle": 3,
    "square": 4,
    "pentagon": 5,
    "hexagon": 6,
    "heptagon": 7,
    "octagon": 8,
    "decagon": 10,
    "dodecagon": 12,
}


@dataclass(frozen=True, slots=True)
class Fabric:
    """What one stitch measures."""

    width: float
    height: float


def fabric_of(gauge: Gauge) -> Fabric:
    """Return what a stitch of a gauge measures."""
    return Fabric(float(gauge.width(1)), float(gauge.height(1)))


def nearest(value: float) -> int:
    """Return the nearest whole number, the higher of two as near."""
    return floor(value + 0.5)


def disc(fabric: Fabric, across: float, rounded: Rounding = nearest) -> tuple[int, ...]:
    """Return the rounds of a flat disc: the outer edge of round i is as long as its circle."""
    rounds = max(1, nearest(across / 2 / fabric.height))
    return tuple(rounded(flat_growth(fabric) * number) for number in range(1, rounds + 1))


def polygon(fabric: Fabric, corners: int, across: float, rounded: Rounding = nearest) -> tuple[int, ...]:
    """Return the rounds of a flat regular polygon, so far `across` from side to side through its middle.

    Its sides are alike, so each count is a multiple of their number; `rounded` is for one side.
    """
    rounds = max(1, nearest(across / 2 / fabric.height))
    side = flat_growth(fabric, corners) / corners
    return tuple(corners * max(1, rounded(side * number)) for number in range(1, rounds + 1))


def trails(counts: tuple[int, ...], corners: int) -> tuple[int, ...]:
    """Return for each round how many stitches of a side follow the middle of its corner.

    The rounds begin where the first one began; the corners go on above one another.
    """
    after, found = 0, [0]
    for number in range(1, len(counts)):
        found.append(after)
        grown = (counts[number] - counts[number - 1]) // corners
        after += (grown + number % 2) // 2
    return tuple(found)


def ball(fabric: Fabric, across: float, rounded: Rounding = nearest) -> tuple[int, ...]:
    """Return the rounds of a ball, each in the middle of its zone between the poles."""
    rounds = max(1, nearest(pi * across / 2 / fabric.height))
    widest = pi * across / fabric.width
    return tuple(rounded(widest * sin(pi * (number - 0.5) / rounds)) for number in range(1, rounds + 1))


def cone(fabric: Fabric, across: float, high: float, rounded: Rounding = nearest) -> tuple[int, ...]:
    """Return the rounds of a cone from its tip to a base so far `across`."""
    rounds = max(1, nearest(hypot(high, across / 2) / fabric.height))
    base = pi * across / fabric.width
    return tuple(rounded(base * number / rounds) for number in range(1, rounds + 1))


def crown(fabric: Fabric, around: float, deep: float, rounded: Rounding = nearest) -> tuple[int, ...] | None:
    """Return the rounds of a hat: a flat disc up to the circumference, then even rounds to its depth.

    None if the depth is less than the disc's radius.
    """
    rounds = max(1, nearest(deep / fabric.height))
    last = rounded(around / fabric.width)
    grown = flat_growth(fabric)
    counts = tuple(min(last, rounded(grown * number)) for number in range(1, rounds + 1))
    return counts if counts[-1] == last else None


def chevron_arm(fabric: Fabric, wide: float) -> int:
    """Return the stitches of one slope of a chevron so `wide` from valley to valley, peak included.

    A peak adds a stitch to each slope in each row, so rows meet the line of peaks at the angle whose tangent
    is row height to stitch width.
    """
    across = fabric.height / sqrt(fabric.width**2 + fabric.height**2) * fabric.width
    return max(3, nearest(wide / 2 / across))


def flat_growth(fabric: Fabric, corners: int = 0) -> float:
    """Return by how many stitches a flat round is longer than the one before; 0 corners for a circle."""
    around = corners * tan(pi / corners) if corners else pi
    return 2 * around * fabric.height / fabric.width
