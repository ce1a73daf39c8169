"""What items use and make on any ground, before they meet one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from .fabric import NOTHING, TIP, Chains, Made, Place, Run, Segment
from .faults import Fault, fault
from .steps import (
    BracketStep,
    BranchStep,
    ChainStep,
    GroupStep,
    OwnStep,
    SaidStep,
    SkipStep,
    Step,
    Steps,
    StitchStep,
    Target,
    TogetherStep,
)


def places_used(steps: Steps) -> int | None:
    """Return how many places `steps` use on any plain ground; None if that depends on the ground."""
    uses, skipped = 0, False
    for step in steps:
        target = getattr(step, "target", None)
        if isinstance(target, Target) and target.kind == "skipped" and skipped:
            # It goes back to places that were used up when they were skipped.
            continue
        skipped = skipped or (isinstance(step, SkipStep) and step.mark is None)
        one = _places_used(step)
        if one is None:
            return None
        uses += one
    return uses


def _places_used(step: Step) -> int | None:
    match step:
        case StitchStep(count=int(count), target=target):
            if target is None:
                return count * step.stitch.uses
            return 1 if target.kind == "st" else None
        case ChainStep() | BranchStep():
            return 0
        case BracketStep(body, int(count)):
            inner = places_used(body)
            return None if inner is None else inner * count
        case GroupStep(target=target) if target.kind == "st":
            return 1
        case TogetherStep(body):
            return places_used(body)
        case SkipStep(count=int(count), kind=None):
            return count
        case SaidStep(over=over):
            return over
        case OwnStep(stitch, int(count), target=None):
            inner = places_used(stitch.body) if isinstance(stitch.body, tuple) else stitch.body.over
            return None if inner is None else inner * count
        case _:
            return None


def marked(made: Made, mark: str | None) -> Made:
    """Return what was made with a mark on it, if there is one."""
    return made if mark is None else made.under(mark, is_mark=True)


def stitches_made(step: StitchStep, count: int) -> Made:
    """Return what so many of the stitch make."""
    stitch = step.stitch
    many = count * stitch.makes
    if not many:
        return NOTHING
    made = _plain(stitch.counts_as, many)
    return made if step.mark is None else marked(made, step.mark)


@lru_cache(maxsize=4096)
def _plain(kind: str, count: int) -> Made:
    return Made(parts=(Run(Place(kind), count),))


def chains_made(step: ChainStep) -> Made:
    """Return chains, or a join that is as long as one."""
    return Made(Chains(step.count, step.mark, step.count if step.joint is not None else 0))


def branch_made(step: BranchStep) -> Made:
    """Return the one place that a branch makes."""
    return marked(Made(parts=(Run(Place(TIP), 1),)), step.mark)


def said_made(step: SaidStep) -> Made:
    """Return what the author says is made."""
    made = NOTHING
    for kind, count in step.makes:
        if kind.startswith("as "):
            made += Made(parts=(Run(Place("st"), 1),)).under(kind[3:], is_mark=False) * count
        elif kind == "chains":
            made += Made(Chains(count))
        elif count:
            made += Made(parts=(Run(Place(kind), count),))
    return marked(made, step.mark)


def together_made(body: Steps) -> Made:
    """Return the one stitch that several become: of the kind of its first leg."""
    for step in body:
        if isinstance(step, StitchStep):
            return Made(parts=(Run(Place(step.stitch.counts_as), 1),))
        if isinstance(step, BracketStep | GroupStep):
            return together_made(step.body)
    return Made(parts=(Run(Place("st"), 1),))


def all_made(body: Steps) -> Made:
    """Return what items make that need no ground of their own, such as all that are worked in one place."""
    made, before = NOTHING, None
    for step in body:
        made = followed(made, step, _in_group(step), before)
        before = step
    return made


def _in_group(step: Step) -> Made:
    match step:
        case StitchStep(count=count):
            if count is None:
                raise _no_room(step)
            if closes_picot(step):
                return NOTHING
            return stitches_made(step, count)
        case ChainStep():
            return chains_made(step)
        case BracketStep(body, int(count)):
            return all_made(body) * count
        case BranchStep():
            return branch_made(step)
        case GroupStep(body, _, mark):
            return marked(all_made(body), mark)
        case TogetherStep(body, mark):
            return marked(together_made(body), mark)
        case OwnStep(stitch, int(count), mark=mark):
            inner = all_made(stitch.body) if isinstance(stitch.body, tuple) else said_made(stitch.body)
            return marked(inner.under(stitch.name, is_mark=False) * count, mark)
        case SaidStep():
            return said_made(step)
        case _:
            raise _no_room(step)


def closes_picot(step: Step) -> bool:
    """Tell whether a step is the slip stitch that closes chains into a picot."""
    return (
        isinstance(step, StitchStep)
        and step.target is not None
        and step.target.kind == "top"
        and step.stitch.family == "slip"
    )


def picots_closed(steps: Steps) -> Steps:
    """Return steps in which a picot that stands behind other chains is closed in its own first chain."""
    out: list[Step] = []
    for step in steps:
        if closes_picot(step) and len(out) > 1 and isinstance(out[-1], ChainStep):
            assert isinstance(step, StitchStep)
            assert step.target is not None
            if isinstance(out[-2], ChainStep):
                step = replace(step, target=replace(step.target, which=out[-1].count))
        out.append(step)
    return tuple(out)


def followed(made: Made, step: Step, more: Made, before: Step | None) -> Made:
    """Add what a step made; a slip stitch in the top of the last stitch takes along the chains `before`."""
    if not closes_picot(step) or not isinstance(before, ChainStep):
        return made + more
    if not made.parts:
        return replace(made, lead=made.lead.less(before.count))
    return replace(made, trail=made.trail.less(before.count))


def made_in_order(steps: Steps, mades: Sequence[Made]) -> Made:
    """Return what items made, one after another."""
    parts: list[Segment] = []
    for index, made in enumerate(mades):
        if made.lead.count or made.trail.count or closes_picot(steps[index]):
            return _made_with_chains(Made(parts=tuple(parts)), steps[index:], mades[index:])
        for part in made.parts:
            last = parts[-1] if parts else None
            if type(part) is Run and type(last) is Run and part.place == last.place:
                parts[-1] = Run(part.place, last.count + part.count)
            else:
                parts.append(part)
    return Made(parts=tuple(parts)) if parts else NOTHING


def _made_with_chains(made: Made, steps: Steps, mades: Sequence[Made]) -> Made:
    for index, (step, more) in enumerate(zip(steps, mades, strict=True)):
        made = followed(made, step, more, steps[index - 1] if index else None)
    return made


def _no_room(step: Step) -> Fault:
    return fault(
        "stop-in-repeat",
        "this can't be worked in one place",
        step.span,
        help="inside `(...) in PLACE` say how many of each stitch: `(2 dc, 2 ch, 2 dc) in st`",
    )


def deepest(steps: Steps) -> int:
    """Return how many rows below the edge the deepest stitch goes."""
    deep = 0
    for step in steps:
        if isinstance(step, StitchStep):
            deep = max(deep, step.below)
        elif isinstance(step, BracketStep | GroupStep | TogetherStep):
            deep = max(deep, deepest(step.body))
        elif isinstance(step, OwnStep) and isinstance(step.stitch.body, tuple):
            deep = max(deep, deepest(step.stitch.body))
    return deep
