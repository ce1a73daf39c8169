"""A piece under way: what its next row finds, and what is wrong with that row once it is counted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, fields, replace

from ..lang.diagnostics import Diagnostic
from ..lang.syntax import RepeatRows
from .counted import Block, CountedRow, Whence
from .elsewhere import found_elsewhere
from .fabric import Edge, Named, Run, Segments, reversed_parts
from .faults import Fault, HeldBack, plural
from .kept import Reached
from .plan import Closing, PiecePlan, Remark, RowPlan, Stretch
from .reckon import Turns
from .row import reckoned_row, walked_row


@dataclass(slots=True)
class Memo:
    """What was done already, for other rows and other sizes."""

    counted: dict[tuple[int, Edge], CountedRow] = field(default_factory=dict)
    """Rows without a fault by plan and ground; a row keeps its plan, so that its id stays its own."""
    turns: Turns = field(default_factory=dict)
    written: dict[tuple[int, Edge, object], tuple[RowPlan, RowPlan]] = field(default_factory=dict)
    """Rows of a `work`, by its statement, the ground and what changes: the plain row, and the row itself."""


@dataclass(slots=True)
class PieceCount:
    """A piece under way."""

    plan: PiecePlan
    start_said: str
    """What messages call what the first row is worked into."""
    ground: Edge | None
    """What the next row finds, in the order it meets it; None if that is not known."""
    memo: Memo
    accelerate: bool
    number: int = 1
    number_off: int = 0
    """By how much the number is off since a row was numbered wrongly."""
    adrift: bool = False
    """Whether `number` is a guess, because how many rows stand before the next one could not be found out."""
    last: tuple[str, int] | None = None
    """Unit and number of the row before the next one."""
    parts: list[Block | Remark | Closing] = field(default_factory=list)
    diagnostics: list[Diagnostic] = field(default_factory=list)
    now: Sequence[CountedRow] = ()
    """The rows of the statement under way, as far as they are counted."""
    yarn: str | None = None
    """The yarn at hand, where rows up to a count did not end with the last of those worked in turn."""
    doubted: Edge | None = None
    """What the row before made, if its author states another number of stitches."""
    other: PieceCount | None = None
    """The same piece as it goes on from such a count, as long as both ways fit."""
    guessed: bool = False
    """Whether what the next row finds is a guess, because rows before it are missing or miscounted."""
    faulty: set[int] = field(default_factory=set)
    """The identities of the steps of rows that have a fault; the plan keeps them."""
    side_of_odd: str | None = None
    """The side, `rs` or `ws`, that faces in rows 1, 3, 5, ...: as the first row that names one says."""

    @property
    def before(self) -> str:
        """What messages call what the next row is worked into."""
        return self.start_said if self.last is None else said_row(*self.last)

    def take(self, other: PieceCount) -> None:
        """Go on as another count of the same piece does."""
        for each in fields(self):
            setattr(self, each.name, getattr(other, each.name))

    def reached(self) -> Reached:
        """Return how far it has come, beside what the next row finds."""
        return (
            self.number,
            self.number_off,
            self.adrift,
            self.guessed,
            self.last,
            self.yarn,
            self.side_of_odd,
        )

    def go_on(self, ground: Edge | None, doubted: Edge | None, reached: Reached) -> None:
        """Go on from where rows that were counted before have come to."""
        self.ground, self.doubted = ground, doubted
        self.number, self.number_off, self.adrift, self.guessed, self.last, self.yarn, self.side_of_odd = (
            reached
        )

    def is_faulty(self, stretch: Stretch) -> bool:
        """Tell whether rows are worked as rows above that have a fault."""
        return any(id(row.body) in self.faulty for row in stretch.rows)

    def rows(self) -> list[CountedRow]:
        """Return the rows counted so far, in order; those that could not be counted are missing."""
        before = [row for part in self.parts if isinstance(part, Block) for row in part.rows]
        return [*before, *self.now]


def counted_row(stretch: Stretch, plan: RowPlan, state: PieceCount) -> tuple[CountedRow | None, bool]:
    """Count the next row; return it, and whether it has a fault. The piece goes on from what it makes."""
    assert state.ground is not None
    ground = state.ground
    before: str | None = None
    whence: Whence | None = None
    _check_side(stretch, plan, state)
    _check_below(stretch, plan, state)
    if plan.elsewhere is not None:
        try:
            found = found_elsewhere(
                plan.elsewhere, state.plan, state.rows(), ground, state.number, state.before
            )
        except HeldBack:
            return None, True
        except Fault as wrong:
            state.diagnostics.append(_shown(wrong.diagnostic, stretch, state, plan).shifted(stretch.start))
            return None, True
        ground, before, whence = found.ground, found.before, found.whence
    row = _known_row(plan, ground, state) if whence is None else None
    faults: tuple[Diagnostic, ...] = ()
    if row is None:
        said = said_row(plan.unit, state.number)
        if before is None:
            before = state.before
        outcome = walked_row(plan, ground, state.plan, said, before, state.number, state.accelerate)
        row, faults = outcome.row, outcome.faults
    # A fault's words name the row, so only a row without one is the same for another.
    if plan.in_all_sizes and whence is None and row is not None and not faults:
        state.memo.counted[(id(plan), ground)] = row
    if faults and not (ground.unknown and faults[0].name in HANGS_ON_KINDS):
        state.diagnostics += [_shown(each, stretch, state, plan).shifted(stretch.start) for each in faults]
    if row is not None and row.number != state.number:
        row = replace(row, number=state.number)
    if row is not None and whence is not None:
        row = replace(row, whence=whence, slip_to=(*whence.moved, *row.slip_to))
    if row is not None and not faults:
        state.last = plan.unit, state.number
        state.number += 1
        made = reversed_parts(row.after.parts) if state.plan.turns else row.after.parts
        state.ground = Edge(made, row.after.places)
    return row, bool(faults)


def _known_row(plan: RowPlan, ground: Edge, state: PieceCount) -> CountedRow | None:
    """Return the next row if it was counted before, or sums tell what it comes to."""
    known = state.memo.counted.get((id(plan), ground)) if plan.in_all_sizes else None
    if known is None and state.accelerate:
        return reckoned_row(plan, ground, state.plan, state.number, state.memo.turns)
    return known


def _check_below(stretch: Stretch, plan: RowPlan, state: PieceCount) -> None:
    """Report a stitch that is worked further down than there are rows."""
    if not plan.deepest or plan.deepest < state.number - 1:
        return
    there = state.number - 2
    state.diagnostics.append(
        Diagnostic(
            "no-row-below",
            f"{said_row(plan.unit, state.number)} works {plural(plan.deepest, plan.unit)} below the edge, "
            f"and there {'is' if there == 1 else 'are'} {there if there > 0 else 'none'}",
            stretch.node.content.span.shifted(stretch.start),
            help=f"`below` counts from the {plan.unit} before this one, and what it reaches must be a "
            f"{plan.unit} as well",
            facts={"expected": plan.deepest, "found": max(there, 0)},
        )
    )


def _check_side(stretch: Stretch, plan: RowPlan, state: PieceCount) -> None:
    """Report a side that can't face if the rows before are as they say."""
    if plan.side is None:
        return
    other = {"rs": "ws", "ws": "rs"}[plan.side]
    of_odd = other if state.plan.turns and state.number % 2 == 0 else plan.side
    if state.side_of_odd in (None, of_odd):
        state.side_of_odd = of_odd
        return
    faces = "right" if other == "rs" else "wrong"
    turned = (
        f"the work is turned after each {plan.unit}"
        if state.plan.turns
        else f"these {plan.unit}s are not turned"
    )
    state.diagnostics.append(
        Diagnostic(
            "wrong-side",
            f"{said_row(plan.unit, state.number)} has the {faces} side facing, not the other",
            stretch.node.label.span.shifted(stretch.start),
            notes=(turned,),
            help=f"write `{other}`, or leave the side out",
        )
    )


