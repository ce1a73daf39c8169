"""What a pattern becomes at another gauge: worked as it is written, and written anew for it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from ..lang.diagnostics import Diagnostic, Severity
from ..lang.measures import Gauge, convert
from ..lang.source import Source
from ..lang.syntax import Gauge as GaugeLine
from ..lang.syntax import Number, Row, Statement
from .counted import Block, CountedPiece
from .finished import Finished, finished, rows_of
from .gauges import gauges_of
from .pipeline import Analysis

Analyse = Callable[[Source], Analysis]
FURTHEST = 40
"""How far from the number wanted another is looked for."""


@dataclass(frozen=True, slots=True)
class Worked:
    """A piece in one size."""

    stitches: int
    """Of its widest row."""
    rows: int
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

    before: tuple[Gauge, ...]
    after: tuple[Gauge, ...]
    pieces: tuple[Resized, ...]
    hindrances: tuple[str, ...]
    """What does not come out at the other gauge where counts hang on it."""


def resizing(analysis: Analysis, lines: Sequence[tuple[Statement, str]], analyse: Analyse) -> Resizing:
    """Return what a pattern without errors becomes; `lines` are its gauges with what is to stand there."""
    bare = _without_totals(analysis)
    text = _with_gauges(bare, lines)
    again = analyse(Source(analysis.source.name, text))
    before, after = (tuple(gauges_of(each.scope).values()) for each in (analysis, again))
    pieces = []
    for number, plan in enumerate(analysis.patterns[0].pieces):
        if plan.plan.again is not None:
            continue
        for index, pattern in enumerate(analysis.patterns):
            piece = pattern.pieces[number]
            written, here = _worked(piece, before), finished(piece, after)
            if written is not None and here is not None:
                sound = not _is_faulty(again, pattern.size)
                anew = _worked(again.patterns[index].pieces[number], after) if sound else None
                pieces.append(_resized(analysis, bare, analyse, index, piece, written, here, anew))
    return Resizing(before, after, tuple(pieces), tuple(_hindrances(again)))


def in_proportion(
    analysis: Analysis, lines: Sequence[tuple[Statement, str]], first: tuple[GaugeLine, GaugeLine]
) -> Iterator[tuple[Statement, str]]:
    """Yield the gauges that no other was given for, as they change if they change as the first given did."""
    old, new = (_to_ten(each) for each in first)
    given = {statement.start for statement, _ in lines}
    for statement, node in gauge_lines(analysis):
        if statement.start not in given:
            own = _to_ten(node)
            stitches, rows = (own[each] * new[each] / old[each] for each in (0, 1))
            counts = f"{float(stitches):.2f} st, {float(rows):.2f} rows"
            yield statement, f"gauge {counts} = 10 cm in {node.name}"


def _to_ten(node: GaugeLine) -> tuple[Fraction, Fraction]:
    """Return the stitches and rows to 10 cm."""
    assert isinstance(node.stitches, Number)
    assert isinstance(node.rows, Number)
    part = 10 / convert(node.length.values[0], node.length.unit or "cm", "cm")
    return Fraction(node.stitches.values[0]) * part, Fraction(node.rows.values[0]) * part


def gauge_lines(analysis: Analysis) -> Iterator[tuple[Statement, GaugeLine]]:
    """Yield the gauges of a pattern as they are written."""
    for statement in analysis.scope.gauges:
        node = statement.node
        assert isinstance(node, GaugeLine)
        if isinstance(node.stitches, Number) and isinstance(node.rows, Number):
            yield statement, node


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
    unit = "round" if piece.plan.in_rounds else "row"
    found = Resized(piece.plan.title, unit, analysis.patterns[index].size, written, here, anew)
    if anew is None:
        return replace(found, broken=True)
    if (anew.stitches, anew.rows) != (written.stitches, written.rows):
        return found
    wanted = _nearest(written.stitches * written.finished.widest / here.widest) if here.widest else 0
    rows = _nearest(written.rows * written.finished.length / here.length) if here.length else 0
    near, why = _numbers_that_fit(analysis, bare, analyse, index, piece, wanted - written.stitches)
    numbers = tuple(written.stitches + each for each in near)
    return replace(found, anew=None, wanted=wanted, wanted_rows=rows, near=numbers, hindered=why)


def _worked(piece: CountedPiece, gauges: Sequence[Gauge]) -> Worked | None:
    measured = finished(piece, gauges)
    if measured is None:
        return None
    stitches = max(row.stitches for row in rows_of(piece))
    return Worked(stitches, sum(part.times for part in piece.parts if isinstance(part, Block)), measured)


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
    if plan is None or plan.node.count is None or piece.plan.again is not None or not more:
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


def pattern_start(pieces: Sequence[CountedPiece], piece: CountedPiece) -> int:
    """Return the number that a piece begins with in another size, as its `start` has it."""
    plan = next(each for each in pieces if each.plan.node is piece.plan.node).plan.start
    return plan.count if plan is not None else 0
