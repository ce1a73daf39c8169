"""The words of a line and what each of them is: what names are looked up in, and what colours go by.

A line that can't be read has its words up to where it goes wrong.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from ...lang.builder.tokens import normal
from ...lang.parser import terminals
from ...lang.remembered import Remembered
from ...lang.source import Span
from ...lang.statements import cut
from ...lang.syntax import Statement

PIECE, CHART, VALUE, FITTED, NAME = "piece", "chart", "value", "fitted", "name"
"""What a name may be of: a piece, a chart, a `let`, a part of the body; else a stitch, a mark or a yarn."""

_PIECES = frozenset({"PIECE", "_OF", "_LIKE", "WEIGHED"})
_ROWS = frozenset({"ROW", "ROWS", "NEXT"})
_DEFINING = {
    "PIECE": PIECE,
    "CHART": CHART,
    "LET": VALUE,
    "FIT": FITTED,
    "STITCH": NAME,
    "YARN": NAME,
    "_AS": NAME,
}


class Word(NamedTuple):
    """A terminal of a line."""

    kind: str
    """As the grammar calls it."""
    text: str
    span: Span
    of: str = ""
    """Of a name, what it is a name of."""
    defines: bool = False
    """Whether the name is given here."""
    is_total: bool = False
    """Whether it stands after the `=` of a row."""

    @property
    def key(self) -> str:
        """A name in the form in which names are compared."""
        return normal(self.text).casefold()


def words(statement: Statement) -> Iterator[Word]:
    """Yield the words of a statement, with their places in the whole text."""
    start = statement.start
    for kind, text, span, of, defines, is_total in words_of(cut(statement.text).code):
        yield Word(kind, text, span.shifted(start), of, defines, is_total)


@Remembered
def words_of(code: str) -> tuple[Word, ...]:
    """Return the words of a statement without comments, with their places in it."""
    found: list[Word] = []
    before, depth = "", 0
    first, after_equals = "", False
    for token in terminals(code):
        first = first or token.kind
        of, defines = "", False
        if token.kind == "BRACE":
            depth += 1
        elif token.kind == "CLOSE_BRACE":
            depth -= 1
        elif token.kind == "NAME":
            of = _of(before, in_value=depth > 0 or (first == "LET" and after_equals))
            defines = before in _DEFINING and not (before == "CHART" and first != "CHART")
        is_total = after_equals and first in _ROWS
        found.append(Word(token.kind, token.text, token.span, of, defines, is_total))
        after_equals = after_equals or token.kind == "_EQUALS"
        before = token.kind
    return tuple(found)


def _of(before: str, *, in_value: bool) -> str:
    if before in _PIECES:
        return PIECE
    if before in ("CHART", "FIT", "LET"):
        return _DEFINING[before]
    # In `stitches(20 cm in dc)` it is a stitch that stands among values.
    return VALUE if in_value and before != "_IN" else NAME
