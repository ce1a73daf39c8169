"""Joins to pieces that are done: that the places are there, and that each is joined once.

Places of one name are numbered in the order in which the last row of their piece made them. What is joined is
kept as stretches of them, so a thousand joins in a repeat cost what one does.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from ..lang.diagnostics import Diagnostic
from ..lang.source import Span
from ..lang.syntax import RepeatRows
from .counted import Block, CountedPiece, Worked
from .edges import Edges
from .fabric import PICOT, SPACE, stitches, tally, unmarked
from .faults import Fault, fault
from .makes import closes_picot
from .outline import is_whole
from .steps import BracketStep, ChainStep, Joint, OwnStep, StitchStep

Stretch = tuple[int, int]
"""Places from a number, counted from 0, up to another."""


@dataclass(slots=True)
class Joined:
    """Which places of the pieces have been joined."""

    edges: Edges
    used: dict[tuple[int, str], list[tuple[int, int, int]]] = field(default_factory=dict)
    """By piece and name: from which place up to which, and by how many copies."""

    def join(self, piece: CountedPiece) -> list[Diagnostic]:
        """Join a piece that has been counted to those it names, and return what is wrong with its joins."""
        found: list[Diagnostic] = []
        for part in piece.parts:
            if not isinstance(part, Block):
                continue
            again = part.stretch.node.content
            for row in part.rows:
                for joint, span, many in _joints(row.worked, row.times):
                    shown = again.span if isinstance(again, RepeatRows) else span
                    try:
                        self._use(joint, many, piece.plan.make, shown)
                    except Fault as wrong:
                        found.append(wrong.diagnostic.shifted(part.stretch.start))
        return found

    def _use(self, joint: Joint, many: int, copies: int, span: Span) -> None:
        piece = self.edges.pieces[joint.index]
        if joint.index in self.edges.faulty or not is_whole(piece):
            return
        there = _places(piece, joint.place)
        if not there or (joint.which is not None and not 1 <= joint.which <= there):
            raise _not_there(joint, there, span)
        used = self.used.setdefault((joint.index, joint.place), [])
        free = _free(used, there, piece.plan.make - copies)
        if joint.which is not None:
            wanted = joint.which - 1
            taken = [(wanted, joint.which) for start, end in free if start <= wanted < end and many == 1]
        else:
            taken = list(_last(free, many))
        if sum(end - start for start, end in taken) < many:
            raise _joined_already(joint, there, sum(end - start for start, end in free), span)
        used += [(start, end, copies) for start, end in taken]


def _joints(worked: Sequence[Worked], times: int) -> Iterator[tuple[Joint, Span, int]]:
    """Yield the joins among items, in the order they are worked, each with how often it is made."""
    for each in worked:
        step = each.step
        if isinstance(step, ChainStep | StitchStep):
            if step.joint is not None:
                yield step.joint, step.span, times
        else:
            for body, turns in _turns(each):
                yield from _joints(body, times * turns)


def _turns(worked: Worked) -> Iterator[tuple[Sequence[Worked], int]]:
    """Yield what an item holds, with how often each is worked."""
    if not worked.turns:
        again = worked.count if isinstance(worked.step, BracketStep | OwnStep) else 1
        yield worked.body, again
    for turns in worked.turns:
        for body in turns.bodies:
            yield body, turns.times


def _picots(worked: Sequence[Worked]) -> Counter[str]:
    """Count the picots among items, which make no places, by their marks; under `picot` those without."""
    found: Counter[str] = Counter()
    for each in worked:
        step = each.step
        if isinstance(step, StitchStep):
            if step.stitch.family == PICOT or closes_picot(step):
                found[f"as {step.mark}" if step.mark else PICOT] += each.count
            continue
        for body, times in _turns(each):
            for name, many in _picots(body).items():
                found[name] += many * times
    return found


def _places(piece: CountedPiece, name: str) -> int:
    """Count the places of a name that the last row of a piece made."""
    rows = [row for part in piece.parts if isinstance(part, Block) for row in part.rows]
    if not rows:
        return 0
    picots = _picots(rows[-1].worked)
    if name == PICOT:
        return picots[PICOT]
    made = rows[-1].after.parts
    if name == "st":
        return stitches(unmarked(made), chains_count=False)
    return tally(unmarked(made))[SPACE] if name == SPACE else tally(made)[f"as {name}"] + picots[f"as {name}"]


def _free(used: Sequence[tuple[int, int, int]], there: int, room: int) -> list[Stretch]:
    """Return the places at which no more than `room` copies have been joined, in order."""
    bounds = sorted({0, there, *(at for start, end, _ in used for at in (start, end))})
    return [
        (start, end)
        for start, end in pairwise(bounds)
        if sum(copies for low, high, copies in used if low <= start < high) <= room
    ]


def _last(free: Sequence[Stretch], many: int) -> Iterator[Stretch]:
    """Yield the last so many of places, as far as there are any."""
    for start, end in reversed(free):
        if many <= 0:
            return
        first = max(start, end - many)
        yield first, end
        many -= end - first


def _said(joint: Joint, many: int = 1) -> str:
    match joint.place:
        case "sp":
            return "unmarked chain space" + "s" * (many != 1)
        case "st":
            return "unmarked stitch" + "es" * (many != 1)
        case "picot":
            return "unmarked picot" + "s" * (many != 1)
        case mark:
            return f"place marked {mark}" if many == 1 else f"places marked {mark}"


def _not_there(joint: Joint, there: int, span: Span) -> Fault:
    if there:
        lacks = f"has {there} {_said(joint, there)}, and so no number {joint.which}"
    else:
        lacks = f"has no {_said(joint)} to be joined to"
    return fault(
        "unknown-edge",
        f"the last row of {joint.title} {lacks}",
        span,
        help="join to a mark of its last row or round, to `sp`, `st` or `picot`, numbered in the order made",
        facts={"found": there},
    )


def _joined_already(joint: Joint, there: int, free: int, span: Span) -> Fault:
    if joint.which is not None:
        message = f"number {joint.which} of the {_said(joint, 2)} of {joint.title} is joined more than once"
    else:
        left = f"{free} of them {'is' if free == 1 else 'are'} free" if free else "all are joined"
        message = f"{joint.title} has {there} {_said(joint, there)}, and {left}"
    return fault(
        "joined-twice",
        message,
        span,
        help="each place is joined once: join to another place, or to another piece",
        facts={"found": free},
    )
