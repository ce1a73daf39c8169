"""A piece worded: its rows in order, sizes side by side, and what is said between them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from ...lang.syntax import Text
from ..counted import Block, CountedPiece, CountedRow
from ..document import Picture, Prose, RowText, Section
from ..pictures import picture
from ..plan import CheckedTotal, Closing, PiecePlan, Remark
from .begun import begun, begun_again, says_side
from .closing import closed, fastened_off
from .colours import Change, change_after, stripes_text
from .cycles import Entry, cycle_of
from .opening import manner
from .phrases import Numbers, Voice
from .printed import printed
from .rows import count_text, kinds_text, row_text
from .schedules import schedule_text

Together = tuple[list[CountedRow | None], int, int]
"""Rows that go together, one a size, how many like them follow, and how many rows of the statement came."""


@dataclass(frozen=True, slots=True)
class Around:
    """What a piece's words depend on beside the piece."""

    several_yarns: bool = False
    """The pattern has several, so that it is said with which of them a piece begins."""
    joined: bool = False
    """It is joined to its neighbours in a grid, which says how often it is made."""
    used: bool = False
    """Other pieces are begun on its edges, or sewn to them, or it is worked again in mirror image."""
    sewn: bool = False
    """Its tail is what a seam is sewn with."""
    finishing: tuple[Text, ...] = ()
    """The author's words after all pieces that tell how it ends."""


ALONE = Around()


def section(
    voice: Voice,
    pieces: Sequence[CountedPiece],
    sizes: Sequence[str],
    anchor: str,
    *,
    like: Sequence[CountedPiece] = (),
    grids: Sequence[Sequence[CountedPiece]] = (),
    around: Around = ALONE,
) -> Section:
    """Return a piece, all sizes together.

    `like` is the piece that it is worked like, if it is; `grids` are motifs in a grid that it is worked
    along.
    """
    plan = pieces[0].plan
    if plan.again is not None:
        opening = begun_again(voice, pieces, like, grids, several_yarns=around.several_yarns)
        remarks = [remark(said.node) for said in plan.again.remarks if said.node.key != "finish"]
        return Section(plan.title, anchor, (*(Prose("start", text) for text in opening), *remarks))
    opening = begun(voice, pieces, grids, several_yarns=around.several_yarns, joined=around.joined)
    changes_yarn = any(len(piece.plan.yarns) > 1 for piece in pieces)
    sided = says_side(pieces, changes_yarn=changes_yarn, used=around.used)
    ending = fastened_off(voice, pieces[0], around.finishing, sewn=around.sewn)
    entries: list[RowText | Prose | Picture] = [Prose("start", text) for text in opening]
    waiting: list[Entry] = []
    blocks_at = [index for index, part in enumerate(pieces[0].parts) if isinstance(part, Block)]
    for index, part in enumerate(pieces[0].parts):
        if isinstance(part, Remark):
            if part.node.key == "finish":
                continue
            entries += printed(voice, waiting, anchor, sizes, last=not blocks_at or index > blocks_at[-1])
            waiting = []
            entries.append(remark(part.node))
            continue
        if isinstance(part, Closing):
            entries += printed(voice, waiting, anchor, sizes, last=True)
            waiting = []
            entries.append(Prose("close", closed(voice, pieces)))
            continue
        blocks = [part for part in (piece.parts[index] for piece in pieces) if isinstance(part, Block)]
        told = {
            "shaping": schedule_text(voice, blocks, sizes),
            "stripes": stripes_text(voice, blocks, plan),
        }
        for key, said in told.items():
            if said:
                entries += printed(voice, waiting, anchor, sizes, last=False)
                waiting = []
                entries.append(Prose(key, said))
        entries_here = list(_entries(voice, blocks, plan, sizes, changes_yarn))
        if sided and index == blocks_at[0]:
            entries_here = _first_sided(entries_here)
        waiting += _with_changes(entries_here, [change_after(piece, index) for piece in pieces], sizes)
        if measured := _measured(voice, blocks):
            entries += printed(voice, waiting, anchor, sizes, last=index == blocks_at[-1])
            waiting = []
            entries.append(Prose("measure", measured))
        if ending and index == blocks_at[-1]:
            entries += printed(voice, waiting, anchor, sizes, last=True)
            waiting = []
            entries.append(Prose("close", ending))
    entries += printed(voice, waiting, anchor, sizes, last=True)
    return Section(plan.title, anchor, tuple(entries))


