"""The rows of a shaping told before they are written out: when they change, in the trade's words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..counted import Block
from ..plan import ChangePlan
from ..planned import Planned
from ..shaping import Schedule, Slope, even_schedule
from .phrases import Voice, listed, ordinal, sentence


def schedule_text(voice: Voice, blocks: Sequence[Block], sizes: Sequence[str]) -> str:
    """Return when the rows of a `work` change, or nothing where the author said it row by row."""
    told = [", and ".join(_told(voice, block)) for block in blocks]
    if not any(told):
        return ""
    if len(set(told)) == 1:
        return sentence(f"{told[0]}, as follows:")
    said = dict.fromkeys(told)
    parts = []
    for each in said:
        here = [size for size, one in zip(sizes, told, strict=True) if one == each]
        parts.append(f"{'sizes' if len(here) > 1 else 'size'} {listed(here)}: {each or 'no shaping'}")
    return sentence(f"{'; '.join(parts)}, as follows:")


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
            stitches = voice.noun("stitch", (2,))
            rows = f"each of the next {one.rows} {unit}s" if one.rows > 1 else f"the next {unit}"
            return f"{verb} {many} or {many + 1} {stitches} evenly in {rows}, {abs(one.dealt)} in all"
        amount = many if many else 1
        schedule = even_schedule(one.rows, one.rows if many else over, one_side=False)
    else:
        verb = "increase" if one.amount > 0 else "decrease"
        amount, schedule = abs(one.amount), one.schedule
    if schedule is None:
        when = _in_rows(one.change.rows, unit)
    elif not schedule.changes:
        return ""
    else:
        when = _along(schedule, unit) if isinstance(schedule, Slope) else _when(schedule, unit)
    return f"{verb} {voice.counted('stitch', (amount,))} {_where(one.change)} {when}"


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
    told = []
    for gap, times in schedule.runs:
        if times > 1:
            told.append(f"every {_nth(gap, unit)} {times} times")
        elif told:
            told.append(f"in the {_nth(gap, unit, first=True)} after that")
        else:
            told.append(_from_here(gap, unit))
    return ", then ".join(told)


def _along(slope: Slope, unit: str) -> str:
    first = _from_here(next(slope.rows()) + 1, unit)
    if slope.changes == 1:
        return first
    gaps = " or ".join(f"every {_nth(gap, unit)}" for gap in slope.gaps)
    gaps = gaps.replace(f" {unit} or every", " or") if 1 not in slope.gaps else gaps
    return f"{first}, then {gaps} {'once' if slope.changes == 2 else f'{slope.changes - 1} times'}"


def _in_rows(rows: Sequence[tuple[int, int]], unit: str) -> str:
    said = [str(first) if first == last else f"{first}–{last}" for first, last in sorted(rows)]
    return f"in {unit}{'s' if len(said) > 1 or '–' in said[0] else ''} {listed(said)}"


def _from_here(gap: int, unit: str) -> str:
    return f"in the next {unit}" if gap == 1 else f"in the {_nth(gap, unit)} from here"


def _nth(gap: int, unit: str, *, first: bool = False) -> str:
    return unit if gap == 1 and not first else f"{ordinal(gap)} {unit}"
