"""The names that a pattern mentions: what of its own definitions, marks and yarns is ever used."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, fields, is_dataclass
from functools import cache
from typing import Any

from ..lang import syntax
from ..lang.syntax import Text, Tree

PLACES: dict[type, tuple[str, ...]] = {
    syntax.Some: ("name",),
    syntax.Run: ("name",),
    syntax.Place: ("name",),
    syntax.Stop: ("name",),
    syntax.Skip: ("place",),
    syntax.Tally: ("name",),
    syntax.RepeatRows: ("limit_name",),
    syntax.Work: ("name",),
    syntax.Change: ("spot",),
    syntax.Gauge: ("counted", "name"),
    syntax.Start: ("name",),
    syntax.TurningChainFor: ("name",),
    syntax.EdgeName: ("edge",),
    syntax.Square: ("name",),
}
"""Where the name of a stitch or a mark may stand."""

YARNS: dict[type, tuple[str, ...]] = {
    syntax.How: ("yarn",),
    syntax.Settings: ("yarn",),
    syntax.Square: ("name",),
}


@dataclass(frozen=True, slots=True)
class Mentions:
    """Names with their case folded."""

    places: set[str] = field(default_factory=set)
    """Stitches and marks."""
    values: set[str] = field(default_factory=set)
    """`let`s."""
    yarns: set[str] = field(default_factory=set)
    prose: set[str] = field(default_factory=set)
    """Every word of notes and the like."""


def mentions(tree: Tree) -> Mentions:
    """Return the names that the statements of a file use, leaving out where they are defined."""
    found = Mentions()
    seen: set[int] = set()
    for statement in tree.statements:
        node = statement.node
        if isinstance(node, Text):
            found.prose.update(re.findall(r"\w+", " ".join(node.lines).casefold()))
        elif node is not None:
            _collect(node, found, seen)
    return found


def _collect(node: Any, found: Mentions, seen: set[int]) -> None:
    cls: type = type(node)
    # Equal lines share one node: it needs to be looked through once.
    if not _may_mention(cls) or id(node) in seen:
        return
    seen.add(id(node))
    if cls is syntax.NameValue:
        found.values.add(node.name.casefold())
    for name in PLACES.get(cls, ()):
        _add_words(getattr(node, name), found.places)
    for name in YARNS.get(cls, ()):
        _add_words(getattr(node, name), found.yarns)
    for name in _fields_with_nodes(cls):
        value = getattr(node, name)
        if type(value) is tuple:
            for each in value:
                _collect(each, found, seen)
        elif value is not None:
            _collect(value, found, seen)


def _add_words(said: str | None, words: set[str]) -> None:
    if said:
        words.update(said.casefold().split())


_NODE_NAMES = frozenset(
    (*(name for name, kind in vars(syntax).items() if is_dataclass(kind)), "Item", "Value", "Node")
)


@cache
def _may_mention(cls: type) -> bool:
    return cls is syntax.NameValue or cls in PLACES or cls in YARNS or bool(_fields_with_nodes(cls))


@cache
def _fields_with_nodes(cls: type) -> tuple[str, ...]:
    """Return the fields that hold nodes, as their annotations say."""
    return tuple(
        each.name
        for each in (fields(cls) if is_dataclass(cls) else ())
        if not _NODE_NAMES.isdisjoint(re.findall(r"\w+", str(each.type)))
    )
