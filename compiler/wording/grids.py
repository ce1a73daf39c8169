"""Motifs in a grid: the first, those of the first row, the others, by what is joined to what."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..counted import CountedPiece, Grid, GridSide
from ..document import Picture, Prose, Section
from ..fabric import Named, Run, Segments
from ..lengths import measured
from ..plan import LaidPlan
from .opening import slip_stitch
from .phrases import Numbers, Voice, sentence, sized
from .places import spaces_of
from .seams import explained, in_method, length_words
from .sections import remark

BETWEEN_ROWS = (0,)
"""The sides along which a motif is joined to the row before: the lower one, which fits the top."""
BESIDE = (1,)
"""The sides along which it is joined to the motif before it."""


def laid_out(
    voice: Voice, pieces: Sequence[CountedPiece], motif: CountedPiece, anchor: str, told: set[str]
) -> Section:
    """Return how motifs are joined in a grid, all sizes side by side.

    `told` has the seams that are explained already, and takes in those that are explained here.
    """
    laid = [piece.plan.laid for piece in pieces if piece.plan.laid is not None]
    grids = [piece.grid for piece in pieces if piece.grid is not None]
    plan = laid[0]
    title = motif.plan.title
    entries: list[Prose | Picture] = []
    if plan.method is not None:
        if plan.method.key not in told:
            told.add(plan.method.key)
            entries.append(Prose("laid", explained(voice, plan.method)))
        lines = _sewn(voice, laid, grids, title)
    else:
        lines = _joined(voice, laid, grids, title)
    entries += [Prose("laid", sentence(line)) for line in lines]
    entries += [remark(each.node) for each in plan.remarks if each.node.key != "finish"]
    return Section(pieces[0].plan.title, anchor, tuple(entries))


def _each(laid: Sequence[LaidPlan], number: str) -> Numbers:
    return tuple(getattr(each, number) for each in laid)


def _less_one(laid: Sequence[LaidPlan], number: str) -> Numbers:
    return tuple(count - 1 for count in _each(laid, number))


def _size(voice: Voice, laid: Sequence[LaidPlan]) -> str:
    return voice.say("grids.size", across=sized(_each(laid, "across")), high=sized(_each(laid, "high")))


def _upright(voice: Voice, grid: Grid) -> str:
    """Return which way up motifs lie whose sides are not all alike."""
    if not grid.corner or all(
        (measured(side.between), side.joints) == (measured(grid.sides[0].between), grid.sides[0].joints)
        for side in grid.sides
    ):
        return ""
    return voice.say("grids.upright", corner=grid.corner)


def _fours(voice: Voice, laid: Sequence[LaidPlan]) -> str:
    """Return at how many points four motifs meet, empty if nowhere."""
    fours = _each(laid, "fours")
    return voice.say_many("grids.fours", fours) if any(fours) else ""


# ---- sewn --------------------------------------------------------------------------------------------------


def _sewn(voice: Voice, laid: Sequence[LaidPlan], grids: Sequence[Grid], title: str) -> Iterator[str]:
    method = laid[0].method
    assert method is not None
    yield voice.say_many(
        "grids.copies",
        _each(laid, "motifs"),
        piece=voice.piece(title),
        size=_size(voice, laid),
        upright=_upright(voice, grids[0]),
    )
    for which, along in ((1, "beside"), (0, "between")):
        many = _each(laid, along)
        if any(many):
            verb = "sew" if method.sewn else "join"
            yield voice.say_many(
                f"grids.seam.{verb}.{along}",
                many,
                way=in_method(voice, method),
                length=length_words(voice, [measured(grid.sides[which].between) for grid in grids]),
                corners=voice.say("grids.corners", corner=grids[0].corner) if grids[0].corner else "",
            )
    if fours := _fours(voice, laid):
        yield fours


# ---- joined as they are worked -----------------------------------------------------------------------------


def _joined(voice: Voice, laid: Sequence[LaidPlan], grids: Sequence[Grid], title: str) -> Iterator[str]:
    piece, corner = voice.piece(title), grids[0].corner
    across, high = _each(laid, "across"), _each(laid, "high")
    yield voice.say_many(
        "grids.motifs",
        _each(laid, "motifs"),
        size=_size(voice, laid),
        upright=_upright(voice, grids[0]),
        round=sized(tuple(grid.last_round for grid in grids)),
    )
    yield from _ways(voice, grids)
    yield voice.say("grids.first", piece=piece)
    others, rows = _less_one(laid, "across"), _less_one(laid, "high")
    if max(across) > 1:
        places = _places(voice, grids, BESIDE, 2)
        yield voice.say_many("grids.first-row", others, piece=piece, places=places)
    if max(high) > 1:
        places = _places(voice, grids, BETWEEN_ROWS, 2)
        yield voice.say_many("grids.row-begins", rows, piece=piece, places=places)
    if max(across) > 1 and max(high) > 1:
        yield voice.say_many(
            "grids.others",
            others,
            piece=piece,
            places=_places(voice, grids, (*BESIDE, *BETWEEN_ROWS), 3),
            meeting=voice.say("grids.meeting", corner=corner) if grids[0].corners_joined else "",
        )
    sides = tuple(each.beside + each.between for each in laid)
    fours = _fours(voice, laid)
    yield "; ".join(filter(None, (voice.say_many("grids.sides", sides), fours)))


def _ways(voice: Voice, grids: Sequence[Grid]) -> Iterator[str]:
    """Yield how each sort of place is joined."""
    grid = grids[0]
    if grid.corners_joined:
        yield _way(voice, voice.say("quoted", name=grid.corner), _chains(grid.sides[0].corner))
    for name, chains in _sorts(grids):
        yield _way(voice, _place(voice, name, chains, (1,)), chains)


def _way(voice: Voice, place: str, chains: int) -> str:
    before = chains // 2
    after = chains - 1 - before
    steps = [voice.say_many("items.chains", (before,))] if before else []
    steps.append(voice.say("grids.facing", slip=slip_stitch(voice), place=place))
    steps += [voice.say_many("items.chains", (after,))] if after else []
    return voice.say_many("grids.way", (chains,), place=place, steps=", ".join(steps))


def _chains(corner: Segments) -> int:
    (part,) = corner
    while isinstance(part, Named):
        (part,) = part.parts
    assert isinstance(part, Run)
    return part.place.chains


def _sorts(grids: Sequence[Grid]) -> list[tuple[str, int]]:
    """Return the sorts of place between corners that are joined: the name, and the chains of the space."""
    joints = [joint for grid in grids for side in grid.sides for joint in side.joints]
    return list(dict.fromkeys((name, chains) for name, chains, _ in joints))


def _place(voice: Voice, name: str, chains: int, count: Numbers) -> str:
    return spaces_of(voice, chains, count) if name == "sp" else voice.say("quoted", name=name)


def _places(voice: Voice, grids: Sequence[Grid], sides: Sequence[int], corners: int) -> str:
    """Return the places at which a motif is joined along sides: `2 “corner” and 7 chain-1 spaces`."""
    words = [f"{corners} {voice.say('quoted', name=grids[0].corner)}"] if grids[0].corners_joined else []
    for name, chains in _sorts(grids):
        count = tuple(sum(_many(grid.sides[side], name, chains) for side in sides) for grid in grids)
        if any(count):
            words.append(f"{sized(count)} {_place(voice, name, chains, count)}")
    return voice.listed(words)


def _many(side: GridSide, name: str, chains: int) -> int:
    return sum(many for each, length, many in side.joints if (each, length) == (name, chains))
