"""The pattern for one size: every number worked out, every stitch looked up, nothing counted yet.

`resolve` makes it from the syntax tree, `count` walks it. Each step keeps its span, an offset into the
statement it was written in, so that whatever is found later can be shown there.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from ..lang.diagnostics import Diagnostic
from ..lang.source import Span
from ..lang.stitches import Stitch
from ..lang.syntax import NOWHERE, Piece, Row, Start, Text


@dataclass(frozen=True, slots=True)
class OwnStitch:
    """A stitch of the author's own."""

    name: str
    """As the author spells it where it is defined."""
    body: Steps | SaidStep
    explanation: str | None
    size: int = field(default=1, compare=False)
    """The items it is made of, stitches within it written out."""


@dataclass(frozen=True, slots=True)
class Target:
    """Where `in` says to work."""

    kind: str
    """`st`, `same`, `top`, `start`, `gap`, `ring`, `chain` (single chains), or `ahead`: looked for."""
    name: str = ""
    """What `ahead` looks for: a kind of place, a mark, an author's stitch; else the word written."""
    which: int | str | None = None
    """Which of the chains of a space: a number from 1, `middle` or `each`."""
    span: Span = field(default=NOWHERE, compare=False, repr=False)

    @property
    def looks_ahead(self) -> bool:
        """Whether places may be passed on the way to it."""
        return self.kind in ("ahead", "chain")


@dataclass(frozen=True, slots=True)
class Stop:
    """Where `to` says to stop."""

    kind: str
    """`end`, `middle`, `last` or `place`."""
    count: int = 0
    """The places of `last` and of `before`."""
    name: str = ""
    span: Span = field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class StitchStep:
    """A built-in stitch so many times; `count` None is as often as it takes to reach `stop`."""

    stitch: Stitch
    count: int | None = 1
    stop: Stop | None = None
    target: Target | None = None
    loop: str | None = None
    yarn: str | None = None
    mark: str | None = None
    span: Span = field(default=NOWHERE, compare=False, repr=False)
    below: int = 0
    """How many rows below the edge it is worked."""
    crossed: bool = False
    """Worked in pairs, the second of each before the first."""


@dataclass(frozen=True, slots=True)
class OwnStep:
    """An author's own stitch so many times; `count` None is as often as it takes to reach `stop`."""

    stitch: OwnStitch
    count: int | None = 1
    stop: Stop | None = None
    target: Target | None = None
    """A place that stands in for the one in the stitch's own definition."""
    mark: str | None = None
    span: Span = field(default=NOWHERE, compare=False, repr=False)
    yarn: str | None = None


@dataclass(frozen=True, slots=True)
class ChainStep:
    """Chains."""

    count: int
    mark: str | None = None
    span: Span = field(default=NOWHERE, compare=False, repr=False)
    yarn: str | None = None


@dataclass(frozen=True, slots=True)
class BracketStep:
    """A bracket so many times, or as often as it fits before a stop."""

    body: Steps
    count: int | None
    stop: Stop | None = None
    span: Span = field(default=NOWHERE, compare=False, repr=False)
    over: bool = False
    """Whether it stands for stitches laid over so many places, a turn in each."""


@dataclass(frozen=True, slots=True)
class BranchStep:
    """A chain, and stitches back along it to where it began."""

    chains: int
    body: Steps
    mark: str | None = None
    span: Span = field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class GroupStep:
    """Several stitches in one place."""

    body: Steps
    target: Target
    mark: str | None = None
    span: Span = field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class TogetherStep:
    """Several places into one stitch."""

    body: Steps
    mark: str | None = None
    span: Span = field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class SkipStep:
    """Places passed over: so many, up to a stop, or the next of a kind."""

    count: int | None = 1
    stop: Stop | None = None
    kind: str | None = None
    mark: str | None = None
    span: Span = field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class LeaveStep:
    """Places left unworked at the end of the row; None for all that are left."""

    count: int | None
    mark: str | None = None
    span: Span = field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class SpreadStep:
    """Items laid evenly over all the places that are left."""

    body: Steps
    span: Span = field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class UndersideStep:
    """Round the end of a foundation chain, to go on along its other side."""

    span: Span = field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class SaidStep:
    """The author's own words, with what they use and make."""

    text: str
    over: int
    makes: tuple[tuple[str, int], ...]
    """Kinds of place and how many of each."""
    mark: str | None = None
    span: Span = field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class MeshStep:
    """Squares of a mesh side by side, from the first post on, which stands already."""

    squares: tuple[tuple[str, int], ...]
    """`space` or `block`, and how many of it; neighbours differ."""
    stitch: Stitch
    """What posts and blocks are made of."""
    span: Span = field(default=NOWHERE, compare=False, repr=False)


