"""The outline of a piece that is done: its edges as stretches of places.

An edge is met as right-handed work goes round a piece with its right side facing: the top from right to left,
the left edge downwards, the foundation from left to right, the right edge upwards. It is kept as runs and
repeats, like every edge, so a foundation of a thousand million chains costs what a short one does.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from .counted import Block, CountedPiece, CountedRow, Worked
from .fabric import (
    JOINT,
    LOOP,
    ROW_END,
    UNDERSIDE,
    Named,
    Place,
    Repeat,
    Run,
    Segments,
    joined,
    places,
    repeated,
    reversed_parts,
)
from .faults import Fault, fault
from .plan import Along
from .steps import (
    BracketStep,
    ChainStep,
    GroupStep,
    LeaveStep,
    OwnStep,
    SkipStep,
    StitchStep,
    Target,
    TogetherStep,
    UndersideStep,
)
from .turns import first_worked

SIDES = ("top", "left", "foundation", "right")
"""Once round a piece, in the order met."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of an edge, places side by side."""

    key: str
    """What is used up: the name of the edge."""
    at: int
    """Places of the edge before it."""
    parts: Segments

    @property
    def end(self) -> int:
        """Places of the edge up to its own last one."""
        return self.at + places(self.parts)


def round_grid(piece: CountedPiece, along: Along) -> Stretch:
    """Return all places round motifs in a grid: where two of them meet stands one, a join."""
    grid, laid = piece.grid, piece.plan.laid
    assert grid is not None
    assert laid is not None
    if along.edge != "around" or along.row is not None:
        raise unknown(along, f"{along.title} is laid of motifs, so its only edge is `around`")
    out: Segments = ()
    for side, many in zip(grid.sides, (laid.across, laid.high) * 2, strict=True):
        if grid.corner and not grid.corners_joined:
            joint = (*_unnamed(side.corner), *_unnamed(side.corner))
        else:
            joint = (Run(Place(JOINT), 1),) if grid.corner else ()
        out = joined(joined(out, side.corner), side.between)
        out = joined(out, repeated(joined(joint, side.between), many - 1))
    return Stretch("around", 0, out)


def _unnamed(parts: Segments) -> Segments:
    return tuple(each for part in parts for each in (part.parts if isinstance(part, Named) else (part,)))


def unknown(along: Along, why: str) -> Fault:
    """Return the fault of an edge that a piece does not have."""
    return fault(
        "unknown-edge",
        why,
        along.span,
        help="the edges of a piece are `top`, `foundation`, `left`, `right` and `around`, runs with a name "
        "(`skip 36 as arm`), loops left free (`flo of row 3`), and the other side of chains (`underside of "
        "bridge`)",
    )


def is_whole(piece: CountedPiece) -> bool:
    """Tell whether a piece is done without a fault in its start and rows."""
    if piece.plan.laid is not None:
        return piece.grid is not None
    return piece.plan.start is not None and all(
        part.rows or part.stretch.times == 0 for part in piece.parts if isinstance(part, Block)
    )


def has_sides(piece: CountedPiece) -> bool:
    """Tell whether a piece has sides: what is worked in rounds has none."""
    return not piece.plan.in_rounds


def _rows(piece: CountedPiece) -> Iterator[CountedRow]:
    for part in piece.parts:
        if isinstance(part, Block):
            yield from part.rows


# ---- sides -------------------------------------------------------------------------------------------------


def _right_side_first(piece: CountedPiece) -> bool:
    """Tell whether the right side faces in rows 1, 3, 5, ..."""
    mirrored = piece.plan.again is not None and piece.plan.again.mirrored
    for row in _rows(piece):
        if row.plan.side is not None:
            even = piece.plan.turns and row.number % 2 == 0
            return (row.plan.side == "rs") != even != mirrored
    return not mirrored


def _faces(piece: CountedPiece, number: int) -> bool:
    """Tell whether the right side faces in a row."""
    first = _right_side_first(piece)
    return first if not piece.plan.turns or number % 2 else not first


def side_of(piece: CountedPiece, name: str, along: Along) -> Stretch:
    """Return one of `SIDES`. Raises Fault where the piece has it not."""
    rows = list(_rows(piece))
    if not rows:
        raise unknown(along, f"{along.title} has no rows, so it has no edges")
    match name:
        case "top" if piece.closed:
            raise fault(
                "after-close",
                f"the last round of {along.title} has been drawn together: nothing can be worked along it",
                along.span,
                help=f"take `close` out of {along.title}, or work along another edge",
            )
        case "top":
            last = rows[-1]
            made = last.after.parts
            faces = _faces(piece, last.number + last.times - 1)
            return Stretch("top", 0, made if faces else reversed_parts(made))
        case "foundation":
            return Stretch("foundation", 0, _foundation(piece, rows[0], along))
        case _:
            if not has_sides(piece):
                raise unknown(along, f"{along.title} is worked in rounds, so it has no {name} edge")
            ends = row_ends(piece, name)
            return Stretch(name, 0, (Run(Place(ROW_END), ends),) if ends else ())


