"""Stitch kinds: how many of each a piece is worked of, in which yarn.

Everything that takes yarn is told: turning chains, the chains of spaces, slip stitches that lead to where a
round begins or close it, seams. What hangs on the maker is left out: tails, the stitch that joins a new yarn.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import ceil
from typing import assert_never

from ..lang.seams import Method, methods
from ..lang.stitches import Stitch, vocabulary
from .counted import Block, CountedPattern, CountedPiece, CountedRow, CountedSeam, Grid, Length, Worked
from .gauges import Gauges
from .lengths import length_of
from .outline import SIDES, Stretch, has_sides
from .plan import LaidPlan, PiecePlan
from .steps import (
    MESH_WIDTH,
    BracketStep,
    BranchStep,
    ChainStep,
    GroupStep,
    LeaveStep,
    MeshStep,
    OwnStep,
    SaidStep,
    SkipStep,
    SpreadStep,
    StitchStep,
    Target,
    TogetherStep,
    UndersideStep,
)

Kinds = Counter[tuple[str, Stitch]]
"""How many of each stitch are worked in the yarn of that name; it is empty if no yarns are listed."""


def kinds_made(pattern: CountedPattern) -> Kinds:
    """Return the kinds of everything, each piece as often as it is made."""
    found = Kinds()
    pieces = pattern.pieces
    laid = Counter[int]()
    for piece in pieces:
        if piece.plan.laid is not None:
            laid[piece.plan.laid.index] += piece.plan.laid.motifs
    for index, piece in enumerate(pieces):
        _add_times(found, _kinds_in(piece), max(piece.plan.make, laid[index]))
        found.update(_of_grid(pattern, piece))
    for group in pattern.making_up:
        for seam in group.parts:
            if isinstance(seam, CountedSeam):
                stitches = ceil(seam.times * max(map(_stitches_along, (seam.first, seam.second))))
                found[_last_yarn(pieces[seam.plan.first[0].index]), _sewn(seam.plan.method)] += stitches
    return found


def _sewn(method: Method | None) -> Stitch:
    """Return the stitch whose yarn a seam takes for each of its own; as the maker likes, by the first way."""
    return _stitch((method or methods()[0]).yarn)


def _of_grid(pattern: CountedPattern, piece: CountedPiece) -> Kinds:
    """Return what a grid takes beside its motifs; none of any other piece."""
    found = Kinds()
    laid, grid = piece.plan.laid, piece.grid
    if laid is None or grid is None:
        return found
    motif = pattern.pieces[laid.index]
    yarn = _last_yarn(motif)
    if laid.at:
        many = _joins(laid, grid)
        found[yarn, _stitch("ss")] += many
        found[yarn, _stitch("ch")] -= many
    else:
        found[yarn, _sewn(laid.method)] += _sewn_along(motif, laid, grid, pattern.gauges)
    return found


def _joins(laid: LaidPlan, grid: Grid) -> int:
    """Return how many slip stitches join motifs, each in place of a chain.

    A side has two corners; where four motifs meet, the last is joined once for both of its sides.
    """
    corners = 2 * (laid.beside + laid.between) - laid.fours if grid.corners_joined else 0
    between, beside = (sum(many for _, _, many in side.joints) for side in grid.sides[:2])
    return corners + between * laid.between + beside * laid.beside


def _sewn_along(motif: CountedPiece, laid: LaidPlan, grid: Grid, gauges: Gauges) -> int:
    """Return the stitches that sew motifs together, along the sides that meet."""
    names = SIDES if has_sides(motif) else ("top", "top")
    between, beside = (
        _stitches_along(length_of([(motif, Stretch(name, 0, (*side.corner, *side.between)))], gauges))
        for name, side in zip(names[:2], grid.sides[:2], strict=True)
    )
    return ceil(between * laid.between + beside * laid.beside)


def _stitches_along(length: Length) -> Fraction:
    """Return how many stitches a seam takes: as long as a stitch each, or without a gauge one a place."""
    return length.sewn if length.sewn is not None else Fraction(length.places)


def _last_yarn(piece: CountedPiece) -> str:
    """Return the yarn that a piece ends with."""
    rows = [row for part in piece.parts if isinstance(part, Block) for row in part.rows]
    return (rows[-1].plan.yarn or "") if rows else ""


def kinds_of(pattern: CountedPattern, name: str) -> Kinds | None:
    """Return the kinds of one copy of a piece, of a grid all its motifs'; None if there is no such piece."""
    for piece in pattern.pieces:
        if piece.plan.node.name.casefold() == name.casefold():
            laid = piece.plan.laid
            if laid is None:
                return _kinds_in(piece)
            found = Kinds()
            _add_times(found, _kinds_in(pattern.pieces[laid.index]), laid.motifs)
            found.update(_of_grid(pattern, piece))
            return found
    return None


def _kinds_in(piece: CountedPiece) -> Kinds:
    rows = [row for part in piece.parts if isinstance(part, Block) for row in part.rows]
    found = _start(piece, rows[0].plan.yarn or "") if rows else Kinds()
    found.update(kinds_in_rows(piece.plan, rows))
    return found


