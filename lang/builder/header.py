"""Builds what stands before the pieces."""

from __future__ import annotations

from .. import syntax as s
from ..source import Span
from .tokens import Children, between, lines_of, name_of, normal, number_of, quoted, span_of, whole


class Header:
    """One method a grammar rule of header."""

    def version(self, c: Children) -> s.Version:
        return s.Version(whole(c[1]), c[2].value.upper(), between(c))

    def text(self, c: Children) -> s.Text:
        return s.Text(c[0].value.lower(), lines_of(c[1]), between(c))

    def yarn(self, c: Children) -> s.Yarn:
        return s.Yarn(name_of(c[1]), lines_of(c[2]), between(c))

    def hook(self, c: Children) -> s.Hook:
        return s.Hook(number_of(c[1], c[2]), between(c))

    def gauge(self, c: Children) -> s.Gauge:
        _, stitches, counted, rows, _, length, unit, name = c
        return s.Gauge(
            stitches,
            name_of(counted),
            rows,
            number_of(length, unit),
            name_of(name),
            between(c),
            span_of(name, name),
        )

    def let(self, c: Children) -> s.Let:
        return s.Let(name_of(c[1]), c[2], between(c), span_of(c[1], c[1]))

    def use(self, c: Children) -> s.Use:
        return s.Use(quoted(c[1]), between(c))

    def stitch(self, c: Children) -> s.StitchDefinition:
        _, name, body, explanation = c
        content: s.Body | s.Words = body
        if len(body.items) == 1 and isinstance(body.items[0], s.Words):
            content = body.items[0]
        return s.StitchDefinition(
            name_of(name),
            content,
            explanation and quoted(explanation),
            between(c),
            span_of(name, name),
        )

    def chart(self, c: Children) -> s.Chart:
        squares = tuple(square for square, _ in c[2:])
        span = Span(c[0].start_pos, c[-1][1])
        return s.Chart(name_of(c[1]), squares, (), span, span_of(c[1], c[1]))

    def square(self, c: Children) -> tuple[s.Square, int]:
        return s.Square(normal(c[0].value[0]), name_of(c[1])), c[1].end_pos
