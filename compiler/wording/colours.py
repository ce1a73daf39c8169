"""Yarns as English: colours within a row, changes from row to row, what the notes say of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import takewhile

from ...lang.stitches import vocabulary
from ..colours import changes, yarns_in
from ..counted import Block, CountedPiece, CountedRow, Worked
from ..plan import PiecePlan
from ..steps import BracketStep, ChainStep, OwnStep, Steps, StitchStep
from .aligned import Across
from .phrases import Numbers, Voice, sized

JOINED = ("joined rounds", "turned rounds")
"""Manners of working whose rounds end with a slip stitch."""
LONGEST_LEFT = 4
"""Rows for which a yarn is carried up; common practice, no source."""


# ---- within a row ------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Colours(Across):
    """Stitches side by side that differ only in their yarn, as one item."""

    yarns: tuple[tuple[Numbers, str], ...] = ()
    """How many, by size, are worked with which yarn, in order."""


def gathered(across: Sequence[Across]) -> list[Across]:
    """Return items with colours side by side made one."""
    out: list[Across] = []
    for item in across:
        if not any(item.count):
            continue
        last = out[-1] if out else None
        if last is not None and _kind(last) is not None and _kind(last) == _kind(item):
            before = last.yarns if isinstance(last, Colours) else (_colour(last),)
            each = tuple(
                two if one is None else one if two is None else _beside(one, two)
                for one, two in zip(last.each, item.each, strict=True)
            )
            out[-1] = Colours(each, (*before, _colour(item)))
        else:
            out.append(item)
    return out


def _beside(one: Worked, two: Worked) -> Worked:
    return replace(
        one,
        count=one.count + two.count,
        used=(*one.used, *two.used),
        made=one.made + two.made,
        to_last=two.to_last,
    )


def _kind(item: Across) -> object:
    """Return what items must have in common to be told as one; None for one that stands alone."""
    step = item.step
    if (
        not isinstance(step, StitchStep)
        or step.yarn is None
        or step.target is not None
        or step.mark
        or step.crossed
        or step.below
    ):
        return None
    if step.stitch.family == "together" or not step.stitch.uses:
        return None
    return step.stitch.key, step.loop


def _colour(item: Across) -> tuple[Numbers, str]:
    step = item.step
    assert isinstance(step, StitchStep)
    assert step.yarn is not None
    return item.count, step.yarn


def yarns_said(voice: Voice, item: Across, *, inside: bool = False) -> str:
    """Return the words for an item's own yarns, with a blank before them; empty if it has none."""
    if isinstance(item, Colours):
        return voice.say(
            "items.yarns", yarns=", ".join(f"{sized(count)} {yarn}" for count, yarn in item.yarns)
        )
    step = item.step
    yarn = step.yarn if isinstance(step, StitchStep | ChainStep | OwnStep) else None
    if yarn is None:
        return ""
    return voice.say("items.yarn-inside" if inside else "items.yarn", yarn=yarn)


# ---- from row to row ---------------------------------------------------------------------------------------


def yarn_of(rows: Sequence[CountedRow]) -> str:
    """Return the yarn that a row is worked with, by size where they differ; empty where none is named."""
    yarns = [row.plan.yarn for row in rows]
    return sized([yarn or "" for yarn in yarns]) if any(yarns) else ""


def yarns_differ(pieces: Sequence[CountedPiece]) -> bool:
    """Tell whether a row of a piece is worked with one yarn in one size and with another in another."""
    for parts in zip(*(piece.parts for piece in pieces), strict=True):
        rows = [part.stretch.rows for part in parts if isinstance(part, Block) and part.times]
        if len({tuple(row.yarn for row in each) for each in rows}) > 1:
            return True
    return len({piece.plan.yarns[:1] for piece in pieces}) > 1


@dataclass(frozen=True, slots=True)
class Change:
    """What is done with the yarns after the rows of one statement, in one size."""

    old: str
    new: str
    row: int
    until: int | None
    """The row that goes on with the old yarn, if it is carried up to it."""
    waiting: bool
    """Whether the new yarn was carried up to here."""
    at_join: bool = False
    """Whether it is done in the join of a round: what comes last in it are chains of the old yarn."""


def changing(voice: Voice, changes: Sequence[Change]) -> str:
    """Return the change of yarns at the end of a row, as a part of its sentence."""
    return voice.say(f"colours.changing.{_way(changes)}", yarn=changes[0].new, where=_where(voice, changes))


def _where(voice: Voice, changes: Sequence[Change]) -> str:
    """Return the stitch in which the yarn is changed."""
    if changes[0].at_join:
        slip = vocabulary("US").find("ss")
        assert slip is not None
        return voice.say("colours.in.join", slip=voice.stitch(slip))
    return voice.say("colours.in.last", stitch=voice.noun("stitch", (1,)))


def left_behind(voice: Voice, changes: Sequence[Change], unit: str) -> str:
    """Return what is done with the yarn that is changed from; empty if it stays in use."""
    first = changes[0]
    if all(change.until == change.row + 1 for change in changes):
        return ""
    if None in {change.until for change in changes}:
        return voice.say("colours.cut", yarn=first.old)
    return voice.say(f"colours.carry.{unit}", yarn=first.old)


def said_change(voice: Voice, changes: Sequence[Change], unit: str, *, one: bool) -> str:
    """Return what is done in sizes that change between the same yarns, after `one` row or several."""
    if len({change.row for change in changes}) == 1:
        row = voice.say("colours.of-row", unit=voice.noun(unit, (1,)), number=changes[0].row)
    else:
        row = voice.say(f"colours.of.{'this' if one else 'these'}", unit=voice.noun(unit, (1 if one else 2,)))
    left = left_behind(voice, changes, unit)
    return voice.say(
        f"colours.change.{_way(changes)}",
        yarn=changes[0].new,
        where=_where(voice, changes),
        row=row,
        left=voice.say("colours.and-left", left=left) if left else "",
    )


