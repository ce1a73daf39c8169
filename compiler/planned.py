"""When the changes of a `work` fall: in which of its rows, and how many stitches at a time."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from heapq import merge
from itertools import groupby

from ..lang.source import Span
from .fabric import Edge, Named, Repeat, Segments
from .faults import Fault, fault, plural
from .plan import ChangePlan, Shaping
from .shaping import Schedule, Slope, even_schedule, every, most_changes, shares, straight

MOST_MARKS = 10_000
MOST_TRIED = 1_000
"""Rows that are tried one after the other for a number that works, beyond those of the changes alone."""


@dataclass(frozen=True, slots=True)
class Planned:
    """A change and the rows that it falls in."""

    change: ChangePlan
    amount: int
    """At each place."""
    schedule: Schedule | Slope | None = None
    dealt: int = 0
    """A whole difference dealt out over `rows`, where that is more than one a row."""
    rows: int = 0

    def occurrences(self, first: int) -> Iterator[tuple[int, int]]:
        """Yield (row, amount), rows counted from 0."""
        if self.dealt:
            sign = 1 if self.dealt > 0 else -1
            yield from ((row, sign * each) for row, each in shares(self.rows, abs(self.dealt)))
        elif self.schedule is not None:
            yield from ((row, self.amount) for row in self.schedule.rows())
        else:
            for start, end in sorted(self.change.rows):
                yield from ((number - first, self.amount) for number in range(start, end + 1))


Active = tuple[ChangePlan, int, int]
"""A change in one row: how many at each place, and how many such rows came before."""


def planned(shaping: Shaping, rows: int, first: int, ground: Edge, *, turned: bool) -> tuple[Planned, ...]:
    """Return when each change falls in so many rows. Raises Fault where what is asked for can't be met."""
    fixed = [_by(change, rows, first) for change in shaping.changes if change.kind == "by" and change.amount]
    moving = [change for change in shaping.changes if change.kind == "to"]
    more = [one.amount * _places(one.change, ground) for one in fixed]

    def have(rows: int) -> int:
        """Return the stitches after so many rows by the changes that are told row by row."""
        return ground.places + sum(
            _times(one.change, rows) * each for one, each in zip(fixed, more, strict=True)
        )

    one_side = turned and not shaping.any_side
    found = [_to(change, rows, have, ground, shaping, one_side=one_side) for change in moving if rows]
    return (*fixed, *found)


def _times(change: ChangePlan, rows: int) -> int:
    """Return how often a change falls in so many rows, one that names its rows in those."""
    return sum(b - a + 1 for a, b in change.rows) if change.rows else every(rows, change.gap).changes


def _by(change: ChangePlan, rows: int, first: int) -> Planned:
    if not change.rows:
        return Planned(change, change.amount, every(rows, change.gap))
    last = first + rows - 1
    for start, end in change.rows:
        if start < first or end > last or end < start:
            raise fault(
                "unknown-row",
                f"{f'{start} is no row' if start == end else f'{start}-{end} are no rows'} of these, "
                f"{first} to {last}",
                change.span,
                help=f"name rows from {first} to {last}",
            )
    if len({each for start, end in change.rows for each in (start, end)}) < len(
        [1 for start, end in change.rows for _ in range(1 + (end > start))]
    ):
        raise fault("used-twice", "a row is named twice", change.span, help="name each row once")
    return Planned(change, change.amount)


def _places(change: ChangePlan, ground: Edge) -> int:
    if change.spot == "mark":
        return len(marked_at(ground.parts, change.mark, change.span))
    return 2 if change.spot == "each end" else 1


def _to(
    change: ChangePlan,
    rows: int,
    have: Callable[[int], int],
    ground: Edge,
    shaping: Shaping,
    *,
    one_side: bool,
) -> Planned:
    before = have(rows)
    if change.amount < 1 and change.exact is None:
        raise _no_stitches(change, before, ground)
    difference = change.amount - before
    if change.spot == "evenly":
        return (
            Planned(change, 0, dealt=difference, rows=rows)
            if difference
            else Planned(change, 0, Schedule(()))
        )
    places = _places(change, ground)
    step = _step(change, places, difference)
    if change.exact is not None:
        nearest = (2 * (change.exact - before) + step) // (2 * step) * step
        difference = max(nearest, (before % step or step) - before)
    if difference % step:
        lower = before + difference // step * step
        near = [each for each in (lower, lower + step) if each > 0]
        where = {"each end": "at each end", "middle": "at the middle", "mark": f"at each {change.mark}"}
        raise fault(
            "shaping-missed",
            f"{before} stitches can't become {change.amount} {where[change.spot]}, where they change {step} "
            f"at a time: they can become {' or '.join(map(str, near))}",
            change.span,
            help=f"write {' or '.join(f'`to {each}`' for each in near)}",
            facts={"expected": change.amount, "lower": lower, "upper": lower + step},
        )
    changes = abs(difference) // step
    find = straight if change.straight else even_schedule
    schedule = find(rows, changes, one_side=one_side)
    if schedule is None:
        target = before + difference
        enough = _enough_rows(rows, target, have, change, places, one_side=one_side)
        raise _too_few_rows(change, shaping, rows, before, target, step, enough, one_side=one_side)
    amount = step // places
    return Planned(change, amount if difference > 0 else -amount, schedule)


