"""Squared charts: what their squares stand for, and each row of one as the items that work it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby

from ..lang.diagnostics import Diagnostic, Label
from ..lang.source import Span
from ..lang.statements import cut
from ..lang.syntax import AsFits, Body, Chart, ChartRow, Statement, Times
from .faults import Fault, fault, plural
from .scope import Scope, items_of

MESH = ("space", "block")
"""The squares of filet crochet."""


@dataclass(frozen=True, slots=True)
class Squares:
    """A chart that can be worked."""

    node: Chart
    names: Mapping[str, str]
    """What each character stands for."""
    mesh: bool
    """Whether its squares are spaces and blocks, which share their posts."""

    @property
    def height(self) -> int:
        """How many rows it has."""
        return len(self.node.rows)

    def runs(self, row: int, side: str) -> tuple[tuple[str, int], ...]:
        """Return one row, counted from the bottom, as names and how many: in the order they are worked.

        A chart shows the right side. Work goes from right to left, so with the wrong side facing the row is
        met from its left end.
        """
        shown = self.node.rows[-row]
        order = shown if side == "ws" else reversed(shown)
        return tuple((name, sum(1 for _ in same)) for name, same in groupby(self.names[key] for key in order))


def charts_of(body: Body) -> Iterator[ChartRow]:
    """Yield the charts that a row works."""
    return (item for item in items_of(body) if isinstance(item, ChartRow))


def ends_in_mesh(body: Body, is_mesh: Callable[[str], bool], *, last: bool) -> bool:
    """Tell whether the last item of a body, or the first, is a row of a mesh."""
    item = body.items[-1 if last else 0]
    if isinstance(item, Times | AsFits):
        return ends_in_mesh(item.body, is_mesh, last=last)
    return isinstance(item, ChartRow) and is_mesh(item.name)


def squares_of(scope: Scope) -> tuple[dict[str, Squares], tuple[Diagnostic, ...]]:
    """Return the charts of a pattern that are in order, and what is wrong with the others."""
    found: dict[str, Squares] = {}
    wrong: list[Diagnostic] = []
    for key, statement in scope.charts.items():
        try:
            found[key] = _squares(statement, scope)
        except Fault as broken:
            wrong.append(broken.diagnostic.shifted(statement.start))
    return found, tuple(wrong)


def _squares(statement: Statement, scope: Scope) -> Squares:
    node = statement.node
    assert isinstance(node, Chart)
    names: dict[str, str] = {}
    for square in node.squares:
        if square.key in names:
            raise fault(
                "used-twice",
                f"the square `{square.key}` of chart {node.name} stands for two things",
                node.span,
                help="give one of the two another character",
            )
        names[square.key] = _known(square.name, node, scope)
    meshes = [name for name in names.values() if name in MESH]
    if meshes and len(meshes) < len(names):
        other = next(name for name in names.values() if name not in MESH)
        raise fault(
            "unknown-square",
            f"a chart of spaces and blocks has no squares of {other}",
            node.span,
            help="put them into a chart of their own",
        )
    _check_rows(statement, node, names)
    return Squares(node, names, bool(meshes))


def _known(name: str, node: Chart, scope: Scope) -> str:
    key = name.casefold()
    if key in MESH:
        return key
    if key in scope.yarns or key in scope.definitions or scope.vocabulary.find(name) is not None:
        return name
    raise fault(
        "unknown-square",
        f"the squares of chart {node.name} can't be worked: there is no `{name}`",
        node.span,
        help="a square is a `space` or a `block`, a yarn, or a stitch",
        facts={"wanted": name},
    )


def _check_rows(statement: Statement, node: Chart, names: Mapping[str, str]) -> None:
    if not node.rows:
        raise fault(
            "chart-rows",
            f"chart {node.name} has no squares",
            node.span,
            help="write its rows under it, indented, the top one first",
        )
    spans = tuple(_row_spans(statement, node))
    for row, span in zip(node.rows, spans, strict=True):
        for at, key in enumerate(row):
            if key not in names:
                known = ", ".join(f"`{each}`" for each in names)
                raise fault(
                    "unknown-square",
                    f"chart {node.name} does not say what the square `{key}` is",
                    Span(span.start + at, span.start + at + 1),
                    help=f"its squares are {known}; add what this one stands for: `{key} = block`",
                )
    for row, span in zip(node.rows, spans, strict=True):
        if len(row) != len(node.rows[0]):
            raise fault(
                "uneven-chart",
                f"this row of chart {node.name} has {plural(len(row), 'square')}, and the top one "
                f"{len(node.rows[0])}",
                span,
                related=(Label(spans[0], "the top row"),),
                help="give every row the same number of squares",
                facts={"expected": len(node.rows[0]), "found": len(row)},
            )


def _row_spans(statement: Statement, node: Chart) -> Iterator[Span]:
    """Yield where each row of squares stands in the statement."""
    code = cut(statement.text).code
    at = node.span.end
    for row in node.rows:
        at = code.index(row, at)
        yield Span(at, at + len(row))
        at += len(row)
