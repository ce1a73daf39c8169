"""Every example and every handbook pattern as a graph of stitches, held against laws of a graph library.

The laws are facts of crochet (common practice, no source): a fabric hangs together; flat work and simple
rounds can be drawn without two threads that cross; a place is worked by one row and no other; a row has as
many stitches as its published line says. Whether a graph is connected and planar, networkx says.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path

import networkx as nx
import pytest
from turnchain.compiler.counted import Block, CountedPiece
from turnchain.compiler.document import RowText
from turnchain.compiler.fabric import edge
from turnchain.compiler.pipeline import Analysis, analyse
from turnchain.compiler.wording import document
from turnchain.lang.source import Source

from ..analysed import analysed
from .fabric import Fabric, NoFabricError

HERE = Path(__file__).parents[1]
PATTERNS = sorted((*(HERE.parent / "examples").glob("*.tch"), *(HERE / "handbooks").glob("*.tch")))
DRAWN = 2_500
"""Nodes of a piece that is drawn as a whole; of a larger one, each band of two rows is."""

LAYERS = {
    "crossed stitches": "one thread lies over the other",
    "an older row": "the rows between lie in front",
    "rows below": "a spike lies over the row that it passes",
    "stitches that go back": "they cross what was worked before them",
}
"""What makes two layers of a fabric, so that it can't be drawn in one."""

NOT_DRAWN = {
    "beeton-1870-raised-rose": {"an older row"},
    "handbook-1918-jacket-body": {"stitches that go back"},
    "handbook-1918-jacket-yoke": {"stitches that go back"},
    "handbook-1918-raised-trebles": {"rows below"},
}
"""The patterns that are in layers; all others are drawn."""


@dataclass(frozen=True)
class Worked:
    """A pattern, and each piece of it that has rows of its own, in each size in which it differs."""

    name: str
    analysis: Analysis
    fabrics: tuple[tuple[str, Fabric], ...]


@pytest.fixture(scope="module", params=PATTERNS, ids=lambda path: path.stem)
def worked(request: pytest.FixtureRequest) -> Worked:
    path: Path = request.param
    found = analysed(path)
    assert not found.has_errors
    pieces: list[CountedPiece] = []
    for pattern in found.patterns:
        pieces += [piece for piece in pattern.pieces if piece.parts and piece not in pieces]
    fabrics = tuple((piece.plan.node.name, Fabric(piece)) for piece in pieces)
    assert fabrics
    return Worked(path.stem, found, fabrics)


def test_a_fabric_hangs_together(worked: Worked) -> None:
    """Worked place by place, each row finds, uses and makes what the checker says, or it is none."""
    for name, fabric in worked.fabrics:
        assert nx.is_connected(fabric.graph), name


def test_flat_work_and_simple_rounds_can_be_drawn(worked: Worked) -> None:
    layers = {why for _, fabric in worked.fabrics for why in fabric.odd & LAYERS.keys()}
    assert layers == NOT_DRAWN.get(worked.name, set())
    for name, fabric in worked.fabrics:
        assert layers or drawable(fabric), name


def drawable(fabric: Fabric) -> bool:
    """Tell whether no two edges need to cross."""
    if len(fabric.graph) <= DRAWN:
        return bool(nx.is_planar(fabric.graph))
    bands = {band(fabric.graph, (*low, *high)) for low, high in pairwise(fabric.rows)}
    return all(nx.is_planar(nx.from_edgelist(threads)) for threads in bands)


def band(graph: nx.Graph, nodes: tuple[int, ...]) -> frozenset[tuple[int, int]]:
    """The threads among some places, each by its number among them: of bands that are alike one is drawn."""
    numbers = {node: number for number, node in enumerate(nodes)}
    threads = graph.subgraph(nodes).edges
    return frozenset((min(ends), max(ends)) for ends in ((numbers[a], numbers[b]) for a, b in threads))


def test_no_place_is_worked_by_two_rows(worked: Worked) -> None:
    """Of two rows in one stitch each has a loop of its own."""
    for name, fabric in worked.fabrics:
        assert list(shared(fabric)) == [], name


