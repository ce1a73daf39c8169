"""Source text and places in it: the first stage's input, and what every later stage points at.

Offsets count Python characters. Lines and columns are worked out only when something is printed, because
terminals, editors and browsers each count columns in their own way.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

LINE_BREAK = re.compile(r"\r\n|\n|\r")


class Span(NamedTuple):
    """A stretch of text as half-open character offsets."""

    start: int
    end: int

    def shifted(self, by: int) -> Span:
        """Return the same stretch, `by` characters further on."""
        return Span(self.start + by, self.end + by)


@dataclass(frozen=True)
class Source:
    """The text of one file and the name it is reported under."""

    name: str
    text: str

    @cached_property
    def line_starts(self) -> tuple[int, ...]:
        """The offset at which each line begins; the first is 0."""
        return (0, *(found.end() for found in LINE_BREAK.finditer(self.text)))

    def line_number(self, offset: int) -> int:
        """Return the line that holds `offset`, counted from 1."""
        return bisect_right(self.line_starts, offset)

    def column(self, offset: int) -> int:
        """Return the column of `offset` in its line, in characters counted from 1."""
        return offset - self.line_starts[self.line_number(offset) - 1] + 1

    def line(self, number: int) -> str:
        """Return the text of line `number` (from 1) without its line break."""
        start = self.line_starts[number - 1]
        found = LINE_BREAK.search(self.text, start)
        return self.text[start : found.start() if found else len(self.text)]