def rows_of_statement(
    voice: Voice, pieces: Sequence[CountedPiece], at: int, sizes: Sequence[str]
) -> tuple[RowText, ...]:
    """Return the rows of one statement: the part `at` of each size's piece, every row of it counted."""
    blocks = [part for part in (piece.parts[at] for piece in pieces) if isinstance(part, Block)]
    changes_yarn = any(len(piece.plan.yarns) > 1 for piece in pieces)
    entries = list(_entries(voice, blocks, pieces[0].plan, sizes, changes_yarn))
    entries = _with_changes(entries, [change_after(piece, at) for piece in pieces], sizes)
    last = not any(isinstance(part, Block) for part in pieces[0].parts[at + 1 :])
    return tuple(printed(voice, entries, "row", sizes, last=last))


def _first_sided(entries: list[Entry]) -> list[Entry]:
    """Return entries of which the first row stands by itself and says that it shows the right side."""
    first, *rest = entries
    if min(first.times) < 1 or first.only:
        return entries
    others = replace(
        first,
        numbers=tuple(number + 1 for number in first.numbers),
        times=tuple(times - 1 for times in first.times),
    )
    one = replace(first, times=tuple(1 for _ in first.times), side="rs")
    return [one, *([others] if any(others.times) else []), *rest]


def _measured(voice: Voice, blocks: Sequence[Block]) -> str:
    """Return how long a piece is now, where its rows went on until it is so long."""
    limits = [block.stretch.until for block in blocks]
    lengths = [limit.length for limit in limits if limit is not None and limit.length is not None]
    return voice.say("sections.measures", length=voice.lengths(lengths)) if lengths else ""


def _with_changes(
    entries: list[Entry], changes: Sequence[Change | None], sizes: Sequence[str]
) -> list[Entry]:
    """Return entries with how the yarns change at their ends, with each size's last one."""
    ends: dict[tuple[int, str, str], dict[int, Change]] = {}
    for size, change in enumerate(changes):
        if change is not None:
            last = max(at for at, entry in enumerate(entries) if size in _sizes_of(entry, sizes))
            ends.setdefault((last, change.old, change.new), {})[size] = change
    for (at, _, _), found in ends.items():
        entry = entries[at]
        some_only = len(found) < len(_sizes_of(entry, sizes))
        who = tuple(sizes[size] for size in found) if some_only else ()
        entries[at] = replace(entry, changes=(*entry.changes, (who, tuple(found.values()))))
    return entries


def _sizes_of(entry: Entry, sizes: Sequence[str]) -> Sequence[int]:
    return [sizes.index(size) for size in entry.only] if entry.only else range(max(1, len(sizes)))


def remark(node: Text) -> Prose | Picture:
    """Return a paragraph or a picture of the author's."""
    if node.key == "picture":
        return picture(node)
    return Prose(node.key, " ".join(node.lines))


# ---- from blocks to entries --------------------------------------------------------------------------------


def _entries(
    voice: Voice, blocks: Sequence[Block], plan: PiecePlan, sizes: Sequence[str], changes_yarn: bool
) -> Iterator[Entry]:
    """Yield the rows of one statement, all sizes together; where a piece `changes_yarn` they name theirs."""
    again = cycle_of(blocks)
    totals = [block.stretch.total for block in blocks]
    if all(len(block.rows) <= 1 for block in blocks) and len({block.times for block in blocks}) > 1:
        rows = [block.rows[0] if block.rows else None for block in blocks]
        times_by_size = tuple(block.times for block in blocks)
        for alike in _by_shape(rows):
            yield _entry(voice, alike, times_by_size, plan, sizes, totals, changes_yarn)
        return
    for rows, times, done in _in_order(list(_side_by_side(blocks))):
        counts = tuple(times if row is not None else 0 for row in rows)
        entry = _entry(voice, rows, counts, plan, sizes, totals, changes_yarn)
        if again is None or not times < again[1] - again[0] + 1:
            yield entry
            continue
        # Like rows of a cycle stand by themselves: the cycle may end among them.
        first, last, before = again
        for each in range(times):
            yield replace(
                entry,
                numbers=tuple(number + each for number in entry.numbers),
                times=tuple(min(count, 1) for count in entry.times),
                of_cycle=(first, last, (done + each) % (last - first + 1)) if done + each >= before else None,
            )


