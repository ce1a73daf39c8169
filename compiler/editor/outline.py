"""The outline of a pattern, and what of it can be folded."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from ...lang.source import Span
from ...lang.syntax import Chart, Let, Piece, Row, Statement, StitchDefinition, Text, Tree


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the outline."""

    kind: str
    """`pattern`, `stitch`, `let`, `chart`, `piece` or `row`."""
    name: str
    span: Span
    """All that belongs to it."""
    name_span: Span
    inner: tuple[Entry, ...] = ()


def outline(tree: Tree) -> tuple[Entry, ...]:
    """Return the title, what is defined, and the pieces with their rows."""
    found: list[tuple[Entry, list[Entry]]] = []
    for entry in filter(None, map(_entry, tree.statements)):
        if entry.kind == "row" and found and found[-1][0].kind == "piece":
            found[-1][1].append(entry)
        else:
            found.append((entry, []))
    return tuple(_with_rows(entry, rows) if rows else entry for entry, rows in found)


def _with_rows(piece: Entry, rows: list[Entry]) -> Entry:
    return replace(piece, span=Span(piece.span.start, rows[-1].span.end), inner=tuple(rows))


def _entry(statement: Statement) -> Entry | None:
    start = statement.start
    whole = Span(start, start + len(statement.text))
    match statement.node:
        case Text(key="pattern", lines=lines):
            return Entry("pattern", " ".join(lines), whole, whole)
        case StitchDefinition(name=name, name_span=span):
            return Entry("stitch", name, whole, span.shifted(start))
        case Let(name=name, name_span=span):
            return Entry("let", name, whole, span.shifted(start))
        case Chart(name=name, name_span=span):
            return Entry("chart", name, whole, span.shifted(start))
        case Piece(name=name, title=title, name_span=span):
            return Entry("piece", title or name, whole, span.shifted(start))
        case Row(label=label):
            span = label.span.shifted(start)
            return Entry(
                "row", " ".join(statement.text[label.span.start : label.span.end].split()), whole, span
            )
        case _:
            return None


def folds(tree: Tree) -> Iterator[Span]:
    """Yield what can be folded: the header, each piece, and statements of several lines."""
    begun, end = 0, 0
    for statement in tree.statements:
        whole = Span(statement.start, statement.start + len(statement.text))
        if isinstance(statement.node, Piece):
            if end:
                yield Span(begun, end)
            begun = whole.start
        end = whole.end
        if "\n" in statement.text or "\r" in statement.text:
            yield whole
    if end:
        yield Span(begun, end)
