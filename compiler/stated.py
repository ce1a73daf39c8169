"""What a line states of its rows: how many they are, their totals, the count to go on until."""

from __future__ import annotations

from ..lang.source import Span
from ..lang.syntax import Fitted, RepeatRows, Row, Tally, Value
from .faults import HeldBack, fault
from .items import Items
from .names import ALL_STITCHES
from .plan import CheckedTotal, Limit
from .rowplans import MOST_ROWS_BY_RULE, RowPlans


def times_of(node: Row, items: Items) -> int | None:
    """Return how many rows a line writes; None if `until` or a measure decides. Raises Fault."""
    label = node.label
    if label.until:
        return None
    if label.count is not None:
        return items.positive(label.count, label.span)
    if label.last is not None:
        assert label.first is not None
        if label.last < label.first:
            raise fault(
                "row-number",
                f"the last number, {label.last}, is less than the first, {label.first}",
                label.span,
                help="write the smaller number first",
            )
        return label.last - label.first + 1
    return 1


def totals_of(
    plans: RowPlans, node: Row, first: int | None, times: int | None
) -> tuple[tuple[CheckedTotal, ...], tuple[tuple[CheckedTotal, ...], ...]]:
    """Return the total of the last row, and one a row where it depends on the number. Raises Fault."""
    if not node.total:
        return (), ()
    known = plans.shared.totals.get(id(node))
    if known is not None:
        return known[1], ()
    items, arithmetic = plans.items, plans.items.arithmetic
    varied, by_row = arithmetic.varied, arithmetic.by_row
    arithmetic.row = first if first is None or times is None else first + times - 1
    try:
        total = tuple(_checked(part, items) for part in node.total)
        if arithmetic.by_row == by_row or first is None or not times:
            if arithmetic.by_row == by_row and arithmetic.varied == varied and arithmetic.sizes > 1:
                plans.shared.totals[id(node)] = node, total
            return total, ()
        totals = []
        for number in range(first, first + min(times, MOST_ROWS_BY_RULE)):
            arithmetic.row = number
            totals.append(tuple(_checked(part, items) for part in node.total))
        return total, tuple(totals)
    finally:
        arithmetic.row = None


def _checked(part: Tally, items: Items) -> CheckedTotal:
    count = items.arithmetic.count(part.count)
    if part.name is None or part.name.casefold() in ALL_STITCHES:
        return CheckedTotal("", count, "", part.span)
    return CheckedTotal(items.kind(part.name, part.span), count, part.name, part.span)


def _length_of(value: Value, span: Span, items: Items) -> Limit:
    """Return the length that rows go on until, and the gauges that measure them. Raises Fault."""
    from ..lang.measures import convert

    quantity = items.arithmetic.evaluate(value)
    if quantity.unit is None or quantity.unit in ("g", "oz"):
        raise fault(
            "unit-mismatch",
            "`until` wants a length or a count with its name",
            span,
            help="write `until 20 cm`, or `until 31 st`",
        )
    gauges = items.arithmetic.measuring()
    if not gauges and gauges.incomplete:
        raise HeldBack
    if not gauges:
        raise fault(
            "missing-header",
            "`until` with a length needs a gauge",
            span,
            help="add a line such as `gauge 16 st, 18 rows = 10 cm in sc`",
            facts={"line": "gauge"},
        )
    # No count of rows may be too large, however low they are.
    items.arithmetic.count(Fitted("rows", value, None, span))
    length = convert(quantity.number, quantity.unit, "cm")
    return Limit("rows", 0, "rows", span, length, gauges)


def limit_of(content: RepeatRows, items: Items) -> Limit:
    """Return the count that a repeat goes on until. Raises Fault."""
    assert content.limit is not None
    if content.limit_name is None:
        return _length_of(content.limit, content.span, items)
    count = items.arithmetic.count(content.limit)
    if content.limit_name.casefold() in ALL_STITCHES:
        return Limit("", count, "", content.span)
    return Limit(items.kind(content.limit_name, content.span), count, content.limit_name, content.span)
