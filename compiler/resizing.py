"""What a pattern becomes at another gauge: worked as it is written, and written anew for it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from ..lang.diagnostics import Diagnostic, Severity
from ..lang.measures import convert
from ..lang.source import Source
from ..lang.syntax import Gauge as GaugeLine
from ..lang.syntax import Number, Row, Statement, Value
from .counted import Block, CountedPattern, CountedPiece
from .finished import Finished, finished_pieces, rows_of
from .gauges import Gauges
from .pipeline import Analysis

Analyse = Callable[[Source], Analysis]
FURTHEST = 40
"""How far from the number wanted another is looked for."""


@dataclass(frozen=True, slots=True)
class Worked:
    """A piece in one size."""

    stitches: int
    """Of its widest row; of motifs in a grid how many lie side by side."""
    rows: int
    """Or how many motifs high."""
    finished: Finished


@dataclass(frozen=True, slots=True)
class Resized:
    """A piece in one size at another gauge."""

    title: str
    unit: str
    size: str
    written: Worked
    here: Finished
    """The same counts at the other gauge."""
    anew: Worked | None
    """As its measures come out at the other gauge; None where none of its counts hangs on the gauge."""
    wanted: int = 0
    """The stitches that come nearest to the size as it is written."""
    wanted_rows: int = 0
    near: tuple[int, ...] = ()
    """The numbers next to `wanted` on which its rows come out."""
    hindered: str = ""
    """What keeps its rows from coming out on `wanted`."""
    broken: bool = False
    """Whether counts hang on the gauge, and do not come out at the other one."""


@dataclass(frozen=True, slots=True)
class Resizing:
    """A pattern at another gauge."""

    before: tuple[Gauges, ...]
    """One a size."""
    after: tuple[Gauges, ...]
    pieces: tuple[Resized, ...]
    hindrances: tuple[str, ...]
    """What does not come out at the other gauge where counts hang on it."""


def resizing(analysis: Analysis, lines: Sequence[tuple[Statement, str]], analyse: Analyse) -> Resizing:
    """Return what a pattern without errors becomes; `lines` are its gauges with what is to stand there."""
    bare = _without_totals(analysis)
    text = _with_gauges(bare, lines)
    again = analyse(Source(analysis.source.name, text))
    before, after = (tuple(each.gauges for each in one.patterns) for one in (analysis, again))
    written = [_worked(pattern) for pattern in analysis.patterns]
    here = [
        finished_pieces(replace(pattern, gauges=gauges))
        for pattern, gauges in zip(analysis.patterns, after, strict=True)
    ]
    anew = [None if _is_faulty(again, pattern.size) else _worked(pattern) for pattern in again.patterns]
    pieces = []
    for number, plan in enumerate(analysis.patterns[0].pieces):
        if plan.plan.again is not None:
            continue
        for index, pattern in enumerate(analysis.patterns):
            was, now, new = written[index][number], here[index][number], anew[index]
            if was is not None and now is not None:
                piece = pattern.pieces[number]
                now = replace(now, shape=was.finished.shape)
                fresh = None if new is None else new[number]
                pieces.append(_resized(analysis, bare, analyse, index, piece, was, now, fresh))
    return Resizing(before, after, tuple(pieces), tuple(_hindrances(again)))


def in_proportion(
    analysis: Analysis, lines: Sequence[tuple[Statement, str]], first: tuple[GaugeLine, GaugeLine]
) -> Iterator[tuple[Statement, str]]:
    """Yield the gauges that no other was given for, as they change if they change as the first given did."""
    old, new = first
    given = {statement.start for statement, _ in lines}
    for statement, node in gauge_lines(analysis):
        if statement.start not in given:
            stitches, rows = [], []
            for index, pattern in enumerate(analysis.patterns):
                own, was = (pattern.gauges.named(each.name) for each in (node, old))
                assert own is not None
                assert was is not None
                stitches.append(own.stitches_in(10) * _across_ten(new, index) / was.stitches_in(10))
                rows.append(own.rows_in(10) * _up_ten(new, index) / was.rows_in(10))
            counts = f"{_in_sizes(stitches)} {node.counted}, {_in_sizes(rows)} rows"
            yield statement, f"gauge {counts} = 10 cm in {node.name}"


def _across_ten(node: GaugeLine, size: int) -> Fraction:
    """Return the stitches to 10 cm."""
    return _of_size(node.stitches, size) * 10 / _cm(node.length, size)


def _up_ten(node: GaugeLine, size: int) -> Fraction:
    """Return the rows to 10 cm."""
    return _of_size(node.rows, size) * 10 / _cm(node.rows_length or node.length, size)


def _cm(length: Number, size: int) -> Fraction:
    return convert(_of_size(length, size), length.unit or "cm", "cm")


def _of_size(value: Value, size: int) -> Fraction:
    assert isinstance(value, Number)
    return Fraction(value.values[size if len(value.values) > 1 else 0])


def _in_sizes(values: Sequence[Fraction]) -> str:
    return "/".join(f"{float(each):.2f}" for each in values)


def gauge_lines(analysis: Analysis) -> Iterator[tuple[Statement, GaugeLine]]:
    """Yield the gauges of a pattern as they are written."""
    for statement in analysis.scope.gauges:
        assert isinstance(statement.node, GaugeLine)
        yield statement, statement.node


def _resized(
    analysis: Analysis,
    bare: str,
    analyse: Analyse,
    index: int,
    piece: CountedPiece,
    written: Worked,
    here: Finished,
    anew: Worked | None,
) -> Resized:
    unit = "motif" if piece.plan.laid is not None else "round" if piece.plan.in_rounds else "row"
    found = Resized(piece.plan.title, unit, analysis.patterns[index].size, written, here, anew)
    if anew is None:
        return replace(found, broken=True)
    if (anew.stitches, anew.rows) != (written.stitches, written.rows):
        return found
    wanted = _nearest(written.stitches * written.finished.widest / here.widest) if here.widest else 0
    rows = _nearest(written.rows * written.finished.length / here.length) if here.length else 0
    if written.finished.shape in ("disc", "polygon"):
        wanted = written.stitches
    near, why = _numbers_that_fit(analysis, bare, analyse, index, piece, wanted - written.stitches)
    numbers = tuple(written.stitches + each for each in near)
    return replace(found, anew=None, wanted=wanted, wanted_rows=rows, near=numbers, hindered=why)


def _worked(pattern: CountedPattern) -> list[Worked | None]:
    """Return the pieces of a pattern that are measured; of motifs in a grid how many they are each way."""
    found: list[Worked | None] = []
    for piece, measured in zip(pattern.pieces, finished_pieces(pattern), strict=True):
        laid = piece.plan.laid
        if measured is None:
            found.append(None)
        elif laid is not None:
            found.append(Worked(laid.across, laid.high, measured))
        else:
            rows = sum(part.times for part in piece.parts if isinstance(part, Block))
            found.append(Worked(max(row.stitches for row in rows_of(piece)), rows, measured))
    return found


def _nearest(value: Fraction) -> int:
    return int(value + Fraction(1, 2))


# ---- the text ----------------------------------------------------------------------------------------------


def _without_totals(analysis: Analysis) -> str:
    """Return the source with every stated total blanked out, all places kept."""
    text = analysis.source.text
    for statement in analysis.tree.statements:
        node = statement.node
        if isinstance(node, Row) and node.total:
            end = statement.start + node.total[-1].span.end
            first = text.rindex("=", 0, statement.start + node.total[0].span.start)
            text = text[:first] + " " * (end - first) + text[end:]
    return text


def _with_gauges(text: str, lines: Sequence[tuple[Statement, str]]) -> str:
    for statement, line in sorted(lines, key=lambda each: -each[0].start):
        assert statement.node is not None
        end = statement.start + statement.node.span.end
        text = text[: statement.start] + line + text[end:]
    return text


def _is_faulty(found: Analysis, size: str) -> bool:
    return any(
        each.severity is Severity.ERROR and (not each.sizes or size in each.sizes)
        for each in found.diagnostics
    )


def _hindrances(found: Analysis) -> Iterator[str]:
    for each in found.diagnostics:
        if each.severity is Severity.ERROR:
            yield _said(each, found)


def _said(diagnostic: Diagnostic, found: Analysis) -> str:
    line = found.source.line_number(diagnostic.span.start)
    sizes = f" (size {', '.join(diagnostic.sizes)})" if diagnostic.sizes else ""
    return f"line {line}{sizes}: {diagnostic.message}"


# ---- numbers that fit --------------------------------------------------------------------------------------


def _numbers_that_fit(
    analysis: Analysis, bare: str, analyse: Analyse, index: int, piece: CountedPiece, more: int
) -> tuple[tuple[int, ...], str]:
    """Return by how many stitches a piece can begin wider, near `more`, and what keeps it from `more`."""
    plan = piece.plan.start
    if plan is None or plan.node.count is None or not more or not _begins_widest(piece):
        return (), ""
    start = plan.node

    def tried(change: int) -> str | None:
        counts = [pattern_start(pattern.pieces, piece) for pattern in analysis.patterns]
        counts[index] += change
        if counts[index] < 1:
            return "there would be nothing to begin with"
        assert start.count is not None
        low, high = (plan.start + at for at in start.count.span)
        text = f"{bare[:low]}{'/'.join(map(str, counts))}{bare[high:]}"
        found = analyse(Source(analysis.source.name, text))
        size = analysis.patterns[index].size
        for each in found.diagnostics:
            if each.severity is Severity.ERROR and (not each.sizes or size in each.sizes):
                return f"line {found.source.line_number(each.span.start)}: {each.message}"
        return None

    why = tried(more)
    if why is None:
        return (more,), ""
    ways = (range(more - 1, more - FURTHEST, -1), range(more + 1, more + FURTHEST))
    near = (next((each for each in way if not each or tried(each) is None), None) for way in ways)
    return tuple(each for each in near if each is not None), why


def _begins_widest(piece: CountedPiece) -> bool:
    """Tell whether a piece is as wide all the way as it begins, so that its start decides how wide it is."""
    counts = [row.stitches for row in rows_of(piece)]
    start = piece.plan.start
    from_ring = start is not None and start.kind.startswith("joined") and counts[0] != piece.start_count
    return max(counts) == counts[0] and not from_ring


def pattern_start(pieces: Sequence[CountedPiece], piece: CountedPiece) -> int:
    """Return the number that a piece begins with in another size, as its `start` has it."""
    plan = next(each for each in pieces if each.plan.node is piece.plan.node).plan.start
    return plan.count if plan is not None else 0