def _no_stitches(change: ChangePlan, before: int, ground: Edge) -> Fault:
    places = 1 if change.spot == "evenly" else _places(change, ground)
    least = before % places or places
    return fault(
        "zero-count",
        "there is no row of 0 stitches",
        change.span,
        help=f"write `to {least}` at least; a last round is drawn together with `close`",
        facts={"expected": least},
    )


def _step(change: ChangePlan, places: int, difference: int) -> int:
    """Return by how many stitches a row changes: two at the middle and at marks, if they can."""
    by_two = change.spot in ("middle", "mark") and (change.exact is not None or not difference % (2 * places))
    return 2 * places if by_two else places


def _enough_rows(
    rows: int, target: int, have: Callable[[int], int], change: ChangePlan, places: int, *, one_side: bool
) -> int:
    """Return the fewest rows above `rows` in which a number is reached; 0 if none near does.

    What else changes goes on in more rows.
    """
    for more in range(rows + 1, rows + 2 * abs(target - have(rows)) + MOST_TRIED):
        difference = target - have(more)
        changes, rest = divmod(abs(difference), _step(change, places, difference))
        if not rest and changes <= most_changes(more, one_side=one_side):
            return more
    return 0


def _too_few_rows(
    change: ChangePlan,
    shaping: Shaping,
    rows: int,
    before: int,
    target: int,
    step: int,
    enough: int,
    *,
    one_side: bool,
) -> Fault:
    most = most_changes(rows, one_side=one_side)
    changes = abs(target - before) // step
    nearest = before + most * (step if target > before else -step)
    side = " on one side of the work" if one_side else ""
    gauge = shaping.gauge
    to, give = f"to {nearest}", f"give it {plural(enough, 'row')}"
    if change.exact is not None and gauge is not None:
        to = f"to {float(gauge.width(nearest)):.1f} cm"
    if change.straight and gauge is not None:
        give = f"`over {float(gauge.height(enough)):.1f} cm`, which is {plural(enough, 'row')}"
    ways = [f"write `{to}`, the nearest that can be reached"] + [give] * (enough > 0)
    if one_side and changes <= rows:
        ways.append("end the line with `, any side`")
    return fault(
        "shaping-missed",
        f"{plural(changes, 'change')} {'is' if changes == 1 else 'are'} wanted, and {plural(rows, 'row')} "
        f"{'has' if rows == 1 else 'have'} room for {most}{side}",
        change.span,
        help=", or ".join(ways),
        facts={"expected": changes, "found": most},
    )


def most_evenly(changes: Sequence[Planned], have: int) -> int | None:
    """Return the most that can be taken away evenly in each of several rows.

    None where something else changes too, or all is kept.
    """
    if len(changes) != 1 or changes[0].change.spot != "evenly" or changes[0].amount >= 0:
        return None
    change, schedule = changes[0].change, changes[0].schedule
    if have <= 2 * change.keep:
        return None
    times = schedule.changes if schedule is not None else sum(b - a + 1 for a, b in change.rows)
    return max(0, (have - 2 * change.keep - 1) // times)


def events(changes: Sequence[Planned], first: int) -> Iterator[tuple[int, tuple[Active, ...]]]:
    """Yield each row that changes, counted from 0, with what changes in it."""

    def told(order: int, one: Planned) -> Iterator[tuple[int, int, Active]]:
        for count, (row, amount) in enumerate(one.occurrences(first)):
            yield row, order, (one.change, amount, count)

    together = merge(*(told(order, one) for order, one in enumerate(changes)), key=lambda each: each[:2])
    for row, group in groupby(together, key=lambda each: each[0]):
        yield row, tuple(active for _, _, active in group)


def marks_named(shaping: Shaping) -> frozenset[str]:
    """Return the marks at which a shaping changes."""
    return frozenset(change.mark for change in shaping.changes if change.mark)


def marked_at(parts: Segments, mark: str, span: Span) -> tuple[int, ...]:
    """Return the places that bear a mark, the middle of each. Raises Fault if there is none."""
    found = tuple(_marked(parts, mark, 0, span))
    if not found:
        raise fault(
            "nothing-ahead",
            f"no place is marked {mark}",
            span,
            help=f"mark it in the row before: `sc as {mark}`",
            facts={"wanted": mark},
        )
    return found


def _marked(parts: Segments, mark: str, at: int, span: Span) -> Iterator[int]:
    for part in parts:
        if isinstance(part, Named) and part.is_mark and part.label == mark:
            yield at + (part.places - 1) // 2
        elif mark in part.names:
            assert isinstance(part, Repeat | Named)
            turns = part.times if isinstance(part, Repeat) else 1
            if turns > MOST_MARKS:
                raise fault("too-large", f"more than {MOST_MARKS:,} places are marked {mark}", span)
            unit = part.places // turns
            for turn in range(turns):
                yield from _marked(part.parts, mark, at + turn * unit, span)
        at += part.places
