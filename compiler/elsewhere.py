"""What a row finds that says where it is worked: in an older row, from another place on, over steps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .counted import CountedRow, Whence, Worked
from .cursor import Cursor, NotAhead
from .fabric import LOOP, Edge, Place, Run, Segments, edge, joined, places, repeated, reversed_parts
from .faults import HeldBack, fault, plural, said_place
from .plan import Elsewhere, PiecePlan
from .refusals import no_beginning
from .steps import BracketStep, GroupStep, LeaveStep, OwnStep, SkipStep, StitchStep, TogetherStep


@dataclass(frozen=True, slots=True)
class Found:
    """What a row finds, and how it comes there."""

    ground: Edge
    before: str
    """What messages call what it is worked into."""
    whence: Whence


def found_elsewhere(
    said: Elsewhere, piece: PiecePlan, rows: Sequence[CountedRow], ground: Edge, number: int, before: str
) -> Found:
    """Return what row `number` finds, whose next place would be the first of `ground`.

    `rows` are those before it, in order. Raises Fault, and HeldBack where rows are missing.
    """
    whence = Whence()
    unit = "round" if piece.in_rounds else "row"
    if said.into is not None:
        ground, loop = _free_of(said, piece, rows, number, unit)
        before, whence = f"{unit} {said.into}", Whence(into=said.into, loop=loop)
    if said.steps:
        steps = _steps(said, piece, rows, number)
        for _, parts in steps:
            ground = edge(joined(ground.parts, parts))
        whence = Whence(steps=steps)
    if said.begin is not None or said.places:
        ground, whence = _begun(said, ground, whence, number, before)
    return Found(ground, before, whence)


# ---- where a round begins ----------------------------------------------------------------------------------


def _begun(said: Elsewhere, ground: Edge, whence: Whence, number: int, before: str) -> tuple[Edge, Whence]:
    """Return the edge of a round as met from another place of it."""
    if number == 1 or ground.ring:
        raise no_beginning("there is no round before this one that it could begin elsewhere in", said.span)
    cursor = Cursor(ground)
    if said.begin is not None:
        if ground.unknown:
            raise HeldBack
        try:
            moved = cursor.find(said.begin, past_marks=True)
        except NotAhead:
            raise fault(
                "nothing-ahead",
                f"there is no {said_place(said.begin)} in what {before} left",
                said.span,
                facts={"wanted": said.begin},
            ) from None
    else:
        if abs(said.places) >= ground.places:
            raise fault(
                "too-few-places",
                f"{before} gives {plural(ground.places, 'place')}, so a round can't begin "
                f"{abs(said.places)} {'back' if said.places < 0 else 'on'}",
                said.span,
                facts={"expected": abs(said.places), "found": ground.places},
            )
        on = said.places if said.places > 0 else ground.places + said.places
        moved = cursor.take(on, stitches_only=False)
    rest = cursor.take(cursor.remaining, stitches_only=False)
    back = said.places < 0
    return edge(joined(rest, moved)), Whence(
        whence.into, whence.loop, () if back else moved, rest if back else ()
    )


# ---- older rows --------------------------------------------------------------------------------------------


def _free_of(
    said: Elsewhere, piece: PiecePlan, rows: Sequence[CountedRow], number: int, unit: str
) -> tuple[Edge, str | None]:
    """Return what no row has worked into yet of an older row, and the loop if it is all loops of one sort."""
    assert said.into is not None
    if not 1 <= said.into < number - 1:
        last = said.into == number - 1
        raise fault(
            "stray-word" if last else "unknown-row",
            f"{unit} {said.into} is what {unit} {number} is worked into anyway"
            if last
            else f"there is no {unit} {said.into} behind the one before {unit} {number}",
            said.span,
            help=f"leave `into {unit} {said.into}` out" if last else f"name an older {unit}",
        )
    free = _row(rows, said.into).after.parts
    next_one = _row(rows, said.into + 1)
    users = [] if next_one.whence is not None and next_one.whence.into else [(said.into + 1, next_one)]
    users += [(row.number, row) for row in rows if row.whence is not None and row.whence.into == said.into]
    for at, row in users:
        left = _left_free(row.worked, row.plan.loop)
        free = reversed_parts(left) if piece.turns and (at - said.into) % 2 else left
    if not free:
        raise fault(
            "nothing-free",
            f"{unit} {said.into} has no place left that is free: all of them have been worked into",
            said.span,
            help=f"a {unit} leaves free what it skips, what a look ahead passes, and the other loop of "
            "what it works `blo` or `flo`",
        )
    met = reversed_parts(free) if piece.turns and (number - said.into) % 2 else free
    all_loops = all(type(part) is Run and part.place.kind == LOOP for part in met)
    loop = {"blo": "front", "flo": "back"}.get(next_one.plan.loop or "") if all_loops else None
    return edge(met), loop


def _row(rows: Sequence[CountedRow], number: int) -> CountedRow:
    """Return the row of that number. Raises HeldBack if it could not be counted."""
    for row in rows:
        if row.number <= number < row.number + row.times:
            return row
    raise HeldBack


def _left_free(worked: Sequence[Worked], loop: str | None) -> Segments:
    """Return what a row leaves free of the edge that it is worked into, in the order it meets it."""
    free: Segments = ()
    for index, each in enumerate(worked):
        if isinstance(each.step, SkipStep) and _is_gone_back_to(worked[index + 1 :]):
            free = joined(free, _loops(each.used, loop or ""))
            continue
        free = joined(free, _free_after(each, loop))
    return free


def _is_gone_back_to(after: Sequence[Worked]) -> bool:
    """Tell whether what was skipped just before is worked into later on."""
    for each in after:
        if isinstance(each.step, SkipStep):
            return False
        if each.back is not None or any(leg.back is not None for leg in each.body):
            return True
    return False


def _free_after(each: Worked, loop: str | None) -> Segments:
    step = each.step
    if isinstance(step, BracketStep | OwnStep) and each.turns:
        free: Segments = ()
        for turns in each.turns:
            once: Segments = ()
            for body in turns.bodies:
                once = joined(once, _left_free(body, loop))
            free = joined(free, repeated(once, turns.times))
        return joined(free, each.rest)
    match step:
        case TogetherStep():
            return _left_free(each.body, loop)
        case SkipStep(mark=None) | LeaveStep(mark=None):
            return (*each.passed, *each.used)
        case StitchStep() if (in_loop := step.loop or loop) and step.target is None:
            return _loops(each.used, in_loop)
        case GroupStep() | StitchStep() if loop is not None:
            return joined(each.passed, _loops(each.used, loop))
        case _:
            return each.passed


def _loops(used: Segments, loop: str) -> Segments:
    """Return the loops left free by stitches that go into one loop only."""
    many = places(part for part in used if not part.has_space)
    return (Run(Place(LOOP), many),) if many and loop in ("blo", "flo") else ()


# ---- steps of short rows -----------------------------------------------------------------------------------


def _steps(
    said: Elsewhere, piece: PiecePlan, rows: Sequence[CountedRow], number: int
) -> tuple[tuple[int, Segments], ...]:
    """Return the places that short rows left where this one goes on over them, the nearest first.

    Each stretch has the number of the row that it belongs to; 0 is what row 1 was worked into.
    """
    if sum(row.times for row in rows) < number - 1:
        raise HeldBack
    left: dict[int, list[tuple[int, Segments]]] = {0: [], 1: []}
    taken: dict[int, str] = {}
    for row in rows:
        parts, name = _left_at_end(row.worked)
        for at in range(row.number, row.number + (row.times if parts else 1)):
            side = at % 2 if piece.turns else 0
            there = left[side]
            if row.whence is not None and row.whence.steps:
                there.clear()
            if name is not None:
                there.clear()
                taken[side] = name
            elif parts:
                there.insert(0, (at - 1, parts))
    side = number % 2 if piece.turns else 0
    if not left[side]:
        other = left[1 - side]
        why = f"nothing is left unworked at the end of row {number} that could be reached"
        if side in taken:
            why = f"what was left at the end of row {number} is kept for another piece, as {taken[side]}"
        elif other:
            many = sum(places(parts) for _, parts in other)
            why = (
                f"row {number} goes away from the steps: the {plural(many, 'place')} left unworked "
                f"{'lies' if many == 1 else 'lie'} at its beginning"
            )
        raise fault(
            "no-steps",
            why,
            said.span,
            help=f"row {number + 1} comes to them" if other and side not in taken else "leave `steps` out",
        )
    return tuple(left[side])


def _left_at_end(worked: Sequence[Worked]) -> tuple[Segments, str | None]:
    """Return what a row leaves unworked at its end, and the name that it leaves it under."""
    last = worked[-1] if worked else None
    if last is None:
        return (), None
    if isinstance(last.step, LeaveStep):
        return last.used, last.step.mark
    return last.rest, None
