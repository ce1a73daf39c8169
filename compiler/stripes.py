"""Stripes: yarns that change from row to row, over and over, beside whatever else the rows do."""

from __future__ import annotations

from dataclasses import replace
from itertools import chain, cycle, islice, repeat
from math import lcm

from ..lang.syntax import Row
from .faults import fault
from .items import Items
from .plan import RowPlan

MOST_STRIPED = 100_000
"""Rows after which stripes have to come round again."""


Stripes = tuple[tuple[int, str], ...]
"""So many rows in a yarn, and so on in turn."""


def stripes_of(node: Row, items: Items) -> Stripes:
    """Return the stripes of a line, in one size; none if it has none. Raises Fault."""
    stripes, label = node.settings.stripes, node.label
    if not stripes:
        return ()
    if label.last is None and label.count is None and not label.until:
        raise fault(
            "stray-word",
            f"stripes change from {label.unit} to {label.unit}, and this line is one {label.unit}",
            stripes[1].span,
            help=f"write `with {stripes[0].yarn}`, or the stitches of each yarn in the {label.unit}: "
            f"`in sc: [2 {stripes[0].yarn}, 3 {stripes[1].yarn}] to end`",
        )
    known: list[tuple[int, str]] = []
    for stripe in stripes:
        items.check_yarn(stripe.yarn, stripe.span)
        yarn = items.scope.yarn(stripe.yarn)
        assert yarn is not None
        known.append((items.positive(stripe.rows, stripe.span), yarn))
    if not any(many for many, _ in known):
        raise fault("zero-count", "these stripes have no rows at all", stripes[0].span)
    return tuple(known)


def striped(rows: tuple[RowPlan, ...], stripes: Stripes, node: Row, times: int | None) -> tuple[RowPlan, ...]:
    """Return the rows worked in turn, in the yarns of their stripes. Raises Fault."""
    if not stripes:
        return rows
    many = lcm(len(rows), sum(many for many, _ in stripes))
    if times is not None:
        many = min(many, max(1, times))
    if many > MOST_STRIPED:
        raise fault(
            "too-large",
            f"these stripes come round again after {many:,} {node.label.unit}s, and no more than "
            f"{MOST_STRIPED:,} can be written out",
            node.settings.stripes[0].span,
        )
    yarns = chain.from_iterable(repeat(yarn, rows_of) for rows_of, yarn in cycle(stripes))
    return tuple(replace(row, yarn=yarn) for row, yarn in islice(zip(cycle(rows), yarns), many))
