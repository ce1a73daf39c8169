"""The names that a pattern mentions: what of its own definitions, marks and yarns is ever used."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from ..lang.statements import cut
from ..lang.syntax import Chart, Let, Piece, StitchDefinition, Text, Tree, Yarn

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
    words = sorted(map(re.escape, names), key=len, reverse=True)
    if not words:
        return Mentions(frozenset(), frozenset())
    wanted = re.compile(rf"(?<!\w)(as\s+)?({'|'.join(words)})(?!\w)", re.IGNORECASE)
    rows: list[str] = []
    prose: list[str] = []
    for statement in tree.statements:
        node = statement.node
        if isinstance(node, Text):
            prose += node.lines
        elif isinstance(node, Let | StitchDefinition | Piece):
            rows.append(cut(statement.text).code[node.name_span.end :])
        elif isinstance(node, Chart):
            rows.append(statement.text[node.name_span.end : node.span.end])
        elif node is not None and not isinstance(node, Yarn):
            rows.append(cut(statement.text).code if statement.comments else statement.text)
    return Mentions(_found(wanted, [_QUOTED.sub(" ", "\n".join(rows))]), _found(wanted, prose))


def _found(wanted: re.Pattern[str], texts: Iterable[str]) -> frozenset[str]:
    found = wanted.finditer("\n".join(texts))
    return frozenset(each[2].casefold() for each in found if not each[1])
