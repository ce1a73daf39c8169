"""The rows of a `work`: the items of each, once the stitches below are known and what changes in it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TypeAlias

from ..lang.source import Span
from ..lang.stitches import Stitch, vocabulary
from .fabric import Edge
from .faults import Fault, fault, plural
from .plan import ChangePlan, RowPlan, Shaping
from .planned import Active, marked_at, marks_named
from .shaping import spread, symmetrical
from .steps import BracketStep, GroupStep, Step, Steps, StitchStep, Target

MOST_TOGETHER = 99
"""Names of stitches have no larger number."""


@dataclass(frozen=True, slots=True)
class _Change:
    """So many places into so many stitches, the middle one perhaps marked."""

    uses: int
    makes: int
    mark: str | None = None


@dataclass(frozen=True, slots=True)
class _Times:
    """The same over and over."""

    body: tuple[_Part, ...]
    times: int


_Part: TypeAlias = int | _Change | _Times
"""So many plain stitches, a change, or a bracket."""


def shaped_row(
    row: RowPlan, ground: Edge, shaping: Shaping, active: Sequence[Active], *, around: bool
) -> RowPlan:
    """Return a row with what changes in it written out. Raises Fault where there is no room for it."""
    parts = _parts(ground, shaping, active, around=around)
    return row if parts is None else _with(row, parts, shaping.span)


def round_of_shape(row: RowPlan, ground: Edge, shaping: Shaping, number: int, *, around: bool) -> RowPlan:
    """Return a round of a shape by measurement, counted from 0. Raises Fault unless it begins in a ring."""
    counts = shaping.counts
    if number == 0:
        if not around:
            raise fault(
                "out-of-order",
                f"a {shaping.shape} is worked in rounds, and this piece in rows",
                shaping.span,
                help="say so behind its name, `joined rounds` or `spiral rounds`, and write `start ring` "
                "under it",
            )
        if not ground.ring or ground.parts:
            raise fault(
                "out-of-order",
                f"a {shaping.shape} begins in a ring",
                shaping.span,
                help="write `start ring` under the piece, and the shape right after it",
            )
        step = row.body[0]
        assert isinstance(step, StitchStep)
        worked = replace(step, count=counts[0], stop=None, target=Target("ring", "ring"))
        return replace(row, body=(worked,), written=True)
    before, now = counts[number - 1], counts[number]
    if before == now:
        return replace(row, written=True)
    if shaping.corners:
        return _with(row, _corners(shaping, number), shaping.span)
    change = ChangePlan("by", now - before, "evenly", staggered=True, span=shaping.span)
    return shaped_row(row, ground, shaping, ((change, now - before, number),), around=True)


def chevron_row(row: RowPlan, ground: Edge, shaping: Shaping, *, around: bool) -> RowPlan:
    """Return a row of a chevron. Raises Fault in rounds, and unless the stitches come out."""
    if around:
        raise fault(
            "out-of-order",
            "a chevron is worked in rows, and this piece in rounds",
            shaping.span,
            help="work the piece in `turned rows`, or write its rounds out",
        )
    repeat = 2 * shaping.arm
    points, over = divmod(ground.places - 1, repeat)
    if over or points < 1:
        lower = max(1, points) * repeat + 1
        raise fault(
            "shaping-missed",
            f"chevrons of {repeat} stitches do not come out on {ground.places}",
            shaping.span,
            help=f"work on a multiple of {repeat} + 1 stitches, such as {lower} or {lower + repeat}",
            facts={"found": ground.places, "lower": lower, "upper": lower + repeat},
        )
    slope = shaping.arm - 2
    peak, end = _Change(1, 3), _Change(2, 1)
    again: _Part = _Times((slope, peak, slope, _Change(3, 1)), points - 1)
    middle: tuple[_Part, ...] = (again,) if points > 1 else ()
    return _with(row, (end, *middle, slope, peak, slope, end), shaping.span)


def _corners(shaping: Shaping, number: int) -> tuple[_Part, ...]:
    """Return a round that grows at its corners, each above the middle of the corner below."""
    side = shaping.counts[number - 1] // shaping.corners
    grown = shaping.counts[number] // shaping.corners - side
    after = shaping.trails[number]
    body = tuple(part for part in (side - 1 - after, _Change(1, 1 + grown), after) if part)
    return (_Times(body, shaping.corners),)


def _parts(
    ground: Edge, shaping: Shaping, active: Sequence[Active], *, around: bool
) -> tuple[_Part, ...] | None:
    have = ground.places
    if not have:
        raise fault(
            "too-few-places",
            "there are no stitches to shape: this is worked into the ring",
            shaping.span,
            help="work the first round by itself, such as `round 1: 6 sc in ring`",
        )
    at: dict[int, _Change] = {
        place: _Change(1, 1, mark)
        for mark in sorted(marks_named(shaping))
        for place in marked_at(ground.parts, mark, shaping.span)
    }
    evenly = [each for each in active if each[0].spot == "evenly"]
    for change, amount, _ in active:
        if change.spot != "evenly":
            for place, what in _local(change, amount, have, ground):
                _put(at, place, what, change, have, active)
    if not at and not evenly:
        return None
    if len(evenly) > 1 or (evenly and any(0 < place < have - what.uses for place, what in at.items())):
        raise fault(
            "shaping-missed",
            "changes that are spread evenly meet others between the ends of the same row",
            evenly[-1][0].span,
            help="let them fall in different rows: `on rows`, or `every 2 rows`",
        )
    order = sorted(at.items())
    for (place, what), (following, _) in pairwise(order):
        if place + what.uses > following:
            raise _meet(shaping.span, have, active)
    if evenly:
        return _evenly(evenly[0], have, dict(order), around=around)
    parts: list[int | _Change] = []
    done = 0
    for place, what in order:
        parts += [place - done] if place > done else []
        parts.append(what)
        done = place + what.uses
    parts += [have - done] if done < have else []
    return _folded(parts)


def _put(
    at: dict[int, _Change], place: int, what: _Change, change: ChangePlan, have: int, active: Sequence[Active]
) -> None:
    """Set a change on its place; a mark that it takes in goes on with it."""
    for covered in range(place, place + what.uses):
        there = at.get(covered)
        if there is None:
            continue
        if (there.uses, there.makes) != (1, 1):
            raise _meet(change.span, have, active)
        del at[covered]
        what = replace(what, mark=there.mark)
    at[place] = what


def _meet(span: Span, have: int, active: Sequence[Active]) -> Fault:
    room = "" if any(change.spot == "mark" for change, _, _ in active) else _room_for(have, active)
    return fault(
        "shaping-missed",
        f"two changes meet in the same stitches: there are {have}",
        span,
        help=f"let them fall in different rows, or {room or 'at places further apart'}",
    )


def _room_for(have: int, active: Sequence[Active]) -> str:
    """Return how many stitches keep changes at the ends and in the middle apart."""
    widest = sum(1 + 2 * abs(amount) for _, amount, _ in active) * 2
    for count in range(have + 1, have + widest):
        try:
            at = sorted(
                (place, what.uses)
                for change, amount, _ in active
                if change.spot != "evenly"
                for place, what in _local(change, amount, count, Edge())
            )
        except Fault:
            continue
        if all(place + uses <= following for (place, uses), (following, _) in pairwise(at)):
            return f"give them {count} stitches at least"
    return ""


def _local(change: ChangePlan, amount: int, have: int, ground: Edge) -> Iterator[tuple[int, _Change]]:
    if not amount:
        return
    grown, taken = max(amount, 0), max(-amount, 0)
    one = _Change(1, 1 + grown) if grown else _Change(taken + 1, 1)
    match change.spot:
        case "each end":
            if have == (1 if grown else 2 * taken + 1):
                yield 0, _Change(1, 1 + 2 * grown) if grown else _Change(have, 1)
                return
            _room(change, 2 * one.uses, have, taken, 2)
            yield 0, one
            yield have - one.uses, one
        case "start":
            _room(change, one.uses, have, taken, 1)
            yield 0, one
        case "end":
            _room(change, one.uses, have, taken, 1)
            yield have - one.uses, one
        case "middle":
            if abs(amount) % 2 == 0 and have % 2 == 0:
                half = abs(amount) // 2
                side = _Change(1, 1 + half) if grown else _Change(half + 1, 1)
                _room(change, 2 * side.uses, have, taken, 1)
                yield have // 2 - side.uses, side
                yield have // 2, side
                return
            _room(change, one.uses, have, taken, 1)
            yield (have - one.uses + (1 if grown else 0)) // 2, one
        case _:
            for place in marked_at(ground.parts, change.mark, change.span):
                start = place if grown else place - taken // 2
                if start < 0 or start + one.uses > have:
                    raise _meet(change.span, have, ((change, amount, 0),))
                yield start, replace(one, mark=change.mark)


def _room(change: ChangePlan, wanted: int, have: int, taken: int, places: int) -> None:
    if wanted <= have:
        return
    most = have // places - 1
    raise fault(
        "too-few-places",
        f"{plural(taken or 1, 'decrease' if taken else 'increase')} "
        f"{'at each end ' if places == 2 else ''}want{'s' if (taken or 1) == 1 else ''} "
        f"{plural(wanted, 'stitch', 'stitches')}, and there {'is' if have == 1 else 'are'} {have}",
        change.span,
        help=f"at most {most} can be taken here" if most > 0 else "",
        facts={"expected": wanted, "found": have},
    )


def _evenly(active: Active, have: int, at: dict[int, _Change], *, around: bool) -> tuple[_Part, ...]:
    change, amount, count = active
    first, last = at.get(0), next((what for place, what in at.items() if place), None)
    ends = (first.uses if first else 0, last.uses if last else 0)
    kept = tuple(max(0, change.keep - end) for end in ends)
    inner = have - sum(ends) - sum(kept)
    if inner < 1:
        raise _nothing_left(change, have, sum(ends))
    if inner + amount < 1:
        most = max(0, inner - 1)
        raise fault(
            "too-few-places",
            f"{plural(-amount, 'stitch', 'stitches')} can't be taken from {inner}",
            change.span,
            help=f"at most {most} can: write `-{most} evenly`" if most else "",
            facts={"expected": -amount, "found": most},
        )
    units, size, changed = _units(inner, amount)
    plain, other = ((_Change(1, each) if amount > 0 else _Change(each, 1)) for each in (size, size + 1))
    if not changed:
        middle: tuple[_Part, ...] = (_Times((plain,), units),) if units > 1 else (plain,)
    else:
        ring = around and not any(ends) and not any(kept)
        if change.symmetrical:
            layout = symmetrical(units - changed, changed)
            if layout is None:
                raise _lopsided(change, amount, inner)
        else:
            layout = spread(
                units - changed, changed, around=ring, shifted=change.staggered and count % 2 == 1
            )
        middle = tuple(_laid(layout.groups, plain, other))
        middle += _plain(layout.tail, plain)
    around_it: tuple[_Part | None, ...] = (first, kept[0], *middle, kept[1], last)
    return tuple(part for part in around_it if part)


def _nothing_left(change: ChangePlan, have: int, at_ends: int) -> Fault:
    most = max(0, (have - at_ends - 1) // 2)
    return fault(
        "too-few-places",
        f"{change.keep} stitches kept at each end are all that there are: nothing is left to change",
        change.span,
        help=f"write `keep {most}` at most" if most else "leave `keep` out",
        facts={"found": have},
    )


def _units(inner: int, amount: int) -> tuple[int, int, int]:
    """Return in how many units a change falls, how large a plain one is, and how many are larger by one."""
    units = min(inner, inner + amount)
    return units, *divmod(max(inner, inner + amount), units)


def _lopsided(change: ChangePlan, amount: int, inner: int) -> Fault:
    sign = 1 if amount > 0 else -1
    near = []
    for way in (-1, 1):
        other = abs(amount) + way
        while other > 0 and inner + sign * other > 0:
            units, _, changed = _units(inner, sign * other)
            if symmetrical(units - changed, changed) is not None:
                near.append(other)
                break
            other += way
    numbers = " or ".join(f"`{'+' if sign > 0 else '-'}{each} evenly symmetrical`" for each in near)
    return fault(
        "shaping-missed",
        f"{plural(abs(amount), 'change')} can't lie symmetrically on {plural(inner, 'stitch', 'stitches')}",
        change.span,
        help=f"write {numbers}, or leave `symmetrical` out" if near else "leave `symmetrical` out",
    )


def _laid(groups: Sequence[tuple[tuple[int, ...], int]], plain: _Change, other: _Change) -> Iterator[_Part]:
    for gaps, times in groups:
        body = tuple(part for gap in gaps for part in (*_plain(gap, plain), other))
        if times == 1:
            yield from body
        else:
            yield _Times(body, times)


def _plain(count: int, plain: _Change) -> tuple[_Part, ...]:
    if not count:
        return ()
    if plain == _Change(1, 1):
        return (count,)
    return (plain,) if count == 1 else (_Times((plain,), count),)


def _folded(parts: list[int | _Change]) -> tuple[_Part, ...]:
    """Return parts with what comes over and over in brackets."""
    out: list[_Part] = []
    index = 0
    while index < len(parts):
        for size in (2, 4, 6):
            word = parts[index : index + size]
            times = 1
            while parts[index + times * size : index + (times + 1) * size] == word and len(word) == size:
                times += 1
            if times > 1:
                out.append(_Times(tuple(word), times))
                index += times * size
                break
        else:
            out.append(parts[index])
            index += 1
    return tuple(out)


# ---- parts to steps ----------------------------------------------------------------------------------------


class _Writing:
    """Makes steps of parts, each at a place of its own.

    No text stands there: the place tells by its start which part it is, and by its length what kind of part,
    so that only rows that are built alike are worded as one.
    """

    def __init__(self, step: StitchStep, span: Span) -> None:
        self.step, self.span, self.count = step, span, 0

    def place(self, kind: int) -> Span:
        self.count += 1
        start = self.span.start + self.count
        return Span(start, start + kind)

    def steps(self, parts: Sequence[_Part]) -> Steps:
        return tuple(self.one(part) for part in parts)

    def one(self, part: _Part) -> Step:
        plain = replace(self.step, stop=None, count=1)
        match part:
            case int(count):
                return replace(plain, count=count, span=self.place(0))
            case _Times((_Change(uses, 1, None),), times) if uses > 1:
                return replace(self.together(uses), count=times, span=self.place(1 + uses))
            case _Times(body, times):
                span = self.place(1)
                return BracketStep(self.steps(body), times, None, span)
            case _Change(1, 1, mark):
                return replace(plain, mark=mark, span=self.place(2))
            case _Change(1, makes, None):
                span = self.place(-makes)
                return replace(plain, count=makes, target=Target("st", "st"), span=span)
            case _Change(1, makes, mark):
                before = (makes - 1) // 2
                legs = ((before, None), (1, mark), (makes - 1 - before, None))
                leaves = tuple(
                    replace(plain, count=count, mark=each, span=self.place(0))
                    for count, each in legs
                    if count
                )
                return GroupStep(leaves, Target("st", "st"), None, self.place(-makes))
            case _Change(uses, _, mark):
                return replace(self.together(uses), mark=mark, span=self.place(1 + uses))
        raise AssertionError(part)

    def together(self, uses: int) -> StitchStep:
        """Return so many of the stitch worked together. Raises Fault if the trade has none."""
        stitch = together(self.step.stitch, uses)
        if stitch is None:
            raise fault(
                "unknown-stitch",
                f"this stitch can't be worked {uses} together",
                self.span,
                help="take fewer away in one row: the most is 99 together"
                if uses > MOST_TOGETHER
                else "take stitches away in rows of another stitch, or write the rows out with `skip`",
            )
        return replace(self.step, stitch=stitch, count=1, stop=None)


def together(stitch: Stitch, uses: int) -> Stitch | None:
    """Return so many of a stitch worked together."""
    return vocabulary("US").find(f"{stitch.us_source}{uses}tog") if uses <= MOST_TOGETHER else None


def _with(row: RowPlan, parts: Sequence[_Part], span: Span) -> RowPlan:
    step = row.body[0]
    assert isinstance(step, StitchStep)
    return replace(row, body=_Writing(step, span).steps(parts), written=True)
