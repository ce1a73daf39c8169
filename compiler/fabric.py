"""Places and edges: what a row leaves and the next one is worked into.

An edge is kept as runs and repeats, never as a list of single places: what a row costs does not depend on the
numbers in it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

SPACE = "sp"
CHAIN = "ch"
TIP = "tip"
"""The end of a branch: a chain that was worked back along."""

NO_STITCHES = frozenset({SPACE, TIP})
"""What plain stitches are not worked into."""
PICOT = "picot"
"""What makes no place in a row, and is joined to all the same."""
UNDERSIDE = "underside"
ROW_END = "re"
LOOP = "loop"
ALONG = "along"
JOINT = "joint"
"""Where two motifs of a grid meet at its edge."""
NO_STITCH_GROUND = frozenset({SPACE, CHAIN, TIP, ROW_END, LOOP, ALONG})
"""Places that have names of their own, as no stitches."""


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
def plain_place(kind: str) -> Place:
    """Return the place that a stitch of that kind is, the same object each time."""
    return Place(kind)


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
    total = 0
    for part in parts:
        total += part.count if type(part) is Run else part.places
    return total


def has_space(parts: Iterable[Segment]) -> bool:
    """Tell whether something is among them that plain stitches are not worked into."""
    return any(part.has_space for part in parts)


def grounds(parts: Iterable[Segment]) -> frozenset[str]:
    """Return what sorts of ground are among them: stitches, chains, spaces, row ends and so on."""
    found: set[str] = set()
    for part in parts:
        if type(part) is Run:
            kind = part.place.kind
            found.add(CHAIN if kind == UNDERSIDE else kind if kind in NO_STITCH_GROUND else "st")
        else:
            found |= grounds(part.parts)  # type: ignore[union-attr]
    return frozenset(found)


def names(parts: Iterable[Segment]) -> frozenset[str]:
    """Collect everything that a look-ahead could find in them."""
    return frozenset().union(*(part.names for part in parts))


def unmarked(parts: Segments) -> Segments:
    """Return a stretch without the places that bear a mark."""
    out: Segments = ()
    for part in parts:
        match part:
            case Named(_, inner, is_mark):
                new: Segments = () if is_mark else unmarked(inner)
            case Repeat(inner, times):
                new = repeated(unmarked(inner), times)
            case _:
                new = (part,)
        out = joined(out, new)
    return out


def reversed_parts(parts: Segments) -> Segments:
    """Return the stretch as met from its other end."""
    if len(parts) == 1 and type(parts[0]) is Run:
        return parts
    return tuple([part if type(part) is Run else _reversed_part(part) for part in reversed(parts)])


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
                new: Segments = (Run(Place("st"), place.chains * count),)
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
        if type(part) is Run:
            place = part.place
            if place.kind in NO_STITCHES:
                total += place.chains * part.count if chains_count else 0
            elif chains_count or place.kind != CHAIN:
                total += part.count
        else:
            inner = stitches(part.parts, chains_count=chains_count)  # type: ignore[union-attr]
            total += inner * part.times if type(part) is Repeat else inner
    return total


# ---- what is being made ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Chains:
    """Chains not yet between two stitches, and the mark set on them."""

    count: int
    mark: str | None = None
    joins: int = 0
    """How many of them are joins to other pieces, each as long as a chain; alone these make no place."""

    def __add__(self, other: Chains) -> Chains:
        return Chains(self.count + other.count, self.mark or other.mark, self.joins + other.joins)

    def __mul__(self, times: int) -> Chains:
        return Chains(self.count * times, self.mark, self.joins * times)

    def less(self, count: int) -> Chains:
        """Return what is left of them without the last `count`, which make no place."""
        return Chains(self.count - count, self.mark if self.count > count else None, self.joins)

    def as_space(self) -> Segments:
        """Return the one place that they are with a stitch on either side."""
        if self.count == self.joins:
            return ()
        run: Segments = (Run(Place(SPACE, self.count), 1),)
        return named(self.mark, run, is_mark=True) if self.mark else run

    def as_bare(self) -> Segments:
        """Return the single chains that they are at the end of a row."""
        if self.count == self.joins:
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
        if not self.lead.count and not self.trail.count:
            return self.parts
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


# ---- edges -------------------------------------------------------------------------------------------------


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
