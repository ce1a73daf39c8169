"""Builds values."""

from __future__ import annotations

from dataclasses import replace

from .. import syntax as s
from ..source import Span
from .tokens import Children, name_of, number_of, whole


class Values:
    """One method a grammar rule of values."""

    def number(self, c: Children, span: Span) -> s.Number:
        return number_of(c, span)

    def braces(self, c: Children, span: Span) -> s.Value:
        return _respanned(c[1], span)

    def bracketed(self, c: Children, span: Span) -> s.Value:
        return _respanned(c[1], span)

    def arithmetic(self, c: Children, span: Span) -> s.Arithmetic:
        left, operator, right = c
        symbol = "-" if operator.kind == "DASH" else operator.text.lower()
        return s.Arithmetic(symbol, left, right, span)

    def name_value(self, c: Children, span: Span) -> s.NameValue:
        return s.NameValue(name_of(c[0]), span)

    def row_number(self, c: Children, span: Span) -> s.RowNumber:
        return s.RowNumber(span)

    def fitted(self, c: Children, span: Span) -> s.Fitted:
        function, _, measure, stitch, fit, _ = c
        which = "stitches" if function.kind == "STITCHES" else "rows"
        if stitch is None:
            return s.Fitted(which, measure, fit, span)
        return s.Fitted(which, measure, fit, span, name_of(stitch), stitch.span)

    def fit(self, c: Children, span: Span) -> s.Fit:
        if len(c) == 1:
            return s.Fit(way=c[0].text.lower())
        fit: s.Fit = c[0]
        return fit if c[1] is None else replace(fit, way=c[1].text.lower())

    def fit_to(self, c: Children, span: Span) -> s.Fit:
        if len(c) == 1:
            return s.Fit(c[0].text.lower())
        return s.Fit("multiple", whole(c[1]), 0 if c[3] is None else whole(c[3]))


def _respanned(value: s.Value, span: Span) -> s.Value:
    """Return `value` with the brackets around it counted in."""
    match value:
        case s.Number(values, unit):
            return s.Number(values, unit, span)
        case s.NameValue(name):
            return s.NameValue(name, span)
        case s.RowNumber():
            return s.RowNumber(span)
        case s.Arithmetic(operator, left, right):
            return s.Arithmetic(operator, left, right, span)
        case s.Fitted():
            return replace(value, span=span)
