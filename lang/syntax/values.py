"""Values: numbers, one a size or one for all, and sums of them."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal

from ..source import Span

NOWHERE = Span(0, 0)


def span_field() -> Span:
    """Return the field of a node's place in its statement, which makes no difference to what it says."""
    return field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Number:
    """`6`, `3.5` or `6/8/10`: one value, or one a size."""

    values: tuple[int | Decimal, ...]
    unit: str | None = None
    """`mm`, `cm`, `m`, `inch`, `yd`, `g`, `oz`, or None for a plain number."""
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class NameValue:
    """A `let` by its name."""

    name: str
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class RowNumber:
    """`row` in braces: the number of the row at hand."""

    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Arithmetic:
    """Two values and `+`, `-`, `*` or `div`."""

    operator: str
    left: Value
    right: Value
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Fit:
    """How a number of stitches or rows is rounded: `odd`, `even` or `multiple OF + PLUS`, and which way."""

    kind: str = ""
    """`odd`, `even`, `multiple`, or empty for any whole number."""
    of: int = 1
    plus: int = 0
    way: str = ""
    """`up`, `down`, `nearest`, or empty, which is the nearest."""


@dataclass(frozen=True, slots=True)
class Fitted:
    """`stitches(18 cm, odd)` or `rows(10 cm)`: a measurement turned into a count by the gauge."""

    function: str
    """`stitches` or `rows`; the parser refuses any other."""
    measure: Value
    fit: Fit | None = None
    span: Span = span_field()
    stitch: str | None = None
    """The stitch whose gauge is meant; None for the pattern's first."""
    stitch_span: Span = span_field()


Value = Number | NameValue | RowNumber | Arithmetic | Fitted
