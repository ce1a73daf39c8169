"""How the count of a piece goes on from statement to statement, and past those that are wrong.

One mistake gives one error: what rows find is not always known after a fault, and then nothing is said of it.
"""

from __future__ import annotations

from dataclasses import replace

from ..lang.syntax import RepeatRows
from .counted import Block
from .kept import CountedRows, Lately
from .plan import Stretch
from .stretches import count_rows
from .underway import MISFITS, PieceCount

_OF_A_COUNT = (MISFITS - {"space-in-the-way", "turning-chain"}) | {
    "stated-total",
    "rows-do-not-fit",
    "until-missed",
}
"""Faults that may be no more than another fault's in the rows before."""


def counted_again(stretch: Stretch, state: PieceCount, kept: Lately[CountedRows] | None) -> None:
    """Count the rows of a statement, or take them as they were counted when they found the same."""
    if kept is None or state.other is not None:
        count_stretch(stretch, state)
        return
    key = id(stretch.node), id(state.plan.node), state.number
    ground, doubted, reached = state.ground, state.doubted, state.reached()
    known = kept.get(key)
    if (
        known is not None
        and known.reached == reached
        and (known.ground is ground or known.ground == ground)
        and (known.doubted is doubted or known.doubted == doubted)
        and known.stretch.says(stretch)
    ):
        state.parts.append(known.block.at(stretch.start))
        state.go_on(known.ground_after, known.doubted_after, known.reached_after)
        return
    told = len(state.diagnostics)
    fits = count_stretch(stretch, state)
    block = state.parts[-1]
    assert isinstance(block, Block)
    sound = fits and len(state.diagnostics) == told and state.other is None
    if sound and block.rows and not _looks_back(stretch):
        after = state.ground, state.doubted, state.reached()
        kept.put(key, CountedRows(state.plan.node, stretch, ground, doubted, reached, block, *after))


def _looks_back(stretch: Stretch) -> bool:
    """Tell whether what rows do hangs on more than the row before them."""
    return stretch.until is not None or any(row.elsewhere is not None for row in stretch.rows)


def count_stretch(stretch: Stretch, state: PieceCount) -> bool:
    """Count the rows of a statement, and return whether they fit what they find.

    After a wrong total they go on from the one that is stated. As soon as rows have a fault then, and none
    after what was counted, the total was the mistake, and what was counted stands.
    """
    if stretch.times == 0:
        count_rows(stretch, state)
        return True
    other, state.other = _other_count(state), None
    told, guessed, state.guessed = len(state.diagnostics), state.guessed, False
    count_rows(stretch, state)
    if other is not None:
        count_rows(stretch, other)
        if len(state.diagnostics) == told and not other.diagnostics:
            state.other = other if other.ground != state.ground else None
        elif not other.diagnostics:
            other.diagnostics = state.diagnostics[:told]
            state.take(other)
    return _hold_back(stretch, state, told, guessed)


def _other_count(state: PieceCount) -> PieceCount | None:
    """Return the count that goes on from what was counted, where a total says otherwise."""
    if state.doubted is None:
        return state.other
    counted, state.doubted = state.doubted, None
    return replace(state, ground=counted, parts=[*state.parts], diagnostics=[], other=None)


def _hold_back(stretch: Stretch, state: PieceCount, told: int, guessed: bool) -> bool:
    """Take back what hangs on rows that are told already: on what they left, or on how they are worked.

    Return whether there was nothing of a count to be told or taken back.
    """
    found = [each for each in state.diagnostics[told:] if each.name in _OF_A_COUNT]
    again = isinstance(stretch.node.content, RepeatRows) and state.is_faulty(stretch)
    if found and (guessed or again):
        state.diagnostics[told:] = [each for each in state.diagnostics[told:] if each not in found]
        state.doubted = None
    if found:
        state.faulty.update(id(row.body) for row in stretch.rows)
    state.guessed = state.guessed or (guessed and not stretch.states_stitches)
    return not found
