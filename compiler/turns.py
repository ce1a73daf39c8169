"""Turns of a bracket once they are worked: what stands for all of them, and what they have in common."""

from __future__ import annotations

from dataclasses import replace

from .counted import Turns, Worked
from .fabric import NOTHING, Made, Segments, grounds
from .makes import made_in_order
from .steps import BracketStep, GroupStep, OwnStep, SkipStep, Step, Steps, Target, TogetherStep


def places_of(body: tuple[Worked, ...]) -> Segments:
    """Return all places that worked items used or passed, in order."""
    return tuple(part for worked in body for part in (*worked.passed, *worked.used))


def first_worked(worked: tuple[Worked, ...]) -> Worked | None:
    """Return the first item that is not a bracket."""
    for each in worked:
        return first_worked(each.body) if isinstance(each.step, BracketStep | TogetherStep) else each
    return None


def worked_inside(step: Step) -> Worked:
    """Return an item of a group as if it had been worked by itself."""
    count = getattr(step, "count", 1)
    items: Steps = ()
    if isinstance(step, BracketStep | TogetherStep | GroupStep):
        items = step.body
    elif isinstance(step, OwnStep) and isinstance(step.stitch.body, tuple):
        items = step.stitch.body
    body = tuple(worked_inside(each) for each in items)
    return Worked(step, count if isinstance(count, int) else 1, body=body)


def said_of(body: tuple[Worked, ...]) -> tuple[object, ...]:
    """Return of a turn what its English depends on."""
    return tuple(
        (
            worked.count,
            worked.passed,
            worked.used if _names_places(worked.step) else grounds(worked.used),
            said_of(worked.body),
            tuple((tuple(map(said_of, turns.bodies)), turns.times) for turns in worked.turns),
            worked.rest,
            worked.back,
        )
        for worked in body
    )


def _names_places(step: Step) -> bool:
    """Tell whether the places of an item are named one by one: what is skipped, or looked for."""
    target = getattr(step, "target", None)
    return isinstance(step, SkipStep) or (isinstance(target, Target) and target.looks_ahead)


def with_turn(turns: list[Turns], body: tuple[Worked, ...]) -> None:
    """Add a turn to those of a bracket; one that goes as the last did is counted with it."""
    if turns and len(turns[-1].bodies) == 1 and said_of(turns[-1].bodies[0]) == said_of(body):
        turns[-1] = replace(turns[-1], times=turns[-1].times + 1)
    else:
        turns.append(Turns((body,), 1))


def with_cycles(turns: list[Turns], cycle: int, times: int) -> None:
    """Add the last `cycle` turns of a bracket so many times over."""
    last: list[tuple[Worked, ...]] = []
    for stretch in reversed(turns):
        for body in reversed(stretch.bodies * min(stretch.times, cycle)):
            last.insert(0, body)
        if len(last) >= cycle:
            break
    bodies = tuple(last[-cycle:])
    if all(said_of(body) == said_of(bodies[0]) for body in bodies):
        if len(turns[-1].bodies) == 1 and said_of(turns[-1].bodies[0]) == said_of(bodies[0]):
            turns[-1] = replace(turns[-1], times=turns[-1].times + cycle * times)
            return
        turns.append(Turns((bodies[0],), cycle * times))
        return
    turns.append(Turns(bodies, times))


def named_turns(turns: Worked, name: str) -> Made:
    """Return what turns of an author's stitch made, each by itself under its name."""
    if not turns.count:
        return NOTHING
    if turns.count == 1:
        return turns.made.under(name, is_mark=False)
    made = made_in_order(tuple(each.step for each in turns.body), [each.made for each in turns.body])
    return made.under(name, is_mark=False) * turns.count
