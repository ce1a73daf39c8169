"""Rows as English: what opens them, what closes them, like ones merged, sizes side by side."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from ...lang.syntax import RepeatRows, Text
from ..counted import Block, CountedPiece, CountedRow
from ..document import Prose, RowText, Section
from ..fabric import CHAIN, SPACE, Named, Repeat, Run, Segments, tally
from ..plan import BracketStep, PiecePlan, Remark
from .aligned import Across, Peeled, align, peel, unrolled
from .items import Where, bracket, item_phrases, kinds_of, place_name, slip_stitches, sorts
from .phrases import Numbers, Voice, listed, ordinals, sentence, sized


@dataclass(frozen=True, slots=True)
class _Entry:
    """A row, or like rows merged, on the way to being printed."""

    unit: str
    numbers: Numbers
    """The number of the first of them, by size."""
    times: Numbers
    text: str
    count: str
    closing: str
    only: tuple[str, ...] = ()
    """The sizes that have this row, where not all do."""
    side: str = ""
    of_cycle: tuple[int, int, int] | None = None
    """For a row of a stretch that repeats others: first and last row repeated, and which of them it is."""


def section(voice: Voice, pieces: Sequence[CountedPiece], sizes: Sequence[str], anchor: str) -> Section:
    """Return a piece, all sizes together."""
    plan = pieces[0].plan
    entries: list[RowText | Prose] = [Prose("start", text) for text in _start(voice, pieces)]
    waiting: list[_Entry] = []
    rows_end = max(
        (index for index, part in enumerate(pieces[0].parts) if isinstance(part, Block)), default=-1
    )
    for index, part in enumerate(pieces[0].parts):
        if isinstance(part, Remark):
            if part.node.key == "finish":
                continue
            entries += _printed(waiting, anchor, last=index > rows_end)
            waiting = []
            entries.append(prose(part.node))
            continue
        blocks = [piece.parts[index] for piece in pieces]
        waiting += _entries(voice, [block for block in blocks if isinstance(block, Block)], plan, sizes)
    entries += _printed(waiting, anchor, last=True)
    return Section(plan.node.title or plan.node.name.replace("_", " "), anchor, tuple(entries))


def prose(node: Text) -> Prose:
    """Return a paragraph of the author's."""
    return Prose(node.key, " ".join(node.lines))


def _start(voice: Voice, pieces: Sequence[CountedPiece]) -> Iterator[str]:
    start = pieces[0].plan.start
    if start is None:
        return
    count = tuple(piece.start_count for piece in pieces)
    make = tuple(piece.plan.make for piece in pieces)
    if set(make) != {1}:
        yield f"Make {sized(make)}."
    match start.kind:
        case "ring":
            yield "Make an adjustable ring."
        case "joined chain":
            yield sentence(
                f"{voice.chain} {sized(count)} and join with {_slip(voice)} in {voice.the('first')} "
                f"{voice.chain} to form a ring, taking care not to twist it"
            )
        case "chain" | "for":
            yield sentence(f"{voice.chain} {sized(count)}")
        case _:
            assert start.stitch is not None
            name = start.stitch.terms(voice.dialect).name if voice.full else None
            voice.stitches.setdefault(start.stitch.key, start.stitch)
            words = f"{sized(count)} {name or start.stitch.terms(voice.dialect).abbreviation}"
            joined = (
                f" and join with {_slip(voice)} in {voice.the('first')} of them"
                if "joined" in start.kind
                else ""
            )
            yield sentence(f"work {words}{joined}")
    if pieces[0].plan.node.manner == "spiral rounds":
        yield (
            "Work in a continuous spiral: do not join the rounds. Place a marker in the first stitch of each round "
            "and move it up as you go."
        )


def _slip(voice: Voice) -> str:
    from ...lang.stitches import vocabulary

    stitch = vocabulary("US").find("ss")
    assert stitch is not None
    return f"a {voice.stitch(stitch)}" if voice.full else voice.stitch(stitch)


# ---- from blocks to entries ----------------------------------------------------------------------------------


def _entries(
    voice: Voice, blocks: Sequence[Block], plan: PiecePlan, sizes: Sequence[str]
) -> Iterator[_Entry]:
    """Yield the rows of one statement, all sizes together."""
    repeats = blocks[0].stretch.node.content
    if all(len(block.rows) <= 1 for block in blocks) and len({block.times for block in blocks}) > 1:
        rows = [block.rows[0] if block.rows else None for block in blocks]
        yield _entry(voice, rows, tuple(block.times for block in blocks), blocks, plan, sizes)
        return
    for rows, times, done in _side_by_side(blocks):
        counts = tuple(times if row is not None else 0 for row in rows)
        entry = _entry(voice, rows, counts, blocks, plan, sizes)
        if isinstance(repeats, RepeatRows) and repeats.first is not None:
            last = repeats.last if repeats.last is not None else repeats.first
            if last > repeats.first and times == 1:
                cycle = last - repeats.first + 1
                entry = replace(entry, of_cycle=(repeats.first, last, done % cycle))
        yield entry


