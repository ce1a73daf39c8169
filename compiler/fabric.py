"""Places, edges and the cursor that walks them: what a row leaves and the next one is worked into.

An edge is kept as runs and repeats, never as a list of single places: what a row costs does not depend on the
numbers in it. A cursor is a stack of positions in that structure, so that "the same ground as before, one
repeat further on" can be recognised and many turns of a bracket be counted as one.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

SPACE = "sp"
CHAIN = "ch"
TIP = "tip"
"""The end of a branch: a chain that was worked back along."""

NO_STITCHES = frozenset({SPACE, TIP})
"""What plain stitches are not worked into."""
UNDERSIDE = "underside"
ROW_END = "re"
LOOP = "loop"
ALONG = "along"


@dataclass(frozen=True, slots=True)
class Place:
    """Something a stitch can be worked into."""

    kind: str
    """A stitch's key, `sp` for a chain space, `ch` for a single chain, `st` if only words tell of it.

    On the edges of a piece that is done: `underside` for the other side of a foundation chain, `re` for a row
    end, `loop` for one left free, `along` where so many places were set for so many row ends.
    """
    chains: int = 0
    """The chains inside a space."""

    @property
    def is_space(self) -> bool:
        """Whether a plain stitch stops here."""
        return self.kind == SPACE


@dataclass(frozen=True, slots=True)
class Run:
    """Places of one sort, side by side."""

    place: Place
    count: int

    @property
    def places(self) -> int:
        """How many places it holds."""
        return self.count

    @property
    def has_space(self) -> bool:
        """Whether plain stitches stop at them."""
        return self.place.kind in NO_STITCHES

    @property
    def names(self) -> frozenset[str]:
        """Everything a look-ahead could find in it."""
        return _single_name(self.place.kind)


@lru_cache(maxsize=256)
def _single_name(kind: str) -> frozenset[str]:
    return frozenset((kind,))


@dataclass(frozen=True, slots=True)
class Repeat:
    """The same stretch over and over."""

    parts: tuple[Segment, ...]
    times: int
    unit: int
    """Places in one turn."""
    has_space: bool
    names: frozenset[str]

    @property
    def places(self) -> int:
        """How many places it holds in all."""
        return self.unit * self.times


@dataclass(frozen=True, slots=True)
class Named:
    """A stretch with a name: a mark, or what one of the author's own stitches made."""

    label: str
    parts: tuple[Segment, ...]
    is_mark: bool
    unit: int
    has_space: bool
    names: frozenset[str]

    @property
    def places(self) -> int:
        """How many places it holds."""
        return self.unit


Segment = Run | Repeat | Named
Segments = tuple[Segment, ...]


def repeated(parts: Segments, times: int) -> Segments:
    """Return `parts` so many times over, in the shortest form at hand."""
    if times == 0 or not parts:
        return ()
    if times == 1:
        return parts
    if len(parts) == 1:
        only = parts[0]
        if type(only) is Run:
            return (Run(only.place, only.count * times),)
        if type(only) is Repeat:
            return (Repeat(only.parts, only.times * times, only.unit, only.has_space, only.names),)
    return (Repeat(parts, times, places(parts), has_space(parts), names(parts)),)


def named(label: str, parts: Segments, *, is_mark: bool) -> Segments:
    """Return `parts` under a name."""
    if not parts:
        return ()
    return (Named(label, parts, is_mark, places(parts), has_space(parts), names(parts) | {label}),)


def joined(first: Segments, second: Segments) -> Segments:
    """Return two stretches side by side; equal runs that meet become one."""
    if not first:
        return second
    if second:
        left, right = first[-1], second[0]
        if type(left) is Run and type(right) is Run and left.place == right.place:
            return (*first[:-1], Run(left.place, left.count + right.count), *second[1:])
    return first + second


def places(parts: Iterable[Segment]) -> int:
    """Count the places."""
    return sum(part.places for part in parts)


def has_space(parts: Iterable[Segment]) -> bool:
    """Tell whether something is among them that plain stitches are not worked into."""
    return any(part.has_space for part in parts)


def names(parts: Iterable[Segment]) -> frozenset[str]:
    """Collect everything that a look-ahead could find in them."""
    return frozenset().union(*(part.names for part in parts))


def reversed_parts(parts: Segments) -> Segments:
    """Return the stretch as met from its other end."""
    if len(parts) == 1 and type(parts[0]) is Run:
        return parts
    return tuple(_reversed_part(part) for part in reversed(parts))


def _reversed_part(part: Segment) -> Segment:
    match part:
        case Run():
            return part
        case Repeat():
            return Repeat(reversed_parts(part.parts), part.times, part.unit, part.has_space, part.names)
        case Named():
            back = reversed_parts(part.parts)
            return Named(part.label, back, part.is_mark, part.unit, part.has_space, part.names)


def with_chains_as_places(parts: Segments) -> Segments:
    """Return the stretch as a row reads it to which every chain is a place."""
    out: Segments = ()
    for part in parts:
        match part:
            case Run(place, count) if place.is_space:
                new: Segments = (Run(Place(CHAIN), place.chains * count),)
            case Repeat(inner, times):
                new = repeated(with_chains_as_places(inner), times)
            case Named(label, inner, is_mark):
                new = named(label, with_chains_as_places(inner), is_mark=is_mark)
            case _:
                new = (part,)
        out = joined(out, new)
    return out


