"""The brackets of a row: their turns, walked one by one, or once and multiplied.

A bracket that finds the same ground each time is walked once and multiplied, in two ways. Where its items
look at nothing but the number of stitches (`places_used`), its turns are taken in one piece. Elsewhere the
walk goes on turn by turn until the cursor stands as it stood before, one repeat of the edge further on; what
lies between is then multiplied. Without `accelerate` every turn is walked: the tests hold the two against
each other.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from . import misfits
from .counted import Turns, Worked
from .cursor import Blocked, NotAhead, RanOut
from .fabric import NOTHING, SPACE, Made, Segment, Segments, grounds, has_space, names, repeated
from .faults import Fault, fault, plural, said_place
from .makes import places_used
from .steps import BracketStep, ChainStep, GroupStep, OwnStep, Steps, StitchStep, Stop, Target, TogetherStep
from .turns import places_of, with_cycles, with_turn

if TYPE_CHECKING:
    from .walk import Walk

MOST_TURNS = 10_000
"""Turns of a bracket that may differ from one another before the walk is given up."""


def bracket(walk: Walk, step: BracketStep) -> Worked:
    """Work a bracket as often as it says. Raises Fault."""
    if step.count is not None:
        return repeat(walk, step, step.count)
    assert step.stop is not None
    one = places_used(step.body)
    if one and not _opens_ahead(step.body):
        wanted = walk.places_to(step.stop)
        count, rest = divmod(wanted, one)
        if not rest:
            return repeat(walk, step, count)
        if not _spaces_within(walk, wanted):
            raise misfits.uneven(walk, step, wanted, one)
    return _as_fits(walk, step, step.stop)


def repeat(walk: Walk, step: BracketStep, count: int) -> Worked:
    """Work a bracket a given number of times."""
    if count == 0:
        return Worked(step, 0, to_last=not walk.cursor.remaining)
    one = places_used(step.body) if walk.accelerate else None
    if one is not None and count > 1:
        fast = _at_once(walk, step, count, one)
        if fast is not None:
            return fast
    return _turn_by_turn(walk, step, count)


def _at_once(walk: Walk, step: BracketStep, count: int, one: int) -> Worked | None:
    start, was_worked = walk.cursor.copy(), (walk.worked_into, walk.skipped, walk.gone_back)
    try:
        body, made = walk.steps(step.body)
        used = places_of(body)
        rest = walk.cursor.take(one * (count - 1), stitches_only=True)
        # A turn that skips a space may differ from the next one, and on row ends it reads otherwise than on
        # stitches: each is walked.
        alike = not has_space(used) and len(grounds((*used, *rest))) <= 1
    except (Blocked, RanOut, Fault):
        alike = False
    if not alike:
        walk.cursor, (walk.worked_into, walk.skipped, walk.gone_back) = start, was_worked
        return None
    return Worked(
        step,
        count,
        used=(*used, *rest),
        made=made * count,
        body=body,
        turns=(Turns((body,), count),),
        to_last=not walk.cursor.remaining,
    )


def _as_fits(walk: Walk, step: BracketStep, stop: Stop) -> Worked:
    """Work a bracket until its stop is reached, turn by turn."""
    opens_ahead = _opens_ahead(step.body)
    keep = 0 if stop.kind == "end" else walk.cursor.remaining - walk.places_to(stop)
    worked = _turn_by_turn(walk, step, None, keep, opens_ahead)
    if opens_ahead is not None and stop.kind == "end" and walk.cursor.remaining:
        if not worked.count:
            raise misfits.nothing_to_work(walk, step, opens_ahead)
        rest = _excuse_rest(walk, step, opens_ahead)
        worked = replace(worked, rest=rest, to_last=True)
    elif walk.cursor.remaining < keep:
        raise misfits.uneven(walk, step, walk.ground.places, 0)
    return worked


def _turn_by_turn(
    walk: Walk, step: BracketStep, count: int | None, keep: int = 0, opens_ahead: str | None = None
) -> Worked:
    done = 0
    turns: list[Turns] = []
    pieces: list[tuple[Made, int]] = []
    used: list[Segment] = []
    seen: dict[tuple[object, ...], tuple[int, int, int, int]] = {}
    while count is None or done < count:
        if count is None and _finished(walk, keep, opens_ahead):
            break
        if walk.accelerate:
            jumped = _jump(walk, seen, done, count, keep, pieces, used, turns)
            if jumped:
                done += jumped
                seen.clear()
                continue
        _spend_turn(walk, step)
        before = walk.cursor.remaining
        try:
            body, made = walk.steps(step.body)
        except Fault as found:
            raise misfits.in_turn(walk, found, done + 1, count, step) from None
        done += 1
        if before == walk.cursor.remaining and count is None:
            raise fault(
                "count-order",
                "each turn of this bracket uses no places, so it can't be worked `to` anything",
                walk.shown_at(step),
                help="say how often: `[...] x 6`",
            )
        used.extend(places_of(body))
        pieces.append((made, 1))
        with_turn(turns, body)
    # Turns that made the same are put together, so that an edge stays short from row to row.
    alike: list[tuple[Made, int]] = []
    for piece, times in pieces:
        if alike and alike[-1][0] == piece:
            alike[-1] = piece, alike[-1][1] + times
        else:
            alike.append((piece, times))
    made = NOTHING
    for piece, times in alike:
        made += piece * times
    return Worked(
        step,
        done,
        used=tuple(used),
        made=made,
        body=turns[0].bodies[0] if turns else (),
        turns=tuple(turns),
        to_last=not walk.cursor.remaining,
    )


def _jump(
    walk: Walk,
    seen: dict[tuple[object, ...], tuple[int, int, int, int]],
    done: int,
    count: int | None,
    keep: int,
    pieces: list[tuple[Made, int]],
    used: list[Segment],
    worked: list[Turns],
) -> int:
    """Leave out turns that go as turns before them went; return how many."""
    if not done:
        return 0
    for key, left, depth in walk.cursor.levels():
        full = (*key, walk.space, walk.skipped, walk.gone_back, depth)
        earlier = seen.get(full)
        seen[full] = (done, left, len(pieces), len(used))
        if earlier is None:
            continue
        then, left_then, first_piece, first_used = earlier
        turns, step = done - then, left_then - left
        if step <= 0:
            continue
        # One repeat of the edge stays ahead untouched, so that nothing past it can have been looked at.
        cycles = (left - 1) // step - 1
        if keep:
            unit = step if depth < 0 else step * walk.cursor.unit_at(depth)
            cycles = min(cycles, (walk.cursor.remaining - keep) // unit - 1)
        if count is not None:
            cycles = min(cycles, (count - done) // turns)
        if cycles <= 0:
            continue
        cycle = NOTHING
        for piece, times in pieces[first_piece:]:
            cycle += piece * times
        pieces.append((cycle, cycles))
        used.extend(repeated(tuple(used[first_used:]), cycles))
        with_cycles(worked, turns, cycles)
        walk.cursor.jump(depth, cycles * step)
        return cycles * turns
    return 0


def _finished(walk: Walk, keep: int, opens_ahead: str | None) -> bool:
    if opens_ahead is not None:
        try:
            return walk.cursor.remaining - walk.cursor.distance(opens_ahead) <= keep
        except NotAhead:
            return True
    return walk.cursor.remaining <= keep


def _opens_ahead(body: Steps) -> str | None:
    """Return what a bracket looks for first, chains aside; None if it begins with the next place."""
    match next((step for step in body if not isinstance(step, ChainStep)), None):
        case (
            StitchStep(target=Target() as target)
            | GroupStep(target=target)
            | OwnStep(target=Target() as target)
        ):
            if target.kind == "chain":
                return SPACE
            return target.name if target.kind == "ahead" else None
        case BracketStep(inner) | TogetherStep(inner):
            return _opens_ahead(inner)
        case _:
            return None


def _excuse_rest(walk: Walk, step: BracketStep, wanted: str) -> Segments:
    """Leave the stitches that are left when nothing more of what a bracket looks for is ahead."""
    rest = walk.cursor.copy().take(walk.cursor.remaining, stitches_only=False)
    if SPACE in names(rest):
        left = walk.cursor.remaining
        raise fault(
            "unworked-places",
            f"{plural(left, 'place')} of {walk.before} {'is' if left == 1 else 'are'} left unworked, "
            f"a chain space among them",
            walk.shown_at(step),
            help=f"the bracket looks for {said_place(wanted)}: work or `leave` what comes after it",
            facts={"left": left},
        )
    return walk.cursor.take(walk.cursor.remaining, stitches_only=False)


def _spend_turn(walk: Walk, step: BracketStep) -> None:
    walk.turns += 1
    if walk.turns > MOST_TURNS and walk.accelerate:
        raise fault(
            "too-large",
            f"after {MOST_TURNS:,} turns this bracket still finds different ground each time",
            walk.shown_at(step),
            help="write the row in parts that repeat",
        )


def _spaces_within(walk: Walk, wanted: int) -> bool:
    return has_space(walk.cursor.copy().take(wanted, stitches_only=False))
