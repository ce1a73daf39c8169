"""What one analysis keeps for the next, of the same pattern after a change.

A row that is written as it was is not planned again, and one that finds what it found is not counted again.
Only what has no fault is kept: a fault is told anew, because its words and places may hang on other lines.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Generic, TypeVar
from unicodedata import normalize

from ..lang.diagnostics import Diagnostic
from ..lang.parser import parse
from ..lang.reparser import reparse
from ..lang.source import Source
from ..lang.syntax import Body, BodyFit, Chart, Gauge, Let, Node, Piece, StitchDefinition, Tree
from .counted import Block
from .fabric import Edge
from .plan import Stretch
from .scope import Marked, Scope

V = TypeVar("V")
Key = tuple[int, int, int | None]
"""The ids of a row and of its piece, which are kept beside it so that they stay their own, and its number."""


@dataclass(frozen=True, slots=True)
class PlannedRow:
    """A line of rows with its numbers worked out, in one size."""

    piece: Piece
    yarn: str | None
    """The yarn at hand before it."""
    side: str
    """The side that faces in odd rows, as it was known before it."""
    above: tuple[tuple[str, str], ...]
    """Names and titles of the pieces above."""
    text: str
    stretch: Stretch
    side_after: str


Reached = tuple[int, int, bool, bool, tuple[str, int] | None, str | None, str | None]
"""How far a piece has come, beside what the next row finds: the scalars of a `PieceCount`."""


@dataclass(frozen=True, slots=True)
class CountedRows:
    """The rows of a line, counted, in one size."""

    piece: Piece
    stretch: Stretch
    ground: Edge | None
    doubted: Edge | None
    reached: Reached
    block: Block
    ground_after: Edge | None
    doubted_after: Edge | None
    reached_after: Reached


class Lately(Generic[V]):
    """What was needed lately, by key; what was not for long is forgotten."""

    __slots__ = ("_before", "_now")

    def __init__(self) -> None:
        self._now: dict[Key, V] = {}
        self._before: dict[Key, V] = {}

    def get(self, key: Key) -> V | None:
        """Return what is kept under a key."""
        found = self._now.get(key)
        if found is None and self._before:
            found = self._before.pop(key, None)
            if found is not None:
                self._now[key] = found
        return found

    def put(self, key: Key, value: V) -> None:
        """Keep something."""
        self._now[key] = value

    def forget(self, needed: int) -> None:
        """Let go of what was not needed since the last time, if more is kept than is needed at once."""
        if len(self._now) > needed + needed // 4 + 250:
            self._now, self._before = {}, self._now

    def drop(self, keys: Iterable[Key]) -> None:
        """Forget what stands under some keys."""
        for key in keys:
            self._now.pop(key, None)
            self._before.pop(key, None)

    def items(self) -> Iterator[tuple[Key, V]]:
        """Yield all that is kept."""
        yield from self._before.items()
        yield from self._now.items()


@dataclass(frozen=True, slots=True)
class Meaning:
    """All that rows hang on beside what is written in them."""

    general: tuple[object, ...] = ()
    """What any row may hang on."""
    names: dict[str, object] = field(default_factory=dict)
    """What each name stands for: rows hang on those that they mention."""


OfSize = tuple[Lately[PlannedRow], Lately[CountedRows]]
"""What is kept of one size."""


@dataclass(slots=True)
class Kept:
    """What is kept of a pattern; handed from analysis to analysis, which take from it and add to it."""

    meaning: Meaning = field(default_factory=Meaning)
    sizes: list[OfSize] = field(default_factory=list)
    marked: dict[int, tuple[Body, Marked]] = field(default_factory=dict)
    """The marks of each row, by the id of its body."""

    last: tuple[Source, Tree, tuple[Diagnostic, ...]] | None = None
    """The text that was read last, and what came of it."""

    def parsed(self, source: Source) -> tuple[Tree, tuple[Diagnostic, ...]]:
        """Return what `parse` does; what did not change since the last text is not read again."""
        tree, faults = parse(source) if self.last is None else reparse(source, *self.last)
        self.last = source, tree, faults
        return tree, faults

    def begin(self, tree: Tree, scope: Scope) -> None:
        """Let go of all that does not hold in a pattern with these names."""
        meaning = _meaning(scope)
        many = max(1, len(scope.sizes))
        if meaning.general != self.meaning.general or len(self.sizes) != many:
            self.sizes = [(Lately(), Lately()) for _ in range(many)]
        elif meaning.names != self.meaning.names:
            self._drop(_changed(self.meaning.names, meaning.names), tree)
        self.meaning = meaning
        needed = len(tree.statements)
        for planned, counted in self.sizes:
            planned.forget(needed)
            counted.forget(needed)
        if len(self.marked) > needed + needed // 4 + 250:
            self.marked = {}

    def _drop(self, changed: frozenset[str], tree: Tree) -> None:
        """Let go of the rows that mention a name that stands for something else now."""
        mentioned = _mentioned(changed)
        while True:
            more = {name for name, text in _definitions(tree) if mentioned.search(_folded(text))} - changed
            if not more:
                break
            changed |= more
            mentioned = _mentioned(changed)
        if "" in changed:
            self.sizes = [(Lately(), Lately()) for _ in self.sizes]
            return
        for planned, _ in self.sizes:
            planned.drop([key for key, row in planned.items() if mentioned.search(_folded(row.text))])


def _meaning(scope: Scope) -> Meaning:
    names: dict[str, object] = {key: (spelled,) for key, spelled in scope.marks.items()}
    brought_in = []
    for key, definition in scope.definitions.items():
        names[key] = (names.get(key), definition.node, definition.dialect)
        if not definition.own_file:
            brought_in.append((key, definition.node, definition.dialect))
    for of in (scope.yarns, scope.charts):
        for key, statement in of.items():
            names[key] = (names.get(key), statement.node)
    gauges = tuple(each.node for each in scope.gauges)
    return Meaning((scope.dialect, scope.sizes, gauges, tuple(brought_in)), names)


def _changed(old: dict[str, object], new: dict[str, object]) -> frozenset[str]:
    return frozenset(name for name in old.keys() | new.keys() if old.get(name) != new.get(name))


def _mentioned(names: Iterable[str]) -> re.Pattern[str]:
    words = "|".join(sorted(map(re.escape, names), key=len, reverse=True))
    return re.compile(rf"(?<!\w)(?:{words})(?!\w)")


def _folded(text: str) -> str:
    """Return a text in the form that the keys of names have."""
    return normalize("NFC", text).casefold()


def _definitions(tree: Tree) -> Iterator[tuple[str, str]]:
    """Yield each name that lines define with what they say of it; of a gauge, which measures all, no name."""
    for statement in tree.statements:
        name = _defined(statement.node)
        if name is not None:
            yield name, statement.text


def _defined(node: Node | None) -> str | None:
    match node:
        case Gauge():
            return ""
        case StitchDefinition(name=name) | Chart(name=name) | Let(name=name) | BodyFit(name=name):
            return name.casefold()
        case _:
            return None
