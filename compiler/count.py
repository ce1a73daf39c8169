"""The count: walks each row of a pattern over the edge that the row before it left.

A plan goes in, counted rows and diagnostics come out. Rows that find and do the same as the one before are
counted once: a stretch of a million even rows costs one. After a faulty row the count goes on from the total
that its author states; where there is none, nothing is said about what hangs on it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import chain

from ..lang.diagnostics import Diagnostic, Fix, Label
from ..lang.syntax import Body, RepeatRows, Some, Words
from .colours import by_yarn
from .counted import Block, CountedPattern, CountedPiece, CountedRow, Worked
from .edges import Edges
from .fabric import (
    CHAIN,
    Edge,
    Named,
    Place,
    Run,
    Segments,
    edge,
    places,
    reversed_parts,
    tally,
)
from .faults import Fault, HeldBack, plural
from .makes import places_used
from .plan import (
    BracketStep,
    ChainStep,
    CheckedTotal,
    GroupStep,
    Limit,
    OwnStep,
    PatternPlan,
    PiecePlan,
    Remark,
    RowPlan,
    Shaping,
    StartPlan,
    Steps,
    Stretch,
    TogetherStep,
    UndersideStep,
)
from .planned import Planned, events, marks_named, planned
from .row import Outcome, count_row, first_ordinal, opened, tallies
from .scope import items_of
from .shaped import chevron_row, round_of_shape, shaped_row

MOST_ROWS = 100_000
"""Rows of one stretch that differ from one another."""


Memo = dict[tuple[int, Edge], tuple[RowPlan, Outcome]]
"""Rows counted already, by plan and ground; the plan is kept so that its id stays its own."""


@dataclass(slots=True)
class _PieceCount:
    """A piece under way."""

    plan: PiecePlan
    ground: Edge | None
    """What the next row finds, in the order it meets it; None if that is not known."""
    memo: Memo
    accelerate: bool
    number: int = 1
    before: str = ""
    """What the messages call what the next row is worked into."""
    parts: list[Block | Remark] = field(default_factory=list)
    diagnostics: list[Diagnostic] = field(default_factory=list)
    mark_rows: dict[str, str] = field(default_factory=dict)
    """The last row that set each mark."""
    side_of_odd: str | None = None
    """The side, `rs` or `ws`, that faces in rows 1, 3, 5, ...: as the first row that names one says."""


def count(plan: PatternPlan, memo: Memo | None = None, *, accelerate: bool = True) -> CountedPattern:
    """Return the pattern with every row counted, and what is wrong with the counts.

    `memo` is handed from size to size. Without `accelerate` every turn of every bracket is walked.
    """
    memo = {} if memo is None else memo
    edges = Edges()
    pieces = edges.pieces
    diagnostics = list(plan.diagnostics)
    for index, piece in enumerate(plan.pieces):
        if piece.again is not None:
            like = pieces[piece.again.index]
            if piece.again.index in edges.faulty:
                edges.faulty.add(index)
            pieces.append(replace(like, plan=piece))
            continue
        counted, found = _count_piece(piece, edges, memo, accelerate)
        pieces.append(counted)
        diagnostics += found
        if found:
            edges.faulty.add(index)
    if plan.size:
        diagnostics = [replace(each, sizes=(plan.size,)) for each in diagnostics]
    return CountedPattern(plan.size, tuple(pieces), tuple(diagnostics))


def _count_piece(
    plan: PiecePlan, edges: Edges, memo: Memo, accelerate: bool
) -> tuple[CountedPiece, Sequence[Diagnostic]]:
    if plan.start is not None and plan.start.kind == "edge":
        ground, start_count, said, faults = _ground_along(plan, plan.start, edges)
    else:
        ground, start_count, said = _ground(plan)
        faults = []
    state = _PieceCount(plan, ground, memo, accelerate, before=said, diagnostics=faults)
    if plan.fastened_off:
        state.side_of_odd = "rs"
    for part in plan.parts:
        if isinstance(part, Remark):
            state.parts.append(part)
        else:
            _count_stretch(part, state)
    return CountedPiece(plan, start_count, tuple(state.parts)), state.diagnostics


def _ground_along(
    plan: PiecePlan, start: StartPlan, edges: Edges
) -> tuple[Edge | None, int, str, list[Diagnostic]]:
    """Return what a piece is started along, as `_ground` does, and what is wrong with it."""
    first = next((part.rows[0] for part in plan.parts if isinstance(part, Stretch) and part.rows), None)
    from_behind = first is not None and first.side == "ws"
    said = f"the {start.along[0].said}" if len(start.along) == 1 else "the edge"
    try:
        ground = edges.ground(start, plan.make, from_behind=from_behind)
    except HeldBack:
        return None, 0, said, []
    except Fault as found:
        return None, 0, said, [found.diagnostic.shifted(start.start)]
    return ground, ground.places, said, []


def _ground(plan: PiecePlan) -> tuple[Edge | None, int, str]:
    """Return what the first row finds, the chains or stitches made for it, and what messages call it."""
    start = plan.start
    if start is None:
        return None, 0, "the start"
    foundation = (Run(Place(CHAIN), start.count),)
    match start.kind:
        case "ring":
            return Edge(ring=True), 0, "the ring"
        case "joined chain":
            return edge(foundation, ring=True), start.count, "the joined chain"
        case "for":
            many = start.count + _chains_for_turning(plan)
            return edge((Run(Place(CHAIN), many),)), many, "the foundation chain"
        case "chain":
            return edge(foundation), start.count, "the foundation chain"
        case _:
            assert start.stitch is not None
            row = (Run(Place(start.stitch.counts_as), start.count),)
            return edge(row), start.count, "the foundation row"


def _chains_for_turning(plan: PiecePlan) -> int:
    for part in plan.parts:
        if isinstance(part, Stretch) and part.rows:
            opening = part.rows[0].opening
            ordinal = first_ordinal(part.rows[0].body)
            if ordinal is not None:
                return ordinal - 1
            if opening is None:
                return 0
            return opening.chains - (opening.manner == "counts")
    return 0


# ---- stretches -----------------------------------------------------------------------------------------


def _count_stretch(stretch: Stretch, state: _PieceCount) -> None:
    node = stretch.node
    if stretch.numbered and stretch.first is not None:
        _check_number(stretch, state)
        state.number = stretch.first
    first = state.number
    if stretch.times == 0:
        state.parts.append(Block(stretch, (), first, 0))
        return
    if not stretch.rows or state.ground is None or (state.ground.unknown and _needs_more(stretch)):
        state.parts.append(Block(stretch, (), first, stretch.times or 0))
        state.number += stretch.times if stretch.times is not None else 1
        state.ground = _stated_ground(stretch.total, stretch, state)
        state.before = _said_row(node.label.unit, state.number - 1)
        return
    changes: tuple[Planned, ...] = ()
    if stretch.until is not None:
        rows, failed = _until(stretch, stretch.until, state)
    elif stretch.shaping is not None:
        rows, failed, changes = _worked(stretch, stretch.shaping, state)
    else:
        assert stretch.times is not None
        rows, failed = _in_turn(stretch, stretch.times, state)
    times = sum(row.times for row in rows)
    state.parts.append(Block(stretch, tuple(rows), first, times, changes))
    if failed:
        state.number = first + (stretch.times or times or 1)
        last_made = rows[-1] if rows and stretch.times == times else None
        state.ground = _stated_ground(stretch.total, stretch, state, last_made)
        state.before = _said_row(node.label.unit, state.number - 1)
    elif rows and stretch.total and not stretch.totals:
        _check_total(stretch, stretch.total, rows[-1], state)


def _needs_more(stretch: Stretch) -> bool:
    """Tell whether rows ask for more than the number of stitches, which is all that is known."""
    if stretch.shaping is not None and marks_named(stretch.shaping):
        return True
    return any(places_used(row.body) is None and not _only_stops(row.body) for row in stretch.rows)


def _only_stops(body: Steps) -> bool:
    """Tell whether what keeps the places used from being known are only stops that need a number."""
    for step in body:
        stop = getattr(step, "stop", None)
        if stop is not None:
            if stop.kind == "place":
                return False
            inner = step.body if isinstance(step, BracketStep) else ()
            if inner and places_used(inner) is None:
                return False
        elif places_used((step,)) is None and step.__class__.__name__ != "LeaveStep":
            return False
    return True


def _check_number(stretch: Stretch, state: _PieceCount) -> None:
    label = stretch.node.label
    assert label.first is not None
    if label.first == state.number:
        return
    unit = label.unit
    if state.number == 1:
        message = f"the first {unit} is called {unit} {label.first}"
    else:
        message = f"{unit} {label.first} follows {unit} {state.number - 1}"
    right = (
        f"{label.unit} {state.number}"
        if label.last is None
        else (f"{label.unit}s {state.number}-{state.number + label.last - label.first}")
    )
    span = label.span.shifted(stretch.start)
    state.diagnostics.append(
        Diagnostic(
            "row-number",
            message,
            span,
            help=f"write `{right}`, or `next {unit}`, which never has to be renumbered",
            fix=Fix(f"write `{right}`", (Label(span, right),), safe=False),
            facts={"expected": state.number, "found": label.first},
        )
    )


def _in_turn(stretch: Stretch, times: int, state: _PieceCount) -> tuple[list[CountedRow], bool]:
    """Count so many rows, worked in turn; like rows one after another become one entry."""
    rows: list[CountedRow] = []
    cycle = len(stretch.rows)
    done = 0
    seen: dict[tuple[int, Edge], int] = {}
    while done < times:
        if len(rows) > MOST_ROWS:
            state.diagnostics.append(_too_many_rows(stretch))
            return rows, True
        plan = stretch.rows[done % cycle]
        assert state.ground is not None
        ground = state.ground
        if cycle < times and not stretch.totals and state.accelerate:
            key = (done % cycle, ground)
            skipped = _repeat_cycle(rows, seen[key], done, times) if key in seen else 0
            if skipped:
                done += skipped
                state.number += skipped
                state.before = _said_row(plan.unit, state.number - 1)
                seen.clear()
                continue
            seen[key] = done
        row, failed = _one(stretch, plan, state)
        if row is None or failed:
            if row is not None:
                rows.append(row)
            return rows, True
        rows.append(row)
        if stretch.totals and not _check_total(stretch, stretch.totals[done], row, state):
            return rows, True
        done += 1
    return _merged(rows), False


def _worked(
    stretch: Stretch, shaping: Shaping, state: _PieceCount
) -> tuple[list[CountedRow], bool, tuple[Planned, ...]]:
    """Count the rows of a `work`; those between two changes that are alike are counted once."""
    rows: list[CountedRow] = []
    assert stretch.times is not None
    row, first, times = stretch.rows[0], state.number, stretch.times
    changes: tuple[Planned, ...] = ()

    def read() -> Edge:
        assert state.ground is not None
        return opened(row, state.ground, state.plan)[2]

    def one(plan: RowPlan) -> bool:
        counted, failed = _one(stretch, plan, state)
        if counted is not None:
            rows.append(counted)
        return failed

    try:
        if shaping.shape:
            for number in range(times):
                if one(
                    round_of_shape(row, read(), shaping, number)
                    if shaping.counts
                    else chevron_row(row, read(), shaping)
                ):
                    return rows, True, ()
                if not shaping.counts and number and rows[-1].before == rows[-1].after:
                    _go_on(rows, times - number - 1, state)
                    break
            return _merged(rows), False, ()
        around = state.plan.in_rounds
        changes = planned(shaping, times, first, read(), turned=state.plan.turns)
        ends = ((times, ()),)
        done = 0
        for number, active in chain(events(changes, first), ends):
            while done < number:
                ground = state.ground
                if one(shaped_row(row, read(), shaping, (), around=around)):
                    return rows, True, changes
                done += 1
                if state.ground == ground and state.accelerate:
                    _go_on(rows, number - done, state)
                    done = number
                _check_most(rows, stretch)
            if number < times:
                if one(shaped_row(row, read(), shaping, active, around=around)):
                    return rows, True, changes
                done += 1
                _check_most(rows, stretch)
    except Fault as found:
        shown = found.diagnostic
        if rows or shown.name == "too-few-places":
            shown = replace(shown, notes=(*shown.notes, f"this is in {_said_row(row.unit, state.number)}"))
        state.diagnostics.append(shown.shifted(stretch.start))
        return rows, True, changes
    return _merged(rows), False, changes


def _go_on(rows: list[CountedRow], times: int, state: _PieceCount) -> None:
    """Add rows that are like the last one in all they find and make."""
    rows[-1] = replace(rows[-1], times=rows[-1].times + times)
    state.number += times
    state.before = _said_row(rows[-1].plan.unit, state.number - 1)


def _check_most(rows: list[CountedRow], stretch: Stretch) -> None:
    if len(rows) > MOST_ROWS:
        raise Fault(_too_many_rows(stretch))


def _repeat_cycle(rows: list[CountedRow], since: int, done: int, times: int) -> int:
    """Add what follows if rows go on as they did since an equal edge; return how many rows that is."""
    period = done - since
    cycles = (times - done) // period
    if not cycles:
        return 0
    if period == 1:
        last = rows[-1]
        rows[-1] = replace(last, times=last.times + cycles)
        return cycles
    if cycles * period > MOST_ROWS:
        cycles = MOST_ROWS // period
    again = rows[-period:]
    for turn in range(cycles):
        rows.extend(replace(row, number=row.number + (turn + 1) * period) for row in again)
    return cycles * period


def _merged(rows: list[CountedRow]) -> list[CountedRow]:
    """Make one entry of rows that follow each other and are the same in all that is kept of them."""
    merged: list[CountedRow] = []
    for row in rows:
        last = merged[-1] if merged else None
        if (
            last is not None
            and last.worked == row.worked
            and replace(row, number=last.number, times=last.times) == last
        ):
            merged[-1] = replace(last, times=last.times + row.times)
        else:
            merged.append(row)
    return merged


def _until(stretch: Stretch, limit: Limit, state: _PieceCount) -> tuple[list[CountedRow], bool]:
    rows: list[CountedRow] = []
    seen: dict[tuple[int, Edge], int] = {}
    previous: int | None = None
    while True:
        plan = stretch.rows[len(rows) % len(stretch.rows)]
        assert state.ground is not None
        key = (len(rows) % len(stretch.rows), state.ground)
        if key in seen or len(rows) > MOST_ROWS:
            state.diagnostics.append(
                _never_reached(stretch, limit, rows, state, "the count comes round again")
            )
            return rows, True
        seen[key] = len(rows)
        row, failed = _one(stretch, plan, state)
        if row is None or failed:
            return rows, True
        rows.append(row)
        have = _have(limit.kind, row, state.plan)
        if have == limit.count:
            return _merged(rows), False
        if previous is not None and (previous - limit.count) * (have - limit.count) < 0:
            state.diagnostics.append(
                _never_reached(stretch, limit, rows, state, f"it passes from {previous} to {have}")
            )
            return rows, True
        previous = have


def _never_reached(
    stretch: Stretch, limit: Limit, rows: list[CountedRow], state: _PieceCount, why: str
) -> Diagnostic:
    counts = [_have(limit.kind, row, state.plan) for row in rows[-3:]]
    said = limit.said or "stitches"
    return Diagnostic(
        "until-missed",
        f"these rows never come to {limit.count} {said}: {why}",
        limit.span.shifted(stretch.start),
        notes=(f"the last counts were {', '.join(map(str, counts))}",) if counts else (),
        help=f"write a number that is reached, such as `until {counts[-1]} {limit.said or 'st'}`"
        if counts
        else "",
        facts={"expected": limit.count, "found": counts[-1] if counts else 0},
    )


def _too_many_rows(stretch: Stretch) -> Diagnostic:
    return Diagnostic(
        "too-large",
        f"more than {MOST_ROWS:,} rows of this stretch differ from one another",
        stretch.node.label.span.shifted(stretch.start),
        help="write fewer rows",
    )


# ---- one row -------------------------------------------------------------------------------------------


def _one(stretch: Stretch, plan: RowPlan, state: _PieceCount) -> tuple[CountedRow | None, bool]:
    """Count the next row; return it, and whether it has a fault. The piece goes on from what it makes."""
    assert state.ground is not None
    ground = state.ground
    _check_side(stretch, plan, state)
    _check_below(stretch, plan, state)
    known = state.memo.get((id(plan), ground)) if plan.in_all_sizes else None
    if known is None:
        said = _said_row(plan.unit, state.number)
        outcome = count_row(plan, ground, state.plan, said, state.before, state.number, state.accelerate)
        # A fault's words name the row, so only a row without one is the same for another.
        if plan.in_all_sizes and not outcome.faults:
            state.memo[(id(plan), ground)] = (plan, outcome)
    else:
        outcome = known[1]
    row = outcome.row
    if outcome.faults and not (ground.unknown and outcome.faults[0].name in HANGS_ON_KINDS):
        state.diagnostics += [
            _shown(each, stretch, state, plan).shifted(stretch.start) for each in outcome.faults
        ]
    if row is not None and row.number != state.number:
        row = replace(row, number=state.number)
    if row is not None and not outcome.faults:
        state.before = _said_row(plan.unit, state.number)
        state.number += 1
        made = reversed_parts(row.after.parts) if state.plan.turns else row.after.parts
        state.ground = Edge(made, row.after.places)
        _note_marks(row, state)
    return row, bool(outcome.faults)


def _check_below(stretch: Stretch, plan: RowPlan, state: _PieceCount) -> None:
    """Report a stitch that is worked further down than there are rows."""
    if not plan.deepest or plan.deepest < state.number - 1:
        return
    there = state.number - 2
    state.diagnostics.append(
        Diagnostic(
            "no-row-below",
            f"{_said_row(plan.unit, state.number)} works {plural(plan.deepest, plan.unit)} below the edge, "
            f"and there {'is' if there == 1 else 'are'} {there if there > 0 else 'none'}",
            stretch.node.content.span.shifted(stretch.start),
            help=f"`below` counts from the {plan.unit} before this one, and what it reaches must be a "
            f"{plan.unit} as well",
            facts={"expected": plan.deepest, "found": max(there, 0)},
        )
    )


def _check_side(stretch: Stretch, plan: RowPlan, state: _PieceCount) -> None:
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
            f"{_said_row(plan.unit, state.number)} has the {faces} side facing, not the other",
            stretch.node.label.span.shifted(stretch.start),
            notes=(turned,),
            help=f"write `{other}`, or leave the side out",
        )
    )


HANGS_ON_KINDS = frozenset({"nothing-ahead", "space-in-the-way", "no-middle"})


def _shown(diagnostic: Diagnostic, stretch: Stretch, state: _PieceCount, plan: RowPlan) -> Diagnostic:
    """Say which row of a stretch a fault is in, and show it where this row is written."""
    if stretch.node.label.last is None and stretch.times == 1:
        shown = diagnostic
    else:
        shown = replace(
            diagnostic, notes=(*diagnostic.notes, f"this is in {_said_row(plan.unit, state.number)}")
        )
    if stretch.shaping is not None:
        shown = replace(shown, span=stretch.shaping.span, tallies=(), fix=None)
    if isinstance(stretch.node.content, RepeatRows):
        name = "rows-do-not-fit" if diagnostic.name in MISFITS else diagnostic.name
        message = f"{_said_row(plan.unit, state.number)} does not fit: {diagnostic.message}"
        shown = replace(
            shown, name=name, message=message, span=stretch.node.content.span, tallies=(), fix=None
        )
    wanted = diagnostic.facts.get("wanted")
    if diagnostic.name == "nothing-ahead" and isinstance(wanted, str) and wanted in state.mark_rows:
        shown = replace(
            shown, notes=(*shown.notes, f"{state.mark_rows[wanted]} was the last to mark {wanted}")
        )
    return shown


MISFITS = frozenset(
    {
        "too-few-places",
        "unworked-places",
        "uneven-repeat",
        "no-middle",
        "nothing-ahead",
        "space-in-the-way",
        "turning-chain",
    }
)


def _note_marks(row: CountedRow, state: _PieceCount) -> None:
    def note(parts: Segments) -> None:
        for part in parts:
            if type(part) is Named and part.is_mark:
                state.mark_rows[part.label] = _said_row(row.plan.unit, row.number)
            if not isinstance(part, Run):
                note(part.parts)

    note(row.after.parts)


# ---- totals --------------------------------------------------------------------------------------------


def _have(kind: str, row: CountedRow, piece: PiecePlan) -> int:
    if not kind:
        return row.stitches
    if kind.startswith("yarn "):
        return by_yarn(row)[kind.removeprefix("yarn ")]
    return tally(row.after.parts)[kind]


def _check_total(
    stretch: Stretch, total: tuple[CheckedTotal, ...], row: CountedRow, state: _PieceCount
) -> bool:
    """Compare a stated total with the count; the piece goes on from the stated one if they differ."""
    good = True
    for part in total:
        have = _have(part.kind, row, state.plan)
        if have == part.count:
            continue
        good = False
        state.diagnostics.append(_stated_total(stretch, part, have, row, state).shifted(stretch.start))
        if not part.kind:
            state.ground = _stated_ground(total, stretch, state, row)
    return good


def _stated_total(
    stretch: Stretch, part: CheckedTotal, have: int, row: CountedRow, state: _PieceCount
) -> Diagnostic:
    said = _said_row(row.plan.unit, row.number + row.times - 1)
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
        help=f"write `= {have}{kind}`, or change the {row.plan.unit}",
        facts={"expected": part.count, "found": have},
    )


def _left_by(row: CountedRow) -> str:
    round_the_end = sum(each.count for each in row.worked if isinstance(each.step, UndersideStep))
    many = row.before.places - row.foundation + round_the_end
    return f"there are {plural(many, 'place')} to work into"


def _stated_ground(
    total: tuple[CheckedTotal, ...], stretch: Stretch, state: _PieceCount, row: CountedRow | None = None
) -> Edge | None:
    """Return the plain stitches that an author's total stands for, if it tells how many places there are."""
    for part in total:
        if not part.kind:
            if row is not None and row.after.places != row.stitches:
                return None
            if row is None and _makes_spaces(stretch, state.plan):
                return None
            return Edge((Run(Place("st"), part.count),) if part.count else (), part.count, unknown=True)
    if row is not None:
        made = reversed_parts(row.after.parts) if state.plan.turns else row.after.parts
        return Edge(made, row.after.places, unknown=False)
    return None


def _makes_spaces(stretch: Stretch, piece: PiecePlan) -> bool:
    """Tell whether rows may make spaces; a repeat that can't be worked out is like the rows before it."""

    def chains(steps: Steps) -> bool:
        return any(
            isinstance(step, ChainStep)
            or (isinstance(step, BracketStep | GroupStep | TogetherStep) and chains(step.body))
            or (
                isinstance(step, OwnStep)
                and (not isinstance(step.stitch.body, tuple) or chains(step.stitch.body))
            )
            for step in steps
        )

    if stretch.rows:
        return any(chains(row.body) for row in stretch.rows)
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


def _makes(worked: Worked) -> int:
    return worked.made.stitches


def _said_row(unit: str, number: int) -> str:
    return f"{unit} {number}"
