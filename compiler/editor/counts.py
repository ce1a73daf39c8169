"""The running counts: at the end of each row the stitches that it finds and makes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ...lang.source import Span
from ..counted import Block
from ..pipeline import Analysis
from .places import has_own_rows

UNKNOWN = "?"
NO_ROW = "–"
WRONG = "⚠ "


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
    """Return what the rows of one statement find and make, one block a size."""
    found = per_size([_before(block) for block in blocks])
    made = per_size([_after(block) for block in blocks])
    return f"{found} → {made}"


def per_size(counts: Sequence[str]) -> str:
    """Return counts side by side; those that are the same in all sizes once."""
    return counts[0] if len(set(counts)) == 1 else "/".join(counts)


def _before(block: Block) -> str:
    return str(block.rows[0].found) if block.rows else _none(block)


def _after(block: Block) -> str:
    return str(block.rows[-1].stitches) if block.rows else _none(block)


def _none(block: Block) -> str:
    return NO_ROW if block.stretch.times == 0 else UNKNOWN
