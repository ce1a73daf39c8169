"""The edges of pieces that are done: what `start along` is worked into, each place of it once.

An edge is met as right-handed work goes round a piece with its right side facing: the top from right to left,
the left edge downwards, the foundation from left to right, the right edge upwards. It is kept as runs and
repeats, like every edge, so a foundation of a thousand million chains costs what a short one does.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from ..lang.source import Span
from .counted import Block, CountedPiece, CountedRow, Worked
from .cursor import Cursor
from .fabric import (
    ALONG,
    CHAIN,
    JOINT,
    LOOP,
    ROW_END,
    UNDERSIDE,
    Edge,
    Named,
    Place,
    Repeat,
    Run,
    Segments,
    edge,
    joined,
    named,
    places,
    repeated,
    reversed_parts,
)
from .faults import Fault, HeldBack, fault, plural
from .plan import Along, StartPlan
from .steps import (
    BracketStep,
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


@dataclass(slots=True)
class Edges:
    """The pieces counted so far, and what of their edges has been used."""

    pieces: list[CountedPiece] = field(default_factory=list)
    faulty: set[int] = field(default_factory=set)
    """The pieces that have errors: what hangs on them is not complained about."""
    used: dict[tuple[int, str], list[tuple[int, int, int]]] = field(default_factory=dict)
    """By piece and edge: from which place to which, and by how many copies."""

    def ground(self, start: StartPlan, copies: int, *, from_behind: bool) -> Edge:
        """Use up what a piece is started along, and return it as its first row meets it. Raises Fault.

        `from_behind` is for a first row with the wrong side facing: it goes the other way.
        """
        met: Segments = ()
        for along in start.along:
            for stretch in self._used_up(along, copies, from_behind=from_behind):
                found = _as_met(reversed_parts(stretch.parts) if from_behind else stretch.parts)
                met = joined(met, _at_ratio(found, along, start))
        if start.ratio is not None and not any(
            type(part) is Run and part.place.kind == ALONG for part in met
        ):
            raise fault(
                "stray-word",
                "a ratio is for row ends, and there are none on this edge",
                start.node.span,
                help="leave it out: there is one place for each stitch or chain",
            )
        return edge(met)

    def top(self, index: int, copies: int, span: Span) -> Segments:
        """Use up the last row of a piece, and return it as met with its right side facing. Raises Fault."""
        plan = self.pieces[index].plan
        return self.taken(Along(index, plan.title, "top", in_rounds=plan.in_rounds, span=span), copies)

    def taken(self, along: Along, copies: int) -> Segments:
        """Use up an edge for a seam, and return its places. Raises Fault."""
        return tuple(part for stretch in self._used_up(along, copies) for part in stretch.parts)

    def _used_up(self, along: Along, copies: int, *, from_behind: bool = False) -> Iterator[Stretch]:
        for stretch in self._stretches(along, copies, from_behind=from_behind):
            self._use(along, stretch, copies)
            yield stretch

    def _stretches(self, along: Along, copies: int, *, from_behind: bool) -> Sequence[Stretch]:
        piece = self.pieces[along.index]
        if along.index in self.faulty or not _is_whole(piece):
            raise HeldBack
        if piece.plan.laid is not None:
            found: Sequence[Stretch] = (_round_grid(piece, along),)
        elif along.row is not None:
            found = (_loops(piece, along),)
        elif along.edge == "around":
            found = [_side(piece, side, along) for side in (SIDES if _has_sides(piece) else ("top",))]
            found = found[::-1] if from_behind else found
        elif along.edge in SIDES:
            found = (_side(piece, along.edge, along),)
        else:
            found = (self._free(piece, along, copies),)
        if not any(stretch.parts for stretch in found):
            raise _unknown(along, f"{along.said} has no places")
        if along.end is None:
            return found
        if len(found) > 1:
            raise fault(
                "stray-word",
                "a part of `around` can't be counted out",
                along.span,
                help="name the edges by themselves: `start along top of Band, last 9 and left of Band`",
            )
        return (_part(found[0], along, from_behind=from_behind),)

    def _free(self, piece: CountedPiece, along: Along, copies: int) -> Stretch:
        """Return the first run of that name that has not been used."""
        first: Stretch | None = None
        for stretch in _named(piece, along.edge):
            first = first or stretch
            if self._room(along, stretch) >= copies:
                return stretch
        if first is None:
            raise _unknown(along, f"{along.title} has no run called {along.edge}")
        return first

    def _room(self, along: Along, stretch: Stretch) -> int:
        """Return how many copies of a stretch are free in all its places."""
        uses = [
            each
            for each in self.used.get((along.index, stretch.key), ())
            if each[0] < stretch.end and stretch.at < each[1]
        ]
        crowded = (sum(many for start, end, many in uses if start <= at < end) for at, _, _ in uses)
        at_start = sum(many for start, end, many in uses if start <= stretch.at < end)
        return self.pieces[along.index].plan.make - max((at_start, *crowded), default=0)

    def _use(self, along: Along, stretch: Stretch, copies: int) -> None:
        if self._room(along, stretch) < copies:
            make = self.pieces[along.index].plan.make
            raise fault(
                "used-edge",
                f"{along.said} has been worked into before, at least in part",
                along.span,
                notes=(
                    f"{along.title} is made {plural(make, 'time')}, and used {plural(copies, 'time')} here",
                )
                if make > 1 or copies > 1
                else (),
                help="each place of an edge can be used once: take another edge, or a part that is free, "
                "such as `top of Back, last 9`",
            )
        if stretch.parts:
            self.used.setdefault((along.index, stretch.key), []).append((stretch.at, stretch.end, copies))


def _round_grid(piece: CountedPiece, along: Along) -> Stretch:
    """Return all places round motifs in a grid: where two of them meet stands one, a join."""
    grid, laid = piece.grid, piece.plan.laid
    assert grid is not None
    assert laid is not None
    if along.edge != "around" or along.row is not None:
        raise _unknown(along, f"{along.title} is laid of motifs, so its only edge is `around`")
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


def _unknown(along: Along, why: str) -> Fault:
    return fault(
        "unknown-edge",
        why,
        along.span,
        help="the edges of a piece are `top`, `foundation`, `left`, `right` and `around`, runs with a name "
        "(`skip 36 as arm`), and loops left free (`flo of row 3`)",
    )


def _is_whole(piece: CountedPiece) -> bool:
    if piece.plan.laid is not None:
        return piece.grid is not None
    return piece.plan.start is not None and all(
        part.rows or part.stretch.times == 0 for part in piece.parts if isinstance(part, Block)
    )


def _has_sides(piece: CountedPiece) -> bool:
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


def _side(piece: CountedPiece, name: str, along: Along) -> Stretch:
    rows = list(_rows(piece))
    if not rows:
        raise _unknown(along, f"{along.title} has no rows, so it has no edges")
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
            if not _has_sides(piece):
                raise _unknown(along, f"{along.title} is worked in rounds, so it has no {name} edge")
            ends = _row_ends(piece, rows, name)
            return Stretch(name, 0, (Run(Place(ROW_END), ends),) if ends else ())


def _foundation(piece: CountedPiece, first: CountedRow, along: Along) -> Segments:
    start = piece.plan.start
    assert start is not None
    if start.kind in ("ring", "edge"):
        what = "a ring" if start.kind == "ring" else "the edge of another piece"
        raise _unknown(along, f"{along.title} begins in {what}, so it has no foundation")
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
            raise _unknown(along, f"{along.title} is worked into a ring, so its chain has no free side")
    return (Run(Place(UNDERSIDE), many),) if many else ()


def _left(row: CountedRow) -> int:
    last = row.worked[-1] if row.worked else None
    return last.count if last is not None and isinstance(last.step, LeaveStep) else 0


def _row_ends(piece: CountedPiece, rows: Sequence[CountedRow], side: str) -> int:
    """Count the ends of rows along a side, up to the first row that leaves places there."""
    count = 0
    for row in rows:
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


def _loops(piece: CountedPiece, along: Along) -> Stretch:
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
    raise _unknown(
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


def _named(piece: CountedPiece, name: str) -> Iterator[Stretch]:
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
        isinstance(each.step, SkipStep | LeaveStep) and each.step.mark == name for each in worked
    )


def _skipped(worked: Sequence[Worked], name: str) -> Iterator[Segments]:
    for each in worked:
        if isinstance(each.step, SkipStep | LeaveStep) and each.step.mark == name and each.used:
            yield each.used
        for turn in each.turns:
            if any(_sets(body, name) for body in turn.bodies):
                for _ in range(turn.times):
                    for body in turn.bodies:
                        yield from _skipped(body, name)


# ---- parts and ratios --------------------------------------------------------------------------------------


def _part(stretch: Stretch, along: Along, *, from_behind: bool) -> Stretch:
    """Return so many places of a stretch, from the end where it is met first or the other."""
    have = places(stretch.parts)
    if along.count > have:
        raise fault(
            "too-few-places",
            f"{along.said} has {plural(have, 'place')}, fewer than the {along.end} {along.count}",
            along.span,
            facts={"expected": along.count, "found": have},
        )
    skipped = 0 if (along.end == "first") != from_behind else have - along.count
    cursor = Cursor(edge(stretch.parts))
    cursor.take(skipped, stitches_only=False)
    return Stretch(stretch.key, stretch.at + skipped, cursor.take(along.count, stitches_only=False))


def _as_met(parts: Segments) -> Segments:
    """Return a stretch with its single chains as those of an edge: no turning chain comes out of them."""
    out: Segments = ()
    for part in parts:
        match part:
            case Run(place, count) if place.kind == CHAIN:
                new: Segments = (Run(Place(UNDERSIDE), count),)
            case Repeat(inner, times) if CHAIN in part.names:
                new = repeated(_as_met(inner), times)
            case Named(label, inner, is_mark) if CHAIN in part.names:
                new = named(label, _as_met(inner), is_mark=is_mark)
            case _:
                new = (part,)
        out = joined(out, new)
    return out


def _at_ratio(parts: Segments, along: Along, start: StartPlan) -> Segments:
    """Return row ends as the places that a ratio gives; all else as it is."""
    if start.ratio is None or not (parts and type(parts[0]) is Run and parts[0].place.kind == ROW_END):
        return parts
    ends = parts[0].count
    made, of = start.ratio
    many, rest = divmod(ends * made, of)
    match start.rounding:
        case "up":
            many += rest > 0
        case "nearest":
            many += 2 * rest >= of
        case None if rest:
            raise _uneven(along, start, ends)
        case _:
            pass
    return (Run(Place(ALONG), many),) if many else ()


def _uneven(along: Along, start: StartPlan, ends: int) -> Fault:
    assert start.ratio is not None
    made, of = start.ratio
    span: Span = start.node.span
    return fault(
        "uneven-ratio",
        f"{along.said} has {plural(ends, 'row end')}, and {made} for {of} of them does not come out whole",
        span,
        help="say how it is rounded, `up`, `down` or `nearest`, behind the ratio: "
        f"`{made} for {of}, nearest`; or work a number of rows that divides",
        facts={"found": ends, "made": made, "of": of},
    )
