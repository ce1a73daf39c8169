"""The lines `gauge`, worked out in one size."""

from __future__ import annotations

from fractions import Fraction

from ..lang.diagnostics import Diagnostic
from ..lang.measures import LENGTHS, Gauge, convert
from ..lang.syntax import Gauge as GaugeLine
from ..lang.syntax import Number, StitchDefinition, Value
from .faults import Fault, HeldBack, fault
from .gauges import PATTERN, Gauges
from .items import Items
from .names import ALL_STITCHES
from .values import Arithmetics


def gauges_of(items: Items) -> tuple[Gauges, list[Diagnostic]]:
    """Return the gauges of a pattern in the size at hand, and what is wrong with their lines.

    They are worked out without one another: no number in them can hang on a gauge.
    """
    scope, at_hand = items.scope, items.arithmetic
    arithmetic = Arithmetics(at_hand.size, at_hand.sizes, scope.lets, size_names=at_hand.size_names)
    found: list[tuple[str, Gauge]] = []
    faults: list[Diagnostic] = []
    incomplete = False
    for statement in scope.gauges:
        node = statement.node
        assert isinstance(node, GaugeLine)
        try:
            found.append((node.name, _gauge(node, items, arithmetic)))
        except Fault as wrong:
            incomplete = True
            if not isinstance(wrong, HeldBack):
                faults.append(wrong.diagnostic.shifted(statement.start))
    return Gauges(tuple(found), incomplete, vary=arithmetic.varied > 0), faults


def _gauge(node: GaugeLine, items: Items, arithmetic: Arithmetics) -> Gauge:
    own = _own_name(node.name, items)
    if own is None and node.name.casefold() != PATTERN:
        stitch = items.stitch(node.name, node.name_span).key
    else:
        stitch = own or PATTERN
    counted = ""
    if node.counted.casefold() not in ALL_STITCHES:
        counted = _own_name(node.counted, items) or ""
        if not counted or counted != own:
            raise _not_counted(node, own)
    across = _length(node.length, arithmetic)
    up = across if node.rows_length is None else _length(node.rows_length, arithmetic)
    return Gauge(
        _above_0(node.stitches, arithmetic),
        _above_0(node.rows, arithmetic),
        across,
        stitch,
        counted=counted,
        is_own=own is not None,
        rows_length=up,
    )


def _own_name(name: str, items: Items) -> str | None:
    """Return the name of a stitch of the author's own as it is defined; None if there is none."""
    definition = items.scope.definitions.get(name.casefold())
    return definition.node.name if definition and isinstance(definition.node, StitchDefinition) else None


def _above_0(value: Value, arithmetic: Arithmetics) -> Fraction:
    quantity = arithmetic.evaluate(value)
    if quantity.unit is not None:
        raise fault(
            "unit-mismatch",
            f"this is a measurement in {quantity.unit}, where a number of stitches or rows is wanted",
            value.span,
            help="write a gauge such as `gauge 16 st, 18 rows = 10 cm in sc`",
        )
    if quantity.number <= 0:
        raise _nothing(value)
    return Fraction(quantity.number)


def _length(number: Number, arithmetic: Arithmetics) -> Fraction:
    quantity = arithmetic.evaluate(number)
    if quantity.unit not in LENGTHS:
        raise fault(
            "unit-mismatch",
            f"a gauge is told to a length, and {quantity.unit} measures none",
            number.span,
            help="give it a unit such as `cm`",
        )
    if quantity.number <= 0:
        raise _nothing(number)
    return convert(quantity.number, quantity.unit, "cm")


def _nothing(value: Value) -> Fault:
    return fault(
        "zero-count",
        "a gauge of 0 measures nothing",
        value.span,
        help="work a swatch and count it out: `gauge 16 st, 18 rows = 10 cm in sc`",
    )


def _not_counted(node: GaugeLine, own: str | None) -> Fault:
    write = f"count stitches, `16 st`, or the stitch that it is in, `5 {own}`" if own else "count `st`"
    return fault(
        "unknown-stitch",
        f"a gauge in {node.name} can't count {node.counted}",
        node.counted_span,
        help=f"{write}; one of your own is counted in its own gauge: `5 shell, 8 rows = 10 cm in shell`",
    )