HANGS_ON_KINDS = frozenset({"nothing-ahead", "space-in-the-way", "no-middle"})


def _shown(diagnostic: Diagnostic, stretch: Stretch, state: PieceCount, plan: RowPlan) -> Diagnostic:
    """Say which row of a stretch a fault is in, and show it where this row is written."""
    if stretch.node.label.last is None and stretch.times == 1:
        shown = diagnostic
    else:
        shown = replace(
            diagnostic, notes=(*diagnostic.notes, f"this is in {said_row(plan.unit, state.number)}")
        )
    if stretch.shaping is not None:
        shown = replace(shown, span=stretch.shaping.span, tallies=(), fix=None)
    if isinstance(stretch.node.content, RepeatRows):
        name = "rows-do-not-fit" if diagnostic.name in MISFITS else diagnostic.name
        message = f"{said_row(plan.unit, state.number)} does not fit: {diagnostic.message}"
        shown = replace(
            shown, name=name, message=message, span=stretch.node.content.span, tallies=(), fix=None
        )
    wanted = diagnostic.facts.get("wanted")
    if diagnostic.name == "nothing-ahead" and isinstance(wanted, str):
        last = next((row for row in reversed(state.rows()) if _marks(row.after.parts, wanted)), None)
        if last is not None:
            said = said_row(last.plan.unit, last.number + last.times - 1)
            again = shown.help or f"mark it again in {state.before}: `2 ch as {wanted}`"
            shown = replace(shown, notes=(*shown.notes, f"{said} was the last to mark {wanted}"), help=again)
    return shown


MISFITS = frozenset(
    {
        "too-few-places",
        "unworked-places",
        "empty-row",
        "uneven-repeat",
        "no-middle",
        "nothing-ahead",
        "space-in-the-way",
        "turning-chain",
    }
)


def _marks(parts: Segments, wanted: str) -> bool:
    """Tell whether an edge has a mark of that name."""
    return any(
        (type(part) is Named and part.is_mark and part.label == wanted) or _marks(part.parts, wanted)  # type: ignore[union-attr]
        for part in parts
        if type(part) is not Run
    )


def said_row(unit: str, number: int) -> str:
    return f"{unit} {number}"
