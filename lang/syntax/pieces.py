"""Pieces: how they are worked, what they begin on, what joins them."""

from __future__ import annotations

from dataclasses import dataclass

from ..source import Span
from .rows import TurningChain
from .values import Value, span_field


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
    """So many places for so many row ends."""
    rounding: str | None = None
    """`up`, `down` or `nearest`, where the ratio does not come out whole."""
    mirrored: bool = False
    """With the other side facing in each row."""
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Laid:
    """`6 x 8 of Square, joined at corner, sp`, or `..., sewn in whip stitch`: motifs in a grid."""

    across: Value
    high: Value
    motif: str
    """The piece that they all are."""
    at: tuple[str, ...] = ()
    """The places at which each is joined to its neighbours in its last round; empty if they are sewn."""
    method: str | None = None
    """How they are sewn."""
    span: Span = span_field()
    motif_span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Piece:
    """`piece Band "The band", turned rows, blo`, `piece Right, as Left, mirrored`, or motifs in a grid."""

    name: str
    manner: str
    """`turned rows`, `right-side rows`, `joined rounds`, `turned rounds` or `spiral rounds`; empty for a
    piece that is worked like another, or is laid of others."""
    title: str | None = None
    make: Value | None = None
    loop: str | None = None
    chains_count: bool = False
    turning_chains: tuple[TurningChainFor, ...] = ()
    again: Again | None = None
    laid: Laid | None = None
    span: Span = span_field()
    name_span: Span = span_field()


@dataclass(frozen=True, slots=True)
class EdgeName:
    """`left of Band`, `flo of row 3 of Band`, `underside of bridge of Hand`."""

    edge: str
    piece: str
    unit: str | None = None
    row: int | None = None
    end: str | None = None
    """`first` or `last` where only so many of its places are meant."""
    count: Value | None = None
    """How many."""
    underside: bool = False
    """Whether the other side of chains is meant, which have the name `edge`."""
    span: Span = span_field()


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
    words: str | None = None
    """What a ring is that is worked over, if it is none of yarn."""
    span: Span = span_field()
    name_span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Close:
    """`close`: the yarn is drawn through all stitches of the last round."""

    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Seam:
    """`seam left of Front, right of Back, in mattress stitch, eased`."""

    first: tuple[EdgeName, ...]
    """Edges one after the other."""
    second: tuple[EdgeName, ...]
    method: str | None = None
    """`whip stitch`, or a stitch such as `sc`; None where it is left to the maker."""
    eased: bool = False
    """Whether the longer of the two is eased in."""
    span: Span = span_field()
    method_span: Span = span_field()
