"""Places in a text as editors count them: a line from 0, and a column in units of one encoding.

Editors count UTF-16 units if nothing else was agreed on; an offset counts characters.
"""

from __future__ import annotations

from enum import Enum
from typing import NamedTuple

from ...lang.source import Source, Span


class Units(Enum):
    """What a column counts."""

    UTF8 = "utf-8"
    UTF16 = "utf-16"
    UTF32 = "utf-32"

    def width(self, text: str) -> int:
        """Return how many units `text` is long."""
        if text.isascii() or self is Units.UTF32:
            return len(text)
        if self is Units.UTF16:
            return len(text) + sum(char > "\uffff" for char in text)
        return len(text.encode("utf-8", "surrogatepass"))


class Position(NamedTuple):
    """A line and a column, both from 0."""

    line: int
    column: int


class Range(NamedTuple):
    """From a position up to another."""

    start: Position
    end: Position


def position_of(source: Source, offset: int, units: Units) -> Position:
    """Return where an offset stands; one past the end stands at the end."""
    offset = max(0, min(offset, len(source.text)))
    line = source.line_number(offset) - 1
    return Position(line, units.width(source.text[source.line_starts[line] : offset]))


def range_of(source: Source, span: Span, units: Units) -> Range:
    """Return a span as an editor counts it."""
    return Range(position_of(source, span.start, units), position_of(source, span.end, units))


def offset_of(source: Source, position: Position, units: Units) -> int:
    """Return the offset of a position: past its line the end of that."""
    line, column = position
    if line < 0:
        return 0
    if line >= len(source.line_starts):
        return len(source.text)
    start = source.line_starts[line]
    text = source.line(line + 1)
    if column >= units.width(text):
        return start + len(text)
    if text.isascii() or units is Units.UTF32:
        return start + max(0, column)
    at = width = 0
    while width < column:
        width += units.width(text[at])
        at += width <= column
    return start + at


def span_of(source: Source, positions: Range, units: Units) -> Span:
    """Return the span between two positions."""
    start, end = (offset_of(source, each, units) for each in positions)
    return Span(start, max(start, end))
