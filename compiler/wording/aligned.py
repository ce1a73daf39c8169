"""The sizes side by side: what one item did in every size, and the item without its first stitch."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from ..counted import Worked
from ..fabric import (
    ALONG,
    CHAIN,
    JOINT,
    LOOP,
    ROW_END,
    SPACE,
    TIP,
    UNDERSIDE,
    Named,
    Repeat,
    Run,
    Segments,
    grounds,
    places,
    repeated,
)
from ..steps import BracketStep, ChainStep, GroupStep, SpreadStep, Step, StitchStep, Target
from .phrases import Numbers

PLACE_NOUNS = {
    SPACE: "space",
    CHAIN: "chain",
    UNDERSIDE: "chain",
    TIP: "tip",
    ROW_END: "row end",
    LOOP: "loop",
    ALONG: "place",
    JOINT: "join",
}
"""What kinds of place are called; all others are stitches."""

FEW_SPACES = 3
"""From so many on, spaces worked alike are told together, though what lies between them differs."""

PLAIN_FAMILIES = frozenset({"plain", "post", "slip"})


@dataclass(frozen=True, slots=True)
class Across:
    """One item in all sizes; None where a size leaves it out."""

    each: tuple[Worked | None, ...]

    @property
    def any(self) -> Worked:
        """The item in the first size that has it: what is alike in all of them."""
        first = self.each[0]
        return first if first is not None else self.present[0]

    @property
    def step(self) -> Step:
        """What the author wrote."""
        return self.any.step

    @property
    def count(self) -> Numbers:
        """How many, by size."""
        return tuple(worked.count if worked is not None else 0 for worked in self.each)

    @property
    def present(self) -> tuple[Worked, ...]:
        """The sizes that have it."""
        return tuple(worked for worked in self.each if worked is not None)

    @property
    def to_last(self) -> bool:
        """Whether nothing is left of the edge after it, in every size."""
        return all(worked.to_last for worked in self.present)

    @property
    def body(self) -> list[Across]:
        """What is inside it, size by size."""
        return align([worked.body if worked is not None else () for worked in self.each])


def parted(worked: tuple[Worked, ...]) -> tuple[Worked, ...]:
    """Return items with every bracket whose turns differ made into several, one for like turns."""
    return tuple(part for each in worked for part in _parts(each))


def _parts(worked: Worked) -> Iterator[Worked]:
    if not isinstance(worked.step, BracketStep):
        yield worked
        return
    if (
        worked.turns
        and worked.count >= FEW_SPACES
        and all(is_in_spaces(body) for turns in worked.turns for body in turns.bodies)
    ):
        yield replace(worked, body=worked.turns[0].bodies[0], turns=())
        return
    for turns in worked.turns:
        last = turns is worked.turns[-1]
        body = tuple(each for one in turns.bodies for each in one)
        rest = worked.rest if last else ()
        yield replace(
            worked,
            count=turns.times,
            body=parted(body),
            turns=(),
            rest=rest,
            to_last=worked.to_last and last,
        )
    if not worked.turns:
        yield worked


def is_in_spaces(body: tuple[Worked, ...]) -> bool:
    """Tell whether a turn is one thing worked in the next chain space, past nothing but stitches."""
    if len(body) != 1:
        return False
    (worked,) = body
    step = worked.step
    target = getattr(step, "target", None)
    return (
        target is not None
        and target.looks_ahead
        and target.name == SPACE
        and not getattr(step, "yarn", None)
        and not getattr(step, "mark", None)
        and grounds(worked.passed) <= {"st"}
    )


def align(sizes: Sequence[tuple[Worked, ...]]) -> list[Across]:
    """Put side by side what was written at the same place; a size may lack an item that comes to nothing."""
    first, *others = sizes
    if not others:
        return [Across((worked,)) for worked in first]
    if all(len(each) == len(first) for each in sizes) and all(
        _place(worked) == _place(one) for each in sizes for worked, one in zip(each, first, strict=True)
    ):
        return [Across(tuple(each[index] for each in sizes)) for index in range(len(first))]
    order: dict[tuple[int, int, int], list[Worked | None]] = {}
    for index, each in enumerate(sizes):
        met: Counter[tuple[int, int]] = Counter()
        for worked in each:
            place = _place(worked)
            order.setdefault((*place, met[place]), [None] * len(sizes))[index] = worked
            met[place] += 1
    return [Across(tuple(order[key])) for key in sorted(order)]


def _place(worked: Worked) -> tuple[int, int]:
    span = worked.step.span
    return (span.start, -span.end)


@dataclass(frozen=True, slots=True)
class Peeled:
    """A row without the stitch that its turning chain stands for."""

    worked: tuple[Worked, ...]
    stitch: StitchStep
    whole: bool
    """True if the chain is the stitch; False if it is one leg of it, or one of several that it makes."""
    same_place: bool
    """True if more goes into the place that the chain stands on."""
    chains: int = 0
    """Chains made right after it, printed together with it."""
    group_mark: str | None = None
    """The mark on all that is worked in one place with it."""


def peel(worked: tuple[Worked, ...]) -> Peeled | None:
    """Take off the first stitch; None if the row begins with something that is no stitch."""
    if not worked:
        return None
    first, *rest = worked
    others: tuple[Worked, ...]
    left: tuple[Worked, ...]
    match first.step:
        case BracketStep():
            inner = peel(first.body)
            if inner is None:
                return None
            others = (replace(first, count=first.count - 1),) if first.count > 1 else ()
            return replace(inner, worked=(*inner.worked, *others, *rest))
        case GroupStep():
            inner = peel(first.body)
            if inner is None or not inner.whole:
                return None
            left = (replace(first, body=inner.worked, passed=()),) if inner.worked else ()
            return Peeled((*left, *rest), inner.stitch, True, bool(left), inner.chains, first.step.mark)
        case SpreadStep():
            inner = peel(first.body)
            return inner and replace(inner, worked=(replace(first, body=inner.worked),), same_place=False)
        case StitchStep(stitch) as step:
            if stitch.family not in PLAIN_FAMILIES:
                others = without_one(first, stitch.uses, step.target)
                return Peeled((*others, *rest), step, False, bool(step.target and others))
            one_place = step.target is not None
            left = without_one(first, 1, step.target)
            if not left and rest and _plain_chains(rest[0].step):
                return Peeled(tuple(rest[1:]), step, True, False, rest[0].count)
            return Peeled((*left, *rest), step, True, one_place and bool(left))
        case _:
            return None


def _plain_chains(step: Step) -> bool:
    return isinstance(step, ChainStep) and step.mark is None and step.joint is None


def unrolled(worked: tuple[Worked, ...]) -> tuple[Worked, ...]:
    """Return the items with the first turn of a bracket written out and nothing passed before it."""
    if not worked:
        return worked
    first, *rest = worked
    if not isinstance(first.step, BracketStep):
        return (replace(first, passed=()), *rest)
    others = (replace(first, count=first.count - 1),) if first.count > 1 else ()
    return (*unrolled(first.body), *others, *rest)


def shape(worked: tuple[Worked, ...]) -> tuple[object, ...]:
    """Return what a row must have in common with another size's to be worded together with it."""
    return tuple(
        (
            _place(each),
            min(each.count, 2) if isinstance(each.step, BracketStep) else 1,
            tuple((kind, chains) for kind, chains, _ in runs(each.passed) or ()),
            shape(each.body),
        )
        for each in parted(worked)
        if each.count
    )


