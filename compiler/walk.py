"""The walk of one row along its edge: every item uses places up and makes new ones."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from . import misfits
from .brackets import bracket, repeat
from .counted import GoneBack, Worked
from .cursor import Cursor
from .fabric import CHAIN, NOTHING, UNDERSIDE, Chains, Made, Place, Run, Segment, Segments, edge, places
from .faults import Fault, fault, plural
from .makes import (
    all_made,
    branch_made,
    chains_made,
    closes_picot,
    made_in_order,
    marked,
    places_used,
    said_made,
    stitches_made,
    together_made,
)
from .position import Position, are_stitches
from .spread import MOST_NAMED, even_gap, spread_places
from .steps import (
    MESH_WIDTH,
    BracketStep,
    BranchStep,
    ChainStep,
    GroupStep,
    LeaveStep,
    MeshStep,
    OwnStep,
    OwnStitch,
    SaidStep,
    SkipStep,
    SpreadStep,
    Step,
    Steps,
    StitchStep,
    Target,
    TogetherStep,
    UndersideStep,
)
from .turns import named_turns, worked_inside

# ---- the walk ------------------------------------------------------------------------------------------


@dataclass(slots=True)
class Walk(Position):
    """One row under way."""

    turns: int = 0
    """The turns of brackets walked one by one so far."""

    def steps(self, steps: Steps) -> tuple[tuple[Worked, ...], Made]:
        """Work items in order; return each with what it did, and what all made. Raises Fault."""
        done = [self.step(step) for step in steps]
        return tuple(done), made_in_order(steps, [each.made for each in done])

    def step(self, step: Step) -> Worked:
        """Work one item."""
        match step:
            case StitchStep():
                return self._stitches(step)
            case ChainStep(count):
                return Worked(step, count, made=chains_made(step))
            case BracketStep():
                return bracket(self, step)
            case BranchStep():
                return self._branch(step)
            case GroupStep():
                return self._group(step)
            case TogetherStep():
                return self._together(step)
            case SkipStep():
                return self._skip(step)
            case OwnStep():
                return self._own(step)
            case SaidStep():
                used = self.take(step.over, step, stitches_only=False)
                return Worked(step, 1, used=used, made=said_made(step), to_last=not self.cursor.remaining)
            case LeaveStep():
                return self._leave(step)
            case MeshStep():
                return self._mesh(step)
            case SpreadStep():
                return self._spread(step)
            case UndersideStep():
                return self._underside(step)

    # ---- stitches ----

    def _stitches(self, step: StitchStep) -> Worked:
        stitch = step.stitch
        if step.target is not None:
            return self._into(step, step.target)
        if step.count is not None:
            count = step.count
        else:
            assert step.stop is not None
            wanted = self.places_to(step.stop)
            count, rest = divmod(wanted, stitch.uses)
            if rest:
                raise misfits.uneven(self, step, wanted, stitch.uses)
        if stitch.family == "picot" and not self.worked_into:
            raise fault(
                "no-same",
                "a picot closes in the stitch before it, and this row has none yet",
                self.at or step.span,
                help="work a stitch first",
            )
        used = self.take(count * stitch.uses, step, stitches_only=True) if stitch.uses else ()
        if used:
            self.worked_into = True
        if step.crossed and count % 2:
            raise misfits.odd_crossed(self, step, count)
        self._check_post(step, used)
        return Worked(
            step, count, used=used, made=stitches_made(step, count), to_last=not self.cursor.remaining
        )

    def _into(self, step: StitchStep, target: Target) -> Worked:
        assert step.count is not None
        count = step.count
        if target.kind == "chain" and target.which == "each":
            passed, used, chains = self.each_chain(target, step)
            made = stitches_made(step, count * chains)
            return Worked(step, count * chains, passed, used, made, to_last=not self.cursor.remaining)
        if target.kind == "skipped":
            return self._gone_back(step, target)
        passed, used = self.place(target, step)
        made = NOTHING if closes_picot(step) else stitches_made(step, count)
        self._check_post(step, used)
        return Worked(step, count, passed, used, made, to_last=not self.cursor.remaining)

    def _gone_back(self, step: StitchStep, target: Target) -> Worked:
        assert step.count is not None
        back = self.back(target, step)
        count = step.count * (1 if back.which else places(back.skipped))
        self._check_post(step, back.skipped)
        made = stitches_made(step, count)
        return Worked(step, count, made=made, to_last=not self.cursor.remaining, back=back)

    def _group(self, step: GroupStep) -> Worked:
        passed, used, back, times = self._places(step.target, step)
        made = marked(all_made(step.body) * times, step.mark)
        for each in _stitches_inside(step.body):
            self._check_post(each, used if back is None else back.skipped)
        inside = tuple(self._inside(each) for each in step.body)
        to_last = not self.cursor.remaining
        return Worked(step, 1, passed, used, made, inside, to_last=to_last, back=back, places=times)

    def _places(self, target: Target, step: Step) -> tuple[Segments, Segments, GoneBack | None, int]:
        """Go to a place, or to several of one sort; return also in how many all of it is worked."""
        if target.kind == "skipped":
            back = self.back(target, step)
            return (), (), back, 1 if back.which else places(back.skipped)
        if target.kind == "chain" and target.which == "each":
            passed, used, chains = self.each_chain(target, step)
            return passed, used, None, chains
        return (*self.place(target, step), None, 1)

    def _inside(self, step: Step) -> Worked:
        return self._branch(step) if isinstance(step, BranchStep) else worked_inside(step)

    def _branch(self, step: BranchStep) -> Worked:
        """Work along the chain of a branch, which has to come out even; it leaves its tip."""
        chain = edge((Run(Place(CHAIN), step.chains),))
        along = Walk(chain, self.row, f"the chain of {step.chains}", Cursor(chain), from_hook=0)
        along.accelerate, along.at = self.accelerate, self.at
        try:
            body, _ = along.steps(step.body)
        except Fault as found:
            if found.diagnostic.name != "too-few-places":
                raise
            raise misfits.branch_length(self, step, 0) from None
        if along.cursor.remaining:
            raise misfits.branch_length(self, step, along.cursor.remaining)
        return Worked(step, step.chains, made=branch_made(step), body=body)

    def _together(self, step: TogetherStep) -> Worked:
        body, _ = self.steps(step.body)
        made = marked(together_made(step.body), step.mark)
        used = tuple(part for each in body for part in each.used)
        return Worked(step, 1, used=used, made=made, body=body, to_last=not self.cursor.remaining)

    def _own(self, step: OwnStep) -> Worked:
        own = step.stitch
        outer, self.at = self.at, self.at or step.span
        try:
            if step.target is not None:
                return self._own_into(step, own, step.target)
            body: Steps = own.body if isinstance(own.body, tuple) else (own.body,)
            if step.stop is not None:
                wanted = self.places_to(step.stop)
                one = places_used(body)
                if not one:
                    raise fault(
                        "count-order",
                        f"how many {own.name} fit here can't be worked out",
                        step.span,
                        help=f"use a bracket: `[{own.name}] to end`",
                    )
                count, rest = divmod(wanted, one)
                if rest:
                    raise misfits.uneven(self, step, wanted, one)
            else:
                assert step.count is not None
                count = step.count
            turns = repeat(self, BracketStep(body, count, span=step.span), count)
            # The name covers each of them by itself: what one turn makes is named before it is multiplied.
            made = named_turns(turns, own.name)
            return replace(turns, step=step, made=marked(made, step.mark))
        finally:
            self.at = outer

    def _own_into(self, step: OwnStep, own: OwnStitch, target: Target) -> Worked:
        if not (isinstance(own.body, tuple) and len(own.body) == 1 and _has_own_place(own.body[0])):
            raise fault(
                "stray-word",
                f"{own.name} uses more than one place, so it can't be worked in one",
                step.span,
                help=f"leave out `in {target.name}`",
            )
        assert step.count is not None
        passed, used, back, times = self._places(target, step)
        made = all_made(own.body).under(own.name, is_mark=False) * (step.count * times)
        inside = tuple(worked_inside(each) for each in own.body)
        return Worked(
            step,
            step.count,
            passed,
            used,
            marked(made, step.mark),
            inside,
            to_last=not self.cursor.remaining,
            back=back,
            places=times,
        )

    # ---- squares of a mesh ----

    def _mesh(self, step: MeshStep) -> Worked:
        """Work spaces and blocks: each takes two stitches, or a chain-2 space, and the post after it."""
        used: list[Segment] = []
        made = NOTHING
        post = Run(Place(step.stitch.counts_as), 1)
        for name, count in step.squares:
            square = (
                Made(Chains(2), (post,)) if name == "space" else Made(parts=(Run(post.place, MESH_WIDTH),))
            )
            for _ in range(count):
                used += self._square(step)
            made += square * count
        self.worked_into = True
        squares = sum(count for _, count in step.squares)
        return Worked(step, squares, used=tuple(used), made=made, to_last=not self.cursor.remaining)

    def _square(self, step: MeshStep) -> Segments:
        below = self.cursor.next_place()
        if below is not None and below.is_space:
            if below.chains != MESH_WIDTH - 1:
                raise fault(
                    "space-in-the-way",
                    f"a square is worked over a space of {MESH_WIDTH - 1} chains, and the next one has "
                    f"{below.chains}",
                    self.shown_at(step),
                    facts={"expected": MESH_WIDTH - 1, "found": below.chains},
                )
            inner = self.take(1, step, stitches_only=False)
        else:
            inner = self.take(MESH_WIDTH - 1, step, stitches_only=True)
        return (*inner, *self.take(1, step, stitches_only=True))

    # ---- the whole of an edge ----

    def _spread(self, step: SpreadStep) -> Worked:
        wanted, left = spread_places(step.body), self.cursor.remaining
        if wanted > left:
            raise misfits.spread_too_close(self, step, wanted, left)
        if wanted > MOST_NAMED and even_gap(wanted, left, in_round=self.in_round) is None:
            raise misfits.spread_unevenly(self, step, wanted, left)
        used = self.take(left, step, stitches_only=True)
        self.worked_into = self.worked_into or bool(wanted)
        inside = tuple(worked_inside(each) for each in step.body)
        return Worked(step, left, used=used, made=all_made(step.body), body=inside, to_last=True)

    def _underside(self, step: UndersideStep) -> Worked:
        if self.chain is None:
            raise misfits.no_underside(self, step)
        if self.cursor.remaining:
            raise misfits.not_at_the_end(self, step, self.cursor.remaining)
        many = self.chain - 1
        self.ground = edge((Run(Place(UNDERSIDE), many),) if many else ())
        self.cursor = Cursor(self.ground)
        self.before, self.from_hook, self.chain = "the other side of the chain", None, None
        return Worked(step, many)

    # ---- skips and stops ----

    def _skip(self, step: SkipStep) -> Worked:
        if step.kind is not None:
            passed = self.find(step.kind, step)
            used = self.take_found(step.kind, step)
            self._note_skipped(step, (*passed, *used))
            return Worked(step, 1, passed, used, to_last=not self.cursor.remaining)
        count = step.count
        if count is None:
            assert step.stop is not None
            count = self.places_to(step.stop)
        used = self.take(count, step, stitches_only=False)
        self._note_skipped(step, used)
        return Worked(step, count, used=used, to_last=not self.cursor.remaining)

    def _note_skipped(self, step: SkipStep, passed: Segments) -> None:
        """Remember what is passed over, unless it is kept under a name for another piece."""
        self.skipped, self.gone_back = () if step.mark else passed, frozenset()

    def _leave(self, step: LeaveStep) -> Worked:
        left = self.cursor.remaining
        if step.count is not None and step.count != left:
            raise fault(
                "too-few-places" if step.count > left else "unworked-places",
                f"{plural(left, 'place')} {'is' if left == 1 else 'are'} left here, "
                f"but the line says `leave {step.count}`",
                self.shown_at(step),
                help=f"write `leave {left}`" if left else "leave this item out",
                facts={"expected": step.count, "found": left},
            )
        return Worked(step, left, used=self.cursor.take(left, stitches_only=False), to_last=True)

    def _check_post(self, step: StitchStep, used: Segments) -> None:
        """Raise Fault if a post stitch went where no post stands."""
        if step.stitch.family != "post" and not step.stitch.key.startswith(("fp", "bp")):
            return
        target = step.target.kind if step.target is not None else "st"
        if target in ("ring", "gap", "chain") or not are_stitches(used):
            raise misfits.no_post(self, step)


def _stitches_inside(body: Steps) -> Iterator[StitchStep]:
    """Yield the stitches among items that share a place."""
    for step in body:
        if isinstance(step, StitchStep):
            yield step
        elif isinstance(step, BracketStep | GroupStep):
            yield from _stitches_inside(step.body)


def _has_own_place(step: Step) -> bool:
    return isinstance(step, StitchStep | GroupStep) and step.target is not None and step.target.kind == "st"
