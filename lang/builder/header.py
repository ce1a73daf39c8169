"""Builds what stands before the pieces."""

from __future__ import annotations

from dataclasses import replace

from .. import syntax as s
from ..diagnostics import Diagnostic, Fix, Label
from ..reader import Token
from ..source import Span
from .tokens import Children, Refused, lines_of, name_of, normal, quoted, whole


def _with_colon(key: str, words: Token) -> Refused:
    colon = Span(words.start, words.start + 1)
    instead = "" if words.text[1:2].isspace() else " "
    return Refused(
        Diagnostic(
            "stray-word",
            f"no colon stands after `{key}`",
            colon,
            help="leave it out",
            fix=Fix("leave the colon out", (Label(colon, instead),), safe=True),
        )
    )


class Header:
    """One method a grammar rule of header."""

    def version(self, c: Children, span: Span) -> s.Version:
        return s.Version(whole(c[1]), c[2].text.upper(), span)

    def text(self, c: Children, span: Span) -> s.Text:
        key, words = c[0].text.lower(), c[1]
        if words.text.startswith(":"):
            raise _with_colon(key, words)
        return s.Text(key, lines_of(words), span)

    def yarn(self, c: Children, span: Span) -> s.Yarn:
        return s.Yarn(name_of(c[1]), lines_of(c[2]), span)

    def hook(self, c: Children, span: Span) -> s.Hook:
        return s.Hook(c[1], span)

    def gauge(self, c: Children, span: Span) -> s.Gauge:
        _, stitches, counted, across, rows, _, length, name = c
        return s.Gauge(
            stitches,
            name_of(counted),
            rows,
            across or length,
            name_of(name),
            length if across else None,
            span,
            counted.span,
            name.span,
        )

    def swatch(self, c: Children, span: Span) -> s.Swatch:
        _, width, height, name, yarn, weight = c
        return s.Swatch(
            replace(width, unit=width.unit or height.unit),
            height,
            name_of(name),
            yarn and name_of(yarn),
            weight,
            span,
            name.span,
            yarn.span if yarn else s.NOWHERE,
        )

    def weighed(self, c: Children, span: Span) -> s.Weighed:
        _, piece, yarn, size, weight = c
        return s.Weighed(
            piece and name_of(piece),
            yarn and name_of(yarn),
            size and normal(" ".join(size.text.split()[2:])),
            weight,
            span,
            *(token.span if token else s.NOWHERE for token in (piece, yarn, size)),
        )

    def body_fit(self, c: Children, span: Span) -> s.BodyFit:
        _, part, *given, ease = c
        sizes: tuple[str, ...] = ()
        measure, sizes_span = None, s.NOWHERE
        for each in given:
            if isinstance(each, Token):
                sizes = tuple(" ".join(normal(name).split()) for name in each.text.split("/"))
                sizes_span = each.span
            elif each is not None:
                measure = each
        less, room = (False, None) if ease is None else ease
        return s.BodyFit(name_of(part), sizes, measure, room, less, span, part.span, sizes_span)

    def ease(self, c: Children, span: Span) -> tuple[bool, s.Number]:
        _, sign, length = c
        return sign is not None and sign.kind == "DASH", length

    def let(self, c: Children, span: Span) -> s.Let:
        return s.Let(name_of(c[1]), c[2], span, c[1].span)

    def use(self, c: Children, span: Span) -> s.Use:
        return s.Use(quoted(c[1]), span)

    def stitch(self, c: Children, span: Span) -> s.StitchDefinition:
        _, name, body, explanation = c
        content: s.Body | s.Words = body
        if len(body.items) == 1 and isinstance(body.items[0], s.Words):
            content = body.items[0]
        return s.StitchDefinition(
            name_of(name),
            content,
            explanation and quoted(explanation),
            span,
            name.span,
        )

    def chart(self, c: Children, span: Span) -> s.Chart:
        return s.Chart(name_of(c[1]), tuple(c[2:]), (), span, c[1].span)

    def square(self, c: Children, span: Span) -> s.Square:
        return s.Square(normal(c[0].text[0]), name_of(c[1]))
