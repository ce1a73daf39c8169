"""Values as they are written."""

from __future__ import annotations

from decimal import Decimal

from .. import syntax as s

_BINDS = {"+": 1, "-": 1, "*": 2, "div": 2}


def count_text(value: s.Value) -> str:
    """Return a value among items, where anything but a plain number stands in braces."""
    if isinstance(value, s.Number) and value.unit is None:
        return number_text(value)
    return braced(value)


def braced(value: s.Value) -> str:
    """Return a value in braces."""
    return f"{{{sum_text(value)}}}"


def length_text(value: s.Value) -> str:
    """Return a length as it stands in a row: bare, or a sum in braces."""
    measured = isinstance(value, s.Number) and value.unit is not None
    return sum_text(value) if measured else braced(value)


def number_text(number: s.Number) -> str:
    """Return a number with its unit."""
    values = "/".join(
        format(value, "f") if isinstance(value, Decimal) else str(value) for value in number.values
    )
    return values if number.unit is None else f"{values} {number.unit}"


def sum_text(value: s.Value) -> str:
    """Return a value without braces round it."""
    match value:
        case s.Number():
            return number_text(value)
        case s.NameValue(name):
            return name
        case s.RowNumber():
            return "row"
        case s.Arithmetic(operator, left, right):
            binds = _BINDS[operator]
            first = f"({sum_text(left)})" if _binding(left) < binds else sum_text(left)
            second = f"({sum_text(right)})" if _binding(right) <= binds else sum_text(right)
            between = operator if operator == "*" else f" {operator} "
            return f"{first}{between}{second}"
        case s.Fitted(function, measure, fit, stitch=stitch):
            of = "" if stitch is None else f" in {stitch}"
            return f"{function}({sum_text(measure)}{of}{'' if fit is None else f', {fit_text(fit)}'})"


def _binding(value: s.Value) -> int:
    return _BINDS[value.operator] if isinstance(value, s.Arithmetic) else 3


def fit_text(fit: s.Fit) -> str:
    """Return how a measure is rounded to a count."""
    plus = f" + {fit.plus}" if fit.plus else ""
    to = f"multiple {fit.of}{plus}" if fit.kind == "multiple" else fit.kind
    return ", ".join(filter(None, (to, fit.way)))


def quoted(text: str) -> str:
    """Return words in straight quotation marks."""
    return f'"{text}"'
