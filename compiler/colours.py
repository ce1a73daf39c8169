"""Yarns: how many stitches of a row are worked in each, and whether one comes back within the row."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from .counted import CountedRow, Worked
from .makes import closes_picot
from .plan import RowPlan
from .steps import BracketStep, ChainStep, GroupStep, OwnStep, SaidStep, Steps, StitchStep, TogetherStep


def by_yarn(row: CountedRow) -> Counter[str]:
    """Return the stitches that a row makes, by the yarn each is worked with."""
    found: Counter[str] = Counter()
    _count(row.worked, row.plan.yarn or "", 1, found)
    return found


def _count(items: Sequence[Worked], base: str, times: int, found: Counter[str]) -> None:
    for worked in items:
        match worked.step:
            case StitchStep(stitch=stitch, yarn=yarn):
                if not closes_picot(worked.step):
                    found[yarn or base] += worked.count * stitch.makes * times
            case OwnStep(yarn=yarn):
                _count_turns(worked, yarn or base, times, found)
            case BracketStep():
                _count_turns(worked, base, times, found)
            case GroupStep():
                _count(worked.body, base, times * worked.places, found)
            case TogetherStep():
                found[next(yarns_of(worked.body), None) or base] += times
            case _:
                found[base] += worked.made.stitches * times


def _count_turns(worked: Worked, base: str, times: int, found: Counter[str]) -> None:
    if not worked.turns:
        _count(worked.body, base, times * max(1, worked.count) * worked.places, found)
    for turns in worked.turns:
        for body in turns.bodies:
            _count(body, base, times * turns.times, found)


def yarns_of(items: Sequence[Worked]) -> Iterator[str | None]:
    """Yield the yarn that each item names, in order; None for one that is worked with the row's own."""
    for worked in items:
        if isinstance(worked.step, StitchStep | ChainStep | OwnStep):
            yield worked.step.yarn
        elif isinstance(worked.step, BracketStep | GroupStep | TogetherStep):
            yield from yarns_of(worked.body)
        elif isinstance(worked.step, SaidStep):
            yield None


def changes(row: CountedRow) -> tuple[bool, bool]:
    """Return whether a row changes yarns, and whether it comes back to one that it has left."""
    order: list[str | None] = []
    for yarn in yarns_of(row.worked):
        name = yarn or row.plan.yarn
        if not order or order[-1] != name:
            order.append(name)
    again = any(isinstance(worked.step, BracketStep) and worked.count > 1 for worked in row.worked)
    return len(set(order)) > 1, len(set(order)) > 1 and (again or len(set(order)) < len(order))


def yarns_in(plan: RowPlan) -> frozenset[str]:
    """Return every yarn that a row is worked with."""
    named = set(_named(plan.body))
    if plan.yarn is not None:
        named.add(plan.yarn)
    return frozenset(named)


def _named(steps: Steps) -> Iterator[str]:
    for step in steps:
        if isinstance(step, StitchStep | ChainStep | OwnStep) and step.yarn is not None:
            yield step.yarn
        if isinstance(step, BracketStep | GroupStep | TogetherStep):
            yield from _named(step.body)