def shared(fabric: Fabric) -> Iterator[int]:
    """Yield the places that rows would have to share."""
    for node, users in fabric.users.items():
        rows, loops = {row for row, _ in users}, {loop for _, loop in users}
        if len(rows) > 1 and (None in loops or not len(rows) == len(loops) == 2):
            yield node


STITCHES = re.compile(r"(?P<first>\d+)(?: \((?P<others>[\d, ]+)\))? stitch(?:es)?\b")
HOW_MANY = re.compile(
    r"Next (?P<first>\d+)(?: \((?P<others>[\d, ]+)\))? (?:row|round)s|\w+s (?P<low>\d+)–(?P<high>\d+)"
)


def of_size(found: re.Match[str], at: int) -> int:
    """The number for a size out of `6 (8, 10)`."""
    numbers = [found["first"], *(found["others"] or "").split(", ")]
    return int(numbers[at] if found["others"] else numbers[0])


def published(entries: tuple[object, ...], size: int) -> list[tuple[int, int]]:
    """After how many rows what count is published, for the size of that number from 1."""
    done, told = 0, []
    for entry in entries:
        if not isinstance(entry, RowText) or (entry.sizes and size not in entry.sizes):
            continue
        at = entry.sizes.index(size) if entry.sizes else size - 1
        label = HOW_MANY.match(entry.label)
        if not label:
            done += 1
        elif label["low"]:
            done += int(label["high"]) - int(label["low"]) + 1
        else:
            done += of_size(label, at)
        count = STITCHES.match(entry.count)
        told.append((done, of_size(count, at) if count else 0))
    return told


def test_rows_have_as_many_stitches_as_is_published(worked: Worked) -> None:
    found = worked.analysis
    sections = {section.title: section.entries for section in document(found, "US", "full").sections}
    compared = 0
    for size, pattern in enumerate(found.patterns, 1):
        for piece in pattern.pieces:
            told = published(sections.get(piece.plan.title, ()), size)
            counts = Fabric(piece).counts if told else []
            for row, count in told:
                assert counts[row - 1] == count, (piece.plan.title, pattern.size, row)
            compared += len(told)
            assert not told or told[-1][0] == len(counts)
    assert compared


# ---- the laws can be broken --------------------------------------------------------------------------------


def piece_of(rows: str) -> CountedPiece:
    text = f"turnchain 1, US\npattern Try\npiece Tube, joined rounds\nstart 12 ch, joined\n{rows}\n"
    found = analyse(Source("try.tch", text))
    assert not found.has_errors
    return found.patterns[0].pieces[0]


def test_crossed_stitches_cant_be_drawn() -> None:
    plain, crossed = (
        Fabric(piece_of(f"rounds 1-2: dc to end\nround 3: {row}\nrounds 4-5: dc to end"))
        for row in ("12 dc", "4 dc, 2 dc crossed, 6 dc")
    )
    assert drawable(plain)
    assert not drawable(crossed)
    assert crossed.odd == {"crossed stitches"}


@pytest.mark.parametrize("part", ["before", "after", "worked"])
def test_what_does_not_fit_is_no_fabric(part: str) -> None:
    """One stitch more or less in what a row finds, makes or uses."""
    piece = piece_of("round 1: sc to end\nround 2: [sc, inc] to end\nround 3: sc to end")
    block = piece.parts[1]
    assert isinstance(block, Block)
    [row] = block.rows
    other = piece.parts[0].rows[0]  # type: ignore[union-attr]
    wrong = {
        "before": replace(row, before=edge(row.after.parts)),
        "after": replace(row, after=edge(row.before.parts)),
        "worked": replace(row, account=other.account),
    }[part]
    parts = (piece.parts[0], replace(block, rows=(wrong,)), piece.parts[2])

    assert [*shared(Fabric(piece))] == []
    with pytest.raises(NoFabricError):
        Fabric(replace(piece, parts=parts))


def test_rows_that_share_places_are_seen() -> None:
    fabric = Fabric(piece_of("round 1: sc to end\nround 2: 6 sc, skip 6\nround 3: sc to end"))
    below = fabric.rows[1]
    fabric.users[below[0]].append((3, None))

    assert [*shared(fabric)] == [below[0]]
