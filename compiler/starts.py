"""What the first row of a piece is worked into, and the pieces that a piece names."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..lang.seams import Method, method, methods
from ..lang.source import Span
from ..lang.stitches import vocabulary
from ..lang.syntax import Again, EdgeName, Laid, Seam, Start, Statement
from .fabric import SPACE
from .faults import fault
from .items import Items
from .pieces import PieceState, piece_index
from .plan import Along, LaidPlan, PiecePlan, SeamPlan, StartPlan
from .scope import EDGE_NAMES


def start_plan(
    node: Start, statement: Statement, above: Sequence[PiecePlan], here: PieceState, items: Items
) -> StartPlan:
    """Return what a piece is started on, `above` being the pieces before it. Raises Fault."""
    if node.kind == "ring":
        return StartPlan(node, statement.start, "ring")
    if node.kind == "edge":
        along = tuple(along_of(each, above, here, items) for each in node.edges)
        if node.ratio is not None and 0 in node.ratio:
            raise fault("zero-count", "a ratio of nothing gives no places", node.span)
        return StartPlan(node, statement.start, "edge", along=along, ratio=node.ratio, rounding=node.rounding)
    assert node.count is not None
    count = items.positive(node.count, node.span)
    if node.kind == "for":
        return StartPlan(node, statement.start, "for", count)
    assert node.name is not None
    stitch = items.stitch(node.name, node.name_span)
    if stitch.family == "chain":
        return StartPlan(node, statement.start, "joined chain" if node.joined else "chain", count)
    if stitch.family != "foundation":
        raise fault(
            "unknown-stitch",
            f"a piece can't start with {node.name}",
            node.name_span,
            help="start with chains (`start 14 ch`), a ring, or a foundation stitch (`start 24 fsc`)",
        )
    return StartPlan(node, statement.start, "joined stitches" if node.joined else "stitches", count, stitch)


def again_start(
    again: Again, offset: int, like: PiecePlan, above: Sequence[PiecePlan], here: PieceState, items: Items
) -> StartPlan | None:
    """Return what a piece is started on that is worked like another. Raises Fault."""
    start = like.start
    if start is None or start.kind != "edge":
        if again.edge is not None and start is not None:
            raise fault(
                "other-start",
                f"{like.node.name} is not begun on an edge, so nothing worked like it can be",
                again.span,
                help=f"leave the edge out, or give `piece {here.node.name}` a manner and rows of its own",
            )
        return start
    if again.edge is None:
        # The same edge once more, or the next run of that name.
        along = tuple(replace(each, span=again.span) for each in start.along)
        ratio, rounding = start.ratio, start.rounding
    else:
        along = (along_of(again.edge, above, here, items),)
        ratio, rounding = again.ratio, again.rounding
    return replace(
        start,
        node=replace(start.node, span=again.span),
        start=offset,
        along=along,
        ratio=ratio,
        rounding=rounding,
    )


def along_of(node: EdgeName, above: Sequence[PiecePlan], here: PieceState | None, items: Items) -> Along:
    """Return an edge of a piece above. Raises Fault."""
    index = piece_index(node.piece, node.span, above, here, items.scope)
    name = node.edge.casefold()
    if node.underside and name not in items.scope.marks:
        raise fault(
            "unknown-edge",
            f"no chains are marked {node.edge}",
            node.span,
            help=f"mark them where they are made: `3 ch as {node.edge}`",
        )
    if node.row is None and (node.underside or name not in EDGE_NAMES):
        if name not in items.scope.marks:
            raise fault(
                "unknown-edge",
                f"no edge and no run of a piece is called {node.edge}",
                node.span,
                help="the edges are `top`, `foundation`, `left`, `right` and `around`; a run gets a name "
                f"where it is skipped or made: `skip 36 as {node.edge}`",
            )
        name = items.scope.marks[name]
    count = items.positive(node.count, node.span) if node.count is not None else 0
    piece = above[index]
    return Along(
        index,
        piece.title,
        name,
        node.row,
        node.unit or "row",
        piece.in_rounds,
        node.end,
        count,
        node.span,
        piece.laid is not None,
        node.underside,
    )


def seam_plan(node: Seam, statement: Statement, above: Sequence[PiecePlan], items: Items) -> SeamPlan:
    """Return what a seam joins, and how. Raises Fault."""
    first, second = (
        tuple(along_of(each, above, None, items) for each in side) for side in (node.first, node.second)
    )
    way = None if node.method is None else method_of(node.method, node.method_span, items)
    return SeamPlan(node, statement.start, first, second, way)


def method_of(said: str, span: Span, items: Items) -> Method:
    """Return the way to join two edges that `in` names. Raises Fault if there is no such way."""
    stitch = items.scope.vocabulary.find(said)
    found = method(said.casefold() if stitch is None else stitch.key)
    if found is not None and (stitch is not None or found.sewn):
        return found
    from difflib import get_close_matches

    names = [_said(each, items.scope.dialect) for each in methods()]
    near = get_close_matches(said.casefold(), names, n=1)
    raise fault(
        "unknown-seam",
        f"no seam is made in {said}",
        span,
        help=f"write {', '.join(f'`in {each}`' for each in names[:-1])} or `in {names[-1]}`; or leave it out",
        facts={"word": said, "meant": near[0]} if near else {},
    )


def _said(way: Method, dialect: str) -> str:
    stitch = vocabulary("US").find(way.key)
    return way.key if stitch is None else stitch.source_name(dialect)


def laid_plan(node: Laid, above: Sequence[PiecePlan], here: PieceState, items: Items) -> LaidPlan:
    """Return the grid that motifs are laid in. Raises Fault."""
    index = piece_index(node.motif, node.motif_span, above, here, items.scope)
    across, high = (items.positive(each, node.span) for each in (node.across, node.high))
    if not across or not high:
        raise fault(
            "zero-count",
            f"{across} x {high} are no motifs",
            node.span,
            help="lay one at least, across and high",
        )
    if above[index].laid is not None:
        raise fault(
            "unknown-piece",
            f"{node.motif} is laid of motifs itself",
            node.motif_span,
            help="lay the motifs that it is made of",
        )
    at = tuple(SPACE if name.casefold() in (SPACE, "sps") else _mark(name, node, items) for name in node.at)
    way = None if node.method is None else method_of(node.method, node.span, items)
    return LaidPlan(node, index, across, high, at, way)


def _mark(name: str, node: Laid, items: Items) -> str:
    mark = items.scope.marks.get(name.casefold())
    if mark is None:
        raise fault(
            "unknown-name",
            f"no place is marked {name}",
            node.span,
            help=f"mark it in the last round of {node.motif}: `2 ch as {name}`; or write `sp` for all spaces",
        )
    return mark
