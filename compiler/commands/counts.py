"""`turnchain counts`: what every row finds and makes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from ...lang.stitches import vocabulary
from ..counted import Block, CountedPiece, CountedRow
from ..fabric import tally
from ..needs import Need
from ..pipeline import Analysis
from ..report.counts import CountLine, YarnLine, json_text, table
from . import CLEAN, FAULTY, WRONG_USE, Outcome
from .loading import load, report, unreadable


def counts(name: str, format_name: str = "text", *, colour: bool = False) -> Outcome:
    """Return the running counts of a pattern, and its errors on the side: what they hang on has no counts."""
    try:
        analysis = load(name).analysis
    except OSError as error:
        return Outcome(WRONG_USE, err=unreadable(name, error))
    lines = tuple(count_lines(analysis))
    shown = json_text if format_name == "json" else table
    yarns = tuple(_yarn_line(need) for need in analysis.yarn)
    text = shown(lines, analysis.scope.sizes, yarns) if lines or format_name == "json" else ""
    if analysis.has_errors:
        return Outcome(FAULTY, text, report([analysis], colour=colour))
    return Outcome(CLEAN, text or f"{analysis.source.name} has no rows")


def _yarn_line(need: Need) -> YarnLine:
    from ...lang.measures import about

    grams, metres = (
        tuple(map(about, amounts)) if amounts is not None else None for amounts in (need.grams, need.metres)
    )
    return YarnLine(need.yarn, grams, metres, need.margin, need.balls)


def count_lines(analysis: Analysis) -> Iterator[CountLine]:
    """Yield a line for each row, or for like rows one after another, with a value for each size."""
    for pieces in zip(*(pattern.pieces for pattern in analysis.patterns), strict=True):
        yield from _of_piece(pieces, analysis.scope.dialect)


@dataclass(frozen=True, slots=True)
class _Entry:
    """Like rows in one size."""

    first: int
    last: int
    before: int | None
    after: int | None
    kinds: Counter[str]


def _of_piece(pieces: Sequence[CountedPiece], dialect: str) -> Iterator[CountLine]:
    title = pieces[0].plan.node.title or pieces[0].plan.node.name
    for blocks in zip(*(piece.parts for piece in pieces), strict=True):
        if not isinstance(blocks[0], Block):
            continue
        unit = blocks[0].stretch.node.label.unit
        in_sizes = [_entries(block) for block in blocks if isinstance(block, Block)]
        for entries in _side_by_side(in_sizes):
            before = tuple(None if each is None else each.before for each in entries)
            after = tuple(None if each is None else each.after for each in entries)
            worked = tuple(each is not None for each in entries)
            yield CountLine(title, _label(unit, entries), before, after, _by_kind(entries, dialect), worked)


def _entries(block: Block) -> list[_Entry]:
    if not block.rows:
        first = block.first or 0
        unknown = _Entry(first, first + block.times - 1, None, None, Counter())
        return [unknown] if block.times or block.first is None else []
    return [_entry(row) for row in block.rows]


def _entry(row: CountedRow) -> _Entry:
    kinds = Counter(
        {kind: many for kind, many in tally(row.after.parts).items() if kind != "chains" and many}
    )
    return _Entry(row.number, row.number + row.times - 1, row.found, row.stitches, kinds)


def _side_by_side(in_sizes: Sequence[list[_Entry]]) -> Iterator[tuple[_Entry | None, ...]]:
    """Put the entries of one statement together: one by one, or by rows where the sizes part differently."""
    many = {len(entries) for entries in in_sizes if entries}
    if len(many) == 1:
        for at in range(many.pop()):
            yield tuple(entries[at] if entries else None for entries in in_sizes)
        return
    starts = sorted({each.first - entries[0].first for entries in in_sizes for each in entries})
    ends = sorted({each.last + 1 - entries[0].first for entries in in_sizes for each in entries})
    cuts = sorted({*starts, *ends})
    for begin, end in pairwise(cuts):
        yield tuple(_between(entries, begin, end) for entries in in_sizes)


def _between(entries: list[_Entry], begin: int, end: int) -> _Entry | None:
    for each in entries:
        first = entries[0].first
        if each.first <= first + begin <= each.last:
            return _Entry(first + begin, first + end - 1, each.before, each.after, each.kinds)
    return None


def _label(unit: str, entries: Sequence[_Entry | None]) -> str:
    there = [each for each in entries if each is not None]
    first = _per_size([each.first for each in there])
    last = _per_size([each.last for each in there])
    return f"{unit} {first}" if first == last else f"{unit}s {first}-{last}"


def _per_size(numbers: Sequence[int]) -> str:
    return str(numbers[0]) if len(set(numbers)) == 1 else "/".join(map(str, numbers))


def _by_kind(
    entries: Sequence[_Entry | None], dialect: str
) -> tuple[tuple[str, tuple[int | None, ...]], ...]:
    kinds = dict.fromkeys(kind for each in entries if each is not None for kind in each.kinds)
    return tuple(
        (_called(kind, dialect), tuple(None if each is None else each.kinds[kind] for each in entries))
        for kind in kinds
    )


def _called(kind: str, dialect: str) -> str:
    if kind.startswith("as "):
        return kind[3:]
    stitch = vocabulary("US").find(kind)
    return stitch.source_name(dialect) if stitch is not None else kind
