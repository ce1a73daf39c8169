"""The cursor that walks an edge.

It is a stack of positions in the edge's structure, so that "the same ground as before, one repeat further on"
can be recognised and many turns of a bracket be counted as one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from .fabric import (
    NO_STITCHES,
    Edge,
    Named,
    Place,
    Repeat,
    Run,
    Segment,
    Segments,
    has_space,
    names,
    places,
    repeated,
)


class RanOut(Exception):  # noqa: N818 - a signal, not an error
    """The edge ended before enough places were found; a signal between the cursor and its walker."""

    def __init__(self, taken: int) -> None:
        super().__init__(taken)
        self.taken = taken


class Blocked(Exception):  # noqa: N818 - a signal, not an error
    """A chain space stood where a stitch was wanted; a signal between the cursor and its walker."""

    def __init__(self, taken: int, place: Place) -> None:
        super().__init__(taken, place)
        self.taken = taken
        self.place = place


class NotAhead(Exception):  # noqa: N818 - a signal, not an error
    """A look-ahead found nothing, or a mark stood before it; a signal between the cursor and its walker."""

    def __init__(self, barrier: str | None) -> None:
        super().__init__(barrier)
        self.barrier = barrier


@dataclass(slots=True)
class _Frame:
    """A stretch the cursor is inside of: the part at hand, and how many turns are left, this one included."""

    segment: Repeat | Named | Edge
    index: int
    times: int


Level = tuple[tuple[object, ...], int, int]
"""One view of where the cursor is: what must be alike, how much is left of what may differ, its depth."""


class Cursor:
    """A position on an edge, and the walk from it."""

    __slots__ = ("_frames", "_left", "remaining")

    def __init__(self, ground: Edge) -> None:
        self._frames = [_Frame(ground, 0, 1)] if ground.parts else []
        self._left = 0
        self.remaining = ground.places

    def copy(self) -> Cursor:
        """Return a cursor at the same place that walks on its own."""
        new = Cursor.__new__(Cursor)
        new._frames = [_Frame(frame.segment, frame.index, frame.times) for frame in self._frames]
        new._left = self._left
        new.remaining = self.remaining
        return new

    def next_place(self) -> Place | None:
        """Return the place that comes next, or None at the end."""
        ahead = self.copy()
        while (segment := ahead._part()) is not None:
            if type(segment) is Run:
                return segment.place
            ahead._enter(segment)
        return None

    def next_label(self) -> str | None:
        """Return the name on the place that comes next, if it has one."""
        ahead = self.copy()
        while (segment := ahead._part()) is not None and type(segment) is not Run:
            if type(segment) is Named:
                return segment.label
            ahead._enter(segment)
        return None

    def take(self, wanted: int, *, stitches_only: bool) -> Segments:
        """Use up the next `wanted` places and return them.

        Raises RanOut at the end of the edge, and Blocked at a chain space if `stitches_only`.
        """
        if self._frames and self._left > wanted > 0:
            # Most often the run at hand is long enough.
            frame = self._frames[-1]
            place = frame.segment.parts[frame.index].place  # type: ignore[union-attr]
            if not (stitches_only and place.kind in NO_STITCHES):
                self._left -= wanted
                self.remaining -= wanted
                return (Run(place, wanted),)
        taken: list[Segment] = []
        need = wanted
        while need:
            segment = self._part()
            if segment is None:
                raise RanOut(wanted - need)
            turns = 0 if self._frames[-1].index else self._whole_turns(need)
            if turns and not (stitches_only and has_space(self._frames[-1].segment.parts)):
                taken_turns = self._pass_turns(turns)
                need -= places(taken_turns)
                taken.extend(taken_turns)
                continue
            frame = self._frames[-1]
            if type(segment) is Run:
                if stitches_only and segment.place.kind in NO_STITCHES:
                    raise Blocked(wanted - need, segment.place)
                have = self._left or segment.count
                if have > need:
                    taken.append(Run(segment.place, need))
                    self._left = have - need
                    self.remaining -= need
                    break
                taken.append(segment if have == segment.count else Run(segment.place, have))
                self._left = 0
                frame.index += 1
                self.remaining -= have
                need -= have
                continue
            if stitches_only and segment.has_space:
                self._enter(segment)
                continue
            whole = segment.places
            if whole <= need:
                taken.append(segment)
                frame.index += 1
                self.remaining -= whole
                need -= whole
            else:
                self._enter(segment)
        return tuple(taken)

    def find(self, name: str, *, past_marks: bool = False) -> Segments:
        """Go on to the next place called `name` (a kind, a mark, an author's stitch); return what was passed.

        Raises NotAhead if there is none, or, unless `past_marks`, if a mark of another name stands before it.
        """
        passed: list[Segment] = []
        ahead = self.copy()
        while (segment := ahead._part()) is not None:
            inside = ahead._frames[-1].segment
            turns = ahead._whole_turns(ahead.remaining)
            if turns and name not in names(inside.parts) and (past_marks or not _has_mark(inside)):
                passed.extend(ahead._pass_turns(turns))
                continue
            match segment:
                case Run(place):
                    if place.kind == name:
                        break
                    passed.extend(ahead._pass_part(segment))
                case Named(label=label) if label == name:
                    break
                case Named(is_mark=True):
                    if name not in segment.names and not past_marks:
                        raise NotAhead(segment.label)
                    ahead._enter(segment)
                case _:
                    if name in segment.names or (not past_marks and _has_mark(segment)):
                        ahead._enter(segment)
                    else:
                        passed.extend(ahead._pass_part(segment))
        else:
            raise NotAhead(None)
        self._frames, self._left, self.remaining = ahead._frames, ahead._left, ahead.remaining
        return tuple(passed)

    def labelled_places(self, name: str) -> int:
        """Return how many places the part at hand covers if it bears that name; one if it does not."""
        segment = self._part()
        return segment.unit if type(segment) is Named and segment.label == name else 1

    def distance(self, name: str, *, past_marks: bool = False) -> int:
        """Return how many places lie before the next one called `name`; raises NotAhead as `find` does."""
        ahead = self.copy()
        ahead.find(name, past_marks=past_marks)
        return self.remaining - ahead.remaining

    def levels(self) -> Iterator[Level]:
        """Yield each way in which a later position may be alike to this one, the innermost first."""
        segment = self._part()
        if segment is None:
            return
        base = tuple((id(frame.segment), frame.index, frame.times) for frame in self._frames)
        if type(segment) is Run:
            yield (base, self._left or segment.count, -1)
        for depth in range(len(base) - 1, 0, -1):
            if type(self._frames[depth].segment) is Repeat:
                outer = base[:depth]
                identity, index, times = base[depth]
                yield ((*outer, (identity, index), *base[depth + 1 :], self._left), times, depth)

    def unit_at(self, depth: int) -> int:
        """Return the places in one turn of the repeat at a level."""
        segment = self._frames[depth].segment
        assert type(segment) is Repeat
        return segment.unit

    def jump(self, depth: int, amount: int) -> None:
        """Leave out `amount` of what may differ at a level: turns of its repeat, or places of a run."""
        if depth < 0:
            segment = self._part()
            assert type(segment) is Run
            self._left = (self._left or segment.count) - amount
            self.remaining -= amount
            return
        frame = self._frames[depth]
        assert type(frame.segment) is Repeat
        frame.times -= amount
        self.remaining -= amount * frame.segment.unit

    def _part(self) -> Segment | None:
        """Return the part at hand, leaving stretches that are done; None at the end of the edge."""
        frames = self._frames
        while frames:
            frame = frames[-1]
            if frame.index < len(frame.segment.parts):
                return frame.segment.parts[frame.index]
            if frame.times > 1:
                frame.times -= 1
                frame.index = 0
            else:
                frames.pop()
                if frames:
                    frames[-1].index += 1
        return None

    def _enter(self, segment: Segment) -> None:
        assert not isinstance(segment, Run)
        self._frames.append(_Frame(segment, 0, segment.times if type(segment) is Repeat else 1))

    def _whole_turns(self, limit: int) -> int:
        """Return how many whole turns of the repeat at hand lie ahead within `limit` places."""
        frame = self._frames[-1]
        if frame.index or self._left or type(frame.segment) is not Repeat:
            return 0
        return min(frame.times, limit // frame.segment.unit)

    def _pass_turns(self, turns: int) -> Segments:
        frame = self._frames[-1]
        segment = frame.segment
        assert type(segment) is Repeat
        self.remaining -= turns * segment.unit
        if turns == frame.times:
            self._frames.pop()
            self._frames[-1].index += 1
        else:
            frame.times -= turns
        return repeated(segment.parts, turns)

    def _pass_part(self, segment: Segment) -> Segments:
        """Step over the part at hand, and over all further turns of its repeat if it is the whole of one."""
        count = (self._left or segment.places) if type(segment) is Run else segment.places
        return self.take(count, stitches_only=False)


def _has_mark(segment: Repeat | Named | Edge) -> bool:
    return any(
        part.is_mark or _has_mark(part) if type(part) is Named else type(part) is Repeat and _has_mark(part)
        for part in segment.parts
    )
