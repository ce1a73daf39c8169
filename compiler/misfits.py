"""What is wrong where items and the edge they are worked into do not fit each other."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from ..lang.source import Span
from .fabric import Blocked
from .faults import Fault, fault, none_or_only, plural, said_place
from .plan import (
    BracketStep,
    SpreadStep,
    Step,
    UndersideStep,
)
from .spread import even_lengths
from .values import LARGEST

if TYPE_CHECKING:
    from .walk import Walk


def too_few(walk: Walk, step: Step, wanted: int, left: int) -> Fault:
    """Return the fault of an item that wants more places than are left."""
    if walk.ground.ring and not walk.ground.places:
        return fault(
            "too-few-places",
            "a ring has no single stitches to work into",
            walk.shown_at(step),
            help="say `in ring`: `6 sc in ring`",
            facts={"expected": wanted, "found": 0},
        )
    if wanted > LARGEST:
        return fault("too-large", f"no row may have more than {LARGEST:,} places", walk.shown_at(step))
    return fault(
        "too-few-places",
        f"this wants {plural(wanted, 'place')}, but {none_or_only(left)} {'is' if left == 1 else 'are'} left "
        f"of the {walk.ground.places} that {walk.before} gives",
        walk.shown_at(step),
        facts={"expected": wanted, "found": left},
    )


def space_in_the_way(walk: Walk, step: Step, found: Blocked) -> Fault:
    """Return the fault of plain stitches that meet a chain space."""
    chains = found.place.chains
    after = f" after {plural(found.taken, 'stitch', 'stitches')}" if found.taken else ""
    space = f"a chain-{chains} space" if chains else "a space"
    return fault(
        "space-in-the-way",
        f"{space} comes up{after}, and a plain stitch is not worked into a space",
        walk.shown_at(step),
        help="say what to do with it: work `in sp` or `in each ch`, or `skip sp`",
        facts={"chains": chains, "after": found.taken},
    )


def nothing_ahead(walk: Walk, name: str, span: Span, barrier: str | None) -> Fault:
    """Return the fault of a look-ahead that finds nothing, or a mark before it."""
    what = said_place(name)
    if barrier is not None:
        return fault(
            "nothing-ahead",
            f"there is no {what} before the place marked {barrier}, and a look ahead never passes a mark",
            span,
            help=f"work up to {barrier} or skip it first: `skip to {barrier}`",
        )
    return fault(
        "nothing-ahead",
        f"there is no {what} ahead in what {walk.before} left",
        span,
        facts={"wanted": name},
    )


def spread_too_close(walk: Walk, step: SpreadStep, wanted: int, left: int) -> Fault:
    """Return the fault of items to be spread over fewer places than they use."""
    return fault(
        "uneven-spread",
        f"these items use {plural(wanted, 'place')}, and there {'is' if left == 1 else 'are'} only {left} to "
        "spread them over",
        walk.shown_at(step),
        notes=(f"{walk.before} gives {plural(walk.ground.places, 'place')}",),
        help=f"leave {plural(wanted - left, 'stitch', 'stitches')} out, or spread them over {wanted} places "
        "or more",
        facts={"expected": wanted, "found": left},
    )


def spread_unevenly(walk: Walk, step: SpreadStep, wanted: int, left: int) -> Fault:
    """Return the fault of more stitches than a maker can be told the places of, with gaps that differ."""
    fewer, more = even_lengths(wanted, left, in_round=walk.in_round)
    return fault(
        "uneven-spread",
        f"{wanted} stitches over {left} places have gaps that differ, "
        "and that is too many to name the place of each",
        walk.shown_at(step),
        help=f"spread them over {fewer} or {more} places, or over fewer at a time with `[...] x 10`",
        facts={"expected": wanted, "found": left, "fewer": fewer, "more": more},
    )


def no_underside(walk: Walk, step: UndersideStep) -> Fault:
    """Return the fault of `underside` where no round goes along a foundation chain, or has been round it."""
    return fault(
        "no-underside",
        f"{walk.row} has no other side of a chain to go on along",
        walk.shown_at(step),
        help="`underside` stands once, in round 1 of a piece of rounds that is started with a chain, such as "
        "`start 12 ch`",
    )


def not_at_the_end(walk: Walk, step: UndersideStep, left: int) -> Fault:
    """Return the fault of `underside` before the end of the chain."""
    return fault(
        "unworked-places",
        f"{plural(left, 'chain')} of the first side {'is' if left == 1 else 'are'} left before the other "
        "side begins",
        walk.shown_at(step),
        help="work, or `skip`, the first side to its end before `underside`",
        facts={"expected": walk.ground.places, "found": walk.ground.places - left, "left": left},
    )


def uneven(walk: Walk, step: Step, wanted: int, uses: int) -> Fault:
    """Return the fault of what does not come out even."""
    if not uses:
        return fault("uneven-repeat", "the bracket does not come out even here", walk.shown_at(step))
    rest = wanted % uses
    fewer, more = wanted - rest, wanted - rest + uses
    thing = "the bracket" if isinstance(step, BracketStep) else "this"
    return fault(
        "uneven-repeat",
        f"{thing} uses {plural(uses, 'place')} at a time, and {wanted} {'is' if wanted == 1 else 'are'} "
        f"no multiple of {uses}: {rest} left over",
        walk.shown_at(step),
        notes=(f"{walk.before} gives {plural(walk.ground.places, 'place')}",),
        help=f"{f'{fewer} or {more}' if fewer else more} places would fit here: "
        f"{rest} fewer or {uses - rest} more"
        if fewer
        else f"{more} places would fit here: {uses - rest} more",
        facts={"found": wanted, "unit": uses, "fewer": fewer, "more": more},
    )


def in_turn(walk: Walk, found: Fault, turn: int, count: int | None, step: BracketStep) -> Fault:
    """Say in which turn of a bracket a fault came up."""
    diagnostic = found.diagnostic
    note = f"this is in turn {turn} of the bracket"
    if count is not None:
        note += f", out of {count}"
    if count is None and diagnostic.name == "too-few-places":
        return fault(
            "uneven-repeat",
            f"the bracket fits {plural(turn - 1, 'time')}, and what is left is too little for another",
            walk.shown_at(step),
            notes=(f"in turn {turn}: {diagnostic.message}",),
            help="change the row before, or end the bracket earlier: `[...] to last 3`",
            facts={"turns": turn - 1},
        )
    return Fault(replace(diagnostic, notes=(*diagnostic.notes, note)))