def _side_by_side(blocks: Sequence[Block]) -> Iterator[tuple[list[CountedRow | None], int, int]]:
    """Yield the rows of a block in every size that go together, how many such rows follow, and how many did."""
    queues = [[(row, row.times) for row in block.rows] for block in blocks]
    done = 0
    while any(queues):
        times = min(queue[0][1] for queue in queues if queue)
        yield [queue[0][0] if queue else None for queue in queues], times, done
        for queue in queues:
            if queue:
                row, left = queue[0]
                queue[0] = (row, left - times)
                if left == times:
                    queue.pop(0)
        done += times


def _entry(
    voice: Voice,
    rows: Sequence[CountedRow | None],
    times: Numbers,
    blocks: Sequence[Block],
    plan: PiecePlan,
    sizes: Sequence[str],
) -> _Entry:
    present = [row for row in rows if row is not None]
    some_only = len(present) < len(rows)
    only = tuple(size for size, row in zip(sizes, rows, strict=False) if row is not None) if some_only else ()
    shown: list[CountedRow | None] = list(present) if only else list(rows)
    numbers = tuple(
        block.first if block.first is not None else 0
        for block, row in zip(blocks, rows, strict=True)
        if row is not None or not only
    )
    if len(rows) == len(numbers):
        numbers = tuple(
            row.number if row is not None else number for row, number in zip(rows, numbers, strict=True)
        )
    text, closing = row_text(voice, shown, plan)
    counts = tuple(time for time, row in zip(times, rows, strict=True) if row is not None or not only)
    return _Entry(
        present[0].plan.unit,
        numbers,
        counts,
        text,
        count_text(voice, shown, plan),
        closing,
        only,
        present[0].plan.side or "",
    )


# ---- one row -------------------------------------------------------------------------------------------------


def row_text(voice: Voice, rows: Sequence[CountedRow | None], plan: PiecePlan) -> tuple[str, str]:
    """Return what a row says in all sizes, and how it closes."""
    first = next(row for row in rows if row is not None)
    in_round = plan.in_rounds
    names, marks = _names(first.before.parts)
    where = Where(
        in_round=in_round,
        loop=first.plan.loop if _loops_apply(first) else None,
        from_hook=_from_hook(first),
        names=names,
        marks=marks,
    )
    lead, across, phrases = _opening(voice, rows, where)
    top = len(across) == 1 and not phrases
    stars = sum(isinstance(item.step, BracketStep) and set(item.count) != {1} for item in across)
    for item in across:
        if isinstance(item.step, BracketStep) and stars == 1 and set(item.count) != {1}:
            phrases.append(bracket(voice, item, where, starred=True))
        else:
            phrases += item_phrases(voice, item, replace(where, whole_row=top))
        where = replace(where, last_place=place_name(voice, item) or where.last_place)
    text = _with_settings(voice, first, where, lead, phrases)
    return text, _closing(voice, first, plan)


def _opening(
    voice: Voice, rows: Sequence[CountedRow | None], where: Where
) -> tuple[list[str], list[Across], list[str]]:
    """Return how a row begins, its items without what the turning chain stands for, and phrases already made."""
    first = next(row for row in rows if row is not None)
    opening = first.opening
    across = align([row.worked if row is not None else () for row in rows])
    lead: list[str] = []
    if first.slip_to:
        lead.append(_slip_to(voice, rows, across, where))
    if opening is None or opening.manner != "counts":
        lead += _uncounted(voice, rows)
        if not first.slip_to:
            return lead, across, []
        across = align([unrolled(row.worked) if row is not None else () for row in rows])
        return lead, across[1:], [_rest_in_same(voice, across[0], where)]
    peeled = [peel(row.worked) if row is not None else None for row in rows]
    one = next((each for each in peeled if each is not None), None)
    if one is None:
        return lead, across, []
    rest = align([each.worked if each is not None else () for each in peeled])
    lead.append(_counted(voice, opening.chains, one, first))
    if one.same_place and rest and not first.before.ring:
        return lead, rest[1:], [_rest_in_same(voice, rest[0], where)]
    return lead, rest, []


def _rest_in_same(voice: Voice, item: Across, where: Where) -> str:
    """Return what else goes into the place that the turning chain stands on."""
    phrase = item_phrases(voice, item, replace(where, top=False))[-1]
    for next_ in ("the next ", "the last ", "next ", "last "):
        before, found, after = phrase.rpartition(f" in {next_}")
        if found:
            return f"{before} in {'the ' if voice.full else ''}same {after}"
    return phrase


