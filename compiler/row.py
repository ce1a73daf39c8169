"""One row: its turning chain, the walk along the edge it finds, and what is wrong once it is done."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from ..lang.diagnostics import Diagnostic, Label
from ..lang.source import Span
from ..lang.syntax import Piece
from .counted import Account, CountedRow, Worked
from .cursor import Cursor
from .fabric import (
    CHAIN,
    Chains,
    Edge,
    Made,
    Named,
    Run,
    Segments,
    edge,
    places,
    stitches,
    with_chains_as_places,
)
from .faults import Fault, fault, plural
from .makes import places_used
from .plan import Opening, PiecePlan, RowPlan
from .reckon import NeedsWalk, Turns, is_plain, reckoned
from .steps import (
    BracketStep,
    ChainStep,
    GroupStep,
    OwnStep,
    SkipStep,
    SpreadStep,
    Step,
    Steps,
    StitchStep,
    Target,
    TogetherStep,
)
from .turns import first_worked
from .values import LARGEST
from .walk import Walk


@dataclass(frozen=True, slots=True)
class Outcome:
    """What one row did, on ground that is known."""

    row: CountedRow | None
    """None where a fault stopped the walk."""
    faults: tuple[Diagnostic, ...]
    """With places as offsets into the statement that the row was written in."""


def reckoned_row(
    plan: RowPlan, ground: Edge, piece: PiecePlan, number: int, turns: Turns
) -> CountedRow | None:
    """Return what one row comes to by sums alone; None if it has to be walked, be it to say what is wrong."""
    if not is_plain(ground):
        return None
    try:
        _check_opening(plan, plan.opening, piece)
        made = reckoned(plan.body, ground.places, turns)
    except (NeedsWalk, Fault):
        return None
    row = _counted(plan, number, ground, made, piece, plan.opening, Account(_account, piece.node))
    return row if 0 < row.after.places <= LARGEST else None


def _account(plan: RowPlan, ground: Edge, piece: Piece) -> tuple[Worked, ...]:
    # Of a piece a row needs how it is worked alone: an account must not hold on to all of it.
    alone = PiecePlan(piece, 0, None, ())
    _, taken, edge_read = opened(plan, ground, alone)
    worked, _ = _walk(plan, ground, edge_read, taken, alone, 1).steps(plan.body)
    return worked


def walked_row(
    plan: RowPlan,
    ground: Edge,
    piece: PiecePlan,
    said: str = "this row",
    before: str = "the row before",
    number: int = 1,
    accelerate: bool = True,
) -> Outcome:
    """Walk one row over the ground it finds."""
    opening, taken, edge_read = opened(plan, ground, piece)
    walk = _walk(plan, ground, edge_read, taken, piece, number)
    walk.row, walk.before, walk.accelerate = said, before, accelerate
    try:
        _check_opening(plan, opening, piece)
        if taken:
            short = edge_read.places
            if short < 0:
                raise _chain_too_short(plan, ground, taken)
        worked, made = walk.steps(plan.body)
    except Fault as found:
        return Outcome(None, (_with_uses(found.diagnostic, plan, edge_read, said, before),))
    faults = _after_walk(plan, walk, worked, made, opening, piece, said, before)
    row = _counted(plan, number, ground, made, piece, opening, Account(_account, piece.node, worked))
    slip_to, idle = _slip_to(worked, piece, edge_read), tuple(_idle(worked))
    if not row.after.places and not faults:
        faults = (_empty(plan, said),)
    if row.after.places > LARGEST:
        many = Diagnostic("too-large", f"{said} makes more than {LARGEST:,} places", _body_span(plan))
        faults = (*faults, many)
    return Outcome(replace(row, foundation=taken, slip_to=slip_to, idle=idle), faults)


def _walk(plan: RowPlan, ground: Edge, edge_read: Edge, taken: int, piece: PiecePlan, number: int) -> Walk:
    """Return the walk along what a row reads of its ground, before its first item."""
    walk = Walk(edge_read, "this row", "the row before", Cursor(edge_read))
    walk.from_hook = taken if _is_bare(ground) else None
    walk.in_round = piece.in_rounds
    walk.begun_at = plan.elsewhere.begin if plan.elsewhere is not None else None
    if number == 1 and _is_bare(ground):
        walk.chain = ground.places
    return walk


def _empty(plan: RowPlan, said: str) -> Diagnostic:
    return Diagnostic(
        "empty-row",
        f"{said} works no stitch at all",
        _body_span(plan),
        help=f"work at least one stitch in it, or leave the {plan.unit} out: "
        f"a piece ends with its last {plan.unit}",
    )


def _counted(
    plan: RowPlan,
    number: int,
    ground: Edge,
    made: Made,
    piece: PiecePlan,
    opening: Opening | None,
    account: Account,
) -> CountedRow:
    if opening is not None and opening.manner == "loop":
        made = Made(Chains(opening.chains) + made.lead, made.parts, made.trail)
    parts = made.as_round() if piece.in_rounds else made.as_row()
    many = stitches(parts, chains_count=piece.node.chains_count)
    return CountedRow(plan, number, 1, ground, edge(parts), opening, many, account)


def _idle(worked: tuple[Worked, ...]) -> Iterator[Step]:
    """Yield the items whose stop was reached before they began."""
    for each in worked:
        step = each.step
        if isinstance(step, StitchStep | OwnStep | BracketStep | SkipStep) and step.stop and not each.count:
            yield step
        elif isinstance(step, BracketStep | GroupStep):
            yield from _idle(each.body)


def opened(plan: RowPlan, ground: Edge, piece: PiecePlan) -> tuple[Opening | None, int, Edge]:
    """Return the turning chain worked, the chains it takes out of a bare chain, and the edge that is left."""
    first = _first_target(plan.body)
    if ground.ring:
        if (first is not None and first.kind == "ring") or not ground.parts:
            return plan.opening, 0, Edge(ring=True)
        ground = Edge(ground.parts, ground.places)
        return plan.opening, 0, ground
    opening = plan.opening
    bare = _is_bare(ground)
    read = edge(with_chains_as_places(ground.parts)) if plan.reads_chains else ground
    if not bare or opening is None:
        return opening, 0, read
    if first_ordinal(plan.body) is not None:
        return None, 0, read
    taken = opening.chains - (opening.manner == "counts")
    if not taken:
        return opening, 0, read
    if taken > read.places:
        return opening, taken, Edge((), -1)
    cursor = Cursor(read)
    cursor.take(taken, stitches_only=False)
    return opening, taken, edge(cursor.take(cursor.remaining, stitches_only=False))


def _is_bare(ground: Edge) -> bool:
    """Tell whether the edge begins with single chains, as a foundation does."""
    if ground.ring or not ground.parts:
        return False
    first = ground.parts[0]
    while type(first) is Named:
        first = first.parts[0]
    return type(first) is Run and first.place.kind == CHAIN


def _chain_too_short(plan: RowPlan, ground: Edge, taken: int) -> Fault:
    return fault(
        "too-few-places",
        f"the turning chain takes {plural(taken, 'chain')}, and there are only {ground.places}",
        _body_span(plan),
        facts={"expected": taken, "found": ground.places},
    )


def _check_opening(plan: RowPlan, opening: Opening | None, piece: PiecePlan) -> None:
    if opening is None or opening.manner is None:
        return
    span = opening.span if opening.stated else _body_span(plan)
    if opening.manner == "loop" and piece.in_rounds:
        raise fault(
            "turning-chain",
            "a round has no turning chain that makes a loop",
            span,
            help="begin the round with chains instead: `3 ch, ...`",
        )
    if opening.manner != "counts":
        return
    first = _first_leaf(plan.body)
    chain = f"a chain of {opening.chains}"
    if not isinstance(first, StitchStep):
        what = "skips a place" if isinstance(first, SkipStep) else "is not a single stitch"
        raise fault(
            "turning-chain",
            f"{chain} counts as the first stitch, but what comes first {what}",
            first.span if first is not None else span,
            help=f"write `{plan.unit} ... tch 1:` for a turning chain that does not count",
        )
    if first.crossed or first.below:
        raise fault(
            "turning-chain",
            f"{chain} counts as the first stitch, but what comes first is "
            f"{'crossed' if first.crossed else 'worked further down'}",
            first.span,
            help=f"work one plain stitch first, or write `{plan.unit} ... tch 1:`",
        )
    if first.stitch.height < opening.chains:
        raise fault(
            "turning-chain",
            f"{chain} can't count as the first stitch, which is only "
            f"{plural(first.stitch.height, 'chain')} high",
            first.span,
            help=f"write `tch {first.stitch.height} counts`, or `tch 1` for one that does not count",
            facts={"chains": opening.chains, "height": first.stitch.height},
        )


def _after_walk(
    plan: RowPlan,
    walk: Walk,
    worked: tuple[Worked, ...],
    made: Made,
    opening: Opening | None,
    piece: PiecePlan,
    said: str,
    before: str,
) -> tuple[Diagnostic, ...]:
    """Return what is wrong with a row whose every item found its places."""
    if opening is not None and opening.manner == "counts" and not piece.in_rounds:
        first = first_worked(worked)
        if first is not None and first.passed:
            found = fault(
                "turning-chain",
                f"a chain of {opening.chains} counts as the first stitch, but the row passes "
                f"{plural(places(first.passed), 'place')} before that",
                first.step.span,
                help=f"write `{plan.unit} ... tch 1:` for a turning chain that does not count",
            )
            return (found.diagnostic,)
    left = walk.cursor.remaining
    if not left:
        return ()
    used = walk.ground.places - left
    it, fits = "it" if left == 1 else "them", _fitting(worked, left)
    if fits is not None:
        advice = f"work {it}: {fits}"
    elif piece.in_rounds:
        advice = f"work {it}: let the {plan.unit} end with a stitch `to end`"
    else:
        advice = f"work {it}"
    diagnostic = Diagnostic(
        "unworked-places",
        f"{said} leaves {plural(left, 'place')} of {before} unworked",
        _body_span(plan),
        tallies=tallies(worked, _uses),
        notes=(f"{before} gives {plural(walk.ground.places, 'place')}; {said} uses {used} of them",),
        help=f"{advice}, or end the {plan.unit} with `leave {left}`",
        facts={"expected": walk.ground.places, "found": used, "left": left},
    )
    return (diagnostic,)


def _fitting(worked: tuple[Worked, ...], left: int) -> str | None:
    """Return what count of the row's last item uses up all places; None if there is none."""
    last = worked[-1] if worked else None
    if last is None or not isinstance(last.step, BracketStep | StitchStep) or not last.step.count:
        return None
    if isinstance(last.step, StitchStep) and last.step.target is not None:
        return None
    each, rest = divmod(_uses(last), last.count)
    if rest or not each or left % each:
        return None
    count = last.step.count + left // each
    return (
        f"write `x {count}`"
        if isinstance(last.step, BracketStep)
        else f"{count} in place of {last.step.count}"
    )


