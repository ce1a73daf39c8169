"""What counting finds out: for each row what every item used and made, and the edge it leaves."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction

from ..lang.diagnostics import Diagnostic
from ..lang.measures import Gauge
from ..lang.syntax import Piece
from .fabric import NOTHING, Edge, Made, Segments
from .fits import FitPlan
from .gauges import NO_GAUGES, Gauges
from .plan import Closing, Opening, PiecePlan, Remark, RowPlan, SeamPlan, Stretch
from .planned import Planned
from .steps import Step


@dataclass(frozen=True, slots=True)
class GoneBack:
    """Where a stitch goes that is worked in places skipped before."""

    skipped: Segments
    """All places of that skip."""
    which: int
    """Which of them, from 1; 0 for each of them."""


@dataclass(frozen=True, slots=True)
class Worked:
    """One item as it was worked."""

    step: Step
    count: int = 1
    """Stitches worked, turns of a bracket, places skipped or left, chains made."""
    passed: Segments = ()
    """What a look-ahead went past on the way to its place."""
    used: Segments = ()
    """The places worked into, skipped or left, over all turns."""
    made: Made = NOTHING
    body: tuple[Worked, ...] = ()
    """What is inside a group, or in the first turn of a bracket."""
    turns: tuple[Turns, ...] = ()
    """All turns of a bracket in order, like ones together."""
    rest: Segments = ()
    """What a bracket that looks ahead leaves when there is no more of what it looks for."""
    to_last: bool = False
    """Whether nothing of the edge is left after it."""
    back: GoneBack | None = None
    """Where it goes back to, if it does."""
    places: int = 1
    """In how many places what shares a place is worked, all of it in each."""


@dataclass(frozen=True, slots=True)
class Turns:
    """Turns of a bracket that go over and over."""

    bodies: tuple[tuple[Worked, ...], ...]
    """One turn, or several that differ and are worked one after another."""
    times: int


class Account:
    """What the items of a row did, one by one: walked when it is first asked for, where sums were enough."""

    __slots__ = ("_piece", "_walk", "_worked")

    def __init__(self, walk: Walked, piece: Piece, worked: tuple[Worked, ...] | None = None) -> None:
        self._walk = walk
        self._piece = piece
        self._worked = worked

    def of(self, plan: RowPlan, before: Edge) -> tuple[Worked, ...]:
        """Return the items of the row that this is the account of."""
        if self._worked is None:
            self._worked = self._walk(plan, before, self._piece)
        return self._worked


Walked = Callable[[RowPlan, Edge, Piece], tuple[Worked, ...]]
"""Walks a row over the edge that it finds."""


@dataclass(frozen=True, slots=True)
class Whence:
    """How a row comes to what it is worked into, where that is not simply the row before it."""

    into: int | None = None
    """The number of the older row that it is worked into."""
    loop: str | None = None
    """`front` or `back` if all that is free there are these loops."""
    moved: Segments = ()
    """What a round passes on the way to where it begins, and comes to at its end."""
    back: Segments = ()
    """What it begins with by going back over the join."""
    steps: tuple[tuple[int, Segments], ...] = ()
    """What short rows left and the row goes on over: each with the number of the row it belongs to."""


@dataclass(frozen=True, slots=True)
class CountedRow:
    """A row, or like rows one after another, in one size."""

    plan: RowPlan
    number: int
    """Of the first of them."""
    times: int
    before: Edge
    """What the first of them found, in the order it met it."""
    after: Edge
    """What the last of them made, in working order."""
    opening: Opening | None
    """The turning chain worked; None if there is none, or if single chains stand in for it."""
    stitches: int
    """What the last of them counts."""
    account: Account = field(compare=False, repr=False)
    """What each item did: it follows from the rest."""
    foundation: int = 0
    """Chains at the hook that the turning chain takes out of the chain worked into; 0 on other edges."""
    slip_to: Segments = ()
    """In a round, what is slip stitched over to reach the first place."""
    whence: Whence | None = None
    """Where it is worked, if it says so."""
    idle: tuple[Step, ...] = field(default=(), compare=False, repr=False)
    """The items that came to nothing, as their stop was reached before they began."""

    @property
    def found(self) -> int:
        """The places that it finds, without the chains that its turning chain takes."""
        return max(0, self.before.places - self.foundation)

    @property
    def worked(self) -> tuple[Worked, ...]:
        """Each item as it was worked."""
        return self.account.of(self.plan, self.before)


@dataclass(frozen=True, slots=True)
class Block:
    """The rows of one statement."""

    stretch: Stretch
    rows: tuple[CountedRow, ...]
    """Empty where what the rows find is not known, or the stretch has no rows in this size."""
    first: int | None = None
    """The number of its first row."""
    times: int = 0
    planned: tuple[Planned, ...] = ()
    """When the changes of a `work` fall."""

    def at(self, start: int) -> Block:
        """Return the same rows where their statement stands somewhere else."""
        if start == self.stretch.start:
            return self
        return Block(self.stretch.at(start), self.rows, self.first, self.times, self.planned)


@dataclass(frozen=True, slots=True)
class GridSide:
    """A side of a motif, from a corner up to the next one, as met with its right side facing."""

    corner: Segments
    """The corner that it begins with; none of a motif worked in rows."""
    between: Segments
    """The places up to the next corner."""
    joints: tuple[tuple[str, int, int], ...] = ()
    """Where it is joined between its corners: a mark or `sp`, the chains of the space, how many there are."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Motifs in a grid, by the sides of one of them: top, left, lower and right."""

    sides: tuple[GridSide, GridSide, GridSide, GridSide]
    corner: str = ""
    """The mark of the corners; empty for motifs worked in rows."""
    corners_joined: bool = True
    last_round: int = 0
    """The number of the motif's last round."""


