"""Rows that go on until a count or a length is reached."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from ..lang.diagnostics import Diagnostic
from .counted import Block, CountedRow
from .cycles import MOST_ROWS, in_turn, merged
from .fabric import Edge
from .faults import plural
from .finished import height_of_start, heights, rows_to
from .plan import Limit, Stretch
from .totals import count_of
from .underway import PieceCount, counted_row


def until(stretch: Stretch, limit: Limit, state: PieceCount) -> tuple[list[CountedRow], bool]:
    """Count rows up to the limit; return them, and whether they have a fault."""
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
            return merged(rows), False
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
        return in_turn(stretch, more, state)
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
    rows, failed = in_turn(replace(stretch, totals=()), len(stretch.rows), trial)
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
