"""The syntax tree: what the author wrote, one frozen node a statement, item or value.

Spans are offsets into the node's own statement, so that a line that did not change keeps its tree wherever it
moves; `Statement.start` says where the statement begins in the source. Spans are left out of comparisons: two
trees are equal if they say the same.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal

from .source import Span

NOWHERE = Span(0, 0)


def _span() -> Span:
    return field(default=NOWHERE, compare=False, repr=False)


# ---- values ------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Number:
    """`6`, `3.5` or `6/8/10`: one value, or one a size."""

    values: tuple[int | Decimal, ...]
    unit: str | None = None
    """`mm`, `cm`, `m`, `inch`, `yd`, `g`, `oz`, or None for a plain number."""
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class NameValue:
    """A `let` by its name."""

    name: str
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class RowNumber:
    """`row` in braces: the number of the row at hand."""

    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Arithmetic:
    """Two values and `+`, `-`, `*` or `div`."""

    operator: str
    left: Value
    right: Value
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Fit:
    """How a number of stitches or rows is rounded: `odd`, `even`, or `multiple OF + PLUS`."""

    kind: str
    of: int = 1
    plus: int = 0


@dataclass(frozen=True, slots=True)
class Fitted:
    """`stitches(18 cm, odd)` or `rows(10 cm)`: a measurement turned into a count by the gauge."""

    function: str
    """`stitches` or `rows`; the parser refuses any other."""
    measure: Value
    fit: Fit | None = None
    span: Span = _span()


Value = Number | NameValue | RowNumber | Arithmetic | Fitted


# ---- items of a row ----------------------------------------------------------------------------------------


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
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Stop:
    """What stands after `to`: `end`, `middle`, `last 2`, `peak`, `2 before peak`, or a count (`to 3`)."""

    kind: str
    """`end`, `middle`, `last` or `place`."""
    count: Value | None = None
    """The places of `last`, or of `N before`."""
    name: str | None = None
    """The place stopped at."""
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Some:
    """`6 sc`, `3 sc in st as peak`, `2 ch`: a stitch so many times."""

    name: str
    count: Value | None = None
    """None if no count is written: one."""
    how: How = PLAIN
    place: Place | None = None
    mark: str | None = None
    span: Span = _span()
    name_span: Span = _span()


@dataclass(frozen=True, slots=True)
class Run:
    """`sc to end`: a stitch as often as it takes to reach a stop."""

    name: str
    stop: Stop
    how: How = PLAIN
    span: Span = _span()
    name_span: Span = _span()


@dataclass(frozen=True, slots=True)
class Over:
    """`12 dc over 6`: so many stitches laid evenly over so many places, at least one in each."""

    name: str
    count: Value
    places: Value
    how: How = PLAIN
    span: Span = _span()
    name_span: Span = _span()


@dataclass(frozen=True, slots=True)
class Branch:
    """`10 ch and back [skip 3, tr, 6 dc]`: a chain that is worked back along to where it began."""

    name: str
    """As written, normally `ch`."""
    count: Value
    body: Body
    mark: str | None = None
    span: Span = _span()
    name_span: Span = _span()


@dataclass(frozen=True, slots=True)
class Times:
    """`[...] x 6`."""

    body: Body
    count: Value
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class AsFits:
    """`[...] to end`: a bracket as often as it fits."""

    body: Body
    stop: Stop
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class InOne:
    """`(2 dc, 2 ch, 2 dc) in sp`: all of it in one place."""

    body: Body
    place: Place
    mark: str | None = None
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Together:
    """`(dc, skip 1, dc) tog`: several places into one stitch."""

    body: Body
    mark: str | None = None
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Skip:
    """`skip`, `skip 2`, `skip sp`, `skip to peak`, `skip 36 as arm`: places passed over."""

    count: Value | None = None
    place: str | None = None
    """The kind of place skipped, as in `skip sp`."""
    stop: Stop | None = None
    mark: str | None = None
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Leave:
    """`leave 3`, `leave rest`: places left unworked at the end of a row."""

    count: Value | None = None
    """None for `rest`."""
    mark: str | None = None
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Words:
    """`"wrap twice" over 4 makes 2 dc + 1 sp`: the way out, counted but not understood."""

    text: str
    over: Value
    makes: tuple[Tally, ...]
    mark: str | None = None
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Spread:
    """`spread [sc, shell, sc]`: a group laid out evenly over all the places."""

    body: Body
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Underside:
    """`underside`: round the end of a foundation chain and back along its other side."""

    span: Span = _span()


@dataclass(frozen=True, slots=True)
class ChartRow:
    """`chart Heart`, `chart Heart row 1`."""

    name: str
    row: int | None = None
    span: Span = _span()


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
)


@dataclass(frozen=True, slots=True)
class Body:
    """Items in the order worked."""

    items: tuple[Item, ...]
    span: Span = _span()


# ---- rows --------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Label:
    """What stands before a row's colon: `row 4`, `rows 4-10`, `next row`, `next 14/18 rows`, `next rows`."""

    unit: str
    """`row` or `round`, whether one or several are meant."""
    first: int | None = None
    """The number written, None after `next`."""
    last: int | None = None
    """The last number of a span; None for a single row."""
    count: Value | None = None
    """How many rows after `next`; None for one."""
    until: bool = False
    """True for `next rows:`, whose number a limit decides."""
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class TurningChain:
    """`tch 3 counts`, `tch 2`, `tch 4 loop`."""

    chains: int
    manner: str | None = None
    """`counts`, `loop`, or None: it does not count."""
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Beginning:
    """`begin corner`, `begin 1 back`, `begin 2 on`: where a round begins instead of at its first place."""

    name: str | None = None
    """What it looks for: a mark, a kind of place or of stitch."""
    places: int = 0
    """Places on from where the round would begin; less than 0 for places back."""
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Settings:
    """What is said of a row before its colon."""

    side: str | None = None
    """`rs` or `ws`."""
    yarn: str | None = None
    stitch: str | None = None
    """The stitch that the row's colours are worked in."""
    loop: str | None = None
    chains_count: bool = False
    turning_chain: TurningChain | None = None
    into: int | None = None
    """The number of an older row that it is worked into, behind the last one."""
    begin: Beginning | None = None
    steps: bool = False
    """Whether it goes on over what short rows before it left."""


