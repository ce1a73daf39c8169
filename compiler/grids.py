"""Motifs in a grid: what a motif's sides are, and whether each fits the one that it lies against.

One motif stands for all of them, so a grid of a million costs what one of four does.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from ..lang.diagnostics import Diagnostic
from .counted import Block, CountedPiece, Grid, GridSide
from .cursor import Cursor
from .edges import Edges
from .fabric import SPACE, Edge, Named, Repeat, Run, Segments, edge, joined, tally
from .faults import Fault, HeldBack, fault, plural
from .lengths import measured
from .outline import SIDES
from .plan import Along, LaidPlan, PiecePlan
from .seams import said_length

CORNERS = 4


def laid_piece(plan: PiecePlan, laid: LaidPlan, edges: Edges) -> tuple[CountedPiece, list[Diagnostic]]:
    """Return motifs in a grid, and what is wrong with them."""
    try:
        return CountedPiece(plan, 0, (), _grid(laid, edges)), []
    except HeldBack:
        return CountedPiece(plan, 0, ()), []
    except Fault as found:
        return CountedPiece(plan, 0, ()), [found.diagnostic.shifted(plan.start_offset)]


def _grid(laid: LaidPlan, edges: Edges) -> Grid:
    motif = edges.pieces[laid.index]
    if motif.plan.in_rounds:
        grid = _of_rounds(laid, motif, edges.top(laid.index, laid.motifs, laid.node.motif_span))
    elif laid.at:
        raise fault(
            "no-corners",
            f"{motif.plan.title} is worked in rows, so it can't be joined in its last round",
            laid.node.span,
            help=f"sew it: `{laid.node.motif}, sewn in whip stitch`",
        )
    else:
        title, span = motif.plan.title, laid.node.motif_span
        sides = [
            GridSide((), stretch.parts)
            for name in SIDES
            for stretch in edges.taken(Along(laid.index, title, name, span=span), laid.motifs)
        ]
        grid = Grid((sides[0], sides[1], sides[2], sides[3]))
    _check_facing(laid, motif, grid)
    return grid


def _of_rounds(laid: LaidPlan, motif: CountedPiece, top: Segments) -> Grid:
    corner = _corner(laid, motif, top)
    corners, between = _parted(edge(top), corner)
    joints = [tuple(_joints(laid, motif, parts, corner)) for parts in between]
    if laid.at and corner in laid.at:
        for each in corners:
            _check_chain(laid, motif, each, corner)
    for name in laid.at:
        if name != corner and not any(name == each for side in joints for each, _, _ in side):
            raise fault(
                "unknown-edge",
                f"between its corners {motif.plan.title} has no {'chain space' if name == SPACE else name}",
                laid.node.span,
                help=f"join it at its corners alone, `joined at {corner}`, or mark places of its last round",
            )
    sides = [GridSide(*each) for each in zip(corners, between, joints, strict=True)]
    last = next(part for part in reversed(motif.parts) if isinstance(part, Block) and part.rows).rows[-1]
    return Grid(
        (sides[0], sides[1], sides[2], sides[3]),
        corner,
        not laid.at or corner in laid.at,
        last.number + last.times - 1,
    )


def _corner(laid: LaidPlan, motif: CountedPiece, top: Segments) -> str:
    """Return the mark that stands on four places of a last round. Raises Fault."""
    counts = tally(top)
    marks = sorted(
        kind.removeprefix("as ")
        for kind, many in counts.items()
        if kind.startswith("as ") and many == CORNERS and _is_mark(top, kind.removeprefix("as "))
    )
    if len(marks) > 1 and (named := [mark for mark in marks if mark in laid.at[:1]]):
        marks = named
    if len(marks) != 1:
        found = ", ".join(f"{counts[f'as {mark}']} {mark}" for mark in marks) or "none"
        raise fault(
            "no-corners",
            f"the corners of {motif.plan.title} are not known: of the marks that stand on four places of its "
            f"last round there {'are' if marks else 'is'} {found}",
            laid.node.span,
            help="mark the four corners of the last round, `(2 dc, 2 ch as corner, 2 dc) in corner`, and "
            "nothing else four times; or name the corners first after `joined at`",
            facts={"expected": 1, "found": len(marks)},
        )
    return marks[0]


def _is_mark(parts: Segments, name: str) -> bool:
    return any(
        (isinstance(part, Named) and part.is_mark and part.label == name) or _is_mark(part.parts, name)
        for part in parts
        if not isinstance(part, Run)
    )


def _parted(round_: Edge, corner: str) -> tuple[list[Segments], list[Segments]]:
    """Return the four corners of a round, and what lies after each up to the next one."""
    cursor = Cursor(round_)
    corners, between = [], []

    def up_to_corner() -> Segments:
        return cursor.take(cursor.distance(corner, past_marks=True), stitches_only=False)

    before = up_to_corner()
    for number in range(1, CORNERS + 1):
        corners.append(cursor.take(cursor.labelled_places(corner), stitches_only=False))
        between.append(
            up_to_corner()
            if number < CORNERS
            else joined(cursor.take(cursor.remaining, stitches_only=False), before)
        )
    return corners, between


def _joints(
    laid: LaidPlan, motif: CountedPiece, parts: Segments, corner: str
) -> Iterator[tuple[str, int, int]]:
    """Yield where a side is joined between its corners: the name, the chains of the space, how many."""
    for name in laid.at:
        if name == corner:
            continue
        chains: Counter[int] = Counter()
        for each, times in _called(parts, name):
            _check_chain(laid, motif, each, name)
            (run,) = each
            assert isinstance(run, Run)
            chains[run.place.chains] += run.count * times
        yield from ((name, length, many) for length, many in sorted(chains.items()))


def _called(parts: Segments, name: str, times: int = 1) -> Iterator[tuple[Segments, int]]:
    """Yield each stretch that has a name, or each run of unmarked spaces, and how often it is there."""
    for part in parts:
        match part:
            case Run(place) if name == SPACE and place.is_space:
                yield (part,), times
            case Named(label=label, parts=inner) if label == name:
                yield inner, times
            case Named(parts=inner, is_mark=is_mark) if name != SPACE or not is_mark:
                yield from _called(inner, name, times)
            case Repeat(inner, turns):
                yield from _called(inner, name, times * turns)
            case _:
                pass


def _check_chain(laid: LaidPlan, motif: CountedPiece, parts: Segments, name: str) -> None:
    """Refuse to join where there is no chain to join in the place of."""
    if len(parts) == 1 and isinstance(parts[0], Named):
        parts = parts[0].parts
    if len(parts) == 1 and isinstance(parts[0], Run) and parts[0].place.is_space:
        return
    raise fault(
        "no-chain-to-join",
        f"{name} of {motif.plan.title} is no chain space, so there is no chain to join in the place of",
        laid.node.span,
        help=f"make it one, `ch as {name}`, join somewhere else, or sew the motifs: `sewn in whip stitch`",
    )


def _check_facing(laid: LaidPlan, motif: CountedPiece, grid: Grid) -> None:
    """Report sides that lie against one another and do not fit."""
    for one, other, many in ((0, 2, laid.high), (1, 3, laid.across)):
        first, second = grid.sides[one], grid.sides[other]
        if many < 2:
            continue
        if laid.at and not grid.corners_joined and not (first.joints and second.joints):
            raise _unjoined(laid, motif, one)
        lengths = [measured(each.between) for each in (first, second)]
        spaces = [sum(joint[2] for joint in each.joints) for each in (first, second)]
        if laid.at and first.joints != second.joints:
            found = [plural(each, "place") for each in spaces]
            what = f"{found[0]} to be joined at, the one opposite {found[1]}"
            if spaces[0] == spaces[1]:
                what = "chain spaces of other lengths than the one opposite"
        elif lengths[0] != lengths[1]:
            what = f"{said_length(lengths[0])}, the one opposite {said_length(lengths[1])}"
        else:
            continue
        raise fault(
            "uneven-sides",
            f"sides of {motif.plan.title} lie against one another and do not fit: one has {what}",
            laid.node.span,
            help="work opposite sides of the last round alike, from corner to corner",
        )


def _unjoined(laid: LaidPlan, motif: CountedPiece, side: int) -> Fault:
    where = "one above another" if side == 0 else "side by side"
    return fault(
        "unjoined-sides",
        f"nothing joins copies of {motif.plan.title} that lie {where}: no place of their sides is joined",
        laid.node.span,
        help="join them at their corners too, or mark places on all four sides",
    )