def _uncounted(voice: Voice, rows: Sequence[CountedRow | None]) -> list[str]:
    """Return the turning chain that counts for nothing, if there is one."""
    first = next(row for row in rows if row is not None)
    opening = first.opening
    if opening is None:
        return []
    if first.foundation:
        taken = tuple(row.foundation if row is not None else first.foundation for row in rows)
        start = ordinals(tuple(number + 1 for number in taken))
        return [f"starting in {voice.the(start)} {voice.chain} from {voice.the('hook')}"]
    if opening.manner == "loop":
        return [f"{voice.chain} {opening.chains} (this makes a loop)"]
    if opening.chains == 1:
        return [f"{voice.chain} 1"]
    return [f"{voice.chain} {opening.chains} (does not count as a stitch)"]


def _counted(voice: Voice, chains: int, peeled: Peeled, first: CountedRow) -> str:
    stitch = peeled.stitch.stitch
    from ...lang.stitches import vocabulary

    plain = stitch if peeled.whole else vocabulary("US").find(stitch.base)
    assert plain is not None
    stands_for = f"{voice.the('first')} {voice.stitch(plain)}"
    if not peeled.whole:
        stands_for += f", as a leg of {voice.the('first')} {voice.stitch(stitch)}"
    if peeled.chains:
        stands_for += f" and {voice.chain} {peeled.chains}"
    if first.foundation or _from_hook(first):
        total = chains + peeled.chains
        start = ordinals((chains + 1,))
        skipped = f"{voice.the('')}{chains} {voice.noun('chain', (chains,))} {'skipped' if voice.dialect == 'US' else 'missed'}"
        if peeled.chains:
            return f"{voice.chain} {peeled.chains} ({skipped.strip()} counts as {voice.the('first')} {voice.stitch(plain)}, total {total})"
        count = "counts" if chains == 1 else "count"
        return f"starting in {voice.the(start)} {voice.chain} from {voice.the('hook')} ({skipped} {count} as {stands_for})"
    return f"{voice.chain} {chains + peeled.chains} (counts as {stands_for})"


def _slip_to(voice: Voice, rows: Sequence[CountedRow | None], across: list[Across], where: Where) -> str:
    first = next(row for row in rows if row is not None)
    words = slip_stitches(voice, [row.slip_to for row in rows if row is not None])
    return f"{_slip(voice).removeprefix('a ')} {words}, then {_slip(voice).removeprefix('a ')} in {_first_place(voice, first)}"


def _first_place(voice: Voice, row: CountedRow) -> str:
    worked = row.worked[0]
    used = worked.used if not isinstance(worked.step, BracketStep) else worked.body[0].used
    if kinds_of(used) == {"space"}:
        chains = {place.chains for place in sorts(used)}
        name = f"{voice.chain}-{chains.pop()} " if len(chains) == 1 else f"{voice.chain} "
        return voice.the(f"next {name}{voice.word('space', 'sp')}")
    return voice.the(f"next {voice.noun('stitch', (1,))}")


def _with_settings(voice: Voice, row: CountedRow, where: Where, lead: list[str], phrases: list[str]) -> str:
    """Return the sentence of a row; its yarn is named first, its loop after the turning chain."""
    if row.plan.yarn:
        lead = [f"with {row.plan.yarn}", *lead]
    if where.loop is None:
        return sentence(", ".join([*lead, *phrases])) if lead or phrases else ""
    opening = f"{sentence(', '.join(lead))} " if lead else ""
    return opening + sentence(", ".join([f"working {voice.loop(where.loop, row=True)}", *phrases]))


def _closing(voice: Voice, row: CountedRow, plan: PiecePlan) -> str:
    match plan.node.manner:
        case "turned rows":
            return "Turn."
        case "spiral rounds":
            return ""
        case manner:
            join = f"{'Join with ' + _slip(voice)} in {_joined_to(voice, row)}."
            return join + (" Turn." if manner == "turned rounds" else "")


def _joined_to(voice: Voice, row: CountedRow) -> str:
    opening = row.opening
    if opening is not None and opening.manner == "counts":
        return f"{voice.the('top of')} {voice.the('beginning')} {voice.chain}"
    first = row.after.parts[0] if row.after.parts else None
    while first is not None and type(first) is not Run:
        first = first.parts[0]
    if first is not None and first.place.is_space:
        return f"{voice.the('beginning')} {voice.chain}"
    return f"{voice.the('first')} {voice.noun('stitch', (1,))}"


def _from_hook(row: CountedRow) -> bool:
    if row.before.ring or not row.before.parts:
        return False
    first = row.before.parts[0]
    while type(first) is not Run:
        first = first.parts[0]
    return (first.place.kind == CHAIN and row.plan.reads_chains is False) or bool(row.foundation)


