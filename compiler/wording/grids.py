"""Motifs in a grid as English: the first, those of the first row, the others, by what is joined to what."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..counted import CountedPiece, Grid, GridSide
from ..document import Picture, Prose, Section
from ..fabric import Named, Run, Segments
from ..lengths import measured
from ..plan import LaidPlan
from .opening import slip_stitch
from .phrases import Numbers, Voice, listed, piece_name, sentence, sized
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


def _size(laid: Sequence[LaidPlan]) -> str:
    return f"{sized(_each(laid, 'across'))} across and {sized(_each(laid, 'high'))} high"


def _upright(voice: Voice, grid: Grid) -> str:
    """Return which way up motifs lie whose sides are not all alike."""
    if not grid.corner or all(
        (measured(side.between), side.joints) == (measured(grid.sides[0].between), grid.sides[0].joints)
        for side in grid.sides
    ):
        return ""
    first, place = voice.the("first"), voice.the("upper right")
    return f" {first} “{grid.corner}” of {voice.the('last')} round lies at {place}"


# ---- sewn --------------------------------------------------------------------------------------------------


def _sewn(voice: Voice, laid: Sequence[LaidPlan], grids: Sequence[Grid], title: str) -> Iterator[str]:
    plan = laid[0]
    assert plan.method is not None
    verb = "sew" if plan.method.sewn else "join"
    way = in_method(voice, plan.method)
    yield (
        f"{sized(_each(laid, 'motifs'))} copies of {piece_name(voice, title)} make the grid: lay them with "
        f"right sides up, {_size(laid)}{_with(_upright(voice, grids[0]))}"
    )
    steps = []
    if any(_each(laid, "beside")):
        many = sized(_each(laid, "beside"))
        steps.append(
            f"{verb} the motifs of each row side to side{way}: {many} sides, {_side(voice, grids, 1)}"
        )
    if any(_each(laid, "between")):
        many = sized(_each(laid, "between"))
        steps.append(f"{verb} the rows to one another{way}: {many} sides, {_side(voice, grids, 0)}")
    yield from steps
    if any(_each(laid, "fours")):
        yield f"four motifs meet at {sized(_each(laid, 'fours'))} points"


def _with(words: str) -> str:
    return f", so that{words}" if words else ""


def _side(voice: Voice, grids: Sequence[Grid], which: int) -> str:
    """Return what is sewn to what: the places of a side, against as many of its neighbour's."""
    length = length_words(voice, [measured(grid.sides[which].between) for grid in grids])
    corners = f", from “{grids[0].corner}” to “{grids[0].corner}”" if grids[0].corner else ""
    return f"each {length} to {length}{corners}, one to one"


# ---- joined as they are worked -----------------------------------------------------------------------------


def _joined(voice: Voice, laid: Sequence[LaidPlan], grids: Sequence[Grid], title: str) -> Iterator[str]:
    name = piece_name(voice, title)
    across, high = _each(laid, "across"), _each(laid, "high")
    before = f"{voice.the('row')} before"
    rounds = sized(tuple(grid.last_round for grid in grids))
    yield (
        f"{sized(_each(laid, 'motifs'))} motifs, {_size(laid)}, with right sides up"
        f"{_with(_upright(voice, grids[0]))}; all but {voice.the('first')} are joined in round {rounds}, "
        f"their last"
    )
    yield from _ways(voice, grids)
    yield f"first motif: work {name} as it is given"
    others = sized(_less_one(laid, "across"))
    if max(across) > 1:
        yield (
            f"other {others} motifs of {voice.the('first')} row: work {name}, and join each along one side, "
            f"to {voice.the('motif')} before it, at {_places(voice, grids, BESIDE, 2)}"
        )
    if max(high) > 1:
        below = _places(voice, grids, BETWEEN_ROWS, 2)
        rows = sized(_less_one(laid, "high"))
        yield (
            f"first motif of each of {voice.the('other')} {rows} rows: work {name}, and join it along one "
            f"side, to {voice.the('first')} motif of {before}, at {below}"
        )
    if max(across) > 1 and max(high) > 1:
        both = _places(voice, grids, (*BESIDE, *BETWEEN_ROWS), 3)
        four = (
            f"; {voice.the(f'“{grids[0].corner}”')} between these sides is joined where three others meet"
            if grids[0].corners_joined
            else ""
        )
        yield (
            f"other {others} motifs of each of these rows: work {name}, and join each along two sides that "
            f"meet, to {voice.the('motif')} before it and to {voice.the('one')} that it lies against in "
            f"{before}, at {both}{four}"
        )
    sides = tuple(each.beside + each.between for each in laid)
    fours = _each(laid, "fours")
    points = f"; four motifs meet at {sized(fours)} points" if any(fours) else ""
    yield f"this joins {sized(sides)} sides{points}"


def _ways(voice: Voice, grids: Sequence[Grid]) -> Iterator[str]:
    """Yield how each sort of place is joined."""
    grid = grids[0]
    if grid.corners_joined:
        yield _way(voice, f"“{grid.corner}”", _chains(grid.sides[0].corner))
    for name, chains in _sorts(grids):
        yield _way(voice, _place(voice, name, chains, (1,)), chains)


def _way(voice: Voice, place: str, chains: int) -> str:
    before = chains // 2
    after = chains - 1 - before
    stitch = slip_stitch(voice)
    steps = [f"{voice.chain} {before}"] if before else []
    steps.append(f"{stitch} in {voice.the(place)} of {voice.the('other')} motif that faces it")
    steps += [f"{voice.chain} {after}"] if after else []
    return f"to join at a {place}, in place of {voice.chain} {chains}: {', '.join(steps)}"


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
    if name != "sp":
        return f"“{name}”"
    of = voice.word("space", "sp") if set(count) == {1} else voice.word("spaces", "sps")
    return f"{voice.chain}-{chains} {of}"


def _places(voice: Voice, grids: Sequence[Grid], sides: Sequence[int], corners: int) -> str:
    """Return the places at which a motif is joined along sides: `2 “corner” and 7 chain-1 spaces`."""
    words = [f"{corners} “{grids[0].corner}”"] if grids[0].corners_joined else []
    for name, chains in _sorts(grids):
        count = tuple(sum(_many(grid.sides[side], name, chains) for side in sides) for grid in grids)
        if any(count):
            words.append(f"{sized(count)} {_place(voice, name, chains, count)}")
    return listed(words)


def _many(side: GridSide, name: str, chains: int) -> int:
    return sum(many for each, length, many in side.joints if (each, length) == (name, chains))
