"""Where a row under way has come to on its edge: how it finds places, takes them, and measures to a stop."""

from __future__ import annotations

from dataclasses import dataclass

from ..lang.source import Span
from . import misfits
from .counted import GoneBack
from .cursor import Blocked, Cursor, NotAhead, RanOut
from .fabric import CHAIN, NO_STITCHES, SPACE, UNDERSIDE, Edge, Run, Segments, places
from .faults import fault, plural
from .steps import Step, Stop, Target


@dataclass(slots=True)
class Position:
    """A row's place on the edge that it finds."""

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
    skipped: Segments = ()
    """The places of the last skip, to which stitches may go back."""
    gone_back: frozenset[int] = frozenset()
    """Those of them that have been gone back to, from 1."""
    begun_at: str | None = None
    """The mark or kind of place that a round begins at: its end comes to that place again."""
    at: Span | None = None
    """Where faults are shown while inside an author's own stitch: at its name in the row."""

    # ---- stops ----

    def places_to(self, stop: Stop) -> int:
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
                    if stop.name != self.begun_at:
                        raise misfits.nothing_ahead(self, stop.name, span, found.barrier) from None
                    away = left
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

    def place(self, target: Target, step: Step) -> tuple[Segments, Segments]:
        """Go to a place and use it up; return what was passed, and the place."""
        match target.kind:
            case "st":
                used = self.take(1, step, stitches_only=True)
                self.worked_into = True
                return (), used
            case "same" | "stem" as which:
                if not self.worked_into:
                    what = "place" if which == "same" else "post"
                    raise fault(
                        "no-same",
                        f"`{which}` means the {what} of the stitch before, and this row has none yet",
                        self.at or target.span,
                        help="write `in st` for the next stitch",
                    )
                return (), ()
            case "top":
                return (), ()
            case "gap":
                ahead = self.cursor.next_place()
                at_start = self.cursor.remaining == self.ground.places
                if ahead is None and self.in_round:
                    # The gap between the last stitch of a round and its first.
                    ahead = Cursor(self.ground).next_place()
                if at_start or ahead is None or ahead.kind in (*NO_STITCHES, CHAIN):
                    raise misfits.no_gap(self, step, ahead, at_start=at_start)
                self.worked_into = True
                return (), ()
            case "own ring" | "arch" | "cord":
                self.worked_into = True
                return (), ()
            case "edge":
                at_end = self.cursor.remaining in (0, self.ground.places)
                if self.in_round or not at_end or not getattr(step, "below", 0):
                    raise misfits.no_edge(self, step)
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
                passed = self.find(target.name, step, target.span)
                used = self.take_found(target.name, step)
                self.worked_into = True
                return passed, used

    def back(self, target: Target, step: Step) -> GoneBack:
        """Go back to places that were skipped. Raises Fault if they are not there, or not free."""
        many = places(self.skipped)
        free = [number for number in range(1, many + 1) if number not in self.gone_back]
        which = target.which if isinstance(target.which, int) else None
        if target.which is None and free:
            which = free[0]
        if target.which == "each" and len(free) == many > 0:
            self.gone_back, which = frozenset(free), 0
        elif which is None or which not in free:
            raise misfits.no_skipped(self, step, many, which)
        else:
            self.gone_back |= {which}
        self.worked_into = True
        self.space = None
        return GoneBack(self.skipped, which)

    def find(self, name: str, step: Step, span: Span | None = None) -> Segments:
        self.space = None
        try:
            return self.cursor.find(name)
        except NotAhead as found:
            raise misfits.nothing_ahead(self, name, self.at or span or step.span, found.barrier) from None

    def take_found(self, name: str, step: Step) -> Segments:
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
        passed = self.find(SPACE, step, target.span)
        used = self.take_found(SPACE, step)
        chains = chains_in(used)
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
        passed = self.take(ordinal - done - 1, step, stitches_only=True)
        used = self.take(1, step, stitches_only=True)
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

    def each_chain(self, target: Target, step: Step) -> tuple[Segments, Segments, int]:
        passed = self.find(SPACE, step, target.span)
        used = self.take_found(SPACE, step)
        self.worked_into = True
        return passed, used, chains_in(used)

    def take(self, count: int, step: Step, *, stitches_only: bool) -> Segments:
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


def are_stitches(used: Segments) -> bool:
    return all(
        part.place.kind not in (*NO_STITCHES, CHAIN, UNDERSIDE)
        if type(part) is Run
        else are_stitches(part.parts)  # type: ignore[union-attr]
        for part in used
    )


def chains_in(used: Segments) -> int:
    return sum(part.place.chains for part in used if type(part) is Run)


def _ordinal(number: int) -> str:
    if 10 <= number % 100 <= 20:
        return f"{number}th"
    return f"{number}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th') }"
