"""Rows one after another, as one statement asks for them; those that are like the one before count as one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import chain, takewhile

from ..lang.diagnostics import Diagnostic, Fix, Label
from ..lang.syntax import RepeatRows
from .counted import Block, CountedRow
from .fabric import Edge
from .faults import Fault, plural
from .finished import height_of_start, heights, rows_to
from .makes import places_used
from .plan import Limit, RowPlan, Shaping, Stretch
from .planned import Active, Planned, events, marks_named, planned
from .row import opened
from .shaped import chevron_row, round_of_shape, shaped_row
from .steps import BracketStep, Steps
from .totals import check_total, count_of, stated_ground
from .underway import PieceCount, counted_row, said_row

MOST_ROWS = 100_000
"""Rows of one stretch that differ from one another."""


def count_rows(stretch: Stretch, state: PieceCount) -> None:
    """Count the rows of a statement, and go on from the total that it states if they have a fault."""
    node = stretch.node
    if state.yarn is not None and stretch.times != 0:
        stretch = _going_on(stretch, state.yarn, state)
    if stretch.numbered and stretch.first is not None:
        if not state.adrift:
            _check_number(stretch, state)
        state.number = stretch.first
        state.adrift = False
    first = state.number
    if stretch.times == 0:
        state.parts.append(Block(stretch, (), first, 0))
        return
    if not stretch.rows or state.ground is None or (state.ground.unknown and _needs_more(stretch)):
        state.parts.append(Block(stretch, (), first, stretch.times or 0))
        state.number += stretch.times if stretch.times is not None else 1
        state.adrift = state.adrift or stretch.times is None
        state.ground = stated_ground(stretch.total, stretch, state)
        state.last = node.label.unit, state.number - 1
        return
    changes: tuple[Planned, ...] = ()
    if stretch.until is not None:
        state.adrift = state.ground.unknown or state.is_faulty(stretch)
        rows, failed = _until(stretch, stretch.until, state)
        if rows and rows[-1].plan.yarn != stretch.rows[-1].yarn:
            state.yarn = rows[-1].plan.yarn
    elif stretch.shaping is not None:
        rows, failed, changes = _worked(stretch, stretch.shaping, state)
    else:
        assert stretch.times is not None
        rows, failed = _in_turn(stretch, stretch.times, state)
    times = rows[0].times if len(rows) == 1 else sum(row.times for row in rows)
    state.now = ()
    state.parts.append(Block(stretch, tuple(rows), first, times, changes))
    if failed:
        state.number = first + (stretch.times or times or 1)
        state.adrift = state.adrift or stretch.times is None
        last_made = rows[-1] if rows and stretch.times == times else None
        state.ground = stated_ground(stretch.total, stretch, state, last_made)
        state.doubted = None
        state.guessed = state.guessed or not stretch.states_stitches
        state.last = node.label.unit, state.number - 1
    elif rows and stretch.total and not stretch.totals:
        # Where a total is wrong, that may be because the number of the last row is.
        state.adrift |= not check_total(stretch, stretch.total, rows[-1], state) and stretch.times != 1


def _going_on(stretch: Stretch, yarn: str, state: PieceCount) -> Stretch:
    """Return rows with the yarn at hand, if they go on with that of the row before them."""
    settings = stretch.node.settings
    goes_on = settings.yarn is None and not settings.stripes
    if goes_on and not isinstance(stretch.node.content, RepeatRows):
        return replace(stretch, rows=tuple(replace(row, yarn=yarn) for row in stretch.rows))
    state.yarn = None
    return stretch


def _needs_more(stretch: Stretch) -> bool:
    """Tell whether rows ask for more than the number of stitches, which is all that is known."""
    if stretch.shaping is not None and marks_named(stretch.shaping):
        return True
    return any(places_used(row.body) is None and not _only_stops(row.body) for row in stretch.rows)


def _only_stops(body: Steps) -> bool:
    """Tell whether what keeps the places used from being known are only stops that need a number."""
    for step in body:
        stop = getattr(step, "stop", None)
        if stop is not None:
            if stop.kind == "place":
                return False
            inner = step.body if isinstance(step, BracketStep) else ()
            if inner and places_used(inner) is None:
                return False
        elif places_used((step,)) is None and step.__class__.__name__ != "LeaveStep":
            return False
    return True


def _check_number(stretch: Stretch, state: PieceCount) -> None:
    label = stretch.node.label
    assert label.first is not None
    off, state.number_off = state.number_off, 0
    if label.first in (state.number, state.number - off):
        return
    state.number_off = label.first - state.number
    state.guessed = state.number_off > 0 and not stretch.states_stitches
    unit = label.unit
    if state.number == 1:
        message = f"the first {unit} is called {unit} {label.first}"
    else:
        message = f"{unit} {label.first} follows {unit} {state.number - 1}"
    right = (
        f"{label.unit} {state.number}"
        if label.last is None
        else (f"{label.unit}s {state.number}-{state.number + label.last - label.first}")
    )
    span = label.span.shifted(stretch.start)
    state.diagnostics.append(
        Diagnostic(
            "row-number",
            message,
            span,
            help=f"write `{right}`, or `next {unit}`, which never has to be renumbered",
            fix=Fix(f"write `{right}`", (Label(span, right),), safe=False),
            facts={"expected": state.number, "found": label.first},
        )
    )


def _in_turn(stretch: Stretch, times: int, state: PieceCount) -> tuple[list[CountedRow], bool]:
    """Count so many rows, worked in turn; like rows one after another become one entry."""
    rows: list[CountedRow] = []
    state.now = rows
    cycle = len(stretch.rows)
    # What such a row finds does not follow from the row before it alone.
    told_elsewhere = any(plan.elsewhere for plan in stretch.rows)
    done = 0
    seen: dict[tuple[int, Edge], int] = {}
    while done < times:
        if len(rows) > MOST_ROWS:
            state.diagnostics.append(_too_many_rows(stretch))
            return rows, True
        plan = stretch.rows[done % cycle]
        assert state.ground is not None
        ground = state.ground
        if cycle < times and not stretch.totals and state.accelerate and not told_elsewhere:
            key = (done % cycle, ground)
            skipped = _repeat_cycle(rows, seen[key], done, times) if key in seen else 0
            if skipped:
                done += skipped
                state.number += skipped
                state.last = plan.unit, state.number - 1
                seen.clear()
                continue
            seen[key] = done
        row, failed = counted_row(stretch, plan, state)
        if row is None or failed:
            if row is not None:
                rows.append(row)
            return rows, True
        rows.append(row)
        if stretch.totals and not check_total(stretch, stretch.totals[done], row, state):
            return _beyond_total(stretch, rows, state)
        done += 1
    return _merged(rows) if len(rows) > 1 else rows, False


def _beyond_total(
    stretch: Stretch, rows: list[CountedRow], state: PieceCount
) -> tuple[list[CountedRow], bool]:
    """Count the rows after one with a wrong total as if no totals stood there."""
    if state.doubted is None or len(stretch.rows) < len(stretch.totals):
        return rows, True
    done = len(rows)
    beyond = replace(state, ground=state.doubted, doubted=None, diagnostics=[], parts=[*state.parts])
    rest = replace(stretch, rows=stretch.rows[done:], totals=())
    more, failed = _in_turn(rest, len(rest.rows), beyond) if rest.rows else ([], False)
    if failed:
        return rows, True
    rows = [*rows, *more]
    state.number, state.last = beyond.number, beyond.last
    state.doubted = beyond.ground
    state.ground = stated_ground(stretch.total, stretch, state, rows[-1])
    return rows, False


def _worked(
    stretch: Stretch, shaping: Shaping, state: PieceCount
) -> tuple[list[CountedRow], bool, tuple[Planned, ...]]:
    """Count the rows of a `work`; those between two changes that are alike are counted once."""
    rows: list[CountedRow] = []
    state.now = rows
    assert stretch.times is not None
    row, first, times = stretch.rows[0], state.number, stretch.times
    changes: tuple[Planned, ...] = ()

    striped = len(stretch.rows) > 1

    def yarn_of(number: int) -> str | None:
        return stretch.rows[number % len(stretch.rows)].yarn

    def like_it(done: int, number: int) -> int:
        """Return how many rows up to a number are in the yarn of the last one done."""
        if not striped:
            return number - done
        alike = takewhile(lambda each: yarn_of(each) == yarn_of(done - 1), range(done, number))
        return sum(1 for _ in alike)

    def read() -> Edge:
        assert state.ground is not None
        return opened(row, state.ground, state.plan)[2]

    def written(key: object, write: Callable[[Edge], RowPlan]) -> RowPlan:
        """Return a row, the same for all rows and sizes that find and change the same."""
        assert state.ground is not None
        place = (id(stretch.node), state.ground, key)
        plain, known = state.memo.written.get(place, (None, None))
        if known is None or plain != row:
            known = replace(write(read()), in_all_sizes=True)
            state.memo.written[place] = (row, known)
        return known

    def shaped(active: Sequence[Active]) -> RowPlan:
        key = tuple(
            (change.spot, change.keep, amount, change.staggered and count % 2)
            for change, amount, count in active
        )
        return written(key, lambda edge: shaped_row(row, edge, shaping, active, around=around))

    def of_shape(number: int) -> RowPlan:
        if not shaping.counts:
            return written(shaping.arm, lambda edge: chevron_row(row, edge, shaping))
        counts = shaping.counts[max(0, number - 1) : number + 1]
        key = (counts, shaping.trails[number : number + 1], number % 2)
        return written(key, lambda edge: round_of_shape(row, edge, shaping, number))

    def one(plan: RowPlan) -> bool:
        if striped:
            plan = replace(plan, yarn=yarn_of(state.number - first))
        counted, failed = counted_row(stretch, plan, state)
        if counted is not None:
            rows.append(counted)
        return failed

    around = state.plan.in_rounds
    try:
        if shaping.shape:
            for number in range(times):
                if one(of_shape(number)):
                    return rows, True, ()
                _check_most(rows, stretch)
                if not (shaping.counts or striped) and number and rows[-1].before == rows[-1].after:
                    _go_on(rows, times - number - 1, state)
                    break
            return _merged(rows), False, ()
        changes = planned(shaping, times, first, read(), turned=state.plan.turns)
        ends = ((times, ()),)
        done = 0
        for number, active in chain(events(changes, first), ends):
            while done < number:
                ground = state.ground
                if one(shaped(())):
                    return rows, True, changes
                done += 1
                if state.ground == ground and state.accelerate:
                    alike = like_it(done, number)
                    _go_on(rows, alike, state)
                    done += alike
                _check_most(rows, stretch)
            if number < times:
                if one(shaped(active)):
                    return rows, True, changes
                done += 1
                _check_most(rows, stretch)
    except Fault as found:
        shown = found.diagnostic
        if rows or shown.name == "too-few-places":
            shown = replace(shown, notes=(*shown.notes, f"this is in {said_row(row.unit, state.number)}"))
        if shown.name == "too-few-places" and not shown.help:
            shown = replace(shown, help=_stop_before(row.unit, rows, state))
        state.diagnostics.append(shown.shifted(stretch.start))
        return rows, True, changes
    return _merged(rows), False, changes


def _stop_before(unit: str, rows: Sequence[CountedRow], state: PieceCount) -> str:
    """Return how far a shaping can go for which a row has too few stitches."""
    if not rows:
        return "there are too few stitches for it: begin with more, or leave it out"
    last = state.number - 1
    return f"stop it with {said_row(unit, last)}, which has {plural(rows[-1].stitches, 'stitch', 'stitches')}"


def _go_on(rows: list[CountedRow], times: int, state: PieceCount) -> None:
    """Add rows that are like the last one in all they find and make."""
    rows[-1] = replace(rows[-1], times=rows[-1].times + times)
    state.number += times
    state.last = rows[-1].plan.unit, state.number - 1


def _check_most(rows: list[CountedRow], stretch: Stretch) -> None:
    if len(rows) > MOST_ROWS:
        raise Fault(_too_many_rows(stretch))


def _repeat_cycle(rows: list[CountedRow], since: int, done: int, times: int) -> int:
    """Add what follows if rows go on as they did since an equal edge; return how many rows that is."""
    period = done - since
    cycles = (times - done) // period
    if not cycles:
        return 0
    if period == 1:
        last = rows[-1]
        rows[-1] = replace(last, times=last.times + cycles)
        return cycles
    if cycles * period > MOST_ROWS:
        cycles = MOST_ROWS // period
    again = rows[-period:]
    for turn in range(cycles):
        rows.extend(replace(row, number=row.number + (turn + 1) * period) for row in again)
    return cycles * period


def _merged(rows: list[CountedRow]) -> list[CountedRow]:
    """Make one entry of rows that follow each other and are the same in all that is kept of them."""
    merged: list[CountedRow] = []
    for row in rows:
        last = merged[-1] if merged else None
        if last is not None and replace(row, number=last.number, times=last.times) == last:
            merged[-1] = replace(last, times=last.times + row.times)
        else:
            merged.append(row)
    return merged


def _until(stretch: Stretch, limit: Limit, state: PieceCount) -> tuple[list[CountedRow], bool]:
    if limit.length is not None:
        return _until_long(stretch, limit, state)
    rows: list[CountedRow] = []
    state.now = rows
    seen: dict[tuple[int, Edge], int] = {}
    cycle = len(stretch.rows)
    previous = begun = _count_before(limit, state)

    def missed(why: str) -> tuple[list[CountedRow], bool]:
        state.diagnostics.append(_never_reached(stretch, limit, rows, why))
        return rows, True

    while True:
        plan = stretch.rows[len(rows) % cycle]
        assert state.ground is not None
        key = (len(rows) % cycle, state.ground)
        if key in seen or len(rows) > MOST_ROWS:
            counts = {count_of(limit.kind, row) for row in rows}
            return missed(
                f"each of them has {counts.pop()}" if len(counts) == 1 else "the count comes round again"
            )
        seen[key] = len(rows)
        row, failed = counted_row(stretch, plan, state)
        if row is None or failed:
            return rows, True
        rows.append(row)
        have = count_of(limit.kind, row)
        if have == limit.count:
            return _merged(rows), False
        if previous is not None and (previous - limit.count) * (have - limit.count) < 0:
            return missed(f"it passes from {previous} to {have}")
        if begun is not None and len(rows) == cycle and _goes_away(begun, have, limit.count):
            already = f"there are {begun} already" if begun == limit.count else f"{begun} is past it already"
            return missed(f"{already} before these rows, and they go on to {have}")
        previous = have


def _until_long(stretch: Stretch, limit: Limit, state: PieceCount) -> tuple[list[CountedRow], bool]:
    """Count rows up to a length of the piece, to the nearest row, by the gauges of their stitches."""
    from ..lang.measures import in_both

    assert limit.length is not None
    there, unit = state.number - 1, stretch.node.label.unit
    known = heights(list(state.rows()), limit.gauges)
    by = limit.gauges.others or limit.gauges.first
    assert by is not None
    known.append((by.height(1), there - sum(times for _, times in known)))
    wanted = Fraction(limit.length) - height_of_start(state.plan, limit.gauges)
    enough, left = rows_to(wanted, known)
    more = _more_rows(stretch, limit, left, state) if enough == there else 0
    if more:
        return _in_turn(stretch, more, state)
    if more is None:
        why = f"these {unit}s are slip stitches alone, which add no height"
        help_ = f"write how many {unit}s there are, such as `next 4 {unit}s`"
    else:
        come_to = f"{in_both(limit.length)} come to {plural(enough, unit)} by the gauge"
        why = f"{come_to}, and there are {there} already"
        help_ = f"leave this line out, or write a length of more than {plural(there, unit)}"
    state.diagnostics.append(
        Diagnostic(
            "until-missed",
            why,
            limit.span.shifted(stretch.start),
            help=help_,
            facts={"expected": enough, "found": there},
        )
    )
    return [], True


def _more_rows(stretch: Stretch, limit: Limit, left: Fraction, state: PieceCount) -> int | None:
    """Return how many rows what is left of a length comes to; None if they never come to it.

    One turn of the rows is tried out for their heights. If it has a fault, it is to be worked as it is.
    """
    trial = replace(state, parts=list(state.parts), diagnostics=[], now=())
    rows, failed = _in_turn(replace(stretch, totals=()), len(stretch.rows), trial)
    of_turn = heights(rows, limit.gauges)
    turn = sum((high * times for high, times in of_turn), Fraction(0))
    if failed:
        return len(stretch.rows)
    if left > 0 and not turn:
        return None
    turns = max(0, int(left / turn)) if turn else 0
    return turns * len(stretch.rows) + rows_to(left - turns * turn, of_turn)[0]


def _count_before(limit: Limit, state: PieceCount) -> int | None:
    """Return what the row before has of what is counted; None if that is not known."""
    rows = next((part.rows for part in reversed(state.parts) if isinstance(part, Block) and part.times), ())
    return count_of(limit.kind, rows[-1]) if rows else None


def _goes_away(begun: int, have: int, wanted: int) -> bool:
    """Tell whether a count has gone further from the wanted one, on the side where it began."""
    return abs(have - wanted) > abs(begun - wanted) and (have - wanted) * (begun - wanted) >= 0


def _never_reached(stretch: Stretch, limit: Limit, rows: list[CountedRow], why: str) -> Diagnostic:
    counts = [count_of(limit.kind, row) for row in rows[-3:]]
    said = limit.said or "stitches"
    return Diagnostic(
        "until-missed",
        f"these rows never come to {limit.count} {said}: {why}",
        limit.span.shifted(stretch.start),
        notes=(f"the last counts were {', '.join(map(str, counts))}",) if counts else (),
        help=f"write a number that is reached, such as `until {counts[-1]} {limit.said or 'st'}`"
        if counts
        else "",
        facts={"expected": limit.count, "found": counts[-1] if counts else 0},
    )


def _too_many_rows(stretch: Stretch) -> Diagnostic:
    return Diagnostic(
        "too-large",
        f"more than {MOST_ROWS:,} rows of this stretch differ from one another",
        stretch.node.label.span.shifted(stretch.start),
        help="write fewer rows",
    )
