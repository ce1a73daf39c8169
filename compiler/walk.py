"""The walk of one row along its edge: every item uses places up and makes new ones.

A bracket that finds the same ground each time is walked once and multiplied, in two ways. Where its items
look at nothing but the number of stitches (`places_used`), its turns are taken in one piece. Elsewhere the
walk goes on turn by turn until the cursor stands as it stood before, one repeat of the edge further on; what
lies between is then multiplied. Without `accelerate` every turn is walked: the tests hold the two against
each other.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from ..lang.source import Span
from . import misfits
from .counted import Turns, Worked
from .fabric import (
    CHAIN,
    NO_STITCHES,
    NOTHING,
    SPACE,
    UNDERSIDE,
    Blocked,
    Chains,
    Cursor,
    Edge,
    Made,
    NotAhead,
    Place,
    RanOut,
    Run,
    Segment,
    Segments,
    edge,
    has_space,
    names,
    repeated,
)
from .faults import Fault, fault, plural, said_place
from .makes import (
    branch_made,
    group_made,
    made_in_order,
    marked,
    places_used,
    said_made,
    stitches_made,
    together_made,
)
from .makes import (
    closes_picot as closes_picot,
)
from .plan import (
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
    Stop,
    Target,
    TogetherStep,
    UndersideStep,
)
from .spread import MOST_NAMED, even_gap, spread_places
from .turns import named_turns, places_of, with_cycles, with_turn, worked_inside

MESH_WIDTH = 3
"""Stitches from post to post in filet crochet: two of a square, and the post that it shares with the next."""

MOST_TURNS = 10_000
"""Turns of a bracket that may differ from one another before the walk is given up."""


# ---- the walk ------------------------------------------------------------------------------------------


@dataclass(slots=True)
class Walk:
    """One row under way."""

    ground: Edge
    row: str
    """What messages call the row: `row 4`."""
    before: str
    """What they call the one before it."""
    cursor: Cursor
    from_hook: int | None = None
    """On single chains: how many lie between the hook and the cursor's first place; else None."""
    in_round: bool = False
    chain: int | None = None
    """The chains of an unjoined foundation that a round goes along; else None."""
    accelerate: bool = True
    worked_into: bool = False
    """Whether a stitch of this row has been worked into a place yet, so that `same` means one."""
    space: tuple[int, int] | None = None
    """The chains of the space that single chains are being worked into, and the last one used."""
    at: Span | None = None
    """Where faults are shown while inside an author's own stitch: at its name in the row."""
    turns: int = field(default=0)

    def steps(self, steps: Steps) -> tuple[tuple[Worked, ...], Made]:
        """Work items in order; return each with what it did, and what all made. Raises Fault."""
        done = [self.step(step) for step in steps]
        return tuple(done), made_in_order(done)

    def step(self, step: Step) -> Worked:
        """Work one item."""
        match step:
            case StitchStep():
                return self._stitches(step)
            case ChainStep(count, mark):
                return Worked(step, count, made=Made(Chains(count, mark)))
            case BracketStep():
                return self._bracket(step)
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
                used = self._take(step.over, step, stitches_only=False)
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
            wanted = self._places_to(step.stop)
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
        used = self._take(count * stitch.uses, step, stitches_only=True) if stitch.uses else ()
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
            passed, used, chains = self._each_chain(target, step)
            made = stitches_made(step, count * chains)
            return Worked(step, count * chains, passed, used, made, to_last=not self.cursor.remaining)
        passed, used = self._place(target, step)
        made = NOTHING if closes_picot(step) else stitches_made(step, count)
        self._check_post(step, used)
        return Worked(step, count, passed, used, made, to_last=not self.cursor.remaining)

    def _group(self, step: GroupStep) -> Worked:
        passed, used = self._place(step.target, step)
        made = marked(group_made(step.body), step.mark)
        for each in _stitches_inside(step.body):
            self._check_post(each, used)
        inside = tuple(self._inside(each) for each in step.body)
        return Worked(step, 1, passed, used, made, inside, to_last=not self.cursor.remaining)

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
                wanted = self._places_to(step.stop)
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
            turns = self._turns(BracketStep(body, count, span=step.span), count)
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
        passed, used = self._place(target, step)
        made = group_made(own.body).under(own.name, is_mark=False) * step.count
        inside = tuple(worked_inside(each) for each in own.body)
        return Worked(
            step,
            step.count,
            passed,
            used,
            marked(made, step.mark),
            inside,
            to_last=not self.cursor.remaining,
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
            inner = self._take(1, step, stitches_only=False)
        else:
            inner = self._take(MESH_WIDTH - 1, step, stitches_only=True)
        return (*inner, *self._take(1, step, stitches_only=True))

    # ---- brackets ----

    def _bracket(self, step: BracketStep) -> Worked:
        if step.count is not None:
            return self._turns(step, step.count)
        assert step.stop is not None
        one = places_used(step.body)
        if one and not self._opens_ahead(step.body):
            wanted = self._places_to(step.stop)
            count, rest = divmod(wanted, one)
            if not rest:
                return self._turns(step, count)
            if not self._spaces_within(wanted):
                raise misfits.uneven(self, step, wanted, one)
        return self._as_fits(step, step.stop)

    def _turns(self, step: BracketStep, count: int) -> Worked:
        """Work a bracket a given number of times."""
        if count == 0:
            return Worked(step, 0, to_last=not self.cursor.remaining)
        one = places_used(step.body) if self.accelerate else None
        if one is not None and count > 1:
            fast = self._at_once(step, count, one)
            if fast is not None:
                return fast
        return self._turn_by_turn(step, count)

    def _at_once(self, step: BracketStep, count: int, one: int) -> Worked | None:
        start, was_worked = self.cursor.copy(), self.worked_into
        try:
            body, made = self.steps(step.body)
            used = places_of(body)
            if has_space(used):
                # A turn that skips a space may differ from the next one: each is walked.
                raise Blocked(0, Place(SPACE))
            rest = self.cursor.take(one * (count - 1), stitches_only=True)
        except (Blocked, RanOut, Fault):
            self.cursor, self.worked_into = start, was_worked
            return None
        return Worked(
            step,
            count,
            used=(*used, *rest),
            made=made * count,
            body=body,
            turns=(Turns((body,), count),),
            to_last=not self.cursor.remaining,
        )

    def _as_fits(self, step: BracketStep, stop: Stop) -> Worked:
        """Work a bracket until its stop is reached, turn by turn."""
        opens_ahead = self._opens_ahead(step.body)
        keep = 0 if stop.kind == "end" else self.cursor.remaining - self._places_to(stop)
        worked = self._turn_by_turn(step, None, keep, opens_ahead)
        if opens_ahead is not None and stop.kind == "end" and self.cursor.remaining:
            rest = self._excuse_rest(step, opens_ahead)
            worked = replace(worked, rest=rest, to_last=True)
        elif self.cursor.remaining < keep:
            raise misfits.uneven(self, step, self.ground.places, 0)
        return worked

    def _turn_by_turn(
        self, step: BracketStep, count: int | None, keep: int = 0, opens_ahead: str | None = None
    ) -> Worked:
        done = 0
        turns: list[Turns] = []
        pieces: list[tuple[Made, int]] = []
        used: list[Segment] = []
        seen: dict[tuple[object, ...], tuple[int, int, int, int]] = {}
        while count is None or done < count:
            if count is None and self._finished(keep, opens_ahead):
                break
            if self.accelerate:
                jumped = self._jump(seen, done, count, keep, pieces, used, turns)
                if jumped:
                    done += jumped
                    seen.clear()
                    continue
            self._spend_turn(step)
            before = self.cursor.remaining
            try:
                body, made = self.steps(step.body)
            except Fault as found:
                raise misfits.in_turn(self, found, done + 1, count, step) from None
            done += 1
            if before == self.cursor.remaining and count is None:
                raise fault(
                    "count-order",
                    "each turn of this bracket uses no places, so it can't be worked `to` anything",
                    self.shown_at(step),
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
            to_last=not self.cursor.remaining,
        )

    def _jump(
        self,
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
        for key, left, depth in self.cursor.levels():
            full = (*key, self.space, depth)
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
                unit = step if depth < 0 else step * self.cursor.unit_at(depth)
                cycles = min(cycles, (self.cursor.remaining - keep) // unit - 1)
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
            self.cursor.jump(depth, cycles * step)
            return cycles * turns
        return 0

    def _finished(self, keep: int, opens_ahead: str | None) -> bool:
        if opens_ahead is not None:
            try:
                return self.cursor.remaining - self.cursor.distance(opens_ahead) <= keep
            except NotAhead:
                return True
        return self.cursor.remaining <= keep

    def _opens_ahead(self, body: Steps) -> str | None:
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
                return self._opens_ahead(inner)
            case _:
                return None

    def _excuse_rest(self, step: BracketStep, wanted: str) -> Segments:
        """Leave the stitches that are left when nothing more of what a bracket looks for is ahead."""
        rest = self.cursor.copy().take(self.cursor.remaining, stitches_only=False)
        if SPACE in names(rest):
            left = self.cursor.remaining
            raise fault(
                "unworked-places",
                f"{plural(left, 'place')} of {self.before} {'is' if left == 1 else 'are'} left unworked, "
                f"a chain space among them",
                self.shown_at(step),
                help=f"the bracket looks for {said_place(wanted)}: work or `leave` what comes after it",
                facts={"left": left},
            )
        return self.cursor.take(self.cursor.remaining, stitches_only=False)

    # ---- the whole of an edge ----

    def _spread(self, step: SpreadStep) -> Worked:
        wanted, left = spread_places(step.body), self.cursor.remaining
        if wanted > left:
            raise misfits.spread_too_close(self, step, wanted, left)
        if wanted > MOST_NAMED and even_gap(wanted, left, in_round=self.in_round) is None:
            raise misfits.spread_unevenly(self, step, wanted, left)
        used = self._take(left, step, stitches_only=True)
        self.worked_into = self.worked_into or bool(wanted)
        inside = tuple(worked_inside(each) for each in step.body)
        return Worked(step, left, used=used, made=group_made(step.body), body=inside, to_last=True)

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
            passed = self._find(step.kind, step)
            used = self._take_found(step.kind, step)
            return Worked(step, 1, passed, used, to_last=not self.cursor.remaining)
        count = step.count
        if count is None:
            assert step.stop is not None
            count = self._places_to(step.stop)
        used = self._take(count, step, stitches_only=False)
        return Worked(step, count, used=used, to_last=not self.cursor.remaining)

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

    def _places_to(self, stop: Stop) -> int:
        """Return how many places lie before a stop. Raises Fault where it can't be reached."""
        left = self.cursor.remaining
        span = self.at or stop.span
        match stop.kind:
            case "end":
                return left
            case "last":
                if stop.count > left:
                    raise fault(
                        "too-few-places",
                        f"only {plural(left, 'place')} {'is' if left == 1 else 'are'} left here, "
                        f"fewer than the last {stop.count}",
                        span,
                        facts={"expected": stop.count, "found": left},
                    )
                return left - stop.count
            case "middle":
                if left % 2 == 0:
                    raise fault(
                        "no-middle",
                        f"{plural(left, 'place')} {'is' if left == 1 else 'are'} left here, "
                        "and an even number has no middle one",
                        span,
                        help="`to middle` wants an odd number: work one more, or change the row before",
                        facts={"found": left},
                    )
                return left // 2
            case _:
                try:
                    # What is worked up to a stop is worked over, not passed: marks on the way are no bar.
                    away = self.cursor.distance(stop.name, past_marks=True)
                except NotAhead as found:
                    raise misfits.nothing_ahead(self, stop.name, span, found.barrier) from None
                if away < stop.count:
                    raise fault(
                        "too-few-places",
                        f"the next {stop.name} is only {plural(away, 'place')} away, "
                        f"so there are no {stop.count} before it",
                        span,
                        facts={"expected": stop.count, "found": away},
                    )
                return away - stop.count

    # ---- places ----

    def _place(self, target: Target, step: Step) -> tuple[Segments, Segments]:
        """Go to a place and use it up; return what was passed, and the place."""
        match target.kind:
            case "st":
                used = self._take(1, step, stitches_only=True)
                self.worked_into = True
                return (), used
            case "same":
                if not self.worked_into:
                    raise fault(
                        "no-same",
                        "`same` means the place of the stitch before, and this row has none yet",
                        self.at or target.span,
                        help="write `in st` for the next stitch",
                    )
                return (), ()
            case "top":
                return (), ()
            case "gap":
                ahead = self.cursor.next_place()
                at_start = self.cursor.remaining == self.ground.places
                if at_start or ahead is None or ahead.kind in (*NO_STITCHES, CHAIN):
                    raise misfits.no_gap(self, step, ahead, at_start=at_start)
                self.worked_into = True
                return (), ()
            case "start":
                if not (self.in_round and self.worked_into):
                    raise misfits.no_start(self, step)
                return (), ()
            case "ring":
                if not self.ground.ring:
                    raise fault(
                        "nothing-ahead",
                        f"there is no ring to work into: {self.before} has left stitches",
                        self.at or target.span,
                        help="a ring is there for the first round after `start ring` or `start 6 ch, joined`",
                    )
                self.worked_into = True
                return (), ()
            case "chain":
                return self._single_chain(target, step)
            case _:
                passed = self._find(target.name, step, target.span)
                used = self._take_found(target.name, step)
                self.worked_into = True
                return passed, used

    def _check_post(self, step: StitchStep, used: Segments) -> None:
        """Raise Fault if a post stitch went where no post stands."""
        if step.stitch.family != "post" and not step.stitch.key.startswith(("fp", "bp")):
            return
        target = step.target.kind if step.target is not None else "st"
        if target in ("ring", "gap", "chain") or not _are_stitches(used):
            raise misfits.no_post(self, step)

    def _find(self, name: str, step: Step, span: Span | None = None) -> Segments:
        self.space = None
        try:
            return self.cursor.find(name)
        except NotAhead as found:
            raise misfits.nothing_ahead(self, name, self.at or span or step.span, found.barrier) from None

    def _take_found(self, name: str, step: Step) -> Segments:
        """Use up the place that `find` went to; of a named stretch its middle place."""
        many = self.cursor.labelled_places(name)
        if many % 2 == 0:
            raise fault(
                "no-middle",
                f"{name} covers {many} places, and an even number has no middle one",
                self.shown_at(step),
                help="work over it place by place, or put the name on a single stitch or space",
                facts={"found": many},
            )
        self.cursor.take(many // 2, stitches_only=False)
        return self.cursor.take(1, stitches_only=False)

    def _single_chain(self, target: Target, step: Step) -> tuple[Segments, Segments]:
        assert target.which is not None
        if self._on_bare_chain() and isinstance(target.which, int) and self.space is None:
            return self._chain_from_hook(target.which, step)
        if isinstance(target.which, int) and self.space is not None and target.which > self.space[1]:
            chains = self.space[0]
            self._check_ordinal(target, chains, step)
            self.space = (chains, target.which)
            return (), ()
        passed = self._find(SPACE, step, target.span)
        used = self._take_found(SPACE, step)
        chains = _chains_in(used)
        self.worked_into = True
        if target.which == "middle":
            if chains % 2 == 0:
                raise fault(
                    "no-middle",
                    f"a space of {plural(chains, 'chain')} has no middle one",
                    self.at or target.span,
                    help="name the chain: `in 2nd ch`",
                    facts={"found": chains},
                )
            return passed, used
        assert isinstance(target.which, int)
        self._check_ordinal(target, chains, step)
        self.space = (chains, target.which)
        return passed, used

    def _on_bare_chain(self) -> bool:
        """Tell whether single chains that the row began on are still ahead."""
        place = self.cursor.next_place() if self.from_hook is not None else None
        return place is not None and place.kind == CHAIN

    def _chain_from_hook(self, ordinal: int, step: Step) -> tuple[Segments, Segments]:
        assert self.from_hook is not None
        done = self.from_hook + self.ground.places - self.cursor.remaining
        if ordinal <= done:
            raise fault(
                "nothing-ahead",
                f"the {_ordinal(ordinal)} chain from the hook lies behind: {done} are used already",
                self.shown_at(step),
                help=f"name a later chain, from the {_ordinal(done + 1)} on",
            )
        passed = self._take(ordinal - done - 1, step, stitches_only=True)
        used = self._take(1, step, stitches_only=True)
        self.worked_into = True
        return passed, used

    def _check_ordinal(self, target: Target, chains: int, step: Step) -> None:
        if isinstance(target.which, int) and not 1 <= target.which <= chains:
            raise fault(
                "nothing-ahead",
                f"the space has {plural(chains, 'chain')}, so it has no {_ordinal(target.which)}",
                self.at or target.span,
                facts={"expected": target.which, "found": chains},
            )

    def _each_chain(self, target: Target, step: Step) -> tuple[Segments, Segments, int]:
        passed = self._find(SPACE, step, target.span)
        used = self._take_found(SPACE, step)
        self.worked_into = True
        return passed, used, _chains_in(used)

    def _take(self, count: int, step: Step, *, stitches_only: bool) -> Segments:
        if count:
            self.space = None
        left = self.cursor.remaining
        try:
            return self.cursor.take(count, stitches_only=stitches_only)
        except RanOut:
            raise misfits.too_few(self, step, count, left) from None
        except Blocked as found:
            raise misfits.space_in_the_way(self, step, found) from None

    # ---- faults ----

    def shown_at(self, step: Step) -> Span:
        """Return where a fault of an item is shown."""
        return self.at or step.span

    def _spend_turn(self, step: BracketStep) -> None:
        self.turns += 1
        if self.turns > MOST_TURNS and self.accelerate:
            raise fault(
                "too-large",
                f"after {MOST_TURNS:,} turns this bracket still finds different ground each time",
                self.shown_at(step),
                help="write the row in parts that repeat",
            )

    def _spaces_within(self, wanted: int) -> bool:
        return has_space(self.cursor.copy().take(wanted, stitches_only=False))


def _are_stitches(used: Segments) -> bool:
    return all(
        part.place.kind not in (*NO_STITCHES, CHAIN, UNDERSIDE)
        if type(part) is Run
        else _are_stitches(part.parts)  # type: ignore[union-attr]
        for part in used
    )


def _stitches_inside(body: Steps) -> Iterator[StitchStep]:
    """Yield the stitches among items that share a place."""
    for step in body:
        if isinstance(step, StitchStep):
            yield step
        elif isinstance(step, BracketStep | GroupStep):
            yield from _stitches_inside(step.body)


def _has_own_place(step: Step) -> bool:
    return isinstance(step, StitchStep | GroupStep) and step.target is not None and step.target.kind == "st"


def _chains_in(used: Segments) -> int:
    return sum(part.place.chains for part in used if type(part) is Run)


def _ordinal(number: int) -> str:
    if 10 <= number % 100 <= 20:
        return f"{number}th"
    return f"{number}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th') }"
