"""Arithmetic: what a value comes to in one size and one row."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ..lang.diagnostics import Diagnostic
from ..lang.source import Span
from ..lang.syntax import Arithmetic, BodyFit, Fitted, Let, NameValue, Number, RowNumber, Value
from .faults import Fault, HeldBack, fault
from .gauges import NO_GAUGES, Gauges

if TYPE_CHECKING:
    from decimal import Decimal
    from fractions import Fraction


LARGEST = 10**15
"""No count in a pattern may pass this."""


DEEPEST = 64
"""Definitions that hang on one another."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number, plain or of a unit."""

    number: int | Decimal | Fraction
    unit: str | None = None


@dataclass(slots=True)
class Arithmetics:
    """What values may refer to in one size."""

    size: int
    sizes: int
    """How many sizes the pattern has; 1 if it names none."""
    lets: Mapping[str, Let | BodyFit]
    gauges: Gauges = NO_GAUGES
    size_names: tuple[str, ...] = ()
    row: int | None = None
    """The number of the row at hand."""
    varied: int = 0
    """How many values were met so far that differ from size to size."""
    by_row: int = 0
    """How often the number of the row was asked for so far."""
    broken: dict[str, Diagnostic | None] = field(default_factory=dict)
    """The `let`s that do not come out, by name with case folded: what is wrong, its places offsets into the
    `let`; None where that hangs on another one."""
    working: set[str] = field(default_factory=set)
    """The `let`s being worked out."""
    known: dict[str, tuple[Quantity, bool]] = field(default_factory=dict)
    """What `let`s come to, and whether that differs from size to size."""

    def count(self, value: Value) -> int:
        """Return the whole number that `value` comes to, 0 at least.

        Raises Fault where it is none, or does not come out.
        """
        if type(value) is Number and value.unit is None:
            number: int | Decimal | Fraction = self._of_size(value)
        else:
            quantity = self.evaluate(value)
            if quantity.unit is not None:
                raise fault(
                    "unit-mismatch",
                    f"this is a measurement in {quantity.unit}, where a count is wanted",
                    value.span,
                    help="turn it into stitches or rows: `stitches(20 cm)`, `rows(10 cm)`",
                )
            number = quantity.number
        whole = int(number)
        if whole != number:
            raise fault("not-whole", f"this comes to {number}, which is not a whole number", value.span)
        if whole < 0:
            raise fault(
                "not-whole",
                f"this comes to {whole}, and a count can't be less than 0",
                value.span,
                help="write a sum that comes to 0 or more in every size",
            )
        if whole > LARGEST:
            raise fault("too-large", f"this comes to {whole}, and no count may pass {LARGEST:,}", value.span)
        return whole

    def evaluate(self, value: Value) -> Quantity:
        """Return what `value` comes to. Raises Fault where it does not come out."""
        match value:
            case Number():
                return Quantity(self._of_size(value), value.unit)
            case NameValue(name, span):
                return self._let(name, span)
            case RowNumber(span):
                if self.row is None:
                    raise fault(
                        "unknown-name",
                        "`row` has no number here",
                        span,
                        help="`row` stands for the number of a row: it can be used in rows that are numbered",
                    )
                self.by_row += 1
                return Quantity(self.row)
            case Arithmetic(operator, left, right, span):
                return _combined(operator, self.evaluate(left), self.evaluate(right), span)
            case Fitted():
                return self._fitted(value)

    def _of_size(self, number: Number) -> int | Decimal:
        values = number.values
        if len(values) == 1:
            return values[0]
        if len(values) != self.sizes:
            raise _wrong_number_of_sizes(len(values), self.sizes, number.span)
        self.varied += 1
        return values[self.size]

    def _let(self, name: str, span: Span) -> Quantity:
        key = name.casefold()
        let = self.lets.get(key)
        if let is None:
            from difflib import get_close_matches

            near = [self.lets[each].name for each in get_close_matches(name.casefold(), self.lets, n=4)]
            offer = (
                f"write {' or '.join(f'`{each}`' for each in near)}"
                if near
                else f"define it: `let {name} = 8`"
            )
            facts = {"word": name, "meant": near[0]} if near else {}
            raise fault("unknown-name", f"no `let` is called `{name}`", span, help=offer, facts=facts)
        if key in self.known:
            quantity, varies = self.known[key]
            self.varied += varies
            return quantity
        if key in self.working:
            raise fault("unknown-name", f"`{name}` is defined by itself", span, help="give it a number")
        if key in self.broken:
            raise HeldBack
        if len(self.working) >= DEEPEST:
            raise fault("too-large", f"more than {DEEPEST} `let`s hang on one another", span)
        varied = self.varied
        self.working.add(key)
        try:
            quantity = self.fitted_to(let) if isinstance(let, BodyFit) else self.evaluate(let.value)
            self.known[key] = (quantity, self.varied > varied)
            return quantity
        except HeldBack:
            self.broken.setdefault(key, None)
            raise
        except Fault as found:
            self.broken[key] = found.diagnostic
            raise HeldBack from None
        finally:
            self.working.remove(key)

    def measuring(self) -> Gauges:
        """Return the gauges to measure by: what is worked out by them varies as they do."""
        self.varied += self.gauges.vary
        return self.gauges

    def fitted_to(self, fit: BodyFit) -> Quantity:
        """Return what the work measures that fits a part of the body. Raises Fault if that is not known."""
        body = self.body(fit)
        if fit.ease is None:
            return body
        return _combined("-" if fit.less else "+", body, self.evaluate(fit.ease), fit.span)

    def body(self, fit: BodyFit) -> Quantity:
        """Return what a part of the body measures. Raises Fault where that is not known."""
        from .fits import part_of, size_of

        part = part_of(fit)
        if fit.measure is None:
            self.varied += self.sizes > 1
            return Quantity(size_of(fit, part, self.size, self.size_names).cm, "cm")
        quantity = self.evaluate(fit.measure)
        if quantity.unit is None or quantity.unit in ("g", "oz"):
            raise fault(
                "unit-mismatch", "a length is wanted here", fit.measure.span, help="give it a unit: `50 cm`"
            )
        return quantity

    def _fitted(self, value: Fitted) -> Quantity:
        from ..lang.measures import convert, fitted

        length = self.evaluate(value.measure)
        if length.unit is None or length.unit in ("g", "oz"):
            raise fault(
                "unit-mismatch",
                f"`{value.function}(...)` wants a length",
                value.span,
                help=f"give the length a unit: `{value.function}(20 cm)`",
            )
        gauges = self.measuring()
        gauge = gauges.first if value.stitch is None else gauges.named(value.stitch)
        if gauge is None and gauges.incomplete:
            raise HeldBack
        if gauge is None and gauges:
            raise fault(
                "missing-header",
                f"there is no gauge in {value.stitch}",
                value.stitch_span,
                help=f"add a line such as `gauge 16 st, 18 rows = 10 cm in {value.stitch}`; "
                f"there are gauges in {', '.join(gauges.names)}",
            )
        if gauge is None:
            raise fault(
                "missing-header",
                f"`{value.function}(...)` needs a gauge",
                value.span,
                help="add a line such as `gauge 16 st, 18 rows = 10 cm in sc`",
                facts={"line": "gauge"},
            )
        in_cm = convert(length.number, length.unit, "cm")
        exact = gauge.stitches_in(in_cm) if value.function == "stitches" else gauge.rows_in(in_cm)
        return Quantity(fitted(exact, value.fit))