def _foundation(piece: CountedPiece, first: CountedRow, along: Along) -> Segments:
    start = piece.plan.start
    assert start is not None
    if start.kind in ("ring", "edge"):
        what = "a ring" if start.kind == "ring" else "the edge of another piece"
        raise unknown(along, f"{along.title} begins in {what}, so it has no foundation")
    if any(isinstance(each.step, UndersideStep) for each in first.worked):
        raise fault(
            "used-edge",
            f"{along.said} has been worked into before: {first.plan.unit} 1 goes on along the other side",
            along.span,
        )
    if "stitches" in start.kind:
        many = piece.start_count
    else:
        opening = first_worked(first.worked)
        by_number = opening is not None and isinstance(getattr(opening.step, "target", None), Target)
        passed = places(opening.passed) if opening is not None and by_number else 0
        many = first.before.places - first.foundation - passed - _left(first)
        if first.before.ring and not any(each.used for each in first.worked):
            raise unknown(along, f"{along.title} is worked into a ring, so its chain has no free side")
    return (Run(Place(UNDERSIDE), many),) if many else ()


def _left(row: CountedRow) -> int:
    last = row.worked[-1] if row.worked else None
    return last.count if last is not None and isinstance(last.step, LeaveStep) else 0


def row_ends(piece: CountedPiece, side: str) -> int:
    """Count the ends of rows along a side, up to the first row that leaves places there."""
    count = 0
    for row in _rows(piece):
        # With the right side facing a row goes from right to left.
        here = [
            number
            for number in range(row.number, row.number + min(row.times, 2))
            if _left(row) and _faces(piece, number) == (side == "left")
        ]
        if here:
            return count + here[0] - row.number
        count += row.times
    return count


def loops_of(piece: CountedPiece, along: Along) -> Stretch:
    """Return the loops of a row that the row after it left free."""
    assert along.row is not None
    worked_in = "blo" if along.edge == "flo" else "flo"
    wanted = along.row + 1
    for row in _rows(piece):
        if row.number <= wanted < row.number + row.times:
            many = _worked_in(row.worked, worked_in, row.plan.loop)
            parts: Segments = (Run(Place(LOOP), many),) if many else ()
            if many:
                return Stretch(f"{along.edge} {along.row}", 0, parts)
    which = "front" if along.edge == "flo" else "back"
    raise unknown(
        along,
        f"row {along.row} of {along.title} has no free {which} loops: the next one is not worked "
        f"`{worked_in}`",
    )


def _worked_in(worked: Sequence[Worked], loop: str, of_row: str | None) -> int:
    """Count the places that stitches use in one loop."""
    total = 0
    for each in worked:
        step = each.step
        match step:
            case BracketStep() | TogetherStep():
                turns = each.turns or ()
                if turns:
                    total += sum(
                        turn.times * _worked_in(body, loop, of_row) for turn in turns for body in turn.bodies
                    )
                else:
                    total += _worked_in(each.body, loop, of_row)
            case StitchStep(target=target) if target is None or target.kind in ("st", "ahead"):
                total += places(_stitches(each.used)) if (step.loop or of_row) == loop else 0
            case GroupStep() | OwnStep() if of_row == loop:
                total += places(_stitches(each.used))
            case _:
                pass
    return total


def _stitches(parts: Segments) -> Segments:
    return tuple(part for part in parts if not part.has_space)


# ---- runs with a name --------------------------------------------------------------------------------------


def runs_named(piece: CountedPiece, name: str) -> Iterator[Stretch]:
    """Yield every run of that name: marks that the last row made, then what rows skipped or left under it."""
    rows = list(_rows(piece))
    if rows and not piece.closed:
        last = rows[-1]
        made = last.after.parts
        top = made if _faces(piece, last.number + last.times - 1) else reversed_parts(made)
        yield from _marked(top, name, 0)
    at = 0
    for row in rows:
        for turn in range(row.times) if _sets(row.worked, name) else ():
            for parts in _skipped(row.worked, name):
                met = parts if _faces(piece, row.number + turn) else reversed_parts(parts)
                yield Stretch(f"as {name}", at, met)
                at += places(parts)


def undersides(piece: CountedPiece, name: str) -> Iterator[Stretch]:
    """Yield the other side of every run of chains of that name: no later row reaches it."""
    at = 0
    for row in _rows(piece):
        for _ in range(row.times) if _sets(row.worked, name) else ():
            for count in _chains(row.worked, name):
                yield Stretch(f"underside of {name}", at, (Run(Place(UNDERSIDE), count),))
                at += count


def _marked(parts: Segments, name: str, at: int) -> Iterator[Stretch]:
    for part in parts:
        if name in part.names:
            match part:
                case Named(label=label, is_mark=True) if label == name:
                    yield Stretch("top", at, (part,))
                case Named(parts=inner):
                    yield from _marked(inner, name, at)
                case Repeat(inner, times, unit):
                    for turn in range(times):
                        yield from _marked(inner, name, at + turn * unit)
                case _:
                    pass
        at += part.places


def _sets(worked: Sequence[Worked], name: str) -> bool:
    return any(_sets(body, name) for each in worked for turn in each.turns for body in turn.bodies) or any(
        isinstance(each.step, SkipStep | LeaveStep | ChainStep) and each.step.mark == name for each in worked
    )


def _chains(worked: Sequence[Worked], name: str) -> Iterator[int]:
    for each in worked:
        if isinstance(each.step, ChainStep) and each.step.mark == name:
            yield each.step.count
        for turn in each.turns:
            if any(_sets(body, name) for body in turn.bodies):
                for _ in range(turn.times):
                    for body in turn.bodies:
                        yield from _chains(body, name)


def _skipped(worked: Sequence[Worked], name: str) -> Iterator[Segments]:
    for each in worked:
        if isinstance(each.step, SkipStep | LeaveStep) and each.step.mark == name and each.used:
            yield each.used
        for turn in each.turns:
            if any(_sets(body, name) for body in turn.bodies):
                for _ in range(turn.times):
                    for body in turn.bodies:
                        yield from _skipped(body, name)
