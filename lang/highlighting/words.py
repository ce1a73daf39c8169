"""The words of a pattern and their kinds, exactly as the parser reads them.

Editors that colour by regular expressions have `rules` instead; tests hold the two against each other.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from ..parser import terminals
from ..source import LINE_BREAK, Span
from ..statements import cut, squares_under, stretches
from ..stitches import is_built_in
from .kinds import Kind, kind_of


class Word(NamedTuple):
    """A stretch of the text that is of one kind, without blanks around it."""

    kind: Kind
    span: Span


def words(text: str) -> Iterator[Word]:
    """Yield the words of a file in order; of a statement that can't be read, those before the fault."""
    for stretch in stretches(text):
        parts = cut(stretch.text)
        found = [Word(Kind.COMMENT, comment.span) for comment in parts.comments]
        found += _of_statement(parts.code)
        for kind, span in sorted(found, key=lambda word: word.span):
            yield Word(kind, Span(span.start + stretch.start, span.end + stretch.start))


def _of_statement(code: str) -> Iterator[Word]:
    head, squares = squares_under(code)
    opening = True
    for token in terminals(code):
        kind = Kind.OPENING if opening else kind_of(token.kind)
        opening = False
        if kind is Kind.NAME and is_built_in(token.text):
            kind = Kind.STITCH
        yield Word(kind, token.span)
    if squares:
        yield from _squares(code, len(head))


def _squares(code: str, at: int) -> Iterator[Word]:
    for line in LINE_BREAK.split(code[at:]):
        squares = line.strip()
        if squares:
            start = code.index(squares, at)
            at = start + len(squares)
            yield Word(Kind.SQUARES, Span(start, at))