Step = (
    StitchStep
    | OwnStep
    | ChainStep
    | BracketStep
    | BranchStep
    | GroupStep
    | TogetherStep
    | SkipStep
    | LeaveStep
    | SaidStep
    | MeshStep
    | SpreadStep
    | UndersideStep
)
Steps = tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Opening:
    """The turning chain of a row, as its setting or its piece has it."""

    chains: int
    manner: str | None
    """`counts`, `loop`, or None: it does not count."""
    stated: bool
    """True if the row itself says so, False if it follows from its first stitch."""
    span: Span = field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class RowPlan:
    """One row or round, ready to be counted."""

    unit: str
    """`row` or `round`."""
    body: Steps
    opening: Opening | None
    """None for no turning chain."""
    side: str | None = None
    yarn: str | None = None
    """The one stated, else the one that the row before is worked with, else the first of the pattern's."""
    loop: str | None = None
    reads_chains: bool = False
    """Every chain of the edge before is a place."""
    in_all_sizes: bool = field(default=False, compare=False, repr=False)
    """The very same in every one of several sizes."""
    written: bool = field(default=True, compare=False)
    """False for a row that stands for those of a `work`."""
    deepest: int = 0
    """How many rows below its edge the deepest of its stitches is worked."""
    by_number: Row | None = field(default=None, compare=False, repr=False)
    """The statement it comes from, if the row's number is reckoned with there; else None."""
    charted: Charted | None = None
    """What of its charts it was written out for; None for a row without charts."""


@dataclass(frozen=True, slots=True)
class Charted:
    """How a row reads its charts."""

    node: Row = field(compare=False, repr=False)
    """The statement that names them."""
    row: int
    """The row of charts that are worked whole, from 1 at the bottom."""
    side: str
    """`rs` or `ws`: the side that faces, and so from which end the squares are read."""