def without_one(worked: Worked, uses: int, target: Target | None) -> tuple[Worked, ...]:
    """Return an item without its first stitch, which uses so many places, or one that all share."""
    if worked.count < 2:
        return ()
    used = worked.used if target is not None else after_first(worked.used, uses)
    return (replace(worked, count=worked.count - 1, used=used, passed=()),)


def after_first(parts: Segments, number: int = 1) -> Segments:
    """Return the stretch without its first places."""
    whole = 0
    while whole < len(parts) and (size := places(parts[whole : whole + 1])) <= number:
        number -= size
        whole += 1
    if not number or whole == len(parts):
        return parts[whole:]
    first, *rest = parts[whole:]
    match first:
        case Repeat(inner, times):
            turns, left = divmod(number, places(inner))
            return (*after_first(inner, left), *repeated(inner, times - turns - 1), *rest)
        case Named(parts=inner):
            return (*after_first(inner, number), *rest)
        case Run(place, count):
            return (Run(place, count - number), *rest)


def runs(parts: Segments, most: int = 8) -> list[tuple[str, int, int]] | None:
    """Return stretches as (noun, chains, count) in order, where they are few enough to be named."""
    out: list[tuple[str, int, int]] = []
    for part in parts:
        match part:
            case Run(place, count):
                noun = PLACE_NOUNS.get(place.kind, "stitch")
                if out and out[-1][:2] == (noun, place.chains):
                    out[-1] = (noun, place.chains, out[-1][2] + count)
                else:
                    out.append((noun, place.chains, count))
            case Repeat(inner, times):
                if times > most:
                    return None
                for _ in range(times):
                    again = runs(inner, most)
                    if again is None:
                        return None
                    _extend(out, again)
            case Named(_, inner):
                again = runs(inner, most)
                if again is None:
                    return None
                _extend(out, again)
        if len(out) > most:
            return None
    return out


def _extend(out: list[tuple[str, int, int]], more: list[tuple[str, int, int]]) -> None:
    for noun, chains, count in more:
        if out and out[-1][:2] == (noun, chains):
            out[-1] = (noun, chains, out[-1][2] + count)
        else:
            out.append((noun, chains, count))
