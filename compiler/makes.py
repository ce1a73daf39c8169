"""What items use and make on any ground, before they meet one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from ..lang.stitches import Stitch
from .cursor import Blocked, Cursor
from .fabric import (
    NOTHING,
    PICOT,
    TIP,
    Chains,
    Edge,
    Made,
    Place,
    Run,
    Segment,
    places,
    plain_place,
    reversed_parts,
)
from .faults import Fault, fault, plural
from .steps import (
    BracketStep,
    BranchStep,
    ChainStep,
    GroupStep,
    OwnStep,
    OwnStitch,
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
            return 0 if target.is_made_here else {"st": 1, "stem": 0, "cord": 0}.get(target.kind)
        case ChainStep() | BranchStep():
            return 0
        case BracketStep(body, int(count)):
            inner = places_used(body)
            return None if inner is None else inner * count
        case GroupStep(target=target) if target.is_made_here or target.kind in ("st", "cord"):
            return 1 if target.kind == "st" else 0
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
    made = Made(parts=(Run(plain_place(stitch.counts_as), many),))
    return made if step.mark is None else marked(made, step.mark)


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
        type(step) is StitchStep
        and step.target is not None
        and step.target.kind == "top"
        and step.stitch.family == "slip"
    )


def picots(steps: Steps) -> Iterator[tuple[Stitch, str | None]]:
    """Yield the picots that are stitches of their own, in the order they are written, and their marks."""
    for step in steps:
        match step:
            case StitchStep(stitch) if stitch.family == PICOT:
                yield stitch, step.mark
            case BracketStep(body) | GroupStep(body) | OwnStep(OwnStitch(body=tuple(body))):
                yield from picots(body)
            case _:
                pass


def picots_closed(steps: Steps) -> Steps:
    """Return steps in which a picot that stands behind other chains is closed in its own first chain."""
    if ChainStep not in map(type, steps):
        return steps
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


def without_last(made: Made, count: int, step: Step) -> Made:
    """Return what was made without its last stitches, which an arch hides. Raises Fault if they are fewer."""
    parts = reversed_parts(made.parts)
    many = places(parts)
    cursor = Cursor(Edge(parts, many))
    try:
        if not made.trail.count and count <= many:
            cursor.take(count, stitches_only=True)
            rest = cursor.take(cursor.remaining, stitches_only=False)
            return replace(made, parts=reversed_parts(rest))
    except Blocked:
        pass
    raise fault(
        "short-arch",
        f"an arch goes back over {plural(count, 'stitch', 'stitches')} side by side, and there are not "
        "as many before it",
        step.span,
        help="work them before it, in the same bracket: `[6 sc, 11 sc in arch of 7 ch over 6] x 4`",
        facts={"expected": count},
    )


@dataclass(slots=True)
class Making:
    """Stitches and chains as they are made, one after another; equal ones side by side are one run."""

    done: Made = NOTHING
    parts: list[Segment] = field(default_factory=list)
    """What follows on `done`, up to the run at hand."""
    place: Place | None = None
    count: int = 0
    """The run at hand."""
    before: Step | None = None
    """The item that made the last of it, unless that was a plain run."""

    def run(self, place: Place, count: int) -> None:
        """Make so many places of one sort."""
        self.before, last = None, self.place
        if last is not None and (place is last or (place.kind == last.kind and place.chains == last.chains)):
            self.count += count
            return
        if last is not None:
            self.parts.append(Run(last, self.count))
        self.place, self.count = place, count

    def add(self, step: Step, made: Made) -> None:
        """Take in what an item made. Raises Fault where an arch goes back over more than is there."""
        target = getattr(step, "target", None)
        if target is not None and target.over:
            self.done = without_last(self.made(), target.over, step) + made
            self.parts.clear()
            self.place, self.before = None, step
            return
        if made.lead.count or made.trail.count or closes_picot(step):
            self.done = followed(self.made(), step, made, self.before)
            self.parts.clear()
            self.place, self.before = None, step
            return
        for part in made.parts:
            if type(part) is Run:
                self.run(part.place, part.count)
            else:
                if self.place is not None:
                    self.parts.append(Run(self.place, self.count))
                    self.place = None
                self.parts.append(part)
        self.before = step

    def made(self) -> Made:
        """Return all that was made."""
        last = () if self.place is None else (Run(self.place, self.count),)
        parts = (*self.parts, *last)
        if not parts:
            return self.done
        made = Made(parts=parts)
        return made if self.done is NOTHING else self.done + made


def made_in_order(steps: Steps, mades: Iterable[Made]) -> Made:
    """Return what items made, one after another."""
    making = Making()
    for step, made in zip(steps, mades, strict=True):
        making.add(step, made)
    return making.made()


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
        if type(step) is StitchStep:
            inner = step.below
        elif isinstance(step, (BracketStep, GroupStep, TogetherStep)):
            inner = deepest(step.body)
        elif type(step) is OwnStep and isinstance(step.stitch.body, tuple):
            inner = deepest(step.stitch.body)
        else:
            continue
        if inner > deep:
            deep = inner
    return deep
