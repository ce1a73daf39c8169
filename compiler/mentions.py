"""The names that a pattern mentions: what of its own definitions, marks and yarns is ever used."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from ..lang.statements import cut
from ..lang.syntax import Chart, Let, Piece, Row, StitchDefinition, Text, Tree, Yarn

_GIVEN = re.compile(r"(?<!\w)as\s+\Z")
_FAR = 200
"""Characters that are looked at before a name."""
_QUOTED = re.compile(r"[\"“”][^\"“”\n]*[\"“”]")


@dataclass(frozen=True, slots=True)
class Mentions:
    """Names with their case folded."""

    rows: frozenset[str]
    """Those that rows, values and stitches mention, setting a mark with `as` left out."""
    prose: frozenset[str]
    """Those that notes and the like mention."""


def mentions(tree: Tree, names: Iterable[str]) -> Mentions:
    """Return which of `names` the statements of a file mention, leaving out where they are defined.

    It looks at words, not at the tree: a long file is searched for a few names in one go.
    """
    wanted = set(names)
    if not wanted:
        return Mentions(frozenset(), frozenset())
    rows: list[str] = []
    prose: list[str] = []
    for statement in tree.statements:
        node = statement.node
        if isinstance(node, Row):
            rows.append(cut(statement.text).code if statement.comments else statement.text)
        elif isinstance(node, Text):
            prose += node.lines
        elif isinstance(node, Let | StitchDefinition | Piece):
            rows.append(cut(statement.text).code[node.name_span.end :])
        elif isinstance(node, Chart):
            rows.append(statement.text[node.name_span.end : node.span.end])
        elif node is not None and not isinstance(node, Yarn):
            rows.append(cut(statement.text).code if statement.comments else statement.text)
    return Mentions(_found(wanted, _QUOTED.sub(" ", "\n".join(rows))), _found(wanted, "\n".join(prose)))


def _found(wanted: Iterable[str], text: str) -> frozenset[str]:
    folded = text.casefold()
    return frozenset(name for name in wanted if _is_found(name, folded))


def _is_found(name: str, text: str) -> bool:
    """Tell whether a name stands in a text somewhere as a word, and not only after `as`, which gives it."""
    end = 0
    while (at := text.find(name, end)) >= 0:
        end = at + len(name)
        whole = not (_is_of_word(text[at - 1 : at]) or _is_of_word(text[end : end + 1]))
        if whole and not _GIVEN.search(text, max(0, at - _FAR), at):
            return True
    return False


def _is_of_word(char: str) -> bool:
    return char.isalnum() or char == "_"
