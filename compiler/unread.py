"""What the lines that could not be read may have said, and what is not told because of it.

A faulty line is reported itself. A name that it would have given, or the gauge that it would have stated, is
missing elsewhere for no fault of those places: one mistake gives one error.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from ..lang.diagnostics import Diagnostic
from ..lang.parser import line_word
from ..lang.statements import cut
from ..lang.syntax import Statement, Tree, Version
from .salvage import is_row

_WORD = re.compile(r"[^\W\d]\w*")
_QUOTED = re.compile(r"`(\w+)`")
_NAMED = re.compile(r"[^:=,\"“”„(\[{]*")
_MARKED = re.compile(r"\bas\s+([^\W\d]\w*)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Unread:
    """What could not be read of a pattern and the files that it brings in."""

    lines: frozenset[str] = frozenset()
    """The words that the faulty lines begin with, their case folded."""
    names: frozenset[str] = frozenset()
    """The names that they may give, their case folded."""
    file: bool = False
    """Whether a file is not to be had, so that any name may stand in it."""
    dialect: bool = False
    """Whether it is not known in whose terms the pattern is."""

    def without_consequences(self, found: Iterable[Diagnostic], text: str) -> tuple[Diagnostic, ...]:
        """Return what is to be told of what was found in the pattern `text`."""
        return tuple(each for each in found if not self._accounts_for(each, text))

    def _accounts_for(self, found: Diagnostic, text: str) -> bool:
        if found.facts.get("line") in self.lines:
            return True
        if found.name == "dialect-mismatch":
            return self.dialect
        if not found.name.startswith("unknown-"):
            return False
        if self.file and found.name in ("unknown-name", "unknown-stitch"):
            return True
        start, end = found.span
        words = (*_WORD.findall(text[start:end]), *_QUOTED.findall(found.message))
        return any(word.casefold() in self.names for word in words)


def unread(tree: Tree, included: Iterable[Tree], *, file: bool) -> Unread:
    """Return what could not be read of a pattern; `file` if a file that it names is not to be had."""
    faulty = [each for each in tree.statements if each.faulty]
    lines = frozenset(line_word(each.text) for each in faulty)
    brought_in = [each for other in included for each in other.statements if each.faulty]
    names = frozenset(name for each in (*faulty, *brought_in) for name in _names(each))
    dialect = not any(isinstance(each.node, Version) for each in tree.statements)
    return Unread(lines, names, file or "use" in lines, dialect)


def _names(statement: Statement) -> Iterable[str]:
    code = cut(statement.text).code
    yield from (mark.casefold() for mark in _MARKED.findall(code))
    if not is_row(statement):
        head = _NAMED.match(code)
        assert head
        yield from (word.casefold() for word in _WORD.findall(head[0])[1:])
