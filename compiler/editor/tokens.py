"""Colours by meaning: what each word of a pattern is, for editors that colour by it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from ...lang.highlighting.kinds import Kind, kind_of
from ...lang.source import LINE_BREAK, Span
from ...lang.statements import cut
from ...lang.syntax import StitchDefinition
from ..pipeline import Analysis
from .words import CHART, FITTED, PIECE, VALUE, Word, words_of

KINDS = (
    "keyword",
    "function",
    "property",
    "variable",
    "class",
    "number",
    "string",
    "comment",
    "operator",
    "parameter",
)
"""`function` is for stitches, `property` for marks, `variable` for lets, `class` for pieces and charts,
`parameter` for yarns."""

MARKS = ("declaration", "increase", "decrease", "total")
"""What more is said of a word: `increase` of a stitch that makes more than it uses."""

_OF_KINDS = {
    Kind.NUMBER: "number",
    Kind.QUOTED: "string",
    Kind.TEXT: "string",
    Kind.SQUARES: "operator",
    Kind.OPERATOR: "operator",
    Kind.PUNCTUATION: "",
}


class Coloured(NamedTuple):
    """A word, or a part of one in one line."""

    span: Span
    kind: str
    marks: tuple[str, ...] = ()


def coloured(analysis: Analysis, within: Span) -> Iterator[Coloured]:
    """Yield the words of a stretch of the text, in order, each in one line."""
    meanings: dict[tuple[str, str], tuple[str, tuple[str, ...]]] = {}
    for statement in analysis.tree.statements:
        start, end = statement.start, statement.start + len(statement.text)
        if end < within.start or start > within.end:
            continue
        found: list[Coloured] = []
        for word in words_of(cut(statement.text).code):
            called = (word.text if word.of else word.kind, word.of)
            meaning = meanings.get(called)
            if meaning is None:
                meaning = meanings[called] = _meaning(analysis, word)
            kind, marks = meaning
            if kind:
                if word.defines:
                    marks = ("declaration", *marks)
                if word.is_total:
                    marks = ("total", *marks)
                found.append(Coloured(word.span.shifted(start), kind, marks))
        if statement.comments:
            found += [Coloured(each.span.shifted(start), "comment") for each in statement.comments]
            found.sort()
        if "\n" in statement.text or "\r" in statement.text:
            found = [part for each in found for part in _line_by_line(each, analysis.source.text)]
        yield from found


def _meaning(analysis: Analysis, word: Word) -> tuple[str, tuple[str, ...]]:
    """Return what kind of word it is, and whether it is a stitch that increases or decreases."""
    if word.of:
        kind = _kind_of_name(analysis, word)
        return kind, _change(analysis, word, kind)
    return _OF_KINDS.get(kind_of(word.kind), "keyword"), ()


def _kind_of_name(analysis: Analysis, word: Word) -> str:
    scope, key = analysis.scope, word.key
    if word.of in (PIECE, CHART):
        return "class"
    if word.of in (VALUE, FITTED):
        return "variable"
    if key in scope.marks:
        return "property"
    if key in scope.yarns:
        return "parameter"
    definition = scope.definitions.get(key)
    if definition is not None:
        return "function" if isinstance(definition.node, StitchDefinition) else "variable"
    if scope.vocabulary.find(word.text) is not None:
        return "function"
    return "keyword"


def _change(analysis: Analysis, word: Word, kind: str) -> tuple[str, ...]:
    scope = analysis.scope
    own = scope.definitions.get(word.key)
    if kind != "function" or (own is not None and isinstance(own.node, StitchDefinition)):
        return ()
    stitch = scope.vocabulary.find(word.text)
    if stitch is None or not stitch.uses or stitch.uses == stitch.makes:
        return ()
    return ("increase",) if stitch.makes > stitch.uses else ("decrease",)


def _line_by_line(whole: Coloured, text: str) -> Iterator[Coloured]:
    start, end = whole.span
    for found in LINE_BREAK.finditer(text, start, end):
        if found.start() > start:
            yield Coloured(Span(start, found.start()), whole.kind, whole.marks)
        start = found.end()
    if end > start:
        yield Coloured(Span(start, end), whole.kind, whole.marks)