def _with_uses(diagnostic: Diagnostic, plan: RowPlan, ground: Edge, said: str, before: str) -> Diagnostic:
    """Give the whole sum where a row wants more places than there are."""
    if diagnostic.name != "too-few-places" or diagnostic.tallies:
        return diagnostic
    uses = [places_used((step,)) for step in plan.body]
    known = [each for each in uses if each is not None]
    if len(known) != len(uses) or ground.places <= 0:
        return diagnostic
    wanted = sum(known)
    if wanted <= ground.places:
        return diagnostic
    if wanted > LARGEST:
        message = f"no row may have more than {LARGEST:,} places, and this one wants {wanted:,}"
        return replace(diagnostic, name="too-large", message=message, help="work fewer times")
    more = wanted - ground.places
    return replace(
        diagnostic,
        message=f"{said} wants {plural(wanted, 'place')}, but {before} gives {ground.places}: {more} too few",
        tallies=tuple(
            Label(step.span, str(each)) for step, each in zip(plan.body, known, strict=True) if each
        ),
        notes=(),
        help=f"work into {plural(more, 'place')} fewer, or make {more} more in {before}",
        facts={"expected": wanted, "found": ground.places, "short": more},
    )


def _slip_to(worked: tuple[Worked, ...], piece: PiecePlan, ground: Edge) -> Segments:
    """Return what a round passes before its first place: it is slip stitched over, not skipped."""
    if not piece.in_rounds or piece.node.manner == "spiral rounds" or _is_bare(ground):
        return ()
    first = first_worked(worked)
    if first is None:
        return ()
    target = getattr(first.step, "target", None)
    if not isinstance(target, Target) or target.kind != "ahead":
        return first.passed
    # Of a mark over several places the middle one is worked into: the way leads over those before it.
    cursor = Cursor(ground)
    passed = cursor.find(target.name)
    return (*passed, *cursor.take(cursor.labelled_places(target.name) // 2, stitches_only=False))


def _uses(worked: Worked) -> int:
    return places((*worked.passed, *worked.used))


def tallies(worked: tuple[Worked, ...], what: object) -> tuple[Label, ...]:
    return tuple(Label(each.step.span, str(what(each))) for each in worked if what(each))  # type: ignore[operator]


def _first_leaf(body: Steps) -> Step | None:
    """Return the first item that is not a bracket or a group."""
    for step in body:
        match step:
            case BracketStep(inner) | GroupStep(inner) | TogetherStep(inner) | SpreadStep(inner):
                return _first_leaf(inner)
            case OwnStep(stitch):
                return _first_leaf(stitch.body) if isinstance(stitch.body, tuple) else stitch.body
            case _:
                return step
    return None


def _first_target(body: Steps) -> Target | None:
    for step in body:
        if isinstance(step, BracketStep | TogetherStep):
            return _first_target(step.body)
        if isinstance(step, StitchStep | GroupStep | OwnStep):
            return step.target
        if not isinstance(step, ChainStep):
            return None
    return None


def first_ordinal(body: Steps) -> int | None:
    """Return the number of the single chain that the first stitch goes into."""
    target = _first_target(body)
    return target.which if target is not None and isinstance(target.which, int) else None


def _body_span(plan: RowPlan) -> Span:
    if not plan.body:
        return Span(0, 0)
    return Span(plan.body[0].span.start, plan.body[-1].span.end)
