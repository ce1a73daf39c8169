"""Even shaping: when changes fall along rows, and where they fall along one row.

Pure arithmetic, as runs and never as lists: it costs no more than the rows it writes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import gcd

MOST_WRITTEN = 24
"""Gaps between changes that are mixed one by one; more of two lengths are told as two runs."""


# ---- along rows --------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Schedule:
    """When changes fall: `runs` holds (rows from change to change, how many times), in order."""

    runs: tuple[tuple[int, int], ...]
    first: int = 0
    """Rows worked before the first gap begins."""

    @property
    def changes(self) -> int:
        """How many there are."""
        return sum(times for _, times in self.runs)

    def rows(self) -> Iterator[int]:
        """Yield the row of each change; 0 is the first row."""
        row = self.first - 1
        for gap, times in self.runs:
            for _ in range(times):
                row += gap
                yield row


@dataclass(frozen=True, slots=True)
class Slope:
    """When changes fall along a straight edge, as near to it as whole stitches come."""

    length: int
    """Rows from one end of the edge to the other."""
    changes: int
    step: int = 1
    """2 where the changes keep to one side of the work."""

    def rows(self) -> Iterator[int]:
        """Yield the row of each change; 0 is the first row."""
        for change in range(self.changes):
            # The edge is half a stitch further than before after (2 change + 1) / (2 changes) of its rows.
            turns = -(-(2 * change + 1) * self.length // (2 * self.changes * self.step))
            yield turns * self.step - 1

    @property
    def gaps(self) -> tuple[int, ...]:
        """The lengths of the gaps between two changes, shortest first."""
        if self.changes < 2:
            return ()
        rows = self.rows()
        before, found = next(rows), set()
        for row in rows:
            found.add(row - before)
            before = row
        return tuple(sorted(found))


def straight(rows: int, changes: int, *, one_side: bool) -> Slope | Schedule | None:
    """Return when to change along a straight edge; None if the rows are too few.

    After every row that may have a change, the changes done differ from the edge by half a one at most. On
    one side they fall in every second row or fewer, unless they need each second row from the first.
    """
    step = 2 if one_side else 1
    if changes > rows // step:
        return even_schedule(rows, changes, one_side=one_side)
    return Slope(rows, changes, step)


def most_changes(rows: int, *, one_side: bool) -> int:
    """Return how many rows can have a change, on one side of the work or on any."""
    return (rows + 1) // 2 if one_side else rows


def even_schedule(rows: int, changes: int, *, one_side: bool) -> Schedule | None:
    """Return the most even schedule, shorter gaps first; None if the rows are too few.

    The last change falls in the last row. On one side all gaps are even, so that the changes fall in every
    second row or fewer; an odd row is left over at the end, unless the changes need each second row from the
    first.
    """
    if changes == 0:
        return Schedule(())
    step = 2 if one_side else 1
    slots = rows // step
    if changes > slots:
        if one_side and changes == most_changes(rows, one_side=True):
            return Schedule(_runs((1, 1), (2, changes - 1)))
        return None
    gap, longer = divmod(slots, changes)
    return Schedule(_runs((gap * step, changes - longer), ((gap + 1) * step, longer)))


def every(rows: int, gap: int) -> Schedule:
    """Return a change in the first row and in every `gap`-th after it."""
    if not rows:
        return Schedule(())
    return Schedule(_runs((1, 1), (gap, (rows - 1) // gap)))


def shares(rows: int, total: int) -> Iterator[tuple[int, int]]:
    """Yield (row, amount): a total dealt out over rows so that any two rows get the same or differ by one."""
    if total <= rows:
        schedule = even_schedule(rows, total, one_side=False)
        assert schedule is not None
        yield from ((row, 1) for row in schedule.rows())
        return
    given = 0
    for row in range(rows):
        so_far = (row + 1) * total // rows
        yield row, so_far - given
        given = so_far


def _runs(*runs: tuple[int, int]) -> tuple[tuple[int, int], ...]:
    return tuple(run for run in runs if run[1])


# ---- along one row -----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Layout:
    """Where changes fall among plain units.

    `groups` holds (gaps, times): so many plain units before each change, over and over; `tail` follows the
    last change.
    """

    groups: tuple[tuple[tuple[int, ...], int], ...]
    tail: int = 0

    def gaps(self) -> Iterator[int]:
        """Yield the plain units before each change."""
        for gaps, times in self.groups:
            for _ in range(times):
                yield from gaps


def spread(plain: int, changes: int, *, around: bool, shifted: bool = False) -> Layout:
    """Lay changes evenly among so many plain units: no two gaps differ by more than one.

    Around, the gap after the last change is that before the first; else both ends have a gap as well.
    `shifted` begins with half a gap, so that the changes fall between those of a layout that is not.
    """
    if changes == 0:
        return Layout((), plain)
    if shifted:
        groups = _even(plain, changes)
        (first, *others), times = groups[0]
        half = first // 2
        rest = [((*others, first), times - 1), (tuple(others), 1)] if others else [((first,), times - 1)]
        kept = tuple((gaps, count) for gaps, count in rest if gaps and count)
        return Layout((((half,), 1), *kept, *groups[1:]), first - half)
    if around:
        return Layout(_even(plain, changes))
    return _without_last(_even(plain, changes + 1))


def symmetrical(plain: int, changes: int) -> Layout | None:
    """Lay changes evenly so that the row reads the same from both ends; None if no even spread does."""
    parts = changes + 1
    gap, longer = divmod(plain, parts)
    if parts % 2 == 0 and longer % 2:
        return None
    if parts <= MOST_WRITTEN:
        gaps = _mirrored(gap, longer, parts)
        return _without_last(_compressed(gaps))
    outer, inner = ((gap, parts - longer), (gap + 1, longer))
    if outer[1] % 2:
        outer, inner = inner, outer
    half = outer[1] // 2
    runs = ((outer[0], half), inner, (outer[0], half))
    return _without_last(tuple(((each,), times) for each, times in runs if times))


def _even(plain: int, parts: int) -> tuple[tuple[tuple[int, ...], int], ...]:
    gap, longer = divmod(plain, parts)
    turns = gcd(longer, parts) if longer else parts
    period = parts // turns
    if period <= MOST_WRITTEN:
        word = [(index + 1) * plain // parts - index * plain // parts for index in range(period)]
        return ((tuple(word), turns),) if turns > 1 or period == 1 else _compressed(word)
    return tuple(((each,), times) for each, times in ((gap, parts - longer), (gap + 1, longer)))


def _mirrored(gap: int, longer: int, parts: int) -> list[int]:
    half = parts // 2
    middle = longer % 2
    pairs = longer // 2
    extra = [
        (2 * (i + 1) * pairs + half) // (2 * half) - (2 * i * pairs + half) // (2 * half) for i in range(half)
    ]
    left = [gap + each for each in extra]
    return [*left, *([gap + middle] if parts % 2 else []), *reversed(left)]


def _compressed(gaps: list[int]) -> tuple[tuple[tuple[int, ...], int], ...]:
    groups: list[tuple[tuple[int, ...], int]] = []
    for gap in gaps:
        if groups and groups[-1][0] == (gap,):
            groups[-1] = ((gap,), groups[-1][1] + 1)
        else:
            groups.append(((gap,), 1))
    return tuple(groups)


def _without_last(groups: tuple[tuple[tuple[int, ...], int], ...]) -> Layout:
    """Take off the last gap: no change follows it."""
    *before, (gaps, times) = groups
    ends = [(gaps, times - 1), (gaps[:-1], 1)]
    return Layout((*before, *((each, count) for each, count in ends if each and count)), gaps[-1])