def _way(changes: Sequence[Change]) -> str:
    return "back" if all(change.waiting for change in changes) else "to"


def change_after(piece: CountedPiece, index: int) -> Change | None:
    """Return the change of yarns after one part of a piece; None if the yarn stays, or is cut anyway."""
    if piece.plan.fastened_off:
        return None
    block = piece.parts[index]
    if not isinstance(block, Block) or not block.times or block.first is None:
        return None
    later = (piece.parts[after] for after in range(index + 1, len(piece.parts)))
    following = next(
        (part for part in later if isinstance(part, Block) and part.times and part.first is not None), None
    )
    if following is None or not block.stretch.rows or not following.stretch.rows:
        return None
    rows = block.stretch.rows
    last = block.first + block.times - 1
    old, new = rows[(block.times - 1) % len(rows)].yarn, following.stretch.rows[0].yarn
    if old is None or new is None or old == new:
        return None
    after = next((n for n, yarns in _rows_after(piece, index) if old in yarns and n > last), None)
    before = next((n for n, yarns in _rows_before(piece, index) if new in yarns), None)
    turned = piece.plan.turns and not piece.plan.in_rounds
    return Change(
        old,
        new,
        last,
        after if after is not None and _waits(after - last - 1, turned) else None,
        before is not None and _waits(last - before, turned),
        piece.plan.node.manner in JOINED and _ends_in_chains(rows[(block.times - 1) % len(rows)].body),
    )


def _ends_in_chains(body: Steps) -> bool:
    last = body[-1] if body else None
    return isinstance(last, ChainStep) or (isinstance(last, BracketStep) and _ends_in_chains(last.body))


def _waits(rows: int, turned: bool) -> bool:
    """Tell whether a yarn waits at the edge while so many rows go by without it.

    Turned rows come back to the same edge after an even number of them.
    """
    return rows <= LONGEST_LEFT and not (turned and rows % 2)


def _rows_after(piece: CountedPiece, index: int) -> Iterator[tuple[int, frozenset[str]]]:
    left = LONGEST_LEFT + 1
    for after in range(index + 1, len(piece.parts)):
        part = piece.parts[after]
        if isinstance(part, Block) and part.first is not None and part.stretch.rows:
            for offset in range(min(part.times, left)):
                yield part.first + offset, yarns_in(part.stretch.rows[offset % len(part.stretch.rows)])
                left -= 1
            if not left:
                return


def _rows_before(piece: CountedPiece, index: int) -> Iterator[tuple[int, frozenset[str]]]:
    left = LONGEST_LEFT + 1
    for before in range(index, -1, -1):
        part = piece.parts[before]
        if isinstance(part, Block) and part.first is not None and part.stretch.rows:
            for back in range(1, min(part.times, left) + 1):
                offset = part.times - back
                yield part.first + offset, yarns_in(part.stretch.rows[offset % len(part.stretch.rows)])
                left -= 1
            if not left:
                return


def stripes_text(voice: Voice, blocks: Sequence[Block], plan: PiecePlan) -> str:
    """Return how the rows of one statement change from yarn to yarn; empty if it has no stripes."""
    by_size = [block.stretch.stripes for block in blocks]
    if not all(by_size) or not any(block.times for block in blocks):
        return ""
    unit = blocks[0].stretch.node.label.unit
    rows = []
    for each in zip(*by_size, strict=True):
        many = tuple(rows_of for rows_of, _ in each)
        rows.append(voice.say("colours.stripe", rows=voice.counted(unit, many), yarn=each[0][1]))
    times = tuple(block.times for block in blocks)
    told = voice.say_many("colours.stripes", times, unit=voice.noun(unit, times), stripes=voice.listed(rows))
    if plan.fastened_off:
        return told
    turned = plan.turns and not plan.in_rounds
    left = all(_waits(gap, turned) for stripes in by_size for gap in _gaps(stripes))
    return f"{told} {voice.say('colours.stripes-left' if left else 'colours.stripes-cut')}"


def _gaps(stripes: Sequence[tuple[int, str]]) -> Iterator[int]:
    """Yield how many rows go by from each stripe to the next one in its yarn."""
    again = [each for each in stripes if each[0]] * 2
    for at in range(len(again) // 2):
        between = takewhile(lambda each, yarn=again[at][1]: each[1] != yarn, again[at + 1 :])  # type: ignore[misc]
        yield sum(rows for rows, _ in between)


# ---- in the notes ------------------------------------------------------------------------------------------


def notes(voice: Voice, pieces: Sequence[CountedPiece]) -> Iterator[str]:
    """Yield how yarns are changed and carried, where that is wanted. Common practice, no source."""
    found = {
        changes(row)
        for piece in pieces
        for part in piece.parts
        if isinstance(part, Block)
        for row in part.rows
    }
    within = any(changed for changed, _ in found)
    if within or any(len(piece.plan.yarns) > 1 for piece in pieces):
        yield voice.say("colours.note.change")
    if any(
        (change := change_after(piece, index)) is not None and change.until is not None
        for piece in pieces
        for index in range(len(piece.parts))
    ):
        yield voice.say("colours.note.carry")
    units = {"round" if piece.plan.in_rounds else "row" for piece in pieces}
    unit = voice.noun(units.pop() if len(units) == 1 else "row", (1,))
    if any(back for _, back in found):
        yield voice.say("colours.note.back", unit=unit)
    if any(changed and not back for changed, back in found):
        yield voice.say("colours.note.hang", unit=unit)
