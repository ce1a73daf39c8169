"""A row as English, sizes side by side."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ...lang.stitches import vocabulary
from ..counted import CountedRow, Worked
from ..fabric import CHAIN, SPACE, TIP, Named, Repeat, Segments, places, tally
from ..plan import CheckedTotal, PiecePlan
from ..steps import BracketStep, ChainStep, UndersideStep
from ..totals import count_of
from .aligned import Across
from .colours import gathered, yarn_of
from .items import bracket, depth, item_phrases
from .opening import (
    HookStart,
    Sized,
    begun_in,
    closing,
    in_first_chain,
    into_chains,
    opened,
    present,
    row_sentence,
)
from .phrases import Numbers, Voice, sized
from .places import Where, place_name, rest_left


def row_text(voice: Voice, rows: Sized, plan: PiecePlan, *, changes_yarn: bool) -> tuple[str, str]:
    """Return what a row says in all sizes, its yarn where the piece `changes_yarn`, and how it closes."""
    first = present(rows)
    names, marks = _names(first.before.parts)
    in_chains = into_chains(first)
    loops_apply = first.plan.loop is not None and not first.before.ring and not in_chains
    where = Where(
        in_round=plan.in_rounds,
        loop=first.plan.loop if loops_apply else None,
        from_hook=in_chains,
        yarn=yarn_of([row for row in rows if row is not None]) if changes_yarn else "",
        names=names,
        marks=marks,
    )
    lead, phrases, worked = opened(voice, rows, where, plan)
    across = gathered(worked)
    counting = first.opening is not None and first.opening.manner == "counts" and not first.foundation
    used = bool(phrases) or counting or in_chains or bool(first.slip_to) or first.whence is not None
    fresh = not used and plan.node.manner != "spiral rounds"
    if not lead and not phrases and not in_chains:
        phrases, across = _chains_first(voice, across)
    alone = len(across) == 1 and not phrases and not counting
    if (
        not phrases
        and across
        and lead
        and isinstance(start := lead[-1], HookStart)
        and in_first_chain(across[0])
    ):
        lead, phrases = lead[:-1], [begun_in(voice, across.pop(0), start, where)]
    beyond: Numbers = ()
    for item, star in zip(across, _stars(across), strict=True):
        if not any(item.count):
            continue
        here = where.but(whole_row=alone, from_start=fresh)
        if star:
            phrases += [bracket(voice, item, where, star=star), *rest_left(voice, item)]
        else:
            phrases += item_phrases(voice, item, here)
        if isinstance(item.step, UndersideStep):
            beyond = item.count
        elif beyond:
            after = tuple(
                max(0, many - _used(worked)) for many, worked in zip(beyond, item.each, strict=True)
            )
            phrases[-1] += _once_skipped(voice, rows, beyond, after)
            beyond = after
        fresh = fresh and not any(worked.used or worked.passed for worked in item.present)
        where = where.but(last_place=place_name(voice, item) or where.last_place)
    return row_sentence(voice, first, where, lead, phrases, plan), closing(voice, first, plan)


def _used(worked: Worked | None) -> int:
    """Return the places that an item uses, passes or leaves."""
    return places((*worked.passed, *worked.used, *worked.rest)) if worked is not None else 0


def _once_skipped(voice: Voice, rows: Sized, before: Numbers, after: Numbers) -> str:
    """Return which chains of those that an item comes to were skipped at the beginning; empty for none.

    `before` and `after` are the chains of the other side that are left before and after the item.
    """
    taken = [_skipped_at_start(row) if row is not None else 0 for row in rows]
    sizes = [index for index, row in enumerate(rows) if row is not None]
    come_to = tuple(max(0, min(taken[at], before[at]) - after[at]) for at in sizes)
    if not all(come_to):
        return ""
    if any(come < before[at] - after[at] for come, at in zip(come_to, sizes, strict=True)):
        return voice.say_many("rows.skipped.last", come_to)
    if {taken[at] for at in sizes} == {1}:
        return voice.say("rows.skipped.only")
    return voice.say_many("rows.skipped.all", come_to)


def _skipped_at_start(row: CountedRow) -> int:
    """Return how many chains a first row skips: a turning chain, or what it looks past."""
    if row.opening is not None and row.opening.manner == "counts":
        return row.opening.chains
    return row.foundation + (places(row.worked[0].passed) if row.worked else 0)


def _stars(across: Sequence[Across]) -> list[str]:
    """Return what each item's repeat starts from: stars for the brackets that others stand in, or for the one
    bracket that there is; empty for all others."""
    depths = [
        depth(item) if isinstance(item.step, BracketStep) and set(item.count) != {1} else 0 for item in across
    ]
    brackets = sum(map(bool, depths))
    stars: list[str] = []
    for each in depths:
        starred = each > 1 or (each == 1 and brackets == 1)
        stars.append("*" * (1 + sum(map(bool, stars))) if starred else "")
    return stars


def _chains_first(voice: Voice, across: list[Across]) -> tuple[list[str], list[Across]]:
    """Return the chains that a row begins with, and what follows, with a bracket of one turn opened."""
    if not across:
        return [], across
    first, *rest = across
    match first.step:
        case ChainStep(mark=mark, joint=None):
            chains = f"{voice.say_many('items.chains', first.count)}{voice.marking(mark, 'space')}"
            return [voice.say("rows.makes-space", chains=chains)], rest
        case BracketStep() if set(first.count) == {1} and not any(each.rest for each in first.present):
            phrases, inside = _chains_first(voice, first.body)
            return (phrases, [*inside, *rest]) if phrases else ([], across)
        case _:
            return [], across


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


def count_text(voice: Voice, rows: Sized, plan: PiecePlan) -> str:
    """Return what a row ends with: `19 stitches`, `24 stitches and 6 chain spaces`."""
    words = [voice.counted("stitch", tuple(row.stitches if row is not None else 0 for row in rows))]
    if not plan.node.chains_count:
        tallies = [tally(row.after.parts) if row is not None else {} for row in rows]
        for kind, noun in ((SPACE, "space"), (CHAIN, "chain"), (TIP, "tip")):
            count = tuple(found.get(kind, 0) for found in tallies)
            if any(count):
                words.append(voice.counted(noun, count))
    return voice.listed(words)


def kinds_text(voice: Voice, rows: Sequence[CountedRow], totals: Sequence[tuple[CheckedTotal, ...]]) -> str:
    """Return the kinds that a stated total names beside stitches and spaces: `32 “cross”`."""
    said = {part.kind: part for total in totals for part in total}
    words = []
    for kind in said:
        count = tuple(count_of(kind, row) for row in rows)
        stitch = vocabulary("US").find(kind)
        if kind.startswith("yarn "):
            words.append(voice.say("rows.in-yarn", count=sized(count), yarn=kind.removeprefix("yarn ")))
        elif kind.startswith("as "):
            name = kind.removeprefix("as ")
            is_mark = any(name in _names(row.after.parts)[1] for row in rows)
            words.append(voice.say("rows.marked" if is_mark else "rows.own", count=sized(count), name=name))
        elif stitch is not None and count != tuple(row.stitches for row in rows):
            words.append(voice.stitches_of(stitch, count))
    return voice.listed(words) if words else ""