@dataclass(frozen=True, slots=True)
class CheckedTotal:
    """One part of a stated total."""

    kind: str
    """`` for all stitches, `chains`, a kind of place, `as NAME` for marks and authors' stitches, or
    `yarn NAME` for the stitches of one yarn."""
    count: int
    said: str
    """The name as written, for messages."""
    span: Span = field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Limit:
    """`until 31 st`."""

    kind: str
    count: int
    said: str
    span: Span = field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class ChangePlan:
    """One change of a `work`."""

    kind: str
    """`by` or `to`."""
    amount: int
    """Stitches more at each place, less than 0 for fewer; of `to`, the stitches to come to."""
    spot: str
    """`middle`, `each end`, `start`, `end`, `mark` or `evenly`."""
    mark: str = ""
    gap: int = 1
    """Rows from change to change, beginning with the first."""
    rows: tuple[tuple[int, int], ...] = ()
    """First and last number of the rows it is confined to."""
    staggered: bool = False
    symmetrical: bool = False
    keep: int = 0
    measured: bool = False
    """Whether the stitches to come to were measured: then the nearest that can be reached will do."""
    span: Span = field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Shaping:
    """How the rows of a `work` change."""

    changes: tuple[ChangePlan, ...] = ()
    any_side: bool = False
    shape: str = ""
    """The name of a shape by measurement, in small letters."""
    counts: tuple[int, ...] = ()
    """The stitches of each round of a shape."""
    corners: int = 0
    """Of a polygon."""
    trails: tuple[int, ...] = ()
    """The stitches after each corner of a round that the next round works before it comes to a new side."""
    arm: int = 0
    """The stitches of one slope of a chevron, its peak included."""
    height: float = 0.0
    """Of a row, by the width of a stitch, as the gauge has it; 0 if there is none."""
    borrowed: str = ""
    """The stitch of the gauge that it is measured by, if that is not the stitch worked."""
    span: Span = field(default=NOWHERE, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Stretch:
    """What one statement says: a row, or rows one after another."""

    node: Row
    start: int
    """Offset of the statement in the source."""
    first: int | None
    """The number its first row should bear; None where `until` counts rows before it."""
    times: int | None
    """How many rows; None if `until` decides."""
    rows: tuple[RowPlan, ...]
    """Worked in turn, over and over; empty if the statement has a fault."""
    total: tuple[CheckedTotal, ...] = ()
    """The total of the last row."""
    totals: tuple[tuple[CheckedTotal, ...], ...] = ()
    """One a row where the total depends on the row's number; else empty."""
    until: Limit | None = None
    numbered: bool = False
    """Whether the author wrote the number."""
    shaping: Shaping | None = None
    """How the one row of `rows` changes from row to row; None for rows that are as written."""


@dataclass(frozen=True, slots=True)
class Remark:
    """Prose between rows."""

    node: Text
    start: int


@dataclass(frozen=True, slots=True)
class Along:
    """An edge of a piece above, or a part of it."""

    index: int
    """Of the piece, among all pieces."""
    title: str
    """What the published pattern calls the piece."""
    edge: str
    """`top`, `foundation`, `left`, `right`, `around`, a run of that name; with `row` `flo` or `blo`."""
    row: int | None = None
    unit: str = "row"
    in_rounds: bool = False
    """Whether the piece is worked in rounds: its top has no ends."""
    end: str | None = None
    """`first` or `last` where only `count` of its places are meant."""
    count: int = 0
    span: Span = field(default=NOWHERE, compare=False, repr=False)

    @property
    def said(self) -> str:
        """What messages call it."""
        if self.row is not None:
            return f"{self.edge} of {self.unit} {self.row} of {self.title}"
        return f"{self.edge} of {self.title}"


@dataclass(frozen=True, slots=True)
class StartPlan:
    """What the first row is worked into."""

    node: Start
    start: int
    kind: str
    """`chain`, `joined chain`, `stitches`, `joined stitches`, `for`, `ring` or `edge`."""
    count: int = 0
    stitch: Stitch | None = None
    along: tuple[Along, ...] = ()
    ratio: tuple[int, int] | None = None
    """So many places for so many row ends."""
    rounding: str | None = None


@dataclass(frozen=True, slots=True)
class AgainPlan:
    """A piece whose rows are those of another."""

    index: int
    """Of the piece that has the rows, among all pieces."""
    mirrored: bool
    remarks: tuple[Remark, ...] = ()
    """The piece's own prose."""


@dataclass(frozen=True, slots=True)
class PiecePlan:
    """One piece in one size."""

    node: Piece
    start_offset: int
    start: StartPlan | None
    parts: tuple[Stretch | Remark, ...]
    make: int = 1
    yarns: tuple[str, ...] = ()
    """The yarns that its rows are worked with, in the order they come, colours within a row left out."""
    again: AgainPlan | None = None
    """The piece that it is worked like, if it has no rows of its own."""

    @property
    def title(self) -> str:
        """What the published pattern calls it."""
        return self.node.title or self.node.name.replace("_", " ")

    @property
    def in_rounds(self) -> bool:
        """Whether it is worked in rounds."""
        return not self.node.manner.endswith("rows")

    @property
    def fastened_off(self) -> bool:
        """Whether the yarn is cut after each row and joined again at the beginning of that row."""
        return self.node.manner == "right-side rows"

    @property
    def turns(self) -> bool:
        """Whether the work is turned after each row or round."""
        return self.node.manner.startswith("turned")


@dataclass(frozen=True, slots=True)
class PatternPlan:
    """A pattern in one size."""

    size: str
    """Its name; empty where the pattern has one size only."""
    pieces: tuple[PiecePlan, ...]
    diagnostics: tuple[Diagnostic, ...]
