"""Stated totals: held against what was counted, and what a piece goes on from where that is not known."""

from __future__ import annotations

from ..lang.diagnostics import Diagnostic
from ..lang.syntax import Body, RepeatRows, Some, Words
from .colours import by_yarn
from .counted import CountedRow, Worked
from .fabric import SPACE, Edge, Place, Run, places, reversed_parts, tally
from .faults import plural
from .plan import CheckedTotal, PiecePlan, Stretch
from .row import tallies
from .scope import items_of
from .steps import (
    BracketStep,
    ChainStep,
    GroupStep,
    OwnStep,
    Steps,
    StitchStep,
    TogetherStep,
    UndersideStep,
)
from .underway import PieceCount, said_row


def count_of(kind: str, row: CountedRow) -> int:
    """Return how many of a kind, as `CheckedTotal` has it, a row makes."""
    if not kind:
        return row.stitches
    if kind.startswith("yarn "):
        return by_yarn(row)[kind.removeprefix("yarn ")]
    return tally(row.after.parts)[kind]


def check_total(
    stretch: Stretch, total: tuple[CheckedTotal, ...], row: CountedRow, state: PieceCount
) -> bool:
    """Compare a stated total with the count; the piece goes on from the stated one if they differ."""
    good = True
    for part in total:
        have = count_of(part.kind, row)
        if have == part.count:
            continue
        good = False
        state.diagnostics.append(_stated_total(stretch, part, have, row, state).shifted(stretch.start))
        if not part.kind:
            state.doubted = state.ground
            state.ground = stated_ground(total, stretch, state, row)
    state.guessed = state.guessed or (not good and state.doubted is None)
    return good


def _stated_total(
    stretch: Stretch, part: CheckedTotal, have: int, row: CountedRow, state: PieceCount
) -> Diagnostic:
    said = said_row(row.plan.unit, row.number + row.times - 1)
    kind = f" {part.said}" if part.said else ""
    thing = plural(have, "stitch", "stitches") if not part.said else f"{have}{kind}"
    difference = have - part.count
    direction = f"{abs(difference)} too {'many' if difference > 0 else 'few'}"
    uses = places(each for worked in row.worked for each in (*worked.passed, *worked.used))
    notes = (
        (f"{_left_by(row)}; this {row.plan.unit} makes {have}: {direction}",)
        if part.kind
        else (f"{_left_by(row)}; this {row.plan.unit} uses {uses} of them and makes {have}: {direction}",)
    )
    if row.before.ring and not row.before.parts:
        notes = (f"this {row.plan.unit} makes {have}: {direction}",)
    own = (
        not stretch.node.label.last
        and stretch.shaping is None
        and stretch.times == 1
        and not isinstance(stretch.node.content, RepeatRows)
    )
    return Diagnostic(
        "stated-total",
        f"{said} makes {thing}, but the line says {part.count}{kind}",
        part.span,
        label="stated",
        tallies=tallies(row.worked, _makes) if own and not part.kind else (),
        notes=notes,
        help=f"write `= {have}{kind}`, or {_begun(row, part.count - have) or f'change the {row.plan.unit}'}",
        facts={"expected": part.count, "found": have},
    )


def _begun(row: CountedRow, more: int) -> str:
    """Return how many chains a first row of one stitch a chain lacks; nothing for any other row."""
    step = row.worked[0].step if row.foundation and len(row.worked) == 1 else None
    if not isinstance(step, StitchStep) or (step.stitch.uses, step.stitch.makes) != (1, 1):
        return ""
    many = row.before.places + more
    return f"start with {many} ch" if step.stop is not None and step.stop.kind == "end" and many > 1 else ""


def _left_by(row: CountedRow) -> str:
    round_the_end = sum(each.count for each in row.worked if isinstance(each.step, UndersideStep))
    many = row.before.places - row.foundation + round_the_end
    return f"there {'is' if many == 1 else 'are'} {plural(many, 'place')} to work into"


def stated_ground(
    total: tuple[CheckedTotal, ...], stretch: Stretch, state: PieceCount, row: CountedRow | None = None
) -> Edge | None:
    """Return the plain stitches that an author's total stands for, if it tells how many places there are."""
    for part in total:
        if not part.kind:
            if row is not None and row.after.places != row.stitches:
                return None
            if row is None and (_counts_spaces(total) or _makes_spaces(stretch, state.plan)):
                return None
            return Edge((Run(Place("st"), part.count),) if part.count else (), part.count, unknown=True)
    if row is not None:
        made = reversed_parts(row.after.parts) if state.plan.turns else row.after.parts
        return Edge(made, row.after.places, unknown=False)
    return None


def _counts_spaces(total: tuple[CheckedTotal, ...]) -> bool:
    return any(part.kind == SPACE for part in total)


def _makes_spaces(stretch: Stretch, piece: PiecePlan) -> bool:
    """Tell whether rows may make spaces; a repeat that can't be worked out is like the rows before it."""
    if stretch.rows:
        return any(_has_chains(row.body) for row in stretch.rows)
    content = stretch.node.content
    if isinstance(content, RepeatRows):
        written = [part for part in piece.parts if isinstance(part, Stretch) and part.start < stretch.start]
        return any(
            _makes_spaces(part, piece) for part in written if not isinstance(part.node.content, RepeatRows)
        )
    return isinstance(content, Body) and any(
        (isinstance(item, Some) and item.name.casefold() == "ch") or isinstance(item, Words)
        for item in items_of(content)
    )


def _has_chains(steps: Steps) -> bool:
    return any(
        isinstance(step, ChainStep)
        or (isinstance(step, BracketStep | GroupStep | TogetherStep) and _has_chains(step.body))
        or (
            isinstance(step, OwnStep)
            and (not isinstance(step.stitch.body, tuple) or _has_chains(step.stitch.body))
        )
        for step in steps
    )


def _makes(worked: Worked) -> int:
    return worked.made.stitches
