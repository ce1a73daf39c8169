"""Rows one after another, as one statement asks for them; those that are like the one before count as one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import chain, takewhile

from ..lang.diagnostics import Diagnostic, Fix, Label
from ..lang.syntax import RepeatRows
from .counted import Block, CountedRow
from .cycles import MOST_ROWS, in_turn, merged, too_many_rows
from .fabric import Edge
from .faults import Fault, plural
from .makes import places_used
from .plan import RowPlan, Shaping, Stretch
from .planned import Active, Planned, events, marks_named, most_evenly, planned
from .row import opened
from .shaped import chevron_row, round_of_shape, shaped_row
from .steps import BracketStep, Steps
from .totals import check_total, stated_ground
from .underway import PieceCount, counted_row, said_row
from .until import until


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
        rows, failed = until(stretch, stretch.until, state)
        if rows and rows[-1].plan.yarn != stretch.rows[-1].yarn:
            state.yarn = rows[-1].plan.yarn
    elif stretch.shaping is not None:
        rows, failed, changes = _worked(stretch, stretch.shaping, state)
    else:
        assert stretch.times is not None
        rows, failed = in_turn(stretch, stretch.times, state)
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
            return written(shaping.arm, lambda edge: chevron_row(row, edge, shaping, around=around))
        counts = shaping.counts[max(0, number - 1) : number + 1]
        key = (counts, shaping.trails[number : number + 1], number % 2)
        return written(key, lambda edge: round_of_shape(row, edge, shaping, number, around=around))

    def one(plan: RowPlan) -> bool:
        if striped:
            plan = replace(plan, yarn=yarn_of(state.number - first))
        counted, failed = counted_row(stretch, plan, state)
        if counted is not None:
            rows.append(counted)
        return failed

    around = state.plan.in_rounds
    begun_on = 0
    try:
        if shaping.shape:
            for number in range(times):
                if one(of_shape(number)):
                    return rows, True, ()
                _check_most(rows, stretch)
                if not (shaping.counts or striped) and number and rows[-1].before == rows[-1].after:
                    _go_on(rows, times - number - 1, state)
                    break
            return merged(rows), False, ()
        edge = read()
        begun_on = edge.places
        changes = planned(shaping, times, first, edge, turned=state.plan.turns)
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
        if shown.name == "too-few-places" and (most := most_evenly(changes, begun_on)) is not None:
            offered = f"write `-{most} evenly`, the most that there is room for"
            shown = replace(shown, help=offered if most else "")
        if shown.name == "too-few-places" and not shown.help:
            shown = replace(shown, help=_stop_before(row.unit, rows, state))
        state.diagnostics.append(shown.shifted(stretch.start))
        return rows, True, changes
    return merged(rows), False, changes


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
        raise Fault(too_many_rows(stretch))