def _in_order(together: list[Together]) -> Iterator[Together]:
    """Yield what is worded together, in the order of the rows' numbers in every size.

    Where sizes differ and number their rows differently, all rows of one sort come before those of another.
    """
    groups = [_by_shape(rows) for rows, _, _ in together]
    differ = [index for index, group in enumerate(groups) if len(group) > 1]
    first, behind = (differ[0], differ[-1] + 1) if differ else (0, 0)
    if all(_number_alike(rows) for rows, _, _ in together[first:behind]):
        for group, (_, times, done) in zip(groups, together, strict=True):
            yield from ((rows, times, done) for rows in group)
        return
    yield from together[:first]
    ways: dict[tuple[int | None, ...], list[int]] = {}
    for size in range(len(together[0][0])):
        way = tuple(_group_of(size, group) for group in groups[first:behind])
        ways.setdefault(way, []).append(size)
    for members in ways.values():
        for rows, times, done in together[first:behind]:
            of_these = [row if size in members else None for size, row in enumerate(rows)]
            if any(of_these):
                yield of_these, times, done
    yield from together[behind:]


def _number_alike(rows: Sequence[CountedRow | None]) -> bool:
    return len({row.number for row in rows if row is not None}) == 1


def _group_of(size: int, groups: Sequence[Sequence[CountedRow | None]]) -> int | None:
    """Return which of the groups has a row in a size; None if none has."""
    return next((index for index, rows in enumerate(groups) if rows[size] is not None), None)


def _side_by_side(blocks: Sequence[Block]) -> Iterator[Together]:
    """Yield the rows of a block that go together in all sizes."""
    queues = [[(row, row.times) for row in block.rows] for block in blocks]
    done = 0
    while any(queues):
        times = min(queue[0][1] for queue in queues if queue)
        yield [_at(*queue[0]) if queue else None for queue in queues], times, done
        for queue in queues:
            if queue:
                row, left = queue[0]
                queue[0] = (row, left - times)
                if left == times:
                    queue.pop(0)
        done += times


def _at(row: CountedRow, left: int) -> CountedRow:
    """Return the row with the number of the first of the `left` like it that are not worded yet."""
    return replace(row, number=row.number + row.times - left) if left < row.times else row


def _by_shape(rows: Sequence[CountedRow | None]) -> list[list[CountedRow | None]]:
    """Part the sizes in which a row is worked in different ways: each list has the others as None."""
    if len(rows) == 1:
        return [list(rows)] if rows[0] is not None else []
    groups: dict[object, list[CountedRow | None]] = {}
    for index, row in enumerate(rows):
        if row is not None:
            groups.setdefault(manner(row), [None] * len(rows))[index] = row
    return list(groups.values())


def _entry(
    voice: Voice,
    rows: Sequence[CountedRow | None],
    times: Numbers,
    plan: PiecePlan,
    sizes: Sequence[str],
    totals: Sequence[tuple[CheckedTotal, ...]],
    changes_yarn: bool,
) -> Entry:
    present = [row for row in rows if row is not None]
    some_only = len(present) < len(rows)
    only = tuple(size for size, row in zip(sizes, rows, strict=False) if row is not None) if some_only else ()
    text, closing = row_text(voice, present, plan, changes_yarn=changes_yarn)
    return Entry(
        present[0].plan.unit,
        tuple(row.number for row in present),
        tuple(time for time, row in zip(times, rows, strict=True) if row is not None),
        text,
        count_text(voice, present, plan),
        closing,
        kinds_text(voice, present, totals),
        only,
        present[0].plan.side or "",
    )
