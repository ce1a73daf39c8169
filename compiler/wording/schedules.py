"""The rows of a shaping told before they are written out: when they change, in the trade's words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..counted import Block
from ..plan import ChangePlan, RowPlan
from ..planned import Planned
from ..shaping import Schedule, even_schedule
from .phrases import Voice, listed, ordinal, sentence


def schedule_text(voice: Voice, blocks: Sequence[Block], sizes: Sequence[str]) -> str:
    """Return when the rows of a `work` change, or nothing where the author said it row by row."""
    told = [" and ".join(_told(voice, block)) for block in blocks]
    if not any(told):
        return ""
    if len(set(told)) == 1:
        return sentence(told[0])
    said = dict.fromkeys(told)
    parts = []
    for each in said:
        here = [size for size, one in zip(sizes, told, strict=True) if one == each]
        parts.append(f"{'sizes' if len(here) > 1 else 'size'} {listed(here)}: {each or 'no shaping'}")
    return sentence("; ".join(parts))


def _told(voice: Voice, block: Block) -> Iterator[str]:
    for one in block.planned:
        if one.change.kind == "to" and (
            said := _change(voice, one, block.rows[0].plan if block.rows else None)
        ):
            yield said


def _change(voice: Voice, one: Planned, row: RowPlan | None) -> str:
    unit = row.unit if row is not None else "row"
    if one.dealt:
        many, over = divmod(abs(one.dealt), one.rows)
        if over and many:
            return ""
        amount = many if many else 1
        schedule = even_schedule(one.rows, one.rows if many else over, one_side=False)
        verb = "increase" if one.dealt > 0 else "decrease"
    else:
        amount, schedule = abs(one.amount), one.schedule
        verb = "increase" if one.amount > 0 else "decrease"
    if schedule is None or not schedule.changes:
        return ""
    return f"{verb} {voice.counted('stitch', (amount,))} {_where(one.change)} {_when(schedule, unit)}"


def _where(change: ChangePlan) -> str:
    match change.spot:
        case "mark":
            return f"at each {change.mark}"
        case "middle":
            return "in the middle"
        case "start":
            return "at the beginning"
        case "end":
            return "at the end"
        case spot:
            return spot if spot == "evenly" else f"at {spot}"


def _when(schedule: Schedule, unit: str) -> str:
    return ", then ".join(
        f"every {unit if gap == 1 else f'{ordinal(gap)} {unit}'} {'once' if times == 1 else f'{times} times'}"
        for gap, times in schedule.runs
    )
