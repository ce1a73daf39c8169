"""What of the edges of pieces that are done is worked into or sewn: each place of them once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from ..lang.source import Span
from .counted import CountedPiece
from .cursor import Cursor
from .fabric import (
    ALONG,
    CHAIN,
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
from .outline import (
    SIDES,
    Stretch,
    has_sides,
    is_whole,
    loops_of,
    round_grid,
    runs_named,
    side_of,
    undersides,
    unknown,
)
from .plan import Along, StartPlan


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
        (stretch,) = self.taken(Along(index, plan.title, "top", in_rounds=plan.in_rounds, span=span), copies)
        return stretch.parts

    def taken(self, along: Along, copies: int) -> tuple[Stretch, ...]:
        """Use up an edge for a seam, and return it. Raises Fault."""
        return tuple(self._used_up(along, copies))

    def _used_up(self, along: Along, copies: int, *, from_behind: bool = False) -> Iterator[Stretch]:
        for stretch in self._stretches(along, copies, from_behind=from_behind):
            self._use(along, stretch, copies)
            yield stretch

    def _stretches(self, along: Along, copies: int, *, from_behind: bool) -> Sequence[Stretch]:
        piece = self.pieces[along.index]
        if along.index in self.faulty or not is_whole(piece):
            raise HeldBack
        if piece.plan.laid is not None:
            found: Sequence[Stretch] = (round_grid(piece, along),)
        elif along.row is not None:
            found = (loops_of(piece, along),)
        elif along.edge == "around":
            found = [side_of(piece, side, along) for side in (SIDES if has_sides(piece) else ("top",))]
            found = found[::-1] if from_behind else found
        elif along.edge in SIDES:
            found = (side_of(piece, along.edge, along),)
        else:
            found = (self._free(piece, along, copies),)
        if not any(stretch.parts for stretch in found):
            raise unknown(along, f"{along.said} has no places")
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
        """Return the first run of that name, or side of chains, that has not been used."""
        first: Stretch | None = None
        runs = undersides if along.underside else runs_named
        for stretch in runs(piece, along.edge):
            first = first or stretch
            if self._room(along, stretch) >= copies:
                return stretch
        if first is None:
            what = "no chains marked" if along.underside else "no run called"
            raise unknown(along, f"{along.title} has {what} {along.edge}")
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
