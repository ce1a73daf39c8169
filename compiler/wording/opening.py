"""How rows open and close: turning chains, the way to the first place, yarn and loops, joins."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ...lang.stitches import vocabulary
from ..counted import CountedRow
from ..fabric import CHAIN, Run
from ..plan import BracketStep, ChainStep, PiecePlan, SkipStep
from .aligned import Across, Peeled, align, parted, peel, unrolled
from .items import item_phrases
from .phrases import Voice, ordinal, ordinals, sentence
from .places import Where, kinds_of, slipped_over, space

Sized = Sequence[CountedRow | None]
"""One row in all sizes."""


def opened(voice: Voice, rows: Sized, where: Where) -> tuple[list[str], list[str], list[Across]]:
    """Return how a row opens, phrases of items that open it, and the items that follow."""
    first = present(rows)
    lead = [_way_to_first(voice, first)] if first.slip_to else []
    opening = first.opening
    if opening is not None and opening.manner == "counts":
        peeled = [peel(parted(row.worked)) if row is not None else None for row in rows]
        one = next((each for each in peeled if each is not None), None)
        if one is not None:
            lead.append(_counting_chain(voice, opening.chains, one, first))
            across = align([each.worked if each is not None else () for each in peeled])
            return lead, *_in_same(voice, across, where, one.same_place and not first.before.ring)
    lead += _plain_chain(voice, rows)
    if first.slip_to:
        across = align([unrolled(parted(row.worked)) if row is not None else () for row in rows])
    else:
        across = align([parted(row.worked) if row is not None else () for row in rows])
    return lead, *_in_same(voice, across, where, bool(first.slip_to))


def present(rows: Sized) -> CountedRow:
    """Return the row in the first size that has it."""
    return next(row for row in rows if row is not None)


def _in_same(voice: Voice, across: list[Across], where: Where, same: bool) -> tuple[list[str], list[Across]]:
    """Word the first item by itself if the hook is at its place already."""
    if not same or not across:
        return [], across
    return item_phrases(voice, across[0], replace(where, in_same=True)), across[1:]


def _plain_chain(voice: Voice, rows: Sized) -> list[str]:
    """Return the turning chain that counts for nothing, if there is one."""
    first = present(rows)
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


def _counting_chain(voice: Voice, chains: int, peeled: Peeled, first: CountedRow) -> str:
    """Return the turning chain that is a stitch, or a leg of one."""
    stitch = peeled.stitch.stitch
    plain = stitch if peeled.whole else vocabulary("US").find(stitch.base)
    assert plain is not None
    stands_for = f"{voice.the('first')} {voice.stitch(plain)}"
    if not peeled.whole:
        stands_for += f", as a leg of {voice.the('first')} {voice.stitch(stitch)}"
    if not first.foundation:
        after = f" and {voice.chain} {peeled.chains}" if peeled.chains else ""
        return f"{voice.chain} {chains + peeled.chains} (counts as {stands_for}{after})"
    noun = voice.noun("chain", (chains,))
    next_step = peeled.worked[0].step if peeled.worked and not peeled.chains else None
    while isinstance(next_step, BracketStep):
        next_step = next_step.body[0]
    if next_step is None or isinstance(next_step, ChainStep | SkipStep):
        count = f"count {voice.the('first')} {chains} {noun} from {voice.the('hook')} as {stands_for}"
        return f"{count}, {voice.chain} {peeled.chains}" if peeled.chains else count
    start = f"{voice.the(ordinal(chains + 1))} {voice.chain} from {voice.the('hook')}"
    passed = "skipped" if voice.dialect == "US" else "missed"
    return f"starting in {start} ({voice.the(f'{chains} {noun}')} {passed} count as {stands_for})"


def _way_to_first(voice: Voice, row: CountedRow) -> str:
    """Return the slip stitches from the join to a round's first place."""
    worked = row.worked[0]
    while isinstance(worked.step, BracketStep):
        worked = worked.body[0]
    place = space(voice, worked.used) if kinds_of(worked.used) == {"space"} else voice.noun("stitch", (1,))
    slip = slip_stitch(voice)
    return f"{slip} {slipped_over(voice, row.slip_to)}, then {slip} in {voice.the(f'next {place}')}"


def slip_stitch(voice: Voice) -> str:
    """Return the name of a slip stitch."""
    stitch = vocabulary("US").find("ss")
    assert stitch is not None
    return voice.stitch(stitch)


def joining(voice: Voice) -> str:
    """Return `join with a slip stitch`."""
    return f"join with {'a ' if voice.full else ''}{slip_stitch(voice)}"


def row_sentence(voice: Voice, row: CountedRow, where: Where, lead: list[str], phrases: list[str]) -> str:
    """Return a row as sentences: its yarn is named first, its loop after the turning chain."""
    if row.plan.yarn:
        lead = [f"with yarn {row.plan.yarn}", *lead]
    if where.loop is None:
        return sentence(", ".join([*lead, *phrases])) if lead or phrases else ""
    opening = f"{sentence(', '.join(lead))} " if lead else ""
    return opening + sentence(", ".join([f"working {voice.loop(where.loop, row=True)}", *phrases]))


def closing(voice: Voice, row: CountedRow, plan: PiecePlan) -> str:
    """Return what is done at the end of a row or round."""
    match plan.node.manner:
        case "turned rows":
            return "Turn."
        case "spiral rounds":
            return ""
        case manner:
            join = sentence(f"{joining(voice)} in {_joined_to(voice, row)}")
            return f"{join} Turn." if manner == "turned rounds" else join


def _joined_to(voice: Voice, row: CountedRow) -> str:
    opening = row.opening
    if opening is not None and opening.manner == "counts":
        return f"{voice.the('top of')} {voice.the('beginning')} {voice.chain}"
    first = row.after.parts[0] if row.after.parts else None
    while first is not None and type(first) is not Run:
        first = first.parts[0]  # type: ignore[union-attr]
    if first is not None and first.place.is_space:
        return f"{voice.the('beginning')} {voice.chain}"
    return voice.the(f"first {voice.noun('stitch', (1,))}")


def into_chains(row: CountedRow) -> bool:
    """Tell whether a row is worked into single chains that lie ahead of the hook."""
    if row.foundation:
        return True
    first = row.before.parts[0] if row.before.parts and not row.before.ring else None
    while first is not None and type(first) is not Run:
        first = first.parts[0]  # type: ignore[union-attr]
    return first is not None and first.place.kind == CHAIN and not row.plan.reads_chains
