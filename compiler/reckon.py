"""A row reckoned on plain ground: sums alone, without the places.

Where the edge is nothing but stitches and no item looks for a place ahead, what a row makes follows from the
number of places. Most rows are of that sort, and a check needs no more of them. A row whose sums do not come
out is left to the walk, which says what is wrong.
"""

from __future__ import annotations

from dataclasses import dataclass

from .fabric import CHAIN, NOTHING, SPACE, TIP, UNDERSIDE, Edge, Made, Run, plain_place
from .makes import (
    Making,
    all_made,
    chains_made,
    closes_picot,
    marked,
    said_made,
    stitches_made,
    together_made,
)
from .steps import (
    BracketStep,
    ChainStep,
    GroupStep,
    OwnStep,
    SaidStep,
    SkipStep,
    Step,
    Steps,
    StitchStep,
    Stop,
    Target,
    TogetherStep,
)

NOT_PLAIN = frozenset({SPACE, TIP, CHAIN, UNDERSIDE})
"""Kinds of place that stitches may meet in more ways than one."""


class NeedsWalk(Exception):  # noqa: N818 - a signal, not an error
    """Sums do not tell what an item does, or do not come out; a signal between reckoning and its caller."""


def is_plain(ground: Edge) -> bool:
    """Tell whether an edge is nothing but stitches."""
    if ground.ring:
        return False
    for part in ground.parts:
        if type(part) is Run:
            if part.place.kind in NOT_PLAIN:
                return False
        elif not part.names.isdisjoint(NOT_PLAIN):
            return False
    return True


@dataclass(frozen=True, slots=True)
class Turn:
    """What one turn of a bracket comes to."""

    body: Steps
    """Kept so that its id stays its own."""
    uses: int
    made: Made
    worked_into: bool


Turns = dict[tuple[int, bool], Turn]
"""By the id of the body, and whether a stitch has been worked into a place before."""


def reckoned(body: Steps, places: int, turns: Turns) -> Made:
    """Return what items make that use up so many plain places; `turns` are those of brackets met before.

    Raises NeedsWalk where that can't be told, and Fault where items can't be worked at all.
    """
    sums = _Sums(places, turns)
    made = sums.steps(body)
    if sums.left:
        raise NeedsWalk
    return made


@dataclass(slots=True)
class _Sums:
    left: int
    turns: Turns
    worked_into: bool = False
    """Whether a stitch has been worked into a place yet, as the walk has it."""
    turning: bool = False
    """Whether a bracket is being worked: stops inside of it may differ from turn to turn."""

    def steps(self, steps: Steps) -> Made:
        making = Making()
        for step in steps:
            if type(step) is StitchStep and step.target is None and step.mark is None:
                many = self._times(step) * step.stitch.makes
                if many:
                    making.run(plain_place(step.stitch.counts_as), many)
                else:
                    making.add(step, NOTHING)
            else:
                making.add(step, self._step(step))
        return making.made()

    def _step(self, step: Step) -> Made:
        match step:
            case BracketStep():
                return self._bracket(step)
            case StitchStep(target=Target(kind)):
                return self._into(step, kind)
            case StitchStep():
                return stitches_made(step, self._times(step))
            case ChainStep():
                return chains_made(step)
            case SkipStep(count, stop, None):
                self._use(self._places_to(stop) if count is None else count)
                return NOTHING
            case GroupStep(body, target, mark) if target.kind == "st":
                self._use(1)
                self.worked_into = True
                return marked(all_made(body), mark)
            case TogetherStep(body, mark):
                self.steps(body)
                return marked(together_made(body), mark)
            case OwnStep(own, int(count), target=None, mark=mark):
                body = own.body if isinstance(own.body, tuple) else (own.body,)
                return marked(self._turns(body, count, own.name), mark)
            case SaidStep(over=over):
                self._use(over)
                return said_made(step)
            case _:
                raise NeedsWalk

    def _times(self, step: StitchStep) -> int:
        """Return how often a stitch is worked into places of its own."""
        uses, count = step.stitch.uses, step.count
        if count is None:
            count, rest = divmod(self._places_to(step.stop), uses)
            if rest or (step.crossed and count % 2):
                raise NeedsWalk
        if uses:
            self.left -= count * uses
            if self.left < 0:
                raise NeedsWalk
            self.worked_into = True
        elif not self.worked_into:
            raise NeedsWalk
        return count

    def _into(self, step: StitchStep, kind: str) -> Made:
        assert step.count is not None
        if kind == "st":
            self._use(1)
            self.worked_into = True
        elif kind != "top" and (kind not in ("same", "stem") or not self.worked_into):
            raise NeedsWalk
        return NOTHING if closes_picot(step) else stitches_made(step, step.count)

    def _bracket(self, step: BracketStep) -> Made:
        if step.count is not None:
            return self._turns(step.body, step.count)
        wanted = self._places_to(step.stop)
        turn = self._turn(step.body)
        if not turn.uses or wanted % turn.uses:
            raise NeedsWalk
        self._use(wanted)
        return turn.made * (wanted // turn.uses)

    def _turns(self, body: Steps, count: int, name: str | None = None) -> Made:
        turn = self._turn(body)
        self._use(turn.uses * count)
        return (turn.made if name is None else turn.made.under(name, is_mark=False)) * count

    def _turn(self, body: Steps) -> Turn:
        key = id(body), self.worked_into
        turn = self.turns.get(key)
        if turn is None:
            left, outside, self.turning = self.left, self.turning, True
            made = self.steps(body)
            turn = self.turns[key] = Turn(body, left - self.left, made, self.worked_into)
            self.left, self.turning = left, outside
        self.worked_into = turn.worked_into
        return turn

    def _places_to(self, stop: Stop | None) -> int:
        """Return how many places lie before a stop: one at least, for there is more to say of none."""
        assert stop is not None
        if stop.kind == "end":
            places = self.left
        elif stop.kind == "last":
            places = self.left - stop.count
        else:
            places = self.left // 2 if stop.kind == "middle" and self.left % 2 else 0
        if places <= 0 or self.turning:
            raise NeedsWalk
        return places

    def _use(self, places: int) -> None:
        self.left -= places
        if self.left < 0:
            raise NeedsWalk
