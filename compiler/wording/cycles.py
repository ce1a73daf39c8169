"""Rows that go on as rows before them did, said as a repeat of those."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ...lang.syntax import RepeatRows
from ..counted import Block
from .colours import Change
from .phrases import Numbers, Voice

SizedChange = tuple[tuple[str, ...], tuple[Change, ...]]
"""The sizes that change yarns, empty for all that work a row, and the change of each."""


@dataclass(frozen=True, slots=True)
class Entry:
    """A row, or like rows merged, on the way to being printed."""

    unit: str
    numbers: Numbers
    """The number of the first of them, by size."""
    times: Numbers
    text: str
    count: str
    closing: str
    kinds: str = ""
    """What the stated total names beside stitches and spaces."""
    only: tuple[str, ...] = ()
    """The sizes that have this row, where not all do."""
    side: str = ""
    of_cycle: tuple[int, int, int] | None = None
    """For a row of a stretch that repeats others: first and last row repeated, and which of them it is."""
    changes: tuple[SizedChange, ...] = ()
    """How the yarns change at the end of it."""


def cycle_of(blocks: Sequence[Block]) -> tuple[int, int, int] | None:
    """Return the first and the last row that a statement works over again, and how many rows come first.

    Stripes go on as their first turn did, which stands in the statement itself.
    """
    stretch, first = blocks[0].stretch, blocks[0].first
    repeats = stretch.node.content
    if isinstance(repeats, RepeatRows):
        if repeats.first is None:
            return None
        return repeats.first, repeats.last if repeats.last is not None else repeats.first, 0
    turn = len(stretch.rows)
    alike = all((block.first, len(block.stretch.rows)) == (first, turn) for block in blocks)
    if first is None or not alike or not stretch.stripes or turn < 2:
        return None
    return first, first + turn - 1, turn


def cycles_said(voice: Voice, entries: list[Entry]) -> list[Entry]:
    """Say a stretch that goes on as rows before it did, with the same counts, as a repeat of those rows."""
    by_number = {
        (entry.numbers[0] + index): entry
        for entry in entries
        if len(set(entry.numbers)) == 1 and len(set(entry.times)) == 1 and entry.of_cycle is None
        for index in range(min(entry.times[0], 100))
    }
    out: list[Entry] = []
    index = 0
    while index < len(entries):
        run = _cycle_run(entries, index, by_number)
        if run > 1:
            out.append(_as_repeat(voice, entries[index : index + run], by_number))
        else:
            out.append(entries[index])
        index += max(1, run)
    return out


def _cycle_run(entries: list[Entry], start: int, by_number: Mapping[int, Entry]) -> int:
    cycle = entries[start].of_cycle
    if cycle is None:
        return 0
    first, last, _ = cycle
    run = 0
    for entry in entries[start:]:
        if entry.of_cycle is None or entry.of_cycle[:2] != (first, last):
            break
        source = by_number.get(first + entry.of_cycle[2])
        if source is None or (source.text, source.count) != (entry.text, entry.count) or entry.only:
            break
        run += 1
        if entry.changes:
            break
    return run if run > last - first else 0


def _as_repeat(voice: Voice, run: list[Entry], by_number: Mapping[int, Entry]) -> Entry:
    assert run[0].of_cycle is not None
    assert run[-1].of_cycle is not None
    first, last, _ = run[0].of_cycle
    unit = run[0].unit
    end = first + run[-1].of_cycle[2]
    ending = by_number[end]
    # What is said of row `end` holds at the end of the repeat only if the yarn changes there too.
    changes_there = ending.changes and ending.numbers[0] + ending.times[0] - 1 == end
    text = voice.say(
        "cycles.repeat",
        rows=voice.say("cycles.two" if last == first + 1 else "cycles.run", first=first, last=last),
        units=voice.noun(unit, (last - first + 1,)),
        unit=voice.noun(unit, (1,)),
        end=end,
        keeping=voice.say("cycles.keeping") if changes_there and not run[-1].changes else "",
    )
    times = tuple(sum(entry.times[size] for entry in run) for size in range(len(run[0].times)))
    return Entry(unit, run[0].numbers, times, text, run[-1].count, "", run[-1].kinds, changes=run[-1].changes)
