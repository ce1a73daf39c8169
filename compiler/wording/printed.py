"""Rows in the form in which they are printed: like ones merged, each with its label and its count."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from ..document import RowText
from .colours import changing, left_behind, said_change
from .cycles import Entry, cycles_said
from .phrases import Voice, sentence


def printed(
    voice: Voice, entries: list[Entry], anchor: str, all_sizes: Sequence[str], *, last: bool
) -> Iterator[RowText]:
    """Yield rows of a piece as they are printed; `last` if none of the piece follow them."""
    merged = _merged(cycles_said(voice, entries))
    ends_at = len(merged) - _last_together(merged)
    for index, entry in enumerate(merged):
        closing = entry.closing
        ends_piece = last and index >= ends_at
        if ends_piece and set(entry.times) == {1}:
            closing = closing.removesuffix(voice.say("opening.turn")).strip()
        label = _label(voice, entry)
        text, after = _with_yarns(voice, entry)
        text = " ".join(filter(None, (text, closing, after)))
        sizes = tuple(all_sizes.index(size) + 1 for size in entry.only)
        count = "; ".join(filter(None, (entry.count, entry.kinds)))
        yield RowText(label, _anchor(anchor, entry), text, count, sizes)


def _with_yarns(voice: Voice, entry: Entry) -> tuple[str, str]:
    """Return a row with the change of yarns where it is done, and what is said of the yarns after it."""
    one = set(entry.times) == {1}
    if one and len(entry.changes) == 1 and not entry.changes[0][0] and entry.text:
        (_, changes), *_ = entry.changes
        left = left_behind(voice, changes, entry.unit)
        row = entry.text.removesuffix(".")
        changed = voice.say("printed.changing", row=row, changing=changing(voice, changes))
        return changed, sentence(left) if left else ""
    said = []
    for who, changes in entry.changes:
        words = said_change(voice, changes, entry.unit, one=one)
        sizes = voice.listed(who) if who else ""
        said.append(voice.say("printed.for-sizes", sizes=sizes, words=words) if who else sentence(words))
    return entry.text, " ".join(said)


def _last_together(entries: list[Entry]) -> int:
    """Return how many entries at the end are last rows: one, or one for some sizes and one for others."""
    seen: set[str] = set()
    for many, entry in enumerate(reversed(entries)):
        if not entry.only or seen & set(entry.only):
            return max(1, many)
        seen |= set(entry.only)
    return len(entries)


def _label(voice: Voice, entry: Entry) -> str:
    one, alike = len(set(entry.numbers)) == 1, len(set(entry.times)) == 1
    unit, first, times = voice.noun(entry.unit, entry.times), entry.numbers[0], entry.times
    if not one or not alike:
        label = voice.say_many("printed.next", times, unit=unit)
    elif times[0] == 1:
        label = voice.say("printed.row", unit=unit, number=first)
    else:
        label = voice.say("printed.rows", unit=unit, first=first, last=first + times[0] - 1)
    side = voice.say(f"printed.side.{entry.side}") if entry.side else ""
    only = voice.say("printed.only", sizes=voice.listed(entry.only)) if entry.only else ""
    return f"{label[:1].upper()}{label[1:]}{side}{only}"


def _anchor(anchor: str, entry: Entry) -> str:
    return f"{anchor}-{entry.unit}-{'-'.join(map(str, dict.fromkeys(entry.numbers)))}" + "".join(
        f"-{''.join(c if c.isascii() and c.isalnum() else '-' for c in size.lower())}" for size in entry.only
    )


def _merged(entries: list[Entry]) -> list[Entry]:
    """Make one of rows that follow one another and say the same."""
    merged: list[Entry] = []
    for entry in entries:
        before = merged[-1] if merged else None
        if before is not None and _same(before, entry):
            times = tuple(a + b for a, b in zip(before.times, entry.times, strict=True))
            merged[-1] = replace(
                before, times=times, kinds=entry.kinds or before.kinds, changes=entry.changes
            )
        else:
            merged.append(entry)
    return merged


def _same(before: Entry, entry: Entry) -> bool:
    return (
        before.text == entry.text
        and not before.changes
        and before.count == entry.count
        and before.closing == entry.closing
        and before.unit == entry.unit
        and before.only == entry.only
        and before.side == entry.side == ""
        and (len(set(before.times)) == 1) == (len(set(entry.times)) == 1)
    )
