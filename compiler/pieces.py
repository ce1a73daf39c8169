"""A piece while its statements are gone through."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
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
    rows_by_number: dict[int, RowPlan | None] = field(default_factory=dict)
    recent: deque[RowPlan | None] = field(default_factory=lambda: deque(maxlen=MOST_REPEATED))
    """The last rows in order, for `repeat last`."""
    spans: list[tuple[int, int, tuple[RowPlan, ...]]] = field(default_factory=list)
    """First number, how many, and the rows worked in turn: one entry a stretch."""
    start_failed: bool = False
    closed: bool = False
    """Whether `close` has ended it."""
    yarn: str | None = None
    """The yarn that the last row was worked with."""
    yarns: list[str] = field(default_factory=list)
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
        if first is None or times is None:
            self.next_number = None
        else:
            self.spans.append((first, times, rows))
            self.next_number = first + times
        if times == 0:
            return
        for row in rows[:times]:
            if row.yarn is not None and row.yarn not in self.yarns:
                self.yarns.append(row.yarn)
        if rows:
            self.yarn = rows[((times or len(rows)) - 1) % len(rows)].yarn
        self.recent.extend(_last_rows(rows, times) if rows else (None,))


def piece_index(
    name: str, span: Span, above: Sequence[PiecePlan], here: PieceState | None, scope: Scope
) -> int:
    """Return where the piece of that name stands. Raise a fault if it does not stand above."""
    key = name.casefold()
    for index, plan in enumerate(above):
        if plan.node.name.casefold() == key:
            return index
    below = key in scope.pieces
    if here is not None and here.node.name.casefold() == key:
        raise fault("unknown-piece", f"{name} is this piece itself", span, help="name a piece above")
    raise fault(
        "unknown-piece",
        f"piece {name} stands below this line" if below else f"there is no piece {name}",
        span,
        help="move this line below that piece" if below else _piece_meant(name, above),
    )


def _piece_meant(name: str, above: Sequence[PiecePlan]) -> str:
    from difflib import get_close_matches

    names = {plan.node.name.casefold(): plan.node.name for plan in above}
    near = get_close_matches(name.casefold(), names, n=1)
    return f"write `{names[near[0]]}`" if near else "name a piece that stands above"


def _last_rows(rows: tuple[RowPlan, ...], times: int | None) -> tuple[RowPlan | None, ...]:
    if times is None:
        return rows[-1:]
    many = min(times, MOST_REPEATED)
    return tuple(rows[(times - many + index) % len(rows)] for index in range(many))
