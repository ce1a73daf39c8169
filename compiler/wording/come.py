"""Where a row is worked that is not simply worked into the one before: behind it, over steps, elsewhere."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..counted import CountedRow
from ..fabric import places
from ..plan import PiecePlan
from .phrases import Voice
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
        after = _row(voice, unit, whence.into + 1)
        yield voice.say(
            "come.into",
            what=voice.say(f"come.free.{whence.loop or 'places'}"),
            row=_row(voice, unit, whence.into),
            since=after
            if row.number == whence.into + 2
            else voice.say("come.since", rows=voice.noun(unit, (2,))),
        )
    if whence.steps:
        yield _over_steps(voice, rows, unit)
    if whence.back:
        yield _gone_back(voice, row, plan)


def _row(voice: Voice, unit: str, number: int) -> str:
    return voice.say("come.row", unit=voice.noun(unit, (1,)), number=number)


def _over_steps(voice: Voice, rows: Sized, unit: str) -> str:
    """Return what the row goes on over after the row before it, nearest first."""
    present = [row for row in rows if row is not None and row.whence is not None]
    parts = [_row(voice, unit, present[0].number - 1)]
    for index, (number, left) in enumerate(present[0].whence.steps if present[0].whence else ()):
        count = tuple(
            places(row.whence.steps[index][1]) if index < len(row.whence.steps) else 0
            for row in present
            if row.whence is not None
        )
        kinds = kinds_of(left)
        noun = voice.noun(kinds.pop() if len(kinds) == 1 else "place", count)
        of = _row(voice, unit, number) if number else voice.say("come.edge", row=_row(voice, unit, 1))
        parts.append(voice.say_many("come.left", count, noun=noun, row=of))
    return voice.say("come.over-steps", rows=", ".join(parts))


def _gone_back(voice: Voice, row: CountedRow, plan: PiecePlan) -> str:
    """Return where a round begins that goes back over the join."""
    assert row.whence is not None
    back = row.whence.back
    count = places(back)
    kinds = kinds_of(back)
    if plan.turns:
        stitch = voice.noun("stitch", (1,))
        return voice.say_many("come.joined", (count,), nth=voice.ordinal(count), stitch=stitch)
    noun = space(voice, back) if kinds == {"space"} else voice.noun("stitch", (1,))
    if count == 1:
        return voice.say("come.before-join", noun=noun)
    return voice.say("come.nth-before-join", nth=voice.ordinal(count))
