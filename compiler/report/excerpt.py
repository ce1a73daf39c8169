"""The author's own lines with what is said of them set underneath.

In: a source and marks on it. Out: printed lines as runs of styled text, the line numbers in a gutter. Nothing
here knows of colours or of what a diagnostic is.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from ...lang.source import Source, Span
from .width import Measured, cells, measured, visible

WIDEST = 100
"""Cells of a source line that are shown; a longer one is cut."""
LONGEST = 1000
"""Characters of a source line that are looked at around a mark."""
MOST_LINES = 6
"""Lines of one mark that are shown; of a longer one the first three and the last two."""

Run = tuple[str, str]
"""Some text and the name of its style."""
Line = tuple[Run, ...]


@dataclass(frozen=True, slots=True)
class Mark:
    """Words at a place, with a stroke under all of the place, or none."""

    span: Span
    text: str
    style: str
    stroke: str = ""
    """The character drawn under the place; without one the words stand under its start."""


def excerpt(source: Source, marks: Sequence[Mark], gutter: int) -> tuple[Line, ...]:
    """Return every line that has a mark, numbered in a gutter `gutter` wide, with the marks under it.

    Where a line is cut it is cut around the first of the marks on it.
    """
    on_lines = marked_lines(source, marks)
    result: list[Line] = []
    before = 0
    for number in sorted(on_lines):
        if before and number == before + 2:
            result.append(_numbered(number - 1, gutter, _Shown.of(source.line(number - 1), 0, 0)))
        elif before and number > before + 2:
            result.append(((" " * gutter + " ...", "gutter"),))
        before = number
        here = on_lines[number]
        shown = _Shown.of(source.line(number), here[0].span.start, here[0].span.end)
        result.append(_numbered(number, gutter, shown))
        margin = (" " * gutter + " | ", "gutter")
        result.extend((margin, *row) for row in _rows(shown, here))
    return tuple(result)


def marked_lines(source: Source, marks: Iterable[Mark]) -> Mapping[int, list[Mark]]:
    """Return the marks on each line, their spans as columns of that line (from 0).

    A mark that runs over several lines has a part on each that is not blank, its words on the last.
    """
    result: dict[int, list[Mark]] = {}
    for mark in marks:
        parts = _parts(source, mark)
        for place, (number, span) in enumerate(parts, 1):
            words = mark.text if place == len(parts) else ""
            result.setdefault(number, []).append(replace(mark, span=span, text=words))
    return result


def _parts(source: Source, mark: Mark) -> list[tuple[int, Span]]:
    start = min(max(mark.span.start, 0), len(source.text))
    end = min(max(mark.span.end, start), len(source.text))
    first = source.line_number(start)
    last = source.line_number(max(start, end - 1)) if mark.stroke else first
    numbers = list(range(first, last + 1))
    if len(numbers) > MOST_LINES:
        numbers = numbers[:3] + numbers[-2:]
    parts: list[tuple[int, Span]] = []
    for number in numbers:
        line = source.line(number)
        begins = source.line_starts[number - 1]
        to = min(end - begins, len(line) if number == last else len(line.rstrip()))
        if number == first:
            at = min(start - begins, len(line))
            parts.append((number, Span(at, max(at, to))))
        elif line.strip():
            at = len(line) - len(line.lstrip())
            if to > at:
                parts.append((number, Span(at, to)))
    return parts


@dataclass(frozen=True, slots=True)
class _Shown:
    """The part of a line that is printed."""

    text: str
    line: Measured
    skipped: int
    """Characters before those that were measured."""
    first_cell: int
    width: int
    """Cells of `text`."""
    cut_before: bool
    cut_after: bool

    @classmethod
    def of(cls, line: str, start: int, end: int) -> _Shown:
        """Return what to show of `line` so that columns `start` to `end` are in sight, or their beginning."""
        skipped = max(0, min(start - LONGEST // 2, len(line) - LONGEST))
        piece = measured(line[skipped : skipped + LONGEST])
        cut_after = len(line) > skipped + LONGEST
        if piece.cells <= WIDEST and not skipped and not cut_after:
            return cls("".join(piece.shown), piece, 0, 0, piece.cells, False, False)
        focus = piece.start(start - skipped)
        room = WIDEST - min(piece.start(end - skipped) - focus, WIDEST // 2)
        left = max(0, min(focus - room // 2, piece.cells - WIDEST))
        chosen = [
            at for at, begins in enumerate(piece.starts) if left <= begins and piece.ends[at] <= left + WIDEST
        ]
        first, last = (chosen[0], chosen[-1]) if chosen else (0, -1)
        before = skipped > 0 or first > 0
        after = cut_after or last + 1 < len(piece.shown)
        text = "…" * before + "".join(piece.shown[first : last + 1]) + "…" * after
        first_cell = piece.start(first) - before
        width = (piece.ends[last] if chosen else 0) - first_cell + after
        return cls(text, piece, skipped, first_cell, width, before, after)

    def cell(self, column: int) -> int:
        """Return the cell of `column` in what is shown; below 0 or beyond `width` if it was cut away."""
        at = column - self.skipped
        return -1 if at < 0 else self.line.start(at) - self.first_cell

    def end_cell(self, column: int) -> int:
        """Return the cell after the character that ends at `column`."""
        at = column - self.skipped
        if at <= 0:
            return -1
        return self.line.ends[min(at, len(self.line.ends)) - 1] - self.first_cell if self.line.ends else 0


@dataclass(frozen=True, slots=True)
class _Set:
    """A piece of text in a row under the line."""

    at: int
    text: str
    style: str

    @property
    def end(self) -> int:
        return self.at + cells(self.text)


def _numbered(number: int, gutter: int, shown: _Shown) -> Line:
    return ((f"{number:>{gutter}} |", "gutter"), (" " + shown.text if shown.text else "", ""))


def _rows(shown: _Shown, marks: Sequence[Mark]) -> list[Line]:
    """Set strokes, then words without a stroke, then the words beside strokes, each as high as it fits."""
    rows: list[list[_Set]] = []
    strokes: list[tuple[int, _Set, Mark]] = []
    for mark in marks:
        if mark.stroke:
            stroke = _stroke(shown, mark)
            strokes.append((_place(rows, stroke), stroke, mark))
    for mark in sorted((one for one in marks if not one.stroke), key=lambda one: one.span):
        at = shown.cell(mark.span.start)
        if 0 <= at <= shown.width:
            _place(rows, _Set(at, visible(mark.text), mark.style))
    for row, stroke, mark in strokes:
        if mark.text:
            beside = _Set(stroke.end + 1, visible(mark.text), mark.style)
            if _fits(rows[row], beside):
                rows[row].append(beside)
            else:
                _place(rows, replace(beside, at=stroke.at), row + 1)
    return [_line(row) for row in rows]


def _stroke(shown: _Shown, mark: Mark) -> _Set:
    """Return the stroke under a mark; one that was cut away stands under the sign of the cut."""
    edge = max(shown.width - 1, 0) if shown.cut_after else shown.width
    start = min(max(shown.cell(mark.span.start), 0), edge)
    end = min(shown.end_cell(mark.span.end), shown.width)
    return _Set(start, mark.stroke * max(end - start, 1), mark.style)


def _place(rows: list[list[_Set]], piece: _Set, lowest: int = 0) -> int:
    for number in range(lowest, len(rows)):
        if _fits(rows[number], piece):
            rows[number].append(piece)
            return number
    rows.append([piece])
    return len(rows) - 1


def _fits(row: Sequence[_Set], piece: _Set) -> bool:
    return all(other.end < piece.at or piece.end < other.at for other in row)


def _line(row: Sequence[_Set]) -> Line:
    runs: list[Run] = []
    at = 0
    for piece in sorted(row, key=lambda one: one.at):
        runs += [(" " * (piece.at - at), ""), (piece.text, piece.style)]
        at = piece.end
    return tuple(runs)
