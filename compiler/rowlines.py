"""A line of rows, to the stretch of rows that it asks for."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress

from ..lang.syntax import Body, RepeatRows, Row, Statement, Work
from .faults import Fault, fault
from .pieces import PieceState
from .plan import CheckedTotal, Limit, RowPlan, Shaping, Stretch
from .repeats import repeated_rows
from .rowplans import RowPlans
from .salvage import legible, other_names
from .stated import limit_of, times_of, totals_of
from .stripes import Stripes, striped, stripes_of

Report = Callable[[Fault, int], None]
"""Takes a fault whose places are offsets from the start of a statement, and that start."""


def stretch_of(
    plans: RowPlans, piece: PieceState, node: Row, statement: Statement, first: int | None, report: Report
) -> Stretch:
    """Return what a line of rows asks for, as far as it comes out; what does not is handed to `report`."""
    times: int | None = None
    rows: tuple[RowPlan, ...] = ()
    until: Limit | None = None
    shaping: Shaping | None = None
    stripes: Stripes = ()
    try:
        times = times_of(node, plans.items)
        if isinstance(node.content, RepeatRows) and node.content.limit is not None:
            until = limit_of(node.content, plans.items)
        elif node.label.until and not isinstance(node.content, Work):
            raise fault(
                "stray-word",
                f"`next {node.label.unit}s` does not say how many",
                node.label.span,
                help=f"write `next 4 {node.label.unit}s`, or end the line with `until 31 st`",
            )
        if isinstance(node.content, Work):
            shaping, times = plans.shaping(node, node.content, times)
        stripes = stripes_of(node, plans.items)
        rows = striped(_rows(plans, piece, node, statement, first, times), stripes, node, times)
    except Fault as found:
        report(found, statement.start)
        if isinstance(node.content, Body):
            for other in other_names(plans.items, node.content, found, first):
                report(Fault(other), statement.start)
    total: tuple[CheckedTotal, ...] = ()
    totals: tuple[tuple[CheckedTotal, ...], ...] = ()
    try:
        total, totals = totals_of(plans, node, first, times)
    except Fault as found:
        report(found, statement.start)
    numbered = node.label.first is not None
    return Stretch(
        node, statement.start, first, times, rows, total, totals, until, numbered, shaping, stripes
    )


def _rows(
    plans: RowPlans,
    piece: PieceState,
    node: Row,
    statement: Statement,
    first: int | None,
    times: int | None,
) -> tuple[RowPlan, ...]:
    match node.content:
        case RepeatRows():
            return repeated_rows(plans, piece, node, node.content, first, times)
        case Work():
            return (plans.work_row(piece, node, node.content),)
        case Body():
            return plans.body_rows(piece, node, node.content, statement, first, times)


def unread_stretch(plans: RowPlans, piece: PieceState, statement: Statement) -> Stretch:
    """Return the numbers and the total of a row that can't be read: the rows after it go on from them."""
    node = legible(statement)
    first = node.label.first if node.label.first is not None else piece.next_number
    times: int | None = None
    total: tuple[CheckedTotal, ...] = ()
    totals: tuple[tuple[CheckedTotal, ...], ...] = ()
    with suppress(Fault):
        times = times_of(node, plans.items)
        total, totals = totals_of(plans, node, first, times)
    numbered = node.label.first is not None
    return Stretch(node, statement.start, first, times, (), total, totals, numbered=numbered)
