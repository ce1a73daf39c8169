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
    mirrored: bool = False
    """With the other side facing in each row."""
    span: Span = span_field()


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
    span: Span = span_field()
    name_span: Span = span_field()


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
    span: Span = span_field()
    name_span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Close:
    """`close`: the yarn is drawn through all stitches of the last round."""

    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Seam:
    """`seam left of Front, right of Back`."""

    first: EdgeName
    second: EdgeName
    span: Span = span_field()
