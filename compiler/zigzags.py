"""Zigzags: how far rows of peaks and valleys draw in, and how much higher they stand.

Where a peak gains stitches in every row and a valley loses as many, the line of peaks crosses each slope by
half of them a row. So the slopes lean: with stitches of width w and rows of height h they meet the line of
peaks at the angle whose tangent is h to half the gain times w. A piece is so much narrower than its stitches
side by side as the sine of that angle says, and so much longer than its rows one above the other.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import hypot

from .counted import CountedRow, Worked
from .fabric import places
from .steps import BracketStep, OwnStep, SkipStep, StitchStep

SHORTEST = 3
"""Stitches from a peak to a valley; shorter ones are a texture."""

FEWEST_CHANGES = 3
"""A peak between two valleys; one gain and one loss make rows that shift, and lie as wide as they are."""


def drawn_in(rows: Sequence[CountedRow], wide: Fraction, high: Fraction) -> Fraction:
    """Return how wide rows with stitches of that size lie, by the width of the stitches side by side.

    It is 1 where there are no peaks. Rows between those that shape are taken together with them.
    """
    lean = sum((_lean(row) * row.times for row in rows), Fraction(0))
    if not lean or not high:
        return Fraction(1)
    aside = float(lean / sum(row.times for row in rows) * wide)
    return Fraction(float(high) / hypot(aside, float(high)))


def is_zigzag(row: CountedRow) -> bool:
    """Tell whether a row has peaks and valleys."""
    return _lean(row) > 0


def _lean(row: CountedRow) -> Fraction:
    """Return by how many stitches each slope moves on in a row; 0 where there are no slopes."""
    if row.before.places - row.foundation != row.after.places:
        return Fraction(0)
    found: Counter[int] = Counter()
    _gather(row.worked, 1, found)
    gains = [gain for gain in found if gain > 0]
    more = sum(gain * times for gain, times in found.items())
    if len(gains) != 1 or more != 0:
        return Fraction(0)
    if sum(found.values()) < FEWEST_CHANGES:
        return Fraction(0)
    (gain,) = gains
    if row.after.places < 2 * SHORTEST * found[gain]:
        return Fraction(0)
    return Fraction(gain, 2)


def _gather(items: Iterable[Worked], times: int, found: Counter[int]) -> None:
    """Add how many stitches more each item makes than it uses, and how often."""
    for item in items:
        step = item.step
        if isinstance(step, BracketStep):
            for turns in item.turns:
                for body in turns.bodies:
                    _gather(body, times * turns.times, found)
            if not item.turns:
                _gather(item.body, times * item.count, found)
        elif isinstance(step, SkipStep):
            found[-item.count] += times
        elif isinstance(step, StitchStep) and step.target is None:
            found[step.stitch.makes - step.stitch.uses] += times * item.count
        else:
            many = item.count if isinstance(step, OwnStep) else 1
            found[(item.made.places - places(item.used)) // max(1, many)] += times * many
    del found[0]
