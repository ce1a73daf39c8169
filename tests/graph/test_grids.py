"""Motifs in a grid as a graph of places, built motif by motif: what is joined is what geometry says.

The compiler reckons a grid from one motif. Here every motif stands by itself with every place of its last
round, the places that face one another are joined one by one, and what comes out is counted on the graph.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from turnchain.compiler.counted import Block, CountedPattern, CountedPiece
from turnchain.compiler.fabric import Named, Repeat, Run, Segments
from turnchain.compiler.pipeline import Analysis, analyse
from turnchain.compiler.plan import LaidPlan
from turnchain.lang.source import Source

from ..analysed import analysed

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.tch"))
Motif = tuple[int, int]
"""How many motifs lie to its right, and how many above it: the upper right one is (0, 0)."""
Place = tuple[Motif, int]
"""A place of a motif's last round, in the order met with the right side facing."""

TOP, LEFT, LOWER, RIGHT = range(4)


def spelled(parts: Segments, marks: tuple[str, ...] = ()) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield every place by itself, with the marks on it."""
    for part in parts:
        match part:
            case Run(place, count):
                yield from [(place.kind, marks)] * count
            case Repeat(inner, times):
                for _ in range(times):
                    yield from spelled(inner, marks)
            case Named(label, inner, is_mark):
                yield from spelled(inner, (*marks, label) if is_mark else marks)


def last_round(piece: CountedPiece) -> list[tuple[str, tuple[str, ...]]]:
    """The places of a piece in rounds that are not turned, as its last round made them."""
    assert piece.plan.node.manner == "joined rounds"
    rows = [row for part in piece.parts if isinstance(part, Block) for row in part.rows]
    return list(spelled(rows[-1].after.parts))


def sides_of(round_: list[tuple[str, tuple[str, ...]]], corner: str) -> list[list[int]]:
    """The places from each corner up to the next, the corner first."""
    corners = [n for n, (_, marks) in enumerate(round_) if corner in marks]
    assert len(corners) == 4
    many = len(round_)
    return [
        [n % many for n in range(here, following if following > here else following + many)]
        for here, following in zip(corners, [*corners[1:], corners[0]], strict=True)
    ]


def joined(laid: LaidPlan, motif: CountedPiece, corner: str) -> tuple[nx.Graph, list[list[int]]]:
    """Every place of every motif, those that are joined bound to one another; and the sides of a motif."""
    round_ = last_round(motif)
    sides = sides_of(round_, corner)
    graph = nx.Graph()
    for across in range(laid.across):
        for high in range(laid.high):
            here = (across, high)
            graph.add_nodes_from((here, n) for n in range(len(round_)))
            for side, neighbour in ((LEFT, (across + 1, high)), (LOWER, (across, high + 1))):
                if neighbour[0] < laid.across and neighbour[1] < laid.high:
                    facing(graph, laid, round_, sides, (here, side), (neighbour, (side + 2) % 4))
    return graph, sides


def facing(
    graph: nx.Graph,
    laid: LaidPlan,
    round_: list[tuple[str, tuple[str, ...]]],
    sides: list[list[int]],
    one: tuple[Motif, int],
    other: tuple[Motif, int],
) -> None:
    """Join two sides: places of the one against those of the other, corners to corners."""

    def places(motif: Motif, side: int) -> list[Place]:
        ends = [*sides[side], sides[(side + 1) % 4][0]]
        return [(motif, n) for n in ends if is_joined(round_[n])]

    def is_joined(place: tuple[str, tuple[str, ...]]) -> bool:
        kind, marks = place
        return not laid.at or any(name in marks or (name == kind == "sp" and not marks) for name in laid.at)

    for here, there in zip(places(*one), reversed(places(*other)), strict=True):
        graph.add_edge(here, there, sides=frozenset((one, other)))


def grids(pattern: CountedPattern) -> Iterator[tuple[CountedPiece, LaidPlan, CountedPiece]]:
    for piece in pattern.pieces:
        if piece.plan.laid is not None:
            yield piece, piece.plan.laid, pattern.pieces[piece.plan.laid.index]


def check(found: Analysis) -> int:
    """Hold every grid of a pattern against its graph; return how many there are."""
    assert not found.has_errors
    many = 0
    for pattern in found.patterns:
        for piece, laid, motif in grids(pattern):
            assert piece.grid is not None
            many += 1
            check_grid(pattern, piece, laid, motif, piece.grid.corner)
    return many


def check_grid(
    pattern: CountedPattern, piece: CountedPiece, laid: LaidPlan, motif: CountedPiece, corner: str
) -> None:
    graph, sides = joined(laid, motif, corner)
    neighbours = nx.grid_2d_graph(laid.across, laid.high)
    bound = nx.from_edgelist((one, other) for (one, _), (other, _) in graph.edges)
    bound.add_nodes_from(motif for motif, _ in graph)
    # All motifs hang together, each with its neighbours in the grid and with no other.
    assert nx.is_connected(bound)
    assert nx.is_isomorphic(bound, neighbours)
    assert len({edge["sides"] for _, _, edge in graph.edges(data=True)}) == laid.beside + laid.between
    assert neighbours.number_of_edges() == laid.beside + laid.between
    assert laid.beside + laid.between == (laid.across - 1) * laid.high + laid.across * (laid.high - 1)
    # The inner points of the grid are the faces of a planar graph (Euler: faces = edges - nodes + 1).
    assert neighbours.number_of_edges() - neighbours.number_of_nodes() + 1 == laid.fours
    # Between corners each place is joined to one other at most; corners meet in ones, twos and fours.
    starts = {side[0] for side in sides}
    meeting: Counter[int] = Counter()
    for place, degree in graph.degree():
        if place[1] not in starts:
            assert degree <= 1, "a place is joined twice"
    for group in nx.connected_components(graph.subgraph(n for n in graph if n[1] in starts)):
        assert len({motif for motif, _ in group}) == len(group), "a motif is joined to itself"
        meeting[len(group)] += 1
    assert set(meeting) <= {1, 2, 4}
    assert piece.grid is not None
    if piece.grid.corners_joined:
        outer = 2 * (laid.across + laid.high - 2)
        assert meeting == +Counter({1: 4, 2: outer, 4: laid.fours})
    assert round_the_grid(graph, laid, sides) == outline(pattern, piece)


def round_the_grid(graph: nx.Graph, laid: LaidPlan, sides: list[list[int]]) -> int:
    """Count the places on sides that face no other motif; corners that are joined are one place."""
    corners = graph.subgraph(n for n in graph if n[1] in {side[0] for side in sides})
    group = {place: n for n, places in enumerate(nx.connected_components(corners)) for place in places}
    met: set[int] = set()
    between = 0
    for motif in {place[0] for place in graph}:
        for side, (right, down) in {TOP: (0, -1), LEFT: (1, 0), LOWER: (0, 1), RIGHT: (-1, 0)}.items():
            if not (0 <= motif[0] + right < laid.across and 0 <= motif[1] + down < laid.high):
                between += len(sides[side]) - 1
                met |= {group[motif, sides[end % 4][0]] for end in (side, side + 1)}
    return between + len(met)


def outline(pattern: CountedPattern, piece: CountedPiece) -> int:
    """What a piece along the grid's edge is started on."""
    index = pattern.pieces.index(piece)
    (border,) = (
        each
        for each in pattern.pieces
        if each.plan.start is not None and any(along.index == index for along in each.plan.start.along)
    )
    return border.start_count


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_grids_of_the_examples(path: Path) -> None:
    found = analysed(path)

    many = check(found)

    assert bool(many) == (" x {high} of " in path.read_text("utf-8"))


MOTIF = """turnchain 1, US
pattern Grid
piece Square, joined rounds
start ring
round 1: [{plain} sc in ring, [ch, sc in ring] x {spaces}, {chains} ch as corner] x 4
piece Cloth, {across} x {high} of Square, {how}
piece Border, joined rounds
start along around of Cloth
round 1: sc in corner, leave rest
"""


@given(
    plain=st.integers(1, 4),
    spaces=st.integers(1, 3),
    chains=st.integers(1, 5),
    across=st.integers(1, 6),
    high=st.integers(1, 6),
    how=st.sampled_from(("joined at corner", "joined at corner, sp", "sewn in whip stitch", "sewn in sc")),
)
@settings(max_examples=60)
def test_grids_made_up(plain: int, spaces: int, chains: int, across: int, high: int, how: str) -> None:
    text = MOTIF.format(plain=plain, spaces=spaces, chains=chains, across=across, high=high, how=how)

    assert check(analyse(Source("grid.tch", text))) == 1
