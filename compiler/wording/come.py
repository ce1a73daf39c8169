"""Where a row is worked that is not simply worked into the one before: behind it, over steps, elsewhere."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..counted import CountedRow
from ..fabric import places
from ..plan import PiecePlan
from .phrases import Voice, ordinal, sized
from .places import kinds_of, space

Sized = Sequence[CountedRow | None]


def come_from(voice: Voice, rows: Sized, plan: PiecePlan) -> Iterator[str]:
    """Yield the words for where a row is worked, said before anything else of it."""
    row = next(each for each in rows if each is not None)
    whence = row.whence
    if whence is None:
        return
    unit = row.plan.unit
    if whence.into is not None:
        what = f"{whence.loop} loops" if whence.loop else "places"
        since = f"{unit} {whence.into + 1}" if row.number == whence.into + 2 else f"the {unit}s since then"
        yield (f"working into {voice.the(what)} of {unit} {whence.into} that are still free, behind {since}")
    if whence.steps:
        yield _over_steps(voice, rows, unit)
    if whence.back:
        yield _gone_back(voice, row, plan)


def _over_steps(voice: Voice, rows: Sized, unit: str) -> str:
    """Return what the row goes on over after the row before it, nearest first."""
    present = [row for row in rows if row is not None and row.whence is not None]
    parts = [f"{unit} {present[0].number - 1}"]
    for index, (number, left) in enumerate(present[0].whence.steps if present[0].whence else ()):
        count = tuple(
            places(row.whence.steps[index][1]) if index < len(row.whence.steps) else 0
            for row in present
            if row.whence is not None
        )
        kinds = kinds_of(left)
        noun = voice.noun(kinds.pop() if len(kinds) == 1 else "place", count)
        many = noun if set(count) == {1} else f"{sized(count)} {noun}"
        of = f"{unit} {number}" if number else voice.the(f"edge that {unit} 1 was worked into")
        parts.append(f"then {voice.the(many)} left of {of}")
    return f"working over {voice.the('steps')} ({', '.join(parts)})"


def _gone_back(voice: Voice, row: CountedRow, plan: PiecePlan) -> str:
    """Return where a round begins that goes back over the join."""
    assert row.whence is not None
    back = row.whence.back
    count = places(back)
    kinds = kinds_of(back)
    noun = space(voice, back) if kinds == {"space"} else voice.noun("stitch", (1,))
    if plan.turns:
        joined = voice.the("stitch that was joined to")
        if count == 1:
            return f"begin in {joined}"
        return f"begin in {voice.the(f'{ordinal(count)} place')} back, counting {joined}"
    join = voice.the("join")
    if count == 1:
        return f"begin in {voice.the(f'last {noun}')} before {join}"
    return f"begin in {voice.the(f'{ordinal(count)} place')} before {join}"
