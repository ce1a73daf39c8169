"""What is wrong where items and the edge they are worked into do not fit each other."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from ..lang.source import Span
from .cursor import Blocked
from .fabric import TIP, Place
from .faults import Fault, fault, none_or_only, plural, said_place
from .spread import even_lengths
from .steps import BracketStep, BranchStep, SpreadStep, Step, StitchStep, UndersideStep
from .values import LARGEST

if TYPE_CHECKING:
    from .position import Position


def too_few(walk: Position, step: Step, wanted: int, left: int) -> Fault:
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
    short = wanted - left
    return fault(
        "too-few-places",
        f"this wants {plural(wanted, 'place')}, but {none_or_only(left)} {'is' if left == 1 else 'are'} left "
        f"of the {walk.ground.places} that {walk.before} gives",
        walk.shown_at(step),
        help=f"work into {plural(short, 'place')} fewer, or make {short} more in {walk.before}",
        facts={"expected": wanted, "found": left},
    )


def space_in_the_way(walk: Position, step: Step, found: Blocked) -> Fault:
    """Return the fault of plain stitches that meet a chain space."""
    if found.place.kind == TIP:
        return fault(
            "space-in-the-way",
            "the tip of a branch comes up, and a plain stitch is not worked into a tip",
            walk.shown_at(step),
            help="say what to do with it: work `in tip`, or `skip tip`",
            facts={"after": found.taken},
        )
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


def nothing_ahead(walk: Position, name: str, span: Span, barrier: str | None) -> Fault:
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


def nothing_to_work(walk: Position, step: BracketStep, wanted: str) -> Fault:
    """Return the fault of a bracket that finds nothing of what it looks for, and so excuses nothing."""
    left = walk.cursor.remaining
    return fault(
        "unworked-places",
        f"the bracket finds no {said_place(wanted)}, so {plural(left, 'place')} of {walk.before} "
        f"{'is' if left == 1 else 'are'} left unworked",
        walk.shown_at(step),
        notes=(f"{walk.before} gives {plural(walk.ground.places, 'place')}",),
        help=f"work what is there, as in `sc to end`, or make the {said_place(wanted)} in {walk.before}",
        facts={"expected": walk.ground.places, "found": walk.ground.places - left, "left": left},
    )


def spread_too_close(walk: Position, step: SpreadStep, wanted: int, left: int) -> Fault:
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


def spread_unevenly(walk: Position, step: SpreadStep, wanted: int, left: int) -> Fault:
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


def no_underside(walk: Position, step: UndersideStep) -> Fault:
    """Return the fault of `underside` where no row goes along a foundation chain, or has been round it."""
    return fault(
        "no-underside",
        f"{walk.row} has no other side of a chain to go on along",
        walk.shown_at(step),
        help="`underside` stands once, in row or round 1 of a piece that is started with a chain, such as "
        "`start 12 ch`",
    )


def not_at_the_end(walk: Position, step: UndersideStep, left: int) -> Fault:
    """Return the fault of `underside` before the end of the chain."""
    return fault(
        "unworked-places",
        f"{plural(left, 'chain')} of the first side {'is' if left == 1 else 'are'} left before the other "
        "side begins",
        walk.shown_at(step),
        help="work, or `skip`, the first side to its end before `underside`",
        facts={"expected": walk.ground.places, "found": walk.ground.places - left, "left": left},
    )


def uneven(walk: Position, step: Step, wanted: int, uses: int) -> Fault:
    """Return the fault of what does not come out even."""
    if not uses:
        return fault("uneven-repeat", "the bracket does not come out even here", walk.shown_at(step))
    rest = wanted % uses
    fewer, more = wanted - rest, wanted - rest + uses
    thing = "the bracket" if isinstance(step, BracketStep) else "this"
    return fault(
        "uneven-repeat",
        f"{thing} uses {plural(uses, 'place')} at a time, and {wanted} is "
        f"not a multiple of {uses}: {rest} left over",
        walk.shown_at(step),
        notes=(f"{walk.before} gives {plural(walk.ground.places, 'place')}",),
        help=f"{f'{fewer} or {more}' if fewer else more} places would fit here: "
        f"{rest} fewer or {uses - rest} more"
        if fewer
        else f"{more} places would fit here: {uses - rest} more",
        facts={"found": wanted, "unit": uses, "fewer": fewer, "more": more},
    )


def in_turn(walk: Position, found: Fault, turn: int, count: int | None, step: BracketStep) -> Fault:
    """Say in which turn of a bracket a fault came up."""
    diagnostic = found.diagnostic
    note = f"this is in turn {turn} of the bracket"
    if count is not None:
        note += f", out of {count}"
    no_more = diagnostic.name == "nothing-ahead" and "wanted" in diagnostic.facts and turn > 1
    if count is None and (diagnostic.name == "too-few-places" or no_more):
        return fault(
            "uneven-repeat",
            f"the bracket fits {plural(turn - 1, 'time')}, and what is left is too little for another",
            walk.shown_at(step),
            notes=(f"in turn {turn}: {diagnostic.message}",),
            help="change the row before, or end the bracket earlier: `[...] to last 3`",
            facts={"turns": turn - 1},
        )
    return Fault(replace(diagnostic, notes=(*diagnostic.notes, note)))


def branch_length(walk: Position, step: BranchStep, left: int) -> Fault:
    """Return the fault of a branch whose items do not use up its chain; `left` 0 if they want more."""
    what = f"leave {plural(left, 'chain')} of it" if left else "want more"
    return fault(
        "branch-length",
        f"the branch is {plural(step.chains, 'chain')} long, and the items back along it {what}",
        walk.shown_at(step),
        help="skipped chains and stitches together must be as many as the chains: "
        "`10 ch and back [skip 3, 7 dc]`",
        facts={"expected": step.chains, "left": left},
    )


def odd_crossed(walk: Position, step: StitchStep, count: int) -> Fault:
    """Return the fault of crossed stitches that come to no pairs on this edge."""
    return fault(
        "odd-crossed",
        f"crossed stitches go in pairs, and here are {plural(count, 'place')}",
        walk.shown_at(step),
        help="work one by itself first",
        facts={"found": count},
    )


def no_gap(walk: Position, step: Step, ahead: Place | None, *, at_start: bool) -> Fault:
    """Return the fault of a stitch between two stitches where there are not two."""
    if at_start:
        why = "no stitch lies behind yet: a gap is between two"
    elif ahead is None:
        why = "no stitch comes after it: a gap is between two"
    else:
        why = "what comes next is no stitch: a gap is between two of them"
    return fault(
        "no-gap",
        why,
        walk.shown_at(step),
        help="work into the place itself: `in st`, `in sp`, `in tip`",
    )


def no_edge(walk: Position, step: Step) -> Fault:
    """Return the fault of a stitch in the edge of the work where there is none, or no row is named."""
    return fault(
        "no-edge",
        "the edge of the work is at the ends of rows"
        if walk.in_round
        else "no row end below the hook is named here",
        walk.shown_at(step),
        help="at the beginning or the end of a row say how far down it is: `sc below 2 in edge`",
    )


def no_skipped(walk: Position, step: Step, many: int, which: int | None) -> Fault:
    """Return the fault of going back to a skipped place that is not there, or has been worked into."""
    if not many:
        why = "no place was skipped before this that could be gone back to"
    elif which is not None and which > many:
        why = f"the last skip has {plural(many, 'place')}, so there is no {which} among them"
    else:
        why = "what was skipped last has been worked into already"
    return fault(
        "no-skipped",
        why,
        walk.shown_at(step),
        help="skip first, without a name, and go back later in the row: `skip 2, 2 dc in st, dc in skipped`",
        facts={"found": many},
    )


def no_start(walk: Position, step: Step) -> Fault:
    """Return the fault of working where the round began in a row, or before anything is worked."""
    if not walk.in_round:
        why, what = "a row has no start that its end comes back to", "name the place: `in st`, `in same`"
    else:
        why, what = "the round begins here: nothing has been worked yet", "write `in st`"
    return fault("no-start", why, walk.shown_at(step), help=what)


def no_post(walk: Position, step: StitchStep) -> Fault:
    """Return the fault of a post stitch around something that has no post."""
    return fault(
        "no-post",
        "a post stitch goes around the post of a stitch, and there is none here",
        walk.shown_at(step),
        help="work a plain stitch into a space, a ring or a chain; `skip sp` to go past a space",
    )
