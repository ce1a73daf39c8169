"""The pattern for one size: every number worked out, every stitch looked up, nothing counted yet.

`resolve` makes it from the syntax tree, `count` walks it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ..lang.diagnostics import Diagnostic
from ..lang.measures import Exact, Gauge
from ..lang.seams import Method
from ..lang.source import Span
from ..lang.stitches import Stitch
from ..lang.syntax import NOWHERE, Close, Laid, Piece, Row, Seam, Start, Text
from .fits import FitPlan
from .gauges import NO_GAUGES, Gauges
from .steps import Steps

if TYPE_CHECKING:
    from fractions import Fraction


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
    elsewhere: Elsewhere | None = None
    """Where it is worked, if it says so."""
    charted: Charted | None = None
    """What of its charts it was written out for; None for a row without charts."""


@dataclass(frozen=True, slots=True)
class Elsewhere:
    """Where a row is worked, if not simply into the row before it from its beginning on."""

    into: int | None = None
    """The number of an older row, behind the last one."""
    begin: str | None = None
    """The kind of place, or the mark, that a round begins at."""
    places: int = 0
    """Places on from where the round would begin; less than 0 for places back."""
    steps: bool = False
    """Whether it goes on over what short rows left."""
    span: Span = field(default=NOWHERE, compare=False, repr=False)


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
    """`until 31 st`, `until 20 cm`."""

    kind: str
    """As `CheckedTotal` has it; `rows` for the rows of the piece in all."""
    count: int
    """How many; 0 of rows, whose heights tell."""
    said: str
    span: Span = field(default=NOWHERE, compare=False, repr=False)
    length: Exact | None = None
    """Centimetres from where the piece began, where rows are counted."""
    gauges: Gauges = NO_GAUGES
    """By which rows are measured, where there is a length."""


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
    exact: Fraction | None = None
    """The stitches to come to as they were measured: the nearest that can be reached will do."""
    straight: bool = False
    """Whether a length was measured for it, so that its edge has to be straight."""
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
    gauge: Gauge | None = None
    """What it is measured by; None if the pattern has none for it."""
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
    stripes: tuple[tuple[int, str], ...] = ()
    """So many rows in a yarn, and so on in turn, over and over."""

    @property
    def states_stitches(self) -> bool:
        """Whether its total says how many stitches there are in all."""
        return any(not part.kind for part in self.total)

    def at(self, start: int) -> Stretch:
        """Return the same rows where their statement stands somewhere else."""
        if start == self.start:
            return self
        return Stretch(
            self.node,
            start,
            self.first,
            self.times,
            self.rows,
            self.total,
            self.totals,
            self.until,
            self.numbered,
            self.shaping,
            self.stripes,
        )

    def says(self, other: Stretch) -> bool:
        """Tell whether it is the same as another, wherever they stand."""
        return (
            self.node is other.node
            and self.rows == other.rows
            and self.first == other.first
            and self.times == other.times
            and self.total == other.total
            and self.totals == other.totals
            and self.until == other.until
            and self.shaping == other.shaping
            and self.stripes == other.stripes
        )


@dataclass(frozen=True, slots=True)
class Remark:
    """Prose between rows."""

    node: Text
    start: int


@dataclass(frozen=True, slots=True)
class Closing:
    """The yarn is drawn through all stitches of the last round, and nothing is worked after."""

    node: Close
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
    laid: bool = False
    """Whether the piece is made of motifs in a grid."""
    underside: bool = False
    """Whether the other side of chains is meant, which are marked `edge`."""

    @property
    def said(self) -> str:
        """What messages call it."""
        if self.row is not None:
            return f"{self.edge} of {self.unit} {self.row} of {self.title}"
        if self.underside:
            return f"the other side of the chains {self.edge} of {self.title}"
        if self.edge == "around":
            return f"edge all round {self.title}"
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
class LaidPlan:
    """Motifs side by side in a grid."""

    node: Laid
    index: int
    """Of the piece that they all are, among all pieces."""
    across: int
    high: int
    at: tuple[str, ...] = ()
    """Where each is joined in its last round: marks, and `sp` for spaces; empty if they are sewn."""
    method: Method | None = None
    """How they are sewn."""
    remarks: tuple[Remark, ...] = ()

    @property
    def motifs(self) -> int:
        """How many there are."""
        return self.across * self.high

    @property
    def beside(self) -> int:
        """How many sides are joined to a neighbour in the same row."""
        return (self.across - 1) * self.high

    @property
    def between(self) -> int:
        """How many sides are joined to a neighbour in the row before."""
        return self.across * (self.high - 1)

    @property
    def fours(self) -> int:
        """At how many points four motifs meet."""
        return (self.across - 1) * (self.high - 1)


@dataclass(frozen=True, slots=True)
class PiecePlan:
    """One piece in one size."""

    node: Piece
    start_offset: int
    start: StartPlan | None
    parts: tuple[Stretch | Remark | Closing, ...]
    make: int = 1
    yarns: tuple[str, ...] = ()
    """The yarns that its rows are worked with, in the order they come, colours within a row left out."""
    again: AgainPlan | None = None
    """The piece that it is worked like, if it has no rows of its own."""
    laid: LaidPlan | None = None
    """The motifs that it is made of, if it is."""

    @property
    def title(self) -> str:
        """What the published pattern calls it."""
        return self.node.title or self.node.name.replace("_", " ")

    @property
    def in_rounds(self) -> bool:
        """Whether it is worked in rounds."""
        return self.node.manner.endswith("rounds")

    @property
    def fastened_off(self) -> bool:
        """Whether the yarn is cut after each row and joined again at the beginning of that row."""
        return self.node.manner == "right-side rows"

    @property
    def turns(self) -> bool:
        """Whether the work is turned after each row or round."""
        return self.node.manner.startswith("turned")


@dataclass(frozen=True, slots=True)
class SeamPlan:
    """Two edges that are joined."""

    node: Seam
    start: int
    first: tuple[Along, ...]
    """Edges one after the other."""
    second: tuple[Along, ...]
    method: Method | None = None
    """None where it is left to the maker."""


@dataclass(frozen=True, slots=True)
class MakingUp:
    """Seams that stand together, and the prose between them."""

    above: int
    """How many pieces stand above it."""
    parts: tuple[SeamPlan | Remark, ...]


@dataclass(frozen=True, slots=True)
class PatternPlan:
    """A pattern in one size."""

    size: str
    """Its name; empty where the pattern has one size only."""
    pieces: tuple[PiecePlan, ...]
    diagnostics: tuple[Diagnostic, ...]
    making_up: tuple[MakingUp, ...] = ()
    has_joins: bool = False
    """Whether any row is joined to a piece that is done."""
    gauges: Gauges = NO_GAUGES
    fits: tuple[FitPlan, ...] = ()
    """The parts of the body that it fits."""
