"""Names: where one is defined, where it is used, and giving it another."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from unicodedata import normalize

from ...lang.parser import parse, parsed_statement
from ...lang.source import Source, Span
from ...lang.stitches import is_built_in
from ...lang.syntax import Body, BodyFit, Row, StitchDefinition
from ..pipeline import Analysis
from ..scope import PLACE_WORDS
from .places import statement_at
from .words import CHART, FITTED, NAME, PIECE, VALUE, Word, words


@dataclass(frozen=True, slots=True)
class Place:
    """Where a name stands."""

    span: Span
    defines: bool = False
    file: Source | None = None
    """The file that was brought in, if it stands there."""


def name_at(analysis: Analysis, offset: int) -> Word | None:
    """Return the name of the author's own at an offset; None where there is none."""
    statement = statement_at(analysis.tree, offset)
    if statement is None:
        return None
    for word in words(statement):
        if word.of and word.span.start <= offset <= word.span.end and _is_own(analysis, word):
            return word
    return None


def _is_own(analysis: Analysis, word: Word) -> bool:
    scope, key = analysis.scope, word.key
    match word.of:
        case "piece":
            return key in scope.pieces
        case "chart":
            return key in scope.charts
        case "value" | "fitted":
            return key in scope.lets
        case _:
            definition = scope.definitions.get(key)
            own = definition is not None and isinstance(definition.node, StitchDefinition)
            return own or key in scope.marks or key in scope.yarns


def places(analysis: Analysis, name: Word) -> Iterator[Place]:
    """Yield every place of a name in the pattern, in order."""
    same = _alike(name)
    for statement in analysis.tree.statements:
        if name.key not in _folded(statement.text):
            continue
        for word in words(statement):
            if word.key == name.key and word.of and _alike(word) == same:
                yield Place(word.span, word.defines)


def _alike(word: Word) -> str:
    return VALUE if word.of == FITTED else word.of


def _folded(text: str) -> str:
    return normalize("NFC", text).casefold()


def definition(analysis: Analysis, offset: int) -> Place | None:
    """Return where the name at an offset is given first: here, or in a file that is brought in."""
    name = name_at(analysis, offset)
    if name is None:
        return None
    here = next((each for each in places(analysis, name) if each.defines), None)
    return here if here is not None else _elsewhere(analysis, name)


def _elsewhere(analysis: Analysis, name: Word) -> Place | None:
    for source, _ in analysis.included:
        tree = parse(source)[0]
        for statement in tree.statements:
            for word in words(statement):
                if word.defines and word.key == name.key and _alike(word) == _alike(name):
                    return Place(word.span, True, source)
    return None


def can_rename(analysis: Analysis, name: Word) -> bool:
    """Tell whether a name can be changed: it is given in this file, and no line that can't be read has it."""
    if name.of == FITTED or not any(each.defines for each in places(analysis, name)):
        return False
    found = analysis.scope.definitions.get(name.key)
    if name.of == VALUE and found is not None and isinstance(found.node, BodyFit):
        return False
    return not any(each.faulty and name.key in _folded(each.text) for each in analysis.tree.statements)


def why_not(analysis: Analysis, name: Word, new: str) -> str:
    """Return why a name can't become `new`, in the maker's words; empty if it can."""
    node = parsed_statement(f"row 1: sc as {new}")
    key = _folded(new)
    if not isinstance(node, Row) or _marked(node) != normalize("NFC", new):
        return f"`{new}` can't be a name: a name is one word of letters, digits and `_`"
    if name.of == NAME and (is_built_in(new) or key in PLACE_WORDS):
        return f"`{new}` is a stitch of the trade or a place to work into: choose another name"
    scope = analysis.scope
    taken = {
        PIECE: scope.pieces.keys(),
        CHART: scope.charts.keys(),
        VALUE: scope.lets.keys(),
        NAME: {*scope.marks, *scope.yarns, *scope.definitions} - scope.lets.keys(),
    }[name.of]
    if key != name.key and key in taken:
        return f"`{new}` is a name in this pattern already: choose another"
    return ""


def _marked(node: Row) -> str | None:
    """Return the mark of a row's only item; None if there is more in the row."""
    content = node.content
    if not isinstance(content, Body) or len(content.items) != 1 or node.total:
        return None
    mark: str | None = getattr(content.items[0], "mark", None)
    return mark
