"""Seams and joins as graphs of places: what the checker refuses is what would join a place twice.

A pattern is made up by chance, and a graph beside it: every place of every edge is a node, and each seam or
join binds two of them. The checker must find fault exactly where the graph has a place with two.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import networkx as nx
from hypothesis import given, settings
from hypothesis import strategies as st
from turnchain.compiler.counted import CountedSeam
from turnchain.compiler.pipeline import analyse
from turnchain.lang.diagnostics import Severity
from turnchain.lang.source import Source

EDGES = ("top", "left", "foundation", "right")


@dataclass
class Sewn:
    """A pattern of plain pieces, and the seams that are to be made."""

    pieces: list[tuple[int, int]]
    """Stitches and rows of each."""
    seams: list[tuple[tuple[int, str, int, int], tuple[int, str, int, int]]]
    """Piece, edge, how many of its places and from which end: 0 for all, 1 for the first, 2 for the last."""
    lines: list[str] = field(default_factory=list)

    def text(self) -> str:
        lines = ["turnchain 1, US", "pattern Sewn"]
        for number, (stitches, rows) in enumerate(self.pieces):
            lines += [
                f"piece P{number}, turned rows",
                f"start {stitches + 1} ch",
                f"rows 1-{rows}: sc to end",
            ]
        self.lines = [f"seam {self.said(one)}, {self.said(other)}" for one, other in self.seams]
        return "\n".join([*lines, *self.lines]) + "\n"

    def said(self, side: tuple[int, str, int, int]) -> str:
        piece, edge, many, end = side
        return f"{edge} of P{piece}" + ("" if not end else f", {('first', 'last')[end - 1]} {many}")

    def places(self, side: tuple[int, str, int, int]) -> list[tuple[int, str, int]]:
        piece, edge, many, end = side
        stitches, rows = self.pieces[piece]
        every = list(range(rows if edge in ("left", "right") else stitches))
        part = {0: every, 1: every[:many], 2: every[-many:]}[end]
        return [(piece, edge, n) for n in part]


@st.composite
def sewn(draw: st.DrawFn) -> Sewn:
    pieces = draw(st.lists(st.tuples(st.integers(3, 6), st.integers(3, 6)), min_size=2, max_size=4))

    def side() -> tuple[int, str, int, int]:
        end = draw(st.integers(0, 2))
        return (
            draw(st.integers(0, len(pieces) - 1)),
            draw(st.sampled_from(EDGES)),
            draw(st.integers(1, 3)) if end else 0,
            end,
        )

    return Sewn(pieces, [(side(), side()) for _ in range(draw(st.integers(1, 5)))])


@given(sewn())
@settings(max_examples=150)
def test_seams_are_refused_where_a_place_would_be_sewn_twice(pattern: Sewn) -> None:
    found = analyse(Source("sewn.tch", pattern.text()))

    graph = nx.Graph()
    wanted: dict[int, str] = {}
    for number, (one, other) in enumerate(pattern.seams):
        # The checker uses up the first edge, then the second, and lets go of neither.
        first, second = pattern.places(one), pattern.places(other)
        fault = ""
        if one == other:
            fault = "used-edge"
        for side in (first, second) if not fault else ():
            if any(graph.has_node(place) for place in side):
                fault = "used-edge"
                break
            graph.add_nodes_from(side)
        if not fault and len(first) != len(second):
            fault = "uneven-seam"
        if fault:
            wanted[number] = fault
        else:
            graph.add_edges_from(zip(first, reversed(second), strict=True))
    told = {
        pattern.lines.index(line): each.name
        for each in found.diagnostics
        if each.severity is Severity.ERROR
        for line in [
            found.source.text[found.source.text.rindex("\n", 0, each.span.start) + 1 :].split("\n")[0]
        ]
    }
    assert {number: told.get(pattern.lines.index(pattern.lines[number])) for number in wanted} == wanted
    assert set(told) <= {pattern.lines.index(pattern.lines[number]) for number in wanted}
    assert all(degree <= 1 for _, degree in graph.degree())
    seams = [
        each for group in found.patterns[0].making_up for each in group.parts if isinstance(each, CountedSeam)
    ]
    assert len(seams) == len(pattern.seams) - len(wanted)


@given(
    corners=st.integers(1, 6),
    joins=st.lists(st.none() | st.integers(1, 7), min_size=1, max_size=8),
)
@settings(max_examples=150)
def test_joins_are_refused_where_a_place_would_be_joined_twice(corners: int, joins: list[int | None]) -> None:
    said = ", ".join(
        f"sc in ring, join {'' if which is None else nth(which) + ' '}corner of First" for which in joins
    )
    text = (
        "turnchain 1, US\npattern Joined\npiece First, joined rounds\nstart ring\n"
        f"round 1: [sc in ring, ch as corner] x {corners}\n"
        f"piece Second, joined rounds\nstart ring\nround 1: {said}\n"
    )

    found = analyse(Source("joined.tch", text))

    graph = nx.Graph()
    wanted: list[str] = []
    for number, which in enumerate(joins):
        free = [n for n in range(1, corners + 1) if not graph.has_node(("First", n))]
        place = which if which is not None else max(free, default=0)
        if which is not None and which > corners:
            wanted.append("unknown-edge")
        elif place not in free:
            wanted.append("joined-twice")
        else:
            graph.add_edge(("First", place), ("Second", number))
    assert sorted(each.name for each in found.diagnostics if each.severity is Severity.ERROR) == sorted(
        wanted
    )
    assert all(degree == 1 for _, degree in graph.degree())


def nth(number: int) -> str:
    return f"{number}{({1: 'st', 2: 'nd', 3: 'rd'}).get(number, 'th')}"


def test_the_fronts_of_the_cardigan_hang_together() -> None:
    path = Path(__file__).parents[2] / "examples" / "fen-cardigan-front.tch"
    found = analyse(Source(path.name, path.read_text("utf-8")))

    for pattern in found.patterns:
        graph = nx.MultiGraph()
        for group in pattern.making_up:
            for seam in group.parts:
                if isinstance(seam, CountedSeam):
                    (one,), (other,) = seam.plan.first, seam.plan.second
                    graph.add_edge(one.index, other.index, seam=(one.edge, other.edge))
        titles = {index: pattern.pieces[index].plan.node.name for index in graph}
        assert set(titles.values()) == {"Left_front", "Right_front", "Gusset", "Rib"}
        assert nx.is_connected(nx.Graph(graph))
        # Two gussets and two ribs, each sewn once to a front: no front is sewn to the other.
        assert nx.is_bipartite(nx.Graph(graph))
        assert sorted(degree for _, degree in graph.degree()) == [2, 2, 2, 2]
