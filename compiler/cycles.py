"""Rows worked in turn, one after another; those that are like the one before count as one."""

from __future__ import annotations

from dataclasses import replace

from ..lang.diagnostics import Diagnostic
from .counted import CountedRow
from .fabric import Edge
from .plan import Stretch
from .totals import check_total, stated_ground
from .underway import PieceCount, counted_row

MOST_ROWS = 100_000
"""Rows of one stretch that differ from one another."""


def in_turn(stretch: Stretch, times: int, state: PieceCount) -> tuple[list[CountedRow], bool]:
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
            state.diagnostics.append(too_many_rows(stretch))
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
    return merged(rows) if len(rows) > 1 else rows, False


def _beyond_total(
    stretch: Stretch, rows: list[CountedRow], state: PieceCount
) -> tuple[list[CountedRow], bool]:
    """Count the rows after one with a wrong total as if no totals stood there."""
    if state.doubted is None or len(stretch.rows) < len(stretch.totals):
        return rows, True
    done = len(rows)
    beyond = replace(state, ground=state.doubted, doubted=None, diagnostics=[], parts=[*state.parts])
    rest = replace(stretch, rows=stretch.rows[done:], totals=())
    more, failed = in_turn(rest, len(rest.rows), beyond) if rest.rows else ([], False)
    if failed:
        return rows, True
    rows = [*rows, *more]
    state.number, state.last = beyond.number, beyond.last
    state.doubted = beyond.ground
    state.ground = stated_ground(stretch.total, stretch, state, rows[-1])
    return rows, False


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


def merged(rows: list[CountedRow]) -> list[CountedRow]:
    """Make one entry of rows that follow each other and are the same in all that is kept of them."""
    merged: list[CountedRow] = []
    for row in rows:
        last = merged[-1] if merged else None
        if last is not None and replace(row, number=last.number, times=last.times) == last:
            merged[-1] = replace(last, times=last.times + row.times)
        else:
            merged.append(row)
    return merged


def too_many_rows(stretch: Stretch) -> Diagnostic:
    return Diagnostic(
        "too-large",
        f"more than {MOST_ROWS:,} rows of this stretch differ from one another",
        stretch.node.label.span.shifted(stretch.start),
        help="write fewer rows",
    )
