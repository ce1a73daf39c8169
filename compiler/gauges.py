"""The gauges of a pattern in one size: which of them measures a stitch."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ..lang.measures import Gauge
from ..lang.stitches import vocabulary

PATTERN = "pattern"
"""What a gauge is in that is measured over the stitches of the pattern as they come."""
BASED = frozenset({"together", "cluster", "bobble", "puff", "popcorn", "shell", "foundation", "increase"})
"""Sorts of stitches that are as high and as wide as what they are made of."""


@dataclass(frozen=True, slots=True)
class Gauges:
    """The gauges of a pattern, in their order, by the names of the stitches as they are written in them."""

    entries: tuple[tuple[str, Gauge], ...] = ()
    incomplete: bool = False
    """Whether some line of them has a fault, so that what it measures is not known."""
    vary: bool = False
    """Whether they differ from size to size."""

    def __bool__(self) -> bool:
        return bool(self.entries)

    def __iter__(self) -> Iterator[Gauge]:
        return (gauge for _, gauge in self.entries)

    @property
    def names(self) -> tuple[str, ...]:
        """Of the stitches that they are in, as an author writes them."""
        return tuple(name for name, _ in self.entries)

    def named(self, name: str) -> Gauge | None:
        """Return the gauge in the stitch of that name as an author writes it; None if there is none."""
        return next((gauge for each, gauge in self.entries if each.casefold() == name.casefold()), None)

    @property
    def first(self) -> Gauge | None:
        """The gauge that is meant where none is named."""
        return next(iter(self), None)

    @property
    def others(self) -> Gauge | None:
        """The gauge of stitches that have none: that in `pattern`, or else the first that counts stitches.

        One that counts a stitch of the author's own measures nothing else.
        """
        return self.named(PATTERN) or next((each for each in self if not each.counted), None)

    @property
    def in_pattern(self) -> bool:
        """Whether the gauge of other stitches is measured over such rows as the pattern has."""
        return self.named(PATTERN) is not None

    @property
    def of_own(self) -> tuple[Gauge, ...]:
        """Those that are measured in stitches of the author's own."""
        return tuple(each for each in self if each.is_own)

    def measuring(self, key: str) -> Gauge | None:
        """Return the gauge that measures a stitch: its own, that of its other post, or of what it is made of.

        None if there is none, so that it goes by that of `others`.
        """
        own = self._of(key)
        stitch = vocabulary("US").find(key)
        if own is not None or stitch is None:
            return own
        if stitch.family == "post":
            return self._of({"f": "b", "b": "f"}[key[0]] + key[1:]) or self._of(stitch.base)
        return self._of(stitch.base) if stitch.family in BASED else None

    def _of(self, key: str) -> Gauge | None:
        return next((each for each in self if each.stitch == key), None)


NO_GAUGES = Gauges()