@dataclass(frozen=True, slots=True)
class Tally:
    """One part of a total: `24`, or `4 sp`."""

    count: Value
    name: str | None = None
    """None for all stitches."""
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class RepeatRows:
    """`repeat 2-3`, `repeat 3`, `repeat last 2`, each with or without `until 31 st`."""

    first: int | None = None
    last: int | None = None
    back: int | None = None
    """The number after `last`."""
    limit: Value | None = None
    limit_name: str | None = None
    """The stitch counted by `until`, such as `st`; None where the limit is a length."""
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Change:
    """A change of a `work`: by so many at a place or evenly, or to a number."""

    kind: str
    """`by` or `to`."""
    count: Value
    """How many at each place; for `to` the stitches to come to, or what they measure."""
    decrease: bool = False
    spot: str = "evenly"
    """`middle`, `each end`, `start`, `end`, `each MARK`, a mark's name, or `evenly`."""
    every: Value | None = None
    """Rows from change to change; None for every row."""
    rows: tuple[tuple[int, int], ...] = ()
    """First and last number of each stretch of rows after `on rows`."""
    staggered: bool = False
    symmetrical: bool = False
    keep: Value | None = None
    """Stitches at each end that `evenly` leaves alone."""
    over: Value | None = None
    """The length over which it comes `to` its number."""
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Shape:
    """A shape by measurement: `disc of 20 cm`, `crown of 56 cm, depth 20 cm`."""

    name: str
    measure: Value
    depth: Value | None = None
    said: str | None = None
    """The word before the depth: `depth` or `height`."""
    fit: Fit | None = None
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Work:
    """`work sc, +2 at middle every 2 rows`: a shaping whose rows the compiler writes."""

    name: str
    changes: tuple[Change, ...] | Shape
    how: How = PLAIN
    any_side: bool = False
    """Whether changes may fall on either side of turned work."""
    span: Span = _span()
    name_span: Span = _span()


