"""The running counts: at the end of each row the stitches that it finds and makes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ...lang.source import Span
from ..counted import Block, CountedRow
from ..fabric import CHAIN, SPACE, TIP, Segments, places, tally
from ..pipeline import Analysis
from .places import has_own_rows

UNKNOWN = "?"
NO_ROW = "–"
WRONG = "⚠ "
STITCHES = ""
"""What needs no name behind its number."""
NAMED_KINDS = (SPACE, CHAIN, TIP)
"""Places that are no stitches, as totals name them."""


@dataclass(frozen=True, slots=True)
class RunningCount:
    """What stands behind a row."""

    offset: int
    """The end of the row's last line."""
    text: str
    """`13 → 15`; of several sizes `13/15 → 15/17`."""
    wrong: bool = False
    """Whether the author states another total."""
    more: str = ""
    """What there is to say beside it: what is wrong, and the counts of each size by its name."""


def running_counts(analysis: Analysis, within: Span) -> Iterator[RunningCount]:
    """Yield the counts of the rows that end in a stretch of the text, in their order."""
    ends = {each.start: each.start + len(each.text) for each in analysis.tree.statements}
    wrong = [each for each in analysis.diagnostics if each.name == "stated-total"]
    for pieces in zip(*(pattern.pieces for pattern in analysis.patterns), strict=True):
        if not has_own_rows(pieces[0]):
            continue
        for blocks in zip(*(piece.parts for piece in pieces), strict=True):
            first = blocks[0]
            if not isinstance(first, Block):
                continue
            start = first.stretch.start
            end = ends[start]
            if within.start <= end <= within.end:
                off = [each.message for each in wrong if start <= each.span.start < end]
                of_sizes = [block for block in blocks if isinstance(block, Block)]
                named = zip(analysis.scope.sizes, of_sizes, strict=False)
                more = "\n".join([*off, *(f"{size}: {said([block])}" for size, block in named)])
                text = said(of_sizes)
                yield RunningCount(end, f"{WRONG}{text}" if off else text, bool(off), more)


def said(blocks: Sequence[Block]) -> str:
    """Return what the rows of one statement find and make, one block a size: `53 + 26 sp → 79`."""
    found = _in_sizes(blocks, [_found(block.rows[0]) if block.rows else {} for block in blocks])
    made = _in_sizes(blocks, [_made(block.rows[-1]) if block.rows else {} for block in blocks])
    return f"{found} → {made}"


def per_size(counts: Sequence[str]) -> str:
    """Return counts side by side; those that are the same in all sizes once."""
    return counts[0] if len(set(counts)) == 1 else "/".join(counts)


def _in_sizes(blocks: Sequence[Block], edges: Sequence[Mapping[str, int]]) -> str:
    """Return how many of each kind there are, by size: stitches first, the others with their names."""
    kinds = list(dict.fromkeys(kind for edge in edges for kind in edge))
    counted = [
        per_size(
            [
                str(edge.get(kind, 0)) if block.rows else _none(block)
                for edge, block in zip(edges, blocks, strict=True)
            ]
        )
        for kind in kinds or [STITCHES]
    ]
    return " + ".join(f"{count} {kind}".rstrip() for count, kind in zip(counted, kinds or [""], strict=True))


def _found(row: CountedRow) -> dict[str, int]:
    """Return what a row finds by kind; of one kind alone just the number, without the chains of its turn."""
    found = _kinds(row.before.parts)
    return found if len(found) > 1 and found[STITCHES] else {STITCHES: row.found}


def _made(row: CountedRow) -> dict[str, int]:
    """Return what a row makes by kind; where chains count as stitches there is but one number."""
    made = _kinds(row.after.parts)
    return made if made[STITCHES] == row.stitches else {STITCHES: row.stitches}


def _kinds(parts: Segments) -> dict[str, int]:
    """Return the places of an edge: stitches, and those that totals name."""
    found = tally(parts)
    others = {kind: found[kind] for kind in NAMED_KINDS if found[kind]}
    return {STITCHES: places(parts) - sum(others.values()), **others}


def _none(block: Block) -> str:
    return NO_ROW if block.stretch.times == 0 else UNKNOWN
