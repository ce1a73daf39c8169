"""The words of a line and what each of them is: what names are looked up in, and what colours go by.

A line that can't be read has its words up to where it goes wrong.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ...lang.builder.tokens import normal
from ...lang.parser import terminals
from ...lang.reader import Token
from ...lang.source import Span
from ...lang.statements import cut
from ...lang.syntax import Statement

PIECE, CHART, VALUE, FITTED, NAME = "piece", "chart", "value", "fitted", "name"
"""What a name may be of: a piece, a chart, a `let`, a part of the body; else a stitch, a mark or a yarn."""

_PIECES = frozenset({"PIECE", "_OF", "_LIKE", "WEIGHED"})
_DEFINING = {
    "PIECE": PIECE,
    "CHART": CHART,
    "LET": VALUE,
    "FIT": FITTED,
    "STITCH": NAME,
    "YARN": NAME,
    "_AS": NAME,
}


@dataclass(frozen=True, slots=True)
class Word:
    """A terminal of a line."""

    kind: str
    """As the grammar calls it."""
    text: str
    span: Span
    """In the whole text."""
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
    """Yield the words of a statement."""
    before, depth, in_value, is_total, is_row = "", 0, False, False, False
    for number, token in enumerate(terminals(cut(statement.text).code)):
        of, defines = "", False
        if token.kind in ("BRACE", "OPEN"):
            depth += token.kind == "BRACE"
        elif token.kind == "CLOSE_BRACE":
            depth -= 1
        elif token.kind == "NAME":
            of = _of(before, in_value=in_value or depth > 0)
            defines = before in _DEFINING and not (before == "CHART" and is_row)
        yield Word(
            token.kind, token.text, token.span.shifted(statement.start), of, defines, is_total and is_row
        )
        if number == 0:
            is_row = token.kind in ("ROW", "ROWS", "NEXT")
        if token.kind == "_EQUALS":
            is_total = True
            in_value = _first_kind(statement) == "LET"
        before = token.kind


def _of(before: str, *, in_value: bool) -> str:
    if before in _PIECES:
        return PIECE
    if before in ("CHART", "FIT", "LET"):
        return _DEFINING[before]
    # In `stitches(20 cm in dc)` it is a stitch that stands among values.
    return VALUE if in_value and before != "_IN" else NAME


def _first_kind(statement: Statement) -> str:
    found: tuple[Token, ...] = terminals(cut(statement.text).code)
    return found[0].kind if found else ""