def tally(parts: Iterable[Segment]) -> Counter[str]:
    """Count the places by kind, names by their label, and under `chains` single chains."""
    found: Counter[str] = Counter()
    for part in parts:
        match part:
            case Run(place, count):
                found[place.kind] += count
                if place.kind == SPACE:
                    found["chains"] += place.chains * count
                elif place.kind == CHAIN:
                    found["chains"] += count
            case Repeat(inner, times):
                for kind, count in tally(inner).items():
                    found[kind] += count * times
            case Named(label, inner):
                found.update(tally(inner))
                found[f"as {label}"] += 1
    return found


def stitches(parts: Iterable[Segment], *, chains_count: bool) -> int:
    """Count the stitches: not spaces, and not chains unless they count."""
    total = 0
    for part in parts:
        match part:
            case Run(place, count):
                if place.kind in NO_STITCHES:
                    total += place.chains * count if chains_count else 0
                elif place.kind != CHAIN or chains_count:
                    total += count
            case Repeat(inner, times):
                total += stitches(inner, chains_count=chains_count) * times
            case Named(_, inner):
                total += stitches(inner, chains_count=chains_count)
    return total


# ---- what is being made ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Chains:
    """Chains not yet between two stitches, and the mark set on them."""

    count: int
    mark: str | None = None

    def __add__(self, other: Chains) -> Chains:
        return Chains(self.count + other.count, self.mark or other.mark)

    def __mul__(self, times: int) -> Chains:
        return Chains(self.count * times, self.mark)

    def as_space(self) -> Segments:
        """Return the one place that they are with a stitch on either side."""
        if not self.count:
            return ()
        run: Segments = (Run(Place(SPACE, self.count), 1),)
        return named(self.mark, run, is_mark=True) if self.mark else run

    def as_bare(self) -> Segments:
        """Return the single chains that they are at the end of a row."""
        if not self.count:
            return ()
        run: Segments = (Run(Place(CHAIN), self.count),)
        return named(self.mark, run, is_mark=True) if self.mark else run


NO_CHAINS = Chains(0)


@dataclass(frozen=True, slots=True)
class Made:
    """What items have made: stitches and spaces, with chains at either end that may yet join others."""

    lead: Chains = NO_CHAINS
    parts: Segments = ()
    trail: Chains = NO_CHAINS
    """Always none while `parts` is empty: then all chains are in `lead`."""

    def __add__(self, other: Made) -> Made:
        if self is NOTHING:
            return other
        if not other.parts:
            if not other.lead.count:
                return self
            if not self.parts:
                return Made(self.lead + other.lead)
            return Made(self.lead, self.parts, self.trail + other.lead)
        if not self.parts:
            return Made(self.lead + other.lead, other.parts, other.trail)
        parts = self.parts
        if self.trail is not NO_CHAINS or other.lead is not NO_CHAINS:
            parts = joined(parts, (self.trail + other.lead).as_space())
        return Made(self.lead, joined(parts, other.parts), other.trail)

    def __mul__(self, times: int) -> Made:
        if times == 0:
            return NOTHING
        if times == 1:
            return self
        if not self.parts:
            return Made(self.lead * times)
        between = (self.trail + self.lead).as_space()
        if not between:
            return Made(self.lead, repeated(self.parts, times), self.trail)
        again = repeated(joined(between, self.parts), times - 1)
        return Made(self.lead, joined(self.parts, again), self.trail)

    def under(self, label: str, *, is_mark: bool) -> Made:
        """Return it with a name on it."""
        if not self.parts:
            return Made(Chains(self.lead.count, label))
        return Made(self.lead, named(label, self.parts, is_mark=is_mark), self.trail)

    def as_row(self) -> Segments:
        """Close it as a row, in working order: first chains are a space, last ones single chains."""
        if not self.parts:
            return self.lead.as_bare()
        return joined(joined(self.lead.as_space(), self.parts), self.trail.as_bare())

    def as_round(self) -> Segments:
        """Close it as a round: chains at its end are a space between last and first stitch, met last."""
        if not self.parts:
            return self.lead.as_space()
        if self.trail.count:
            return joined(self.parts, (self.trail + self.lead).as_space())
        return joined(self.lead.as_space(), self.parts)

    @property
    def stitches(self) -> int:
        """The stitches among it."""
        return stitches(self.parts, chains_count=False)

    @property
    def places(self) -> int:
        """The places among it, chains at the ends left out."""
        return places(self.parts)


NOTHING = Made()


# ---- the cursor --------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Edge:
    """The places a row finds, in the order it meets them."""

    parts: Segments = ()
    places: int = 0
    ring: bool = False
    """A ring, which takes any number of stitches."""
    unknown: bool = False
    """Only the number is known, from a total that its author states: not the kinds, marks or spaces."""


def edge(parts: Segments, *, ring: bool = False) -> Edge:
    """Return the edge made of `parts`."""
    return Edge(parts, places(parts), ring)


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