@dataclass(frozen=True, slots=True)
class Row:
    """A row, a round, or a stretch of them."""

    label: Label
    content: Body | RepeatRows | Work
    settings: Settings = Settings()
    total: tuple[Tally, ...] = ()
    """Empty where the author states none."""
    span: Span = _span()
    total_span: Span = _span()


# ---- other statements --------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Version:
    """The first line: `turnchain 1, US`."""

    number: int
    dialect: str
    """`US` or `UK`."""
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Text:
    """A line of words: `pattern`, `by`, `level`, `notions`, `sizes`, `for`, `note`, `finish`, `caution`."""

    key: str
    lines: tuple[str, ...]
    """The words, one entry a line as the author broke them."""
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Yarn:
    """`yarn A: DK (light), 60 g`."""

    name: str
    lines: tuple[str, ...]
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Hook:
    """`hook 4.5 mm`."""

    size: Number
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Gauge:
    """`gauge 16 st, 18 rows = 10 cm in sc`."""

    stitches: Value
    counted: str
    """What is counted: `st`, or an author's stitch."""
    rows: Value
    length: Number
    name: str
    """The stitch it is worked in."""
    span: Span = _span()
    name_span: Span = _span()


@dataclass(frozen=True, slots=True)
class Let:
    """`let half = 8/10`."""

    name: str
    value: Value
    span: Span = _span()
    name_span: Span = _span()


@dataclass(frozen=True, slots=True)
class Use:
    """`use "house.tch"`."""

    path: str
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class StitchDefinition:
    """`stitch frill: 5 dc in st "a small frill"`, or one explained in words only."""

    name: str
    body: Body | Words
    explanation: str | None = None
    span: Span = _span()
    name_span: Span = _span()


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
    span: Span = _span()
    name_span: Span = _span()


@dataclass(frozen=True, slots=True)
class TurningChainFor:
    """`tch dc 2` on a piece: the turning chain for one stitch; `name` None sets it for all."""

    name: str | None
    chain: TurningChain


@dataclass(frozen=True, slots=True)
class Again:
    """`as Left on right of Hat, mirrored`: another piece worked once more."""

    name: str
    """The piece it is worked like."""
    edge: EdgeName | None = None
    """The edge it is begun on, where that is another one."""
    ratio: tuple[int, int] | None = None
    mirrored: bool = False
    """With the other side facing in each row."""
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Piece:
    """`piece Band "The band", turned rows, blo`, or `piece Right, as Left, mirrored`."""

    name: str
    manner: str
    """`turned rows`, `right-side rows`, `joined rounds`, `turned rounds` or `spiral rounds`; empty for a
    piece that is worked like another."""
    title: str | None = None
    make: Value | None = None
    loop: str | None = None
    chains_count: bool = False
    turning_chains: tuple[TurningChainFor, ...] = ()
    again: Again | None = None
    span: Span = _span()
    name_span: Span = _span()


@dataclass(frozen=True, slots=True)
class EdgeName:
    """`left of Band`, `flo of row 3 of Band`."""

    edge: str
    piece: str
    unit: str | None = None
    row: int | None = None
    end: str | None = None
    """`first` or `last` where only so many of its places are meant."""
    count: Value | None = None
    """How many."""
    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Start:
    """What the first row is worked into."""

    kind: str
    """`stitches` (`14 ch`, `24 fsc`), `for` (`for 138`), `ring` or `edge`."""
    count: Value | None = None
    name: str | None = None
    """`ch`, or a foundation stitch."""
    joined: bool = False
    edges: tuple[EdgeName, ...] = ()
    """Worked along one after another."""
    ratio: tuple[int, int] | None = None
    """So many places for so many row ends."""
    rounding: str | None = None
    """`up`, `down` or `nearest`, where the ratio does not come out whole."""
    span: Span = _span()
    name_span: Span = _span()


@dataclass(frozen=True, slots=True)
class Close:
    """`close`: the yarn is drawn through all stitches of the last round."""

    span: Span = _span()


@dataclass(frozen=True, slots=True)
class Seam:
    """`seam left of Front, right of Back`."""

    first: EdgeName
    second: EdgeName
    span: Span = _span()


Node = (
    Version
    | Text
    | Yarn
    | Hook
    | Gauge
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
    span: Span = _span()


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