def kinds_in_rows(plan: PiecePlan, rows: Iterable[CountedRow]) -> Kinds:
    """Return the kinds of rows of a piece, with their turning chains and what closes rounds."""
    found = Kinds()
    bodies: dict[tuple[int, str], Kinds] = {}
    for row in rows:
        yarn = row.plan.yarn or ""
        # Rows that are alike share what was worked: it is looked through once.
        body = bodies.get((id(row.account), yarn))
        if body is None:
            body = bodies[id(row.account), yarn] = Kinds()
            _add(row.worked, yarn, 1, body)
        _add_times(found, body, row.times)
        _add_times(found, _round_about(row, plan, yarn), row.times)
        if row.opening is not None and row.opening.manner == "counts":
            _take_first(row.worked, yarn, row.times, found)
    return found


def _stitch(key: str) -> Stitch:
    stitch = vocabulary("US").find(key)
    assert stitch is not None, key
    return stitch


def _add_times(found: Kinds, more: Kinds, times: int) -> None:
    for kind, many in more.items():
        found[kind] += many * times


def _start(piece: CountedPiece, yarn: str) -> Kinds:
    """Return what is made before the first row."""
    start = piece.plan.start
    found = Kinds()
    if start is None or start.kind in ("ring", "edge"):
        return found
    found[yarn, start.stitch or _stitch("ch")] += piece.start_count
    if start.kind.startswith("joined"):
        found[yarn, _stitch("ss")] += 1
    return found


def _round_about(row: CountedRow, piece: PiecePlan, yarn: str) -> Kinds:
    """Return what one such row takes beside its items: its turning chain, and how a round is closed."""
    found = Kinds()
    if row.opening is not None and not row.foundation:
        found[yarn, _stitch("ch")] += row.opening.chains
    closed = piece.node.manner in ("joined rounds", "turned rounds")
    slips = sum(each.places for each in row.slip_to) + closed
    if slips:
        found[yarn, _stitch("ss")] += slips
    return found


def _take_first(items: Sequence[Worked], base: str, times: int, found: Kinds) -> None:
    """Take away the stitch that a turning chain stands for: the first, or the first of its legs."""
    for worked in items:
        yarn = getattr(worked.step, "yarn", None) or base
        if isinstance(worked.step, StitchStep):
            stitch = worked.step.stitch
            _add_stitches(stitch, yarn, -times, found)
            if stitch.legs > 1:
                found[yarn, _stitch(stitch.base)] += (stitch.legs - 1) * times
            return
        first = worked.turns[0].bodies[0] if worked.turns else worked.body
        if first:
            _take_first(first, yarn, times, found)
            return


def _add(items: Sequence[Worked], base: str, times: int, found: Kinds) -> None:
    for worked in items:
        target = getattr(worked.step, "target", None)
        if isinstance(target, Target) and target.is_made_here:
            found[base, _stitch("ch")] += target.chains * times
            found[base, _stitch("ss")] += times * (1 if target.over else 2)
        match worked.step:
            case StitchStep(stitch=stitch, yarn=yarn):
                _add_stitches(stitch, yarn or base, worked.count * times, found)
            case ChainStep(yarn=yarn, joint=joint):
                found[yarn or base, _stitch("ch" if joint is None else "ss")] += worked.count * times
            case OwnStep(yarn=yarn):
                _add_turns(worked, yarn or base, times, found)
            case BracketStep():
                _add_turns(worked, base, times, found)
            case BranchStep(chains=chains):
                found[base, _stitch("ch")] += chains * times
                _add(worked.body, base, times, found)
            case GroupStep() | TogetherStep() | SpreadStep():
                _add(worked.body, base, times * worked.places, found)
            case MeshStep(squares=squares, stitch=stitch):
                _add_mesh(squares, stitch, base, times, found)
            case SaidStep(makes=makes):
                _add_said(makes, base, times, found)
            case SkipStep() | LeaveStep() | UndersideStep():
                pass
            case never:
                assert_never(never)


def _add_stitches(stitch: Stitch, yarn: str, count: int, found: Kinds) -> None:
    """Add stitches; an increase or a shell is so many plain ones in one place."""
    if stitch.makes == stitch.legs > 1:
        found[yarn, _stitch(stitch.base)] += count * stitch.legs
    else:
        found[yarn, stitch] += count


def _add_turns(worked: Worked, base: str, times: int, found: Kinds) -> None:
    if not worked.turns:
        _add(worked.body, base, times * worked.count * worked.places, found)
    for turns in worked.turns:
        for body in turns.bodies:
            _add(body, base, times * turns.times, found)


def _add_mesh(
    squares: Sequence[tuple[str, int]], stitch: Stitch, base: str, times: int, found: Kinds
) -> None:
    for name, count in squares:
        if name == "space":
            found[base, _stitch("ch")] += (MESH_WIDTH - 1) * count * times
            found[base, stitch] += count * times
        else:
            found[base, stitch] += MESH_WIDTH * count * times


def _add_said(makes: Sequence[tuple[str, int]], base: str, times: int, found: Kinds) -> None:
    """Add what the author's own words make; stitches of no named kind are taken for single crochet."""
    for kind, count in makes:
        key = {"chains": "ch", "st": "sc"}.get(kind, kind)
        stitch = vocabulary("US").find(key)
        if stitch is not None:
            found[base, stitch] += count * times
