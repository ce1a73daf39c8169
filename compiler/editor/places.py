"""What stands at a place of the text: its statement, and the nodes of the tree around it."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass

from ...lang.source import Span
from ...lang.syntax import Statement, Tree
from ..counted import Block, CountedPiece
from ..pipeline import Analysis


def statement_at(tree: Tree, offset: int) -> Statement | None:
    """Return the statement that holds an offset, its end included; None between statements."""
    at = bisect_right(tree.statements, offset, key=lambda each: each.start) - 1
    if at < 0:
        return None
    statement = tree.statements[at]
    return statement if offset <= statement.start + len(statement.text) else None


@dataclass(frozen=True, slots=True)
class Counted:
    """The rows of a statement, one piece and one block a size."""

    pieces: tuple[CountedPiece, ...]
    blocks: tuple[Block, ...]
    at: int
    """Which of the parts of each piece the block is."""


def has_own_rows(piece: CountedPiece) -> bool:
    """Tell whether the rows of a piece stand under it, and are not those of another."""
    return piece.plan.again is None and piece.plan.laid is None


def counted_at(analysis: Analysis, statement: Statement) -> Counted | None:
    """Return what was counted of a statement; None if it writes no rows."""
    for pieces in zip(*(pattern.pieces for pattern in analysis.patterns), strict=True):
        if not has_own_rows(pieces[0]):
            continue
        for at, part in enumerate(pieces[0].parts):
            if isinstance(part, Block) and part.stretch.start == statement.start:
                blocks = [piece.parts[at] for piece in pieces]
                return Counted(pieces, tuple(each for each in blocks if isinstance(each, Block)), at)
    return None


def blocks_of(analysis: Analysis, statement: Statement) -> tuple[Block, ...]:
    """Return what was counted of a statement, one block a size; nothing if it writes no rows."""
    counted = counted_at(analysis, statement)
    return () if counted is None else counted.blocks


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