def _loops_apply(row: CountedRow) -> bool:
    return row.plan.loop is not None and not row.before.ring and not _from_hook(row)


def _names(parts: Segments) -> tuple[Mapping[str, int], frozenset[str]]:
    """Return the names on an edge with the places each covers, and which of them are marks."""
    names: dict[str, int] = {}
    marks: set[str] = set()
    for part in parts:
        if isinstance(part, Named):
            names[part.label] = part.unit
            if part.is_mark:
                marks.add(part.label)
        if isinstance(part, Named | Repeat):
            inner, inner_marks = _names(part.parts)
            names |= inner
            marks |= inner_marks
    return names, frozenset(marks)


def count_text(voice: Voice, rows: Sequence[CountedRow | None], plan: PiecePlan) -> str:
    """Return what a row ends with: `19 stitches`, `24 stitches and 6 chain spaces`."""
    count = tuple(row.stitches if row is not None else 0 for row in rows)
    words = [f"{sized(count)} {'stitch' if set(count) == {1} else 'stitches'}"]
    if not voice.full:
        words = [voice.counted("stitch", count)]
    tallies = [tally(row.after.parts) if row is not None else None for row in rows]
    spaces = tuple(found[SPACE] if found is not None else 0 for found in tallies)
    if any(spaces) and not plan.node.chains_count:
        words.append(voice.counted("space", spaces))
    bare = tuple(found[CHAIN] if found is not None else 0 for found in tallies)
    if any(bare) and not plan.node.chains_count:
        words.append(voice.counted("chain", bare))
    return listed(words)


# ---- from entries to print -----------------------------------------------------------------------------------


def _printed(entries: list[_Entry], anchor: str, *, last: bool) -> Iterator[RowText]:
    merged = _merged(_cycles_said(entries))
    for index, entry in enumerate(merged):
        closing = entry.closing
        ends_piece = last and index == len(merged) - 1
        if ends_piece and set(entry.times) == {1}:
            closing = closing.removesuffix("Turn.").strip()
        label = _label(entry)
        text = f"{entry.text} {closing}".strip() if entry.text else closing
        yield RowText(label, _anchor(anchor, entry), text, entry.count)


def _label(entry: _Entry) -> str:
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


def _anchor(anchor: str, entry: _Entry) -> str:
    return f"{anchor}-{entry.unit}-{'-'.join(map(str, dict.fromkeys(entry.numbers)))}" + "".join(
        f"-{''.join(c if c.isascii() and c.isalnum() else '-' for c in size.lower())}" for size in entry.only
    )


def _merged(entries: list[_Entry]) -> list[_Entry]:
    """Make one of rows that follow one another and say the same."""
    merged: list[_Entry] = []
    for entry in entries:
        before = merged[-1] if merged else None
        if before is not None and _same(before, entry):
            times = tuple(a + b for a, b in zip(before.times, entry.times, strict=True))
            merged[-1] = replace(before, times=times)
        else:
            merged.append(entry)
    return merged


def _same(before: _Entry, entry: _Entry) -> bool:
    return (
        before.text == entry.text
        and before.count == entry.count
        and before.closing == entry.closing
        and before.unit == entry.unit
        and before.only == entry.only
        and before.side == entry.side == ""
        and (len(set(before.times)) == 1) == (len(set(entry.times)) == 1)
    )


def _cycles_said(entries: list[_Entry]) -> list[_Entry]:
    """Say a stretch that goes on as rows before it did, with the same counts, as a repeat of those rows."""
    by_number = {
        (entry.numbers[0] + index): entry
        for entry in entries
        if len(set(entry.numbers)) == 1 and len(set(entry.times)) == 1 and entry.of_cycle is None
        for index in range(min(entry.times[0], 100))
    }
    out: list[_Entry] = []
    index = 0
    while index < len(entries):
        run = _cycle_run(entries, index, by_number)
        if run > 1:
            out.append(_as_repeat(entries[index : index + run]))
        else:
            out.append(entries[index])
        index += max(1, run)
    return out


def _cycle_run(entries: list[_Entry], start: int, by_number: Mapping[int, _Entry]) -> int:
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
    return run if run > last - first else 0


def _as_repeat(run: list[_Entry]) -> _Entry:
    assert run[0].of_cycle is not None and run[-1].of_cycle is not None
    first, last, _ = run[0].of_cycle
    unit = run[0].unit
    end = first + run[-1].of_cycle[2]
    rows = listed([str(number) for number in range(first, last + 1)])
    text = f"Work {unit}s {rows} in turn, ending with {unit} {end}."
    times = tuple(sum(entry.times[size] for entry in run) for size in range(len(run[0].times)))
    return _Entry(unit, run[0].numbers, times, text, run[-1].count, "")