def _alike(left: Quantity, right: Quantity) -> tuple[Quantity, Quantity]:
    """Return both as fractions if one of them is: fractions and decimals do not go together."""
    from fractions import Fraction

    if not (isinstance(left.number, Fraction) or isinstance(right.number, Fraction)):
        return left, right
    return Quantity(Fraction(left.number), left.unit), Quantity(Fraction(right.number), right.unit)


def _combined(operator: str, left: Quantity, right: Quantity, span: Span) -> Quantity:
    if operator in ("+", "-") and left.unit != right.unit:
        right = _in_unit_of(left, right, span)
    left, right = _alike(left, right)
    if operator in ("+", "-"):
        number = left.number + right.number if operator == "+" else left.number - right.number  # type: ignore[operator]
        return Quantity(number, left.unit)
    if operator == "*":
        if left.unit and right.unit:
            raise fault("unit-mismatch", "two measurements can't be multiplied", span)
        return Quantity(left.number * right.number, left.unit or right.unit)  # type: ignore[operator]
    if right.unit is not None or right.number == 0:
        raise fault("not-whole", "`div` wants a plain number other than 0 after it", span)
    if left.unit is None and left.number % right.number:  # type: ignore[operator]
        raise fault(
            "not-whole",
            f"{left.number} div {right.number} does not come out even",
            span,
            help="`div` must come out whole in every size: change one of the two numbers",
        )
    if left.unit is None:
        return Quantity(left.number // right.number)  # type: ignore[operator]
    from fractions import Fraction

    return Quantity(Fraction(left.number) / Fraction(right.number), left.unit)


def _in_unit_of(left: Quantity, right: Quantity, span: Span) -> Quantity:
    from ..lang.measures import convert, same_kind

    if left.unit is None or right.unit is None or not same_kind(left.unit, right.unit):
        raise fault(
            "unit-mismatch",
            f"{_said(left)} and {_said(right)} can't be added or taken from one another",
            span,
            help="give both the same kind of unit, or none",
        )
    return Quantity(convert(right.number, right.unit, left.unit), left.unit)


def _said(quantity: Quantity) -> str:
    return f"{quantity.number} {quantity.unit}" if quantity.unit else f"{quantity.number}"


def _wrong_number_of_sizes(found: int, expected: int, span: Span) -> Exception:
    if expected == 1:
        help_ = "name the sizes in the header, `sizes small, large`, or write one number"
    else:
        help_ = f"write one number for all sizes, or {expected} with `/` between them"
    sizes = "one size" if expected == 1 else f"{expected} sizes"
    return fault(
        "size-count",
        f"{found} values are given, but the pattern has {sizes}",
        span,
        help=help_,
        facts={"found": found, "expected": expected, "line": "sizes"},
    )
