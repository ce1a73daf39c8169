"""What stands at a place of the text: its statement, and the nodes of the tree around it."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import fields, is_dataclass

from ...lang.source import Span
from ...lang.syntax import Statement, Tree


def statement_at(tree: Tree, offset: int) -> Statement | None:
    """Return the statement that holds an offset, its end included; None between statements."""
    at = bisect_right(tree.statements, offset, key=lambda each: each.start) - 1
    if at < 0:
        return None
    statement = tree.statements[at]
    return statement if offset <= statement.start + len(statement.text) else None


def nodes_at(statement: Statement, offset: int) -> list[object]:
    """Return the nodes around an offset into the source, from the whole statement to the innermost."""
    found: list[object] = []
    node: object | None = statement.node
    while node is not None:
        found.append(node)
        node = next((each for each in children(node) if _holds(each, offset - statement.start)), None)
    return found


def children(node: object) -> Iterator[object]:
    """Yield the nodes right inside a node."""
    for each in fields(node):  # type: ignore[arg-type]
        value = getattr(node, each.name)
        for one in value if isinstance(value, tuple) else (value,):
            if is_dataclass(one):
                yield one


def _holds(node: object, at: int) -> bool:
    span = getattr(node, "span", None)
    return isinstance(span, Span) and span.start <= at < span.end
