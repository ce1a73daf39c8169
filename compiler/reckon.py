"""A row reckoned on plain ground: sums alone, without the places.

Where the edge is nothing but stitches and no item looks for a place ahead, what a row makes follows from the
number of places. Most rows are of that sort, and a check needs no more of them. A row whose sums do not come
out is left to the walk, which says what is wrong.
"""

from __future__ import annotations

from dataclasses import dataclass

from .fabric import CHAIN, NOTHING, SPACE, TIP, UNDERSIDE, Edge, Made, Run
from .makes import (
    all_made,
    chains_made,
    closes_picot,
    made_in_order,
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


def reckoned(body: Steps, places: int) -> Made:
    """Return what items make that use up so many plain places.

    Raises NeedsWalk where that can't be told, and Fault where items can't be worked at all.
    """
    sums = _Sums(places)
    made = sums.steps(body)
    if sums.left:
        raise NeedsWalk
    return made


@dataclass(slots=True)
class _Sums:
    left: int
    worked_into: bool = False
    """Whether a stitch has been worked into a place yet, as the walk has it."""
    turning: bool = False
    """Whether a bracket is being worked: stops inside of it may differ from turn to turn."""

    def steps(self, steps: Steps) -> Made:
        return made_in_order(steps, [self.step(step) for step in steps])

    def step(self, step: Step) -> Made:
        match step:
            case StitchStep():
                return self._stitches(step)
            case BracketStep():
                return self._bracket(step)
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

    def _stitches(self, step: StitchStep) -> Made:
        stitch, count = step.stitch, step.count
        if step.target is not None:
            return self._into(step, step.target.kind)
        if count is None:
            count = self._often(step.stop, stitch.uses)
            if step.crossed and count % 2:
                raise NeedsWalk
        if stitch.uses:
            self._use(count * stitch.uses)
            self.worked_into = True
        elif not self.worked_into:
            raise NeedsWalk
        return stitches_made(step, count)

    def _into(self, step: StitchStep, kind: str) -> Made:
        assert step.count is not None
        if kind == "st":
            self._use(1)
            self.worked_into = True
        elif kind != "top" and (kind != "same" or not self.worked_into):
            raise NeedsWalk
        return NOTHING if closes_picot(step) else stitches_made(step, step.count)

    def _bracket(self, step: BracketStep) -> Made:
        if step.count is not None:
            return self._turns(step.body, step.count)
        wanted = self._places_to(step.stop)
        made, one = self._turn(step.body)
        if not one or wanted % one:
            raise NeedsWalk
        self._use(wanted - one)
        return made * (wanted // one)

    def _turns(self, body: Steps, count: int, name: str | None = None) -> Made:
        made, one = self._turn(body)
        self._use(one * (count - 1))
        return (made if name is None else made.under(name, is_mark=False)) * count

    def _turn(self, body: Steps) -> tuple[Made, int]:
        """Work a bracket once; return what it makes, and the places it uses."""
        left, outside, self.turning = self.left, self.turning, True
        made = self.steps(body)
        self.turning = outside
        return made, left - self.left

    def _often(self, stop: Stop | None, uses: int) -> int:
        """Return how often a stitch is worked up to a stop."""
        count, rest = divmod(self._places_to(stop), uses)
        if rest:
            raise NeedsWalk
        return count

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
