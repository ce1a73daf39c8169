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
from ..lang.syntax import Piece, Statement, Tree, Version
from .causes import name_in
from .salvage import is_row

_ANY = "any"
"""Stands for a line of which it can't be told what it was meant for."""
_NAMING = frozenset({"let", "stitch", "piece", "chart", "yarn", "fit"})
_NO_MARK = re.compile(r"\bas\s*(?!\s|[^\W\d])", re.IGNORECASE)
_WORD = re.compile(r"[^\W\d]\w*")
_QUOTED = re.compile(r"`(\w+)`")
_NAMED = re.compile(r"[^:=,\"“”„(\[{]*")
_STRING = re.compile(r"[\"“”„][^\"“”„\r\n]*[\"“”„]")


@dataclass(frozen=True, slots=True)
class Unread:
    """What could not be read of a pattern and the files that it brings in."""

    lines: frozenset[str] = frozenset()
    """The words that the faulty lines were meant to begin with."""
    names: frozenset[str] = frozenset()
    """The names that they may give, their case folded."""
    file: bool = False
    """Whether a file is not to be had, so that any name may stand in it."""
    nameless: int = 0
    """How many of them give a name that can't be read."""
    dialect: bool = False
    """Whether it is not known in whose terms the pattern is."""

    def without_consequences(self, found: Iterable[Diagnostic], text: str) -> tuple[Diagnostic, ...]:
        """Return what is to be told of what was found in the pattern `text`."""
        left = [each for each in found if not self._accounts_for(each, text)]
        unknown = sorted((each for each in left if _is_unknown(each)), key=lambda each: each.span)
        lost = self.nameless + sum(_loses_a_name(each) for each in left)
        names = list(dict.fromkeys(map(name_in, unknown)))[:lost]
        return tuple(each for each in left if each not in unknown or name_in(each) not in names)

    def _accounts_for(self, found: Diagnostic, text: str) -> bool:
        if "line" in found.facts and not self.lines.isdisjoint((found.facts["line"], _ANY)):
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


def _is_unknown(found: Diagnostic) -> bool:
    return found.name.startswith("unknown-") and not _loses_a_name(found)


def _loses_a_name(found: Diagnostic) -> bool:
    """Tell whether what is wrong keeps a name that is used elsewhere from being known."""
    return found.facts.get("line") == "piece" or "misnamed" in found.facts


def unread(tree: Tree, included: Iterable[Tree], *, file: bool) -> Unread:
    """Return what could not be read of a pattern; `file` if a file that it names is not to be had."""
    faulty = [each for each in tree.statements if each.faulty]
    lines = frozenset(line_word(each.text) or _ANY for each in faulty)
    pieces = [each.start for each in tree.statements if isinstance(each.node, Piece)]
    if faulty and faulty[0].start < min(pieces, default=faulty[0].start + 1):
        lines |= {"pattern"}
    brought_in = [each for other in included for each in other.statements if each.faulty]
    names = frozenset(name for each in (*faulty, *brought_in) for name in _names(each))
    dialect = not any(isinstance(each.node, Version) for each in tree.statements)
    nameless = sum(_NO_MARK.search(each.text) is not None for each in faulty if is_row(each))
    nameless += sum(line_word(each.text) in _NAMING and not any(_names(each)) for each in faulty)
    return Unread(lines, names, file or "use" in lines, nameless, dialect)


def _names(statement: Statement) -> Iterable[str]:
    code = cut(statement.text).code
    if is_row(statement):
        # Any word of a row may have been meant for a mark.
        yield from map(str.casefold, _WORD.findall(_STRING.sub("", code)))
    else:
        head = _NAMED.match(code)
        assert head
        first, *others = [word.casefold() for word in _WORD.findall(head[0])] or [""]
        # The first word is a name if that of the language is missing, as in `frill: 5 dc in st`.
        named = not others and first not in _NAMING and code[head.end() :].startswith(":")
        yield from (first, *others) if named or line_word(first) != first else others
