"""A text after a change: only the lines round the change are cut into statements and parsed again."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence

from .diagnostics import Diagnostic
from .parser import parse, parsed_stretch, second_header, too_long
from .source import Source
from .statements import stretches
from .syntax import Statement, Tree, Version

Faults = tuple[Diagnostic, ...]


def reparse(source: Source, before: Source, tree: Tree, faults: Faults) -> tuple[Tree, Faults]:
    """Return what `parse` returns of `source`, going on from what it returned of `before`."""
    if too_long(source.text):
        return parse(source)
    again = _Again(source.text, before.text, tree.statements, faults)
    return again.parsed() or parse(source)


class _Again:
    """What stays of the statements of an old text, and what has to be read again."""

    def __init__(self, new: str, old: str, statements: tuple[Statement, ...], faults: Faults) -> None:
        self._new, self._old = new, old
        self._statements, self._faults = statements, faults

    def parsed(self) -> tuple[Tree, Faults] | None:
        """Return the tree and its faults; None where the whole text has to be read."""
        new, statements = self._new, self._statements
        kept = common(self._old, new)
        first = _begin(statements, kept)
        header = next((each for each in statements[:first] if not _is_comment(each)), None)
        if header is None:
            return None
        moved = len(new) - len(self._old)
        same_from = len(new) - common(self._old[kept:], new[kept:], from_end=True)
        read: list[Statement] = []
        faults = [each for each in self._faults if each.span.start < statements[first].start]
        rest = len(statements)
        begin = statements[first]
        for stretch in stretches(new, begin.start, blank_before=begin.blank_before):
            parts = parsed_stretch(stretch)
            statement, fault = parts[0]
            if stretch.start >= same_from and not _is_comment(statement):
                at = bisect_left(statements, stretch.start - moved, key=lambda each: each.start)
                if at < len(statements) and statements[at].start == stretch.start - moved:
                    rest = at
                    while rest + 1 < len(statements) and _goes_on(statements[rest + 1]):
                        rest += 1
            if isinstance(statement.node, Version) and isinstance(header.node, Version):
                statement, fault = second_header(statement, header)
            for each, wrong in ((statement, fault), *parts[1:]):
                if wrong is not None:
                    faults.append(wrong.shifted(each.start))
                read.append(each)
            if rest < len(statements):
                break
        after = statements[rest + 1 :]
        if after:
            late = [each for each in self._faults if each.span.start >= after[0].start]
            if any(each.related for each in late):
                # They may point at a line that has not moved with them.
                return None
            faults += [each.shifted(moved) for each in late] if moved else late
        return Tree((*statements[:first], *read, *_moved(after, moved))), tuple(faults)


def _is_comment(statement: Statement) -> bool:
    return statement.node is None and not statement.faulty


def _goes_on(statement: Statement) -> bool:
    """Tell whether a statement is an indented line that was parted from the one above it."""
    return statement.faulty and statement.text[:1].isspace()


def _begin(statements: Sequence[Statement], kept: int) -> int:
    """Return the last statement that surely begins where it did: comments above a change may join another."""
    at = bisect_left(statements, kept, key=lambda each: each.start) - 1
    while at > 0 and (_is_comment(statements[at]) or _goes_on(statements[at])):
        at -= 1
    return max(at, 0)


def _moved(statements: Sequence[Statement], by: int) -> Sequence[Statement]:
    if not by:
        return statements
    return [
        Statement(each.text, each.node, each.comments, each.start + by, each.blank_before, each.faulty)
        for each in statements
    ]


def common(one: str, other: str, *, from_end: bool = False) -> int:
    """Return how many characters two texts have in common at their beginning, or at their end."""
    least, most = 0, min(len(one), len(other))
    while least < most:
        middle = (least + most + 1) // 2
        if from_end:
            alike = one[len(one) - middle :] == other[len(other) - middle :]
        else:
            alike = one[:middle] == other[:middle]
        least, most = (middle, most) if alike else (least, middle - 1)
    return least
