"""A whole file: its statements in order."""

from __future__ import annotations

from dataclasses import dataclass, field

from ..source import Span
from .header import (
    BodyFit,
    Chart,
    Gauge,
    Hook,
    Let,
    StitchDefinition,
    Swatch,
    Text,
    Use,
    Version,
    Weighed,
    Yarn,
)
from .pieces import Close, Piece, Seam, Start
from .rows import Row
from .values import span_field

Node = (
    Version
    | Text
    | Yarn
    | Hook
    | Gauge
    | Swatch
    | Weighed
    | BodyFit
    | Let
    | Use
    | StitchDefinition
    | Chart
    | Piece
    | Start
    | Seam
    | Row
    | Close
)


@dataclass(frozen=True, slots=True)
class Comment:
    """`# ...` with its place; `text` begins at the `#` and has no trailing blanks."""

    text: str
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Statement:
    """A line in column 1 with the indented lines that go on from it."""

    text: str = field(compare=False)
    """As the author wrote it, without the last line break."""
    node: Node | None
    """None for a line that is only a comment, and for one with a fault."""
    comments: tuple[Comment, ...] = ()
    start: int = field(default=0, compare=False)
    """Offset of `text` in the source."""
    blank_before: bool = False
    """True if an empty line stands above it."""
    faulty: bool = False
    """True if it could not be parsed: `node` is None, and it was reported."""


@dataclass(frozen=True, slots=True)
class Tree:
    """A whole file."""

    statements: tuple[Statement, ...]
