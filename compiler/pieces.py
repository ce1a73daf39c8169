"""A piece while its statements are gone through."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from ..lang.source import Span
from ..lang.syntax import Piece
from .faults import fault
from .plan import AgainPlan, Closing, LaidPlan, PiecePlan, Remark, RowPlan, StartPlan, Stretch
from .scope import Scope

MOST_REPEATED = 100
"""Rows that `repeat last` can reach back."""


@dataclass(slots=True)
class PieceState:
    """A piece while its statements are gone through."""

    node: Piece
    offset: int
    make: int
    start: StartPlan | None = None
    parts: list[Stretch | Remark | Closing] = field(default_factory=list)
    next_number: int | None = 1
    """None after a stretch that `until` counts."""
    start_failed: bool = False
    misnumbered: bool = False
    """Whether rows above have numbers that can't be read, or are not the next ones."""
    closed: bool = False
    """Whether `close` has ended it."""
    yarn: str | None = None
    """The yarn that the last row was worked with."""
    odd_side: str = "rs"
    """The side that faces in rows 1, 3, 5, ..."""

    again: AgainPlan | None = None
    laid: LaidPlan | None = None

    def side(self, number: int) -> str:
        """Return which side faces, `rs` or `ws`."""
        if number % 2 or not self.node.manner.startswith("turned"):
            return self.odd_side
        return {"rs": "ws", "ws": "rs"}[self.odd_side]

    def add(self, stretch: Stretch) -> None:
        """Take in the next rows."""
        first, times, rows = stretch.first, stretch.times, stretch.rows
        self.parts.append(stretch)
        self.next_number = None if first is None or times is None else first + times
        if rows and times != 0:
            self.yarn = rows[((times or len(rows)) - 1) % len(rows)].yarn

    @property
    def yarns(self) -> tuple[str, ...]:
        """The yarns that its rows are worked with, in the order they come."""
        stretches = (part for part in self.parts if isinstance(part, Stretch))
        rows = (row for each in stretches for row in each.rows[: each.times])
        return tuple(dict.fromkeys(row.yarn for row in rows if row.yarn is not None))

    def recent(self) -> list[RowPlan | None]:
        """Return the last rows in order, for `repeat last`; None for one that is not known."""
        found: list[RowPlan | None] = []
        for part in reversed(self.parts):
            if len(found) >= MOST_REPEATED:
                break
            if isinstance(part, Stretch) and part.times != 0:
                found[:0] = _last_rows(part.rows, part.times) if part.rows else (None,)
        return found[-MOST_REPEATED:]

    def numbered(self) -> Iterator[tuple[int, int, tuple[RowPlan, ...]]]:
        """Yield, last first, the first number of rows that have one, how many they are, and the rows."""
        for part in reversed(self.parts):
            if isinstance(part, Stretch) and part.first is not None and part.times is not None:
                yield part.first, part.times, part.rows


def piece_index(
    name: str, span: Span, above: Sequence[PiecePlan], here: PieceState | None, scope: Scope
) -> int:
    """Return where the piece of that name stands. Raise a fault if it does not stand above."""
    key = name.casefold()
    for index, plan in enumerate(above):
        if plan.node.name.casefold() == key:
            return index
    below = key in scope.pieces
    meant = None if below else _piece_meant(name, above)
    if here is not None and here.node.name.casefold() == key:
        raise fault("unknown-piece", f"{name} is this piece itself", span, help="name a piece above")
    raise fault(
        "unknown-piece",
        f"piece {name} stands below this line" if below else f"there is no piece {name}",
        span,
        help="move this line below that piece"
        if below
        else f"write `{meant}`"
        if meant
        else "name a piece that stands above",
        facts={"word": name, "meant": meant} if meant else {},
    )


def _piece_meant(name: str, above: Sequence[PiecePlan]) -> str | None:
    from difflib import get_close_matches

    names = {plan.node.name.casefold(): plan.node.name for plan in above}
    near = get_close_matches(name.casefold(), names, n=1)
    return names[near[0]] if near else None


def _last_rows(rows: tuple[RowPlan, ...], times: int | None) -> tuple[RowPlan | None, ...]:
    if times is None:
        return rows[-1:]
    many = min(times, MOST_REPEATED)
    return tuple(rows[(times - many + index) % len(rows)] for index in range(many))