@dataclass(frozen=True, slots=True)
class CountedPiece:
    """One piece in one size."""

    plan: PiecePlan
    start_count: int
    """Chains or stitches to begin with; for `start for` as worked out."""
    parts: tuple[Block | Remark | Closing, ...]

    @property
    def closed(self) -> bool:
        """Whether its last round is drawn together."""
        return any(isinstance(part, Closing) for part in self.parts)

    grid: Grid | None = None
    """For motifs in a grid; None for them too if they can't be laid."""


@dataclass(frozen=True, slots=True)
class Length:
    """What an edge measures, in places of either sort."""

    stitches: int = 0
    """Chains among them, those inside of spaces too."""
    row_ends: int = 0
    centimetres: Fraction | None = field(default=None, compare=False)
    """By the gauge of each stitch and row; None if it is not known."""
    sewn: Fraction | None = field(default=None, compare=False)
    """How many stitches lie along as much of it; None if it is not known."""
    gauges: frozenset[Gauge] = field(default=frozenset(), compare=False)
    """Those that it is measured by."""

    @property
    def places(self) -> int:
        """How many places there are, of either sort."""
        return self.stitches + self.row_ends


@dataclass(frozen=True, slots=True)
class CountedSeam:
    """A seam in one size."""

    plan: SeamPlan
    times: int
    """How many like it there are."""
    first: Length
    second: Length
    between_copies: bool = False
    """Whether it joins the same edge of two copies of a piece."""


@dataclass(frozen=True, slots=True)
class CountedMakingUp:
    """Seams that stand together, and the prose between them."""

    above: int
    """How many pieces stand above it."""
    parts: tuple[CountedSeam | Remark, ...]


@dataclass(frozen=True, slots=True)
class CountedPattern:
    """A pattern in one size."""

    size: str
    pieces: tuple[CountedPiece, ...]
    making_up: tuple[CountedMakingUp, ...]
    diagnostics: tuple[Diagnostic, ...] = field(default=())
    gauges: Gauges = NO_GAUGES
    fits: tuple[FitPlan, ...] = ()
