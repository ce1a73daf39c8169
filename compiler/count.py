"""The count: walks each row of a pattern over the edge that the row before it left.

A plan goes in, counted rows and diagnostics come out. Rows that find and do the same as the one before are
counted once: a stretch of a million even rows costs one. After a faulty row the count goes on from the total
that its author states; where there is none, nothing is said about what hangs on it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..lang.diagnostics import Diagnostic
from .counted import Block, CountedMakingUp, CountedPattern, CountedPiece
from .edges import Edges
from .fabric import CHAIN, Edge, Place, Run, edge
from .faults import Fault, HeldBack, fault, plural
from .grids import laid_piece
from .joins import Joined
from .kept import CountedRows, Lately
from .plan import AgainPlan, Closing, PatternPlan, PiecePlan, Remark, StartPlan, Stretch
from .recovery import counted_again
from .row import first_ordinal
from .seams import Sewing, counted_making_up
from .underway import Memo, PieceCount


def count(
    plan: PatternPlan,
    memo: Memo | None = None,
    kept: Lately[CountedRows] | None = None,
    *,
    accelerate: bool = True,
) -> CountedPattern:
    """Return the pattern with every row counted, and what is wrong with the counts.

    `memo` is handed from size to size, `kept` from analysis to analysis. Without `accelerate` every turn of
    every bracket is walked.
    """
    memo = memo or Memo()
    edges = Edges()
    pieces = edges.pieces
    diagnostics = list(plan.diagnostics)
    sewing = Sewing(edges, plan.gauges)
    joined = Joined(edges)
    sewn: list[CountedMakingUp] = []

    def make_up(above: int) -> None:
        for group in plan.making_up:
            if group.above == above:
                counted, found = counted_making_up(group, sewing)
                sewn.append(counted)
                diagnostics.extend(found)

    for index, piece in enumerate(plan.pieces):
        make_up(index)
        if piece.laid is not None:
            laid, wrong = laid_piece(piece, piece.laid, edges)
            pieces.append(laid)
            diagnostics += wrong
            if laid.grid is None:
                edges.faulty.add(index)
            continue
        if piece.again is not None:
            again, wrong = _again(piece, pieces[piece.again.index], piece.again, edges)
            if wrong or piece.again.index in edges.faulty:
                edges.faulty.add(index)
            diagnostics += wrong
            pieces.append(again)
            if plan.has_joins:
                diagnostics += joined.join(pieces[-1])
            continue
        counted, found = _count_piece(piece, edges, memo, kept, accelerate)
        pieces.append(counted)
        if plan.has_joins:
            found = [*found, *joined.join(counted)]
        diagnostics += found
        if found:
            edges.faulty.add(index)
    make_up(len(plan.pieces))
    if plan.size:
        diagnostics = [replace(each, sizes=(plan.size,)) for each in diagnostics]
    return CountedPattern(plan.size, tuple(pieces), tuple(sewn), tuple(diagnostics), plan.gauges, plan.fits)


def _count_piece(
    plan: PiecePlan, edges: Edges, memo: Memo, kept: Lately[CountedRows] | None, accelerate: bool
) -> tuple[CountedPiece, Sequence[Diagnostic]]:
    if plan.start is not None and plan.start.kind == "edge":
        ground, start_count, said, faults = _ground_along(plan, plan.start, edges)
    else:
        ground, start_count, said = _ground(plan)
        faults = []
    state = PieceCount(plan, said, ground, memo, accelerate, diagnostics=faults)
    if plan.fastened_off:
        state.side_of_odd = "rs"
    for part in plan.parts:
        if isinstance(part, Remark | Closing):
            state.parts.append(part)
        else:
            counted_again(part, state, kept)
    return CountedPiece(plan, start_count, tuple(state.parts)), state.diagnostics


def _again(
    plan: PiecePlan, like: CountedPiece, again: AgainPlan, edges: Edges
) -> tuple[CountedPiece, list[Diagnostic]]:
    """Return a piece that is worked like another, and what is wrong with the edge that it is begun on."""
    counted = replace(like, plan=plan)
    start = plan.start
    rows = [row for part in like.parts if isinstance(part, Block) for row in part.rows]
    if start is None or start.kind != "edge" or not rows or again.index in edges.faulty:
        return counted, []
    try:
        ground = edges.ground(start, plan.make, from_behind=(rows[0].plan.side == "ws") != again.mirrored)
        if ground.parts != rows[0].before.parts:
            raise _unlike(plan, like, start, ground.places, rows[0].before.places)
    except HeldBack:
        return counted, []
    except Fault as found:
        return counted, [found.diagnostic.shifted(start.start)]
    return replace(counted, start_count=ground.places), []


def _unlike(plan: PiecePlan, like: CountedPiece, start: StartPlan, found: int, expected: int) -> Fault:
    said = start.along[0].said
    if found == expected:
        why = f"{said} has other places than those that {like.plan.title} is begun on"
    else:
        why = f"{said} has {plural(found, 'place')}, and {like.plan.title} is begun on {expected}"
    return fault(
        "other-start",
        why,
        start.node.span,
        help="name a part of the edge or a ratio that gives the same, such as `last 9` or `3 for 4`, or "
        f"write rows of its own for {plan.title}",
        facts={"expected": expected, "found": found},
    )


def _ground_along(
    plan: PiecePlan, start: StartPlan, edges: Edges
) -> tuple[Edge | None, int, str, list[Diagnostic]]:
    """Return what a piece is started along, as `_ground` does, and what is wrong with it."""
    first = next((part.rows[0] for part in plan.parts if isinstance(part, Stretch) and part.rows), None)
    from_behind = first is not None and first.side == "ws"
    said = f"the {start.along[0].said}" if len(start.along) == 1 else "the edge"
    try:
        ground = edges.ground(start, plan.make, from_behind=from_behind)
    except HeldBack:
        return None, 0, said, []
    except Fault as found:
        return None, 0, said, [found.diagnostic.shifted(start.start)]
    return ground, ground.places, said, []


def _ground(plan: PiecePlan) -> tuple[Edge | None, int, str]:
    """Return what the first row finds, the chains or stitches made for it, and what messages call it."""
    start = plan.start
    if start is None:
        return None, 0, "the start"
    foundation = (Run(Place(CHAIN), start.count),)
    match start.kind:
        case "ring":
            return Edge(ring=True), 0, "the ring"
        case "joined chain":
            return edge(foundation, ring=True), start.count, "the joined chain"
        case "for":
            many = start.count + _chains_for_turning(plan)
            return edge((Run(Place(CHAIN), many),)), many, "the foundation chain"
        case "chain":
            return edge(foundation), start.count, "the foundation chain"
        case _:
            assert start.stitch is not None
            row = (Run(Place(start.stitch.counts_as), start.count),)
            return edge(row), start.count, "the foundation row"


def _chains_for_turning(plan: PiecePlan) -> int:
    for part in plan.parts:
        if isinstance(part, Stretch) and part.rows:
            opening = part.rows[0].opening
            ordinal = first_ordinal(part.rows[0].body)
            if ordinal is not None:
                return ordinal - 1
            if opening is None:
                return 0
            return opening.chains - (opening.manner == "counts")
    return 0
