"""What rows are made of, in one size: every number worked out, every stitch looked up, nothing counted yet.

Each step keeps its span, an offset into the statement it was written in, so that whatever is found later can
be shown there.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from ..lang.source import Span
from ..lang.stitches import Stitch
from ..lang.syntax import NOWHERE

MESH_WIDTH = 3
"""Stitches from post to post in filet crochet: two of a square, and the post that it shares with the next."""


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
    """`st`, `same`, `top`, `stem`, `start`, `gap`, `ring`, `chain` (single ones), `cord`, `edge`, `own ring`
    or `arch` (made there and then), or `ahead`: looked for."""
    name: str = ""
    """What `ahead` looks for: a kind of place, a mark, an author's stitch; else the word written."""
    which: int | str | None = None
    """Which of the chains of a space: a number from 1, `middle` or `each`."""
    chains: int = 0
    """Of a ring or an arch made where it is worked in."""
    over: int = 0
    """How many stitches before it an arch goes back over."""
    span: Span = field(default=NOWHERE, compare=False, repr=False)

    @property
    def is_made_here(self) -> bool:
        """Whether it is a ring or an arch of chains that are made for it, on no place of the row below."""
        return bool(self.chains)

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
    joint: Joint | None = None
    """The picot of a piece that is done, to which this one is joined."""


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
class Joint:
    """A place of a piece that is done, to which a row is joined."""

    index: int
    """Of the piece, among all pieces."""
    title: str
    place: str
    """A mark, or `sp`, `st` or `picot` for spaces, stitches or picots that bear none."""
    which: int | None = None
    """Which of the places of that name, in the order made; None for the last one that is not joined yet."""


@dataclass(frozen=True, slots=True)
class ChainStep:
    """Chains, or a join to another piece, which is as long as one."""

    count: int
    mark: str | None = None
    span: Span = field(default=NOWHERE, compare=False, repr=False)
    yarn: str | None = None
    joint: Joint | None = None


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
