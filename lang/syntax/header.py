"""What stands before the pieces: words, materials, names, stitches and charts of the author's own."""

from __future__ import annotations

from dataclasses import dataclass

from ..source import Span
from .items import Body, Words
from .values import Number, Value, span_field


@dataclass(frozen=True, slots=True)
class Version:
    """The first line: `turnchain 1, US`."""

    number: int
    dialect: str
    """`US` or `UK`."""
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Text:
    """A line of words: `pattern`, `by`, `level`, `time`, `notions`, `sizes`, `for`, `picture`, `note`,
    `finish`, `caution`.
    """

    key: str
    lines: tuple[str, ...]
    """The words, one entry a line as the author broke them."""
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Yarn:
    """`yarn A: DK (light), 60 g`."""

    name: str
    lines: tuple[str, ...]
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Hook:
    """`hook 4.5 mm`."""

    size: Number
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Gauge:
    """`gauge 16 st, 18 rows = 10 cm in sc`, `gauge 2 shell = 9 cm, 8 rows = 10 cm in shell`."""

    stitches: Value
    counted: str
    """What is counted: `st`, or an author's stitch."""
    rows: Value
    length: Number
    """What the stitches measure, and the rows if they have no length of their own."""
    name: str
    """The stitch it is worked in; `pattern` for the stitches of the pattern as they come."""
    rows_length: Number | None = None
    span: Span = span_field()
    counted_span: Span = span_field()
    name_span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Swatch:
    """`swatch 10 x 10 cm in sc with A = 6 g`."""

    width: Number
    height: Number
    name: str
    """The stitch it is worked in."""
    yarn: str | None
    """None for every yarn."""
    weight: Number
    """Its weight, or the length of the yarn in it."""
    span: Span = span_field()
    name_span: Span = span_field()
    yarn_span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Weighed:
    """`weighed Hat with A in size adult = 85 g`."""

    piece: str | None
    """None for the whole pattern."""
    yarn: str | None
    """None for all yarns together."""
    size: str | None
    weight: Number
    """Its weight, or the length of the yarn in it."""
    span: Span = span_field()
    piece_span: Span = span_field()
    yarn_span: Span = span_field()
    size_span: Span = span_field()


@dataclass(frozen=True, slots=True)
class BodyFit:
    """`fit head as 6 months/2 years, ease -2 cm`: a part of the body in every size, and room for it."""

    name: str
    """Of the part, and what rows call it."""
    sizes: tuple[str, ...] = ()
    """Names of sizes of the table; empty where those of the pattern are looked up."""
    measure: Value | None = None
    """The author's own measurements in place of the table's."""
    ease: Number | None = None
    less: bool = False
    """Whether the ease is taken off."""
    span: Span = span_field()
    name_span: Span = span_field()
    sizes_span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Let:
    """`let half = 8/10`."""

    name: str
    value: Value
    span: Span = span_field()
    name_span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Use:
    """`use "house.tch"`."""

    path: str
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class StitchDefinition:
    """`stitch frill: 5 dc in st "a small frill"`, or one explained in words only."""

    name: str
    body: Body | Words
    explanation: str | None = None
    span: Span = span_field()
    name_span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Square:
    """One character of a chart and what it stands for."""

    key: str
    name: str


@dataclass(frozen=True, slots=True)
class Chart:
    """`chart Heart: . = space, X = block` and the squares indented under it, top row first."""

    name: str
    squares: tuple[Square, ...]
    rows: tuple[str, ...] = ()
    span: Span = span_field()
    name_span: Span = span_field()
