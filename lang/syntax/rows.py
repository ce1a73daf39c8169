"""Rows and rounds: what stands before the colon, and what is worked."""

from __future__ import annotations

from dataclasses import dataclass

from ..source import Span
from .items import PLAIN, Body, How, Tally
from .values import Fit, Value, span_field


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
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class TurningChain:
    """`tch 3 counts`, `tch 2`, `tch 4 loop`."""

    chains: int
    manner: str | None = None
    """`counts`, `loop`, or None: it does not count."""
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Beginning:
    """`begin corner`, `begin 1 back`, `begin 2 on`: where a round begins instead of at its first place."""

    name: str | None = None
    """What it looks for: a mark, a kind of place or of stitch."""
    places: int = 0
    """Places on from where the round would begin; less than 0 for places back."""
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Stripe:
    """`2 A`: so many rows in a yarn."""

    rows: Value
    yarn: str
    span: Span = span_field()


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
    stripes: tuple[Stripe, ...] = ()
    """Yarns that change from row to row, over and over; `yarn` is none then."""
    yarn_span: Span = span_field()


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
    span: Span = span_field()


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
    """The length over which it changes, or comes `to` its number."""
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Shape:
    """A shape by measurement: `disc of 20 cm`, `crown of 56 cm, depth 20 cm`."""

    name: str
    measure: Value
    depth: Value | None = None
    said: str | None = None
    """The word before the depth: `depth` or `height`."""
    fit: Fit | None = None
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Work:
    """`work sc, +2 at middle every 2 rows`: a shaping whose rows the compiler writes."""

    name: str
    changes: tuple[Change, ...] | Shape
    how: How = PLAIN
    any_side: bool = False
    """Whether changes may fall on either side of turned work."""
    span: Span = span_field()
    name_span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Row:
    """A row, a round, or a stretch of them."""

    label: Label
    content: Body | RepeatRows | Work
    settings: Settings = Settings()
    total: tuple[Tally, ...] = ()
    """Empty where the author states none."""
    span: Span = span_field()
    total_span: Span = span_field()
