"""The rows of a shaping told before they are written out: when they change, in the trade's words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..counted import Block
from ..planned import Planned
from ..shaping import Schedule, Slope, even_schedule
from .phrases import Voice, sentence


def schedule_text(voice: Voice, blocks: Sequence[Block], sizes: Sequence[str]) -> str:
    """Return when the rows of a `work` change, or nothing where the author said it row by row."""
    told = [voice.say("schedules.and").join(_told(voice, block)) for block in blocks]
    if not any(told):
        return ""
    said = dict.fromkeys(told)
    if len(said) == 1:
        return sentence(voice.say("schedules.as-follows", changes=told[0]))
    parts = []
    for each in said:
        here = [size for size, one in zip(sizes, told, strict=True) if one == each]
        changes = each or voice.say("schedules.none")
        parts.append(
            voice.say_many("schedules.of-size", (len(here),), sizes=voice.listed(here), changes=changes)
        )
    return sentence(voice.say("schedules.as-follows", changes="; ".join(parts)))


def _told(voice: Voice, block: Block) -> Iterator[str]:
    """Yield all changes of a stretch, if the rows for one of them were found."""
    if all(one.change.kind != "to" for one in block.planned):
        return
    unit = block.rows[0].plan.unit if block.rows else "row"
    for one in block.planned:
        if said := _change(voice, one, unit):
            yield said


def _change(voice: Voice, one: Planned, unit: str) -> str:
    schedule: Schedule | Slope | None
    if one.dealt:
        verb = "increase" if one.dealt > 0 else "decrease"
        many, over = divmod(abs(one.dealt), one.rows)
        if over and many:
            return voice.say_many(
                f"schedules.dealt.{verb}",
                (one.rows,),
                few=many,
                more=many + 1,
                noun=voice.noun("stitch", (2,)),
                unit=voice.noun(unit, (one.rows,)),
                all=abs(one.dealt),
            )
        amount = many if many else 1
        schedule = even_schedule(one.rows, one.rows if many else over, one_side=False)
    else:
        verb = "increase" if one.amount > 0 else "decrease"
        amount, schedule = abs(one.amount), one.schedule
    if schedule is None:
        when = _in_rows(voice, one.change.rows, unit)
    elif not schedule.changes:
        return ""
    else:
        when = _along(voice, schedule, unit) if isinstance(schedule, Slope) else _when(voice, schedule, unit)
    stitches = voice.counted("stitch", (amount,))
    where = voice.say(f"schedules.spot.{one.change.spot}", mark=one.change.mark)
    return voice.say(f"schedules.change.{verb}", stitches=stitches, where=where, when=when)


def _when(voice: Voice, schedule: Schedule, unit: str) -> str:
    told: list[str] = []
    for gap, times in schedule.runs:
        if times > 1 and gap == 1:
            rows = voice.noun(unit, (times,))
            told.append(
                voice.say("schedules.more-rows" if told else "schedules.next-rows", times=times, unit=rows)
            )
        elif times > 1:
            told.append(voice.say("schedules.times", every=_every(voice, gap, unit), times=times))
        elif told:
            nth = voice.ordinal(gap)
            told.append(voice.say("schedules.after-that", nth=nth, unit=voice.noun(unit, (1,))))
        else:
            told.append(_from_here(voice, gap, unit))
    return voice.say("schedules.then").join(told)


def _along(voice: Voice, slope: Slope, unit: str) -> str:
    first = _from_here(voice, next(slope.rows()) + 1, unit)
    if slope.changes == 1:
        return first
    gaps, noun = slope.gaps, voice.noun(unit, (1,))
    if len(gaps) == 1:
        every = _every(voice, gaps[0], unit)
    else:
        one, other = (voice.ordinal(gap) for gap in gaps)
        every = voice.say(
            "schedules.every.1-or" if 1 in gaps else "schedules.every.or", one=one, other=other, unit=noun
        )
    return voice.say_many("schedules.first-then", (slope.changes - 1,), first=first, every=every)


def _in_rows(voice: Voice, rows: Sequence[tuple[int, int]], unit: str) -> str:
    said = [str(first) if first == last else f"{first}–{last}" for first, last in sorted(rows)]
    count = (sum(last - first + 1 for first, last in rows),)
    return voice.say_many("schedules.in-rows", count, unit=voice.noun(unit, count), rows=voice.listed(said))


def _from_here(voice: Voice, gap: int, unit: str) -> str:
    return voice.say(
        "schedules.from-here.next" if gap == 1 else "schedules.from-here.nth",
        nth=voice.ordinal(gap),
        unit=voice.noun(unit, (1,)),
    )


def _every(voice: Voice, gap: int, unit: str) -> str:
    return voice.say(
        "schedules.every.each" if gap == 1 else "schedules.every.nth",
        nth=voice.ordinal(gap),
        unit=voice.noun(unit, (1,)),
    )
