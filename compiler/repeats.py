"""Rows that repeat rows before them."""

from __future__ import annotations

from dataclasses import replace

from ..lang.source import Span
from ..lang.syntax import Body, RepeatRows, Row, Settings
from .faults import Fault, HeldBack, fault
from .pieces import PieceState
from .plan import RowPlan
from .rowplans import MOST_ROWS_BY_RULE, RowPlans, too_many_by_rule
from .turning import opening_of


def repeated_rows(
    plans: RowPlans, piece: PieceState, node: Row, content: RepeatRows, first: int | None, times: int | None
) -> tuple[RowPlan, ...]:
    """Return the rows worked in turn where a line repeats rows of its piece. Raises Fault."""
    if content.back is not None:
        recent = piece.recent()
        if content.back == 0 or content.back > len(recent):
            have = len(recent)
            raise fault(
                "unknown-row",
                f"the last {content.back} rows are asked for, but only {have} stand before this one",
                content.span,
                help="repeat rows that are there already",
            )
        rows = recent[-content.back :]
    else:
        assert content.first is not None
        last = content.last if content.last is not None else content.first
        if last < content.first or last - content.first > MOST_ROWS_BY_RULE:
            raise fault("unknown-row", "these are no rows to repeat", content.span)
        rows = [_row_by_number(number, content, piece) for number in range(content.first, last + 1)]
    if any(row is None for row in rows):
        return ()
    repeated = tuple(row for row in rows if row is not None)
    if not all(row.written for row in repeated):
        raise fault(
            "unknown-row",
            "rows that `work` writes can't be repeated",
            content.span,
            help="go on with another `work`, or give the one above more rows",
        )
    if any(row.elsewhere is not None and row.elsewhere.into is not None for row in repeated):
        repeated = _into_later(piece, repeated, content, first, times)
    if times != 0 and any(row.by_number for row in repeated):
        repeated = _renumbered(plans, piece, repeated, content.span, first, times)
    elif piece.node.manner.startswith("turned") and any(row.charted for row in repeated):
        repeated = _turned(plans, piece, repeated, content.span, first)
    settings = node.settings
    if settings.stitch is not None:
        raise fault(
            "stray-word",
            "the rows that are repeated have their stitch already",
            node.label.span,
            help=f"take out `in {settings.stitch}`",
        )
    if settings.yarn is not None:
        plans.items.check_yarn(settings.yarn, settings.yarn_span)
    if settings != Settings():
        repeated = tuple(_with_settings(plans, piece, row, settings, node.label.span) for row in repeated)
    return repeated


def _turned(
    plans: RowPlans, piece: PieceState, rows: tuple[RowPlan, ...], span: Span, first: int | None
) -> tuple[RowPlan, ...]:
    """Return rows with charts read from the side that faces when they are worked again."""
    if first is None:
        raise fault(
            "row-number",
            "which side faces here is not known, and charts are read from alternate sides",
            span,
            help="write how many rows there are before this one",
        )
    turned = []
    # An odd number of rows meets the other side each time: twice as many come round again.
    for index, row in enumerate(rows if len(rows) % 2 == 0 else (*rows, *rows)):
        side = piece.side(first + index)
        if row.charted is not None and row.charted.side != side:
            node = row.charted.node
            assert isinstance(node.content, Body)
            again = plans.row_plan(piece, node, node.content, replace(row.charted, side=side))
            row = replace(again, yarn=row.yarn, side=None)
        turned.append(row)
    return tuple(turned)


def _renumbered(
    plans: RowPlans,
    piece: PieceState,
    rows: tuple[RowPlan, ...],
    span: Span,
    first: int | None,
    times: int | None,
) -> tuple[RowPlan, ...]:
    """Return rows worked in turn that reckon with their number, each with the number it now has."""
    if first is None or times is None:
        raise fault("unknown-name", "`row` has no number here: how many rows there are is not known", span)
    if times > MOST_ROWS_BY_RULE:
        raise too_many_by_rule(span)
    numbered = []
    try:
        for number in range(first, first + times):
            row = rows[(number - first) % len(rows)]
            if row.by_number is not None:
                assert isinstance(row.by_number.content, Body)
                plans.items.arithmetic.row = number
                row = replace(plans.row_plan(piece, row.by_number, row.by_number.content), yarn=row.yarn)
            numbered.append(row)
    except HeldBack:
        raise
    except Fault as found:
        shown = found.diagnostic
        raise fault(
            shown.name, f"as row {plans.items.arithmetic.row}: {shown.message}", span, help=shown.help
        ) from None
    finally:
        plans.items.arithmetic.row = None
    return tuple(numbered)


def _with_settings(
    plans: RowPlans, piece: PieceState, row: RowPlan, settings: Settings, span: Span
) -> RowPlan:
    return replace(
        row,
        side=settings.side or row.side,
        yarn=row.yarn if settings.yarn is None else plans.items.scope.yarn(settings.yarn),
        loop=settings.loop or row.loop,
        reads_chains=settings.chains_count or row.reads_chains,
        elsewhere=plans.elsewhere(piece, settings, span) or row.elsewhere,
        opening=opening_of(row.body, settings, piece.node, plans.items.scope)
        if settings.turning_chain
        else row.opening,
    )


def _into_later(
    piece: PieceState, rows: tuple[RowPlan, ...], content: RepeatRows, first: int | None, times: int | None
) -> tuple[RowPlan, ...]:
    """Return rows that go into older ones as they do so again: as far back as at first."""
    there = content.first if content.first is not None else (piece.next_number or 0) - (content.back or 0)
    if first is None or times is None or piece.next_number is None:
        raise fault(
            "row-number",
            "which older row is meant here is not known, because the rows before have no numbers",
            content.span,
            help="write how many rows there are before this one",
        )
    if times > MOST_ROWS_BY_RULE:
        raise too_many_by_rule(content.span)
    later = []
    for index in range(times):
        row = rows[index % len(rows)]
        if row.elsewhere is not None and row.elsewhere.into is not None:
            on = first + index - (there + index % len(rows))
            row = replace(row, elsewhere=replace(row.elsewhere, into=row.elsewhere.into + on))
        later.append(row)
    return tuple(later)


def _row_by_number(number: int, content: RepeatRows, piece: PieceState) -> RowPlan | None:
    for first, times, rows in piece.numbered():
        if first <= number < first + times:
            return rows[(number - first) % len(rows)] if rows else None
    if piece.misnumbered:
        raise HeldBack
    raise fault(
        "unknown-row",
        f"there is no row {number} to repeat",
        content.span,
        help="repeat rows of this piece that stand above this line",
    )
