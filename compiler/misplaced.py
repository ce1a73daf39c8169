"""What is said of statements that stand where they can't, or do not suit their piece."""

from __future__ import annotations

import re
from collections.abc import Iterator

from ..lang.diagnostics import Diagnostic, Fix, Label
from ..lang.source import Span
from ..lang.syntax import Row, Statement
from .pieces import PieceState
from .plan import Stretch


def under_complete(piece: PieceState, span: Span, what: str) -> Diagnostic:
    """Return what is wrong with rows and the like under a piece that takes all its rows from another."""
    name, again, laid = piece.node.name, piece.node.again, piece.node.laid
    made = f"worked as {again.name}" if again is not None else f"laid of {laid.motif if laid else ''}"
    return Diagnostic(
        "out-of-order",
        f"{name} is {made}, so no {what} can stand under it",
        span,
        help=f"take them out, or begin `piece {name}` with a manner such as `turned rows`",
    )


def after_close(piece: PieceState, span: Span) -> Diagnostic:
    """Return what is wrong with a row after the last one has been drawn together."""
    return Diagnostic(
        "after-close",
        f"the last round of {piece.node.name} has been drawn together: nothing can be worked after it",
        span,
        help="move `close` below the last round",
    )


def without_start(piece: PieceState) -> Iterator[Diagnostic]:
    """Yield what is wrong with rows of a piece that is not started."""
    if any(isinstance(part, Stretch) for part in piece.parts):
        yield Diagnostic(
            "out-of-order",
            f"piece {piece.node.name} has rows, but nothing to work the first one into",
            piece.node.name_span.shifted(piece.offset),
            help="write `start` under the piece: `start 14 ch`, `start ring`, ...",
        )


def wrong_unit(piece: PieceState, node: Row, statement: Statement) -> Iterator[Diagnostic]:
    """Yield what is wrong with a round in a piece of rows, or the other way round."""
    label = node.label
    unit = "row" if piece.node.manner.endswith("rows") else "round"
    if label.unit == unit:
        return
    span = label.span.shifted(statement.start)
    said = statement.text[label.span.start : label.span.end]
    right = re.sub(r"(?i)row|round", unit, said)
    yield Diagnostic(
        "rows-or-rounds",
        f"piece {piece.node.name} is worked in {piece.node.manner}, and this line says {label.unit}",
        span,
        help=f"write `{right}`, or give the piece another manner",
        fix=Fix(f"write `{right}`", (Label(span, right),), safe=False),
    )
