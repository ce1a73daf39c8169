"""Items: what is worked along a row, one after the other."""

from __future__ import annotations

from dataclasses import dataclass

from ..source import Span
from .values import Value, span_field


@dataclass(frozen=True, slots=True)
class Tally:
    """One part of a total: `24`, or `4 sp`."""

    count: Value
    name: str | None = None
    """None for all stitches."""
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class How:
    """What is said of a stitch beside its name: loop, yarn, rows below."""

    loop: str | None = None
    """`blo` or `flo`."""
    yarn: str | None = None
    below: int | None = None
    """How many rows below the edge the stitch is worked."""
    crossed: bool = False


PLAIN = How()


@dataclass(frozen=True, slots=True)
class Place:
    """What stands after `in`: `st`, `sp`, `ring`, `same`, a stitch, a mark, or single chains."""

    name: str
    """As written; for single chains the word after the ordinal, normally `ch`."""
    which: int | str | None = None
    """3 for `3rd ch`; `middle` or `each`; None without such a word."""
    span: Span = span_field()
    chains: int | None = None
    """Of chains made for it: 8 for `ring of 8 ch`; `name` is then the word before `of`."""
    over: int | None = None
    """How many stitches they go back over: 6 for `arch of 7 ch over 6`."""


@dataclass(frozen=True, slots=True)
class Stop:
    """What stands after `to`: `end`, `middle`, `last 2`, `peak`, `2 before peak`, or a count (`to 3`)."""

    kind: str
    """`end`, `middle`, `last` or `place`."""
    count: Value | None = None
    """The places of `last`, or of `N before`."""
    name: str | None = None
    """The place stopped at."""
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Some:
    """`6 sc`, `3 sc in st as peak`, `2 ch`: a stitch so many times."""

    name: str
    count: Value | None = None
    """None if no count is written: one."""
    how: How = PLAIN
    place: Place | None = None
    mark: str | None = None
    span: Span = span_field()
    name_span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Run:
    """`sc to end`: a stitch as often as it takes to reach a stop."""

    name: str
    stop: Stop
    how: How = PLAIN
    span: Span = span_field()
    name_span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Over:
    """`12 dc over 6`: so many stitches laid evenly over so many places, at least one in each."""

    name: str
    count: Value
    places: Value
    how: How = PLAIN
    span: Span = span_field()
    name_span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Branch:
    """`10 ch and back [skip 3, tr, 6 dc]`: a chain that is worked back along to where it began."""

    name: str
    """As written, normally `ch`."""
    count: Value
    body: Body
    mark: str | None = None
    span: Span = span_field()
    name_span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Times:
    """`[...] x 6`."""

    body: Body
    count: Value
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class AsFits:
    """`[...] to end`: a bracket as often as it fits."""

    body: Body
    stop: Stop
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class InOne:
    """`(2 dc, 2 ch, 2 dc) in sp`: all of it in one place."""

    body: Body
    place: Place
    mark: str | None = None
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Together:
    """`(dc, skip 1, dc) tog`: several places into one stitch."""

    body: Body
    mark: str | None = None
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Skip:
    """`skip`, `skip 2`, `skip sp`, `skip to peak`, `skip 36 as arm`: places passed over."""

    count: Value | None = None
    place: str | None = None
    """The kind of place skipped, as in `skip sp`."""
    stop: Stop | None = None
    mark: str | None = None
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Leave:
    """`leave 3`, `leave rest`: places left unworked at the end of a row."""

    count: Value | None = None
    """None for `rest`."""
    mark: str | None = None
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Words:
    """`"wrap twice" over 4 makes 2 dc + 1 sp`: the way out, counted but not understood."""

    text: str
    over: Value
    makes: tuple[Tally, ...]
    mark: str | None = None
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Spread:
    """`spread [sc, shell, sc]`: a group laid out evenly over all the places."""

    body: Body
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Underside:
    """`underside`: round the end of a foundation chain and back along its other side."""

    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class ChartRow:
    """`chart Heart`, `chart Heart row 1`."""

    name: str
    row: int | None = None
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Join:
    """`join corner of Square`, `join 2nd corner of Square`: to a place of a piece that is done."""

    place: str
    """A mark of its last round, or a kind of place."""
    piece: str
    which: int | None = None
    """Which of the places of that name, in the order they were made; None for the last free one."""
    span: Span = span_field()


Item = (
    Some
    | Run
    | Over
    | Branch
    | Times
    | AsFits
    | InOne
    | Together
    | Skip
    | Leave
    | Words
    | Spread
    | Underside
    | ChartRow
    | Join
)


@dataclass(frozen=True, slots=True)
class Body:
    """Items in the order worked."""

    items: tuple[Item, ...]
    span: Span = span_field()
