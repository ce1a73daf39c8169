"""A piece as English: its rows in order, like ones merged, sizes side by side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from ...lang.measures import in_both
from ...lang.syntax import Text
from ..counted import Block, CountedPiece, CountedRow
from ..document import Picture, Prose, RowText, Section
from ..pictures import picture
from ..plan import AgainPlan, CheckedTotal, Closing, PiecePlan, Remark
from .along import begun_along
from .closing import closed, fastened_off
from .colours import Change, change_after, changing, left_behind, said_change, stripes_text
from .cycles import Entry, cycle_of, cycles_said
from .opening import joining, manner
from .phrases import Numbers, Voice, listed, sentence, sized
from .rows import count_text, kinds_text, row_text
from .schedules import schedule_text


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
        begun = list(_begun_again(voice, pieces, around.several_yarns, grids))
        return Section(plan.title, anchor, (*begun, *_again(pieces, plan.again, like)))
    opening = _start(voice, pieces, around.several_yarns, grids, around.joined)
    changes_yarn = any(len(piece.plan.yarns) > 1 for piece in pieces)
    sided = _says_side(pieces, changes_yarn=changes_yarn, used=around.used)
    ending = fastened_off(voice, pieces[0], around.finishing, sewn=around.sewn)
    entries: list[RowText | Prose | Picture] = [Prose("start", text) for text in opening]
    waiting: list[Entry] = []
    blocks_at = [index for index, part in enumerate(pieces[0].parts) if isinstance(part, Block)]
    for index, part in enumerate(pieces[0].parts):
        if isinstance(part, Remark):
            if part.node.key == "finish":
                continue
            entries += _printed(voice, waiting, anchor, sizes, last=not blocks_at or index > blocks_at[-1])
            waiting = []
            entries.append(remark(part.node))
            continue
        if isinstance(part, Closing):
            entries += _printed(voice, waiting, anchor, sizes, last=True)
            waiting = []
            entries.append(Prose("close", closed(voice, pieces)))
            continue
        blocks = [part for part in (piece.parts[index] for piece in pieces) if isinstance(part, Block)]
        told = {"shaping": schedule_text(voice, blocks, sizes), "stripes": stripes_text(blocks, plan)}
        for key, said in told.items():
            if said:
                entries += _printed(voice, waiting, anchor, sizes, last=False)
                waiting = []
                entries.append(Prose(key, said))
        entries_here = list(_entries(voice, blocks, plan, sizes, changes_yarn))
        if sided and index == blocks_at[0]:
            entries_here = _first_sided(entries_here)
        waiting += _with_changes(entries_here, [change_after(piece, index) for piece in pieces], sizes)
        if measured := _measured(blocks):
            entries += _printed(voice, waiting, anchor, sizes, last=index == blocks_at[-1])
            waiting = []
            entries.append(Prose("measure", measured))
        if ending and index == blocks_at[-1]:
            entries += _printed(voice, waiting, anchor, sizes, last=True)
            waiting = []
            entries.append(Prose("close", ending))
    entries += _printed(voice, waiting, anchor, sizes, last=True)
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
    return tuple(_printed(voice, entries, "row", sizes, last=last))


def _says_side(pieces: Sequence[CountedPiece], *, changes_yarn: bool, used: bool) -> bool:
    """Tell whether the first row has to say that it shows the right side: where edges or colours need it."""
    plan = pieces[0].plan
    if not plan.turns or plan.in_rounds or not (used or changes_yarn):
        return False
    if plan.start is None or plan.start.kind == "edge":
        return False
    blocks = [part for piece in pieces for part in piece.parts if isinstance(part, Block)]
    return not any(block.stretch.node.settings.side for block in blocks)


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


def _measured(blocks: Sequence[Block]) -> str:
    """Return how long a piece is now, where its rows went on until it is so long."""
    limits = [block.stretch.until for block in blocks]
    lengths = [in_both(limit.length) for limit in limits if limit is not None and limit.length is not None]
    if not lengths:
        return ""
    said = lengths[0] if len(set(lengths)) == 1 else f"{lengths[0]} ({', '.join(lengths[1:])})"
    return f"The piece now measures about {said} from where it began."


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


def _begun_again(
    voice: Voice,
    pieces: Sequence[CountedPiece],
    several_yarns: bool,
    grids: Sequence[Sequence[CountedPiece]],
) -> Iterator[Prose]:
    """Yield how often a piece that is worked like another is made, and on what edge it is begun."""
    make = tuple(piece.plan.make for piece in pieces)
    if set(make) != {1}:
        yield Prose("start", f"Make {sized(make)}.")
    start, yarns = pieces[0].plan.start, pieces[0].plan.yarns
    if start is not None and start.kind == "edge":
        yarn = f"yarn {yarns[0]}" if several_yarns and yarns else "the yarn"
        yield Prose("start", sentence(begun_along(voice, pieces, yarn, grids)))


def _again(
    pieces: Sequence[CountedPiece], again: AgainPlan, like: Sequence[CountedPiece]
) -> Iterator[Prose | Picture]:
    """Yield what is said of a piece that is worked like another."""
    title = like[0].plan.title
    yield Prose("start", sentence(f"work as for {title}{_mirrored(like, title) if again.mirrored else ''}"))
    for said in again.remarks:
        if said.node.key != "finish":
            yield remark(said.node)


def _mirrored(like: Sequence[CountedPiece], title: str) -> str:
    """Return how the mirror image of a piece is worked: the same rows, seen from the other side."""
    unit = "round" if like[0].plan.in_rounds else "row"
    sides = {part.stretch.node.settings.side for part in like[0].parts if isinstance(part, Block)} - {None}
    labelled = sides or _says_side(like, changes_yarn=False, used=True)
    read = ' Read "right side" for "wrong side" in the labels, and the other way round.' if labelled else ""
    return (
        f", with the same stitches and counts, but with the other side of the work facing you: each {unit} "
        f"that shows the right side in {title} shows the wrong side here. This makes the mirror image.{read}"
    )


def _start(
    voice: Voice,
    pieces: Sequence[CountedPiece],
    several_yarns: bool,
    grids: Sequence[Sequence[CountedPiece]],
    joined: bool,
) -> Iterator[str]:
    start = pieces[0].plan.start
    if start is None:
        return
    count = tuple(piece.start_count for piece in pieces)
    make = tuple(piece.plan.make for piece in pieces)
    if set(make) != {1} and not joined:
        yield f"Make {sized(make)}."
    yarns = [piece.plan.yarns[0] for piece in pieces if piece.plan.yarns]
    yarn = f"with yarn {sized(yarns)}, " if several_yarns and yarns else ""
    match start.kind:
        case "ring":
            over = start.node.words
            yield sentence(
                f"{yarn}make an adjustable ring"
                if over is None
                else f"{yarn}join the yarn to “{over}”, which is the ring that is worked over"
            )
        case "joined chain":
            yield sentence(
                f"{yarn}{voice.chain} {sized(count)} and {joining(voice)} in {voice.the('first')} "
                f"{voice.chain} to form a ring, taking care not to twist it"
            )
        case "chain" | "for":
            yield sentence(f"{yarn}{voice.chain} {sized(count)}")
        case "edge":
            yield sentence(begun_along(voice, pieces, f"yarn {sized(yarns)}" if yarn else "the yarn", grids))
        case _:
            assert start.stitch is not None
            to_first = (
                f" and {joining(voice)} in {voice.the('first')} of them" if "joined" in start.kind else ""
            )
            yield sentence(f"{yarn}work {voice.stitches_of(start.stitch, count)}{to_first}")
    if pieces[0].plan.fastened_off and "stitches" in start.kind:
        yield "Fasten off."
    if pieces[0].plan.node.manner == "spiral rounds":
        yield (
            "Work in a continuous spiral: do not join the rounds. Place a marker in the first stitch of each "
            "round and move it up as you go."
        )


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
    for rows, times, done in _side_by_side(blocks):
        counts = tuple(times if row is not None else 0 for row in rows)
        shapes = _by_shape(rows)
        if len(shapes) > 1:
            for alike in shapes:
                yield _entry(voice, alike, counts, plan, sizes, totals, changes_yarn)
            continue
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


def _side_by_side(blocks: Sequence[Block]) -> Iterator[tuple[list[CountedRow | None], int, int]]:
    """Yield the rows of a block that go together in all sizes, how many like them follow, how many came."""
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
    return replace(row, number=row.number + row.times - left)


def _by_shape(rows: Sequence[CountedRow | None]) -> list[list[CountedRow | None]]:
    """Part the sizes in which a row is worked in different ways: each list has the others as None."""
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


# ---- from entries to print ---------------------------------------------------------------------------------


def _printed(
    voice: Voice, entries: list[Entry], anchor: str, all_sizes: Sequence[str], *, last: bool
) -> Iterator[RowText]:
    merged = _merged(cycles_said(entries))
    ends_at = len(merged) - _last_together(merged)
    for index, entry in enumerate(merged):
        closing = entry.closing
        ends_piece = last and index >= ends_at
        if ends_piece and set(entry.times) == {1}:
            closing = closing.removesuffix("Turn.").strip()
        label = _label(entry)
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
        left = left_behind(changes, entry.unit)
        return f"{entry.text.removesuffix('.')}, {changing(voice, changes)}.", sentence(left) if left else ""
    said = []
    for who, changes in entry.changes:
        words = said_change(voice, changes, entry.unit, one=one)
        said.append(f"For {listed(who)}: {words}" if who else sentence(words))
    return entry.text, " ".join(said)


def _last_together(entries: list[Entry]) -> int:
    """Return how many entries at the end are last rows: one, or one for some sizes and one for others."""
    seen: set[str] = set()
    for many, entry in enumerate(reversed(entries)):
        if not entry.only or seen & set(entry.only):
            return max(1, many)
        seen |= set(entry.only)
    return len(entries)


def _label(entry: Entry) -> str:
    unit = entry.unit.capitalize()
    side = {"rs": " (right side)", "ws": " (wrong side)"}.get(entry.side, "")
    only = f" ({listed(entry.only)} only)" if entry.only else ""
    one = len(set(entry.numbers)) == 1
    if set(entry.times) == {1}:
        label = f"{unit} {entry.numbers[0]}" if one else f"Next {entry.unit}"
    elif one and len(set(entry.times)) == 1:
        label = f"{unit}s {entry.numbers[0]}–{entry.numbers[0] + entry.times[0] - 1}"
    else:
        label = f"Next {sized(entry.times)} {entry.unit}s"
    return f"{label}{side}{only}"


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
