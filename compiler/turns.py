"""Turns of a bracket once they are worked: what stands for all of them, and what they have in common."""

from __future__ import annotations

from dataclasses import replace

from .counted import Worked
from .fabric import (
    NOTHING,
    Made,
    Segments,
)
from .makes import followed
from .plan import (
    BracketStep,
    SkipStep,
    Step,
    Target,
    TogetherStep,
)


def places_of(body: tuple[Worked, ...]) -> Segments:
    """Return all places that worked items used or passed, in order."""
    return tuple(part for worked in body for part in (*worked.passed, *worked.used))


def first_worked(worked: tuple[Worked, ...]) -> Worked | None:
    """Return the first item that is not a bracket."""
    for each in worked:
        return first_worked(each.body) if isinstance(each.step, BracketStep | TogetherStep) else each
    return None


def without_first_pass(worked: tuple[Worked, ...]) -> tuple[Worked, ...]:
    """Return the items as if nothing had been passed before the first place."""
    if not worked:
        return worked
    first, *rest = worked
    if isinstance(first.step, BracketStep | TogetherStep):
        return (replace(first, body=without_first_pass(first.body)), *rest)
    return (replace(first, passed=()), *rest)


def worked_inside(step: Step) -> Worked:
    """Return an item of a group as if it had been worked by itself."""
    count = getattr(step, "count", 1)
    items = step.body if isinstance(step, BracketStep | TogetherStep) else ()
    body = tuple(worked_inside(each) for each in items)
    return Worked(step, count if isinstance(count, int) else 1, body=body)


def said_of(body: tuple[Worked, ...]) -> tuple[object, ...]:
    """Return of a turn what its English depends on."""
    return tuple(
        (
            worked.count,
            worked.passed,
            worked.used if isinstance(worked.step, SkipStep) or _looks_ahead(worked.step) else None,
            said_of(worked.body),
            worked.alike,
        )
        for worked in body
    )


def _looks_ahead(step: Step) -> bool:
    target = getattr(step, "target", None)
    return isinstance(target, Target) and target.looks_ahead


def typical(turns: list[tuple[Worked, ...]]) -> tuple[tuple[Worked, ...], bool]:
    """Return the turn that stands for all, and whether it does: the way to the first place may differ."""
    if not turns:
        return (), True
    later = turns[1:] or turns
    alike = all(said_of(turn) == said_of(later[0]) for turn in later)
    if alike and said_of(turns[0]) != said_of(later[0]):
        first, second = turns[0], later[0]
        alike = bool(first) and said_of((replace(first[0], passed=second[0].passed), *first[1:])) == said_of(
            second
        )
    return later[0], alike


def named_turns(turns: Worked, name: str) -> Made:
    """Return what turns of an author's stitch made, each by itself under its name."""
    if not turns.count:
        return NOTHING
    if turns.count == 1:
        return turns.made.under(name, is_mark=False)
    made = NOTHING
    for worked in turns.body:
        made = followed(made, worked.step, worked.made)
    return made.under(name, is_mark=False) * turns.count
