"""How a piece is begun along the edges of others."""

from __future__ import annotations

from collections.abc import Sequence

from ..counted import Block, CountedPiece
from ..fabric import Run, Segments
from ..plan import Along, StartPlan
from .aligned import PLACE_NOUNS
from .catalogue import Noun
from .opening import slip_stitch
from .phrases import Numbers, Voice, sized
from .places import kinds_of

CORNERS = {"top": ("right", "left"), "left": ("upper", "lower"), "foundation": ("left", "right")}
CORNERS["right"] = CORNERS["left"][::-1]
"""The end of an edge where right-handed work with the right side facing comes to it, and the other end."""

AROUND = ("top", "left", "foundation", "right")


def begun_along(
    voice: Voice, pieces: Sequence[CountedPiece], yarn: str, grids: Sequence[Sequence[CountedPiece]] = ()
) -> str:
    """Return where the yarn is joined and what is worked along, without its full stop.

    `yarn` is its name, empty where there is one only. `grids` are the pieces worked along that are motifs in
    a grid, each in all sizes.
    """
    start = pieces[0].plan.start
    assert start is not None
    behind = _from_behind(pieces[0])
    counts = [
        tuple(piece.plan.start.along[n].count for piece in pieces if piece.plan.start is not None)
        for n in range(len(start.along))
    ]
    ground = _ground(pieces[0])
    many = tuple(piece.start_count for piece in pieces)
    return voice.say(
        f"along.begun.{'wrong' if behind else 'right'}",
        yarn=voice.say("along.yarn.named" if yarn else "along.yarn.only", name=yarn),
        slip=slip_stitch(voice),
        where=_joined_at(voice, start.along[0], counts[0], _first_noun(voice, ground), behind=behind),
        along=_worked_along(voice, start, counts, behind),
        ratio=_ratio(voice, start),
        in_all=voice.say(
            f"along.in-all.{'one' if len(set(many)) == 1 else 'sized'}",
            count=sized(many),
            noun=_nouns(voice, ground, many),
            of_grids=_of_grids(voice, start, grids),
        ),
    )


def _worked_along(voice: Voice, start: StartPlan, counts: Sequence[Numbers], behind: bool) -> str:
    """Return what is worked along: `it` where that has just been named."""
    first = start.along[0]
    if len(start.along) > 1 or first.end is not None:
        edges = (_edge(voice, each, count, behind) for each, count in zip(start.along, counts, strict=True))
        return voice.say("along.then").join(edges)
    if not goes_round(first):
        if first.row is not None:
            return voice.say("along.these-loops")
        if first.edge in CORNERS:
            return voice.say("along.it")
        return voice.say("along.these-stitches", stitches=along_noun(voice, first, (2,)))
    if first.in_rounds:
        return voice.say("along.round-it")
    return voice.say("along.round-its-sides", sides=_sides(voice, first, behind))


def _ground(piece: CountedPiece) -> Segments:
    """Return the places that the first row comes to."""
    rows = [row for part in piece.parts if isinstance(part, Block) for row in part.rows]
    return rows[0].before.parts if rows else ()


def _nouns(voice: Voice, ground: Segments, count: Numbers) -> Noun:
    """Return what the places are called, of all kinds; those at a ratio are stitches to be worked."""
    kinds = [kind.replace("place", "stitch") for kind in PLACE_NOUNS.values()]
    found = {kind.replace("place", "stitch") for kind in kinds_of(ground)}
    met = sorted(found, key=["stitch", *kinds].index)
    return voice.noun_for(met[0], count, voice.listed([voice.noun(kind, count) for kind in met]))


def _first_noun(voice: Voice, ground: Segments) -> Noun:
    while ground and not isinstance(ground[0], Run):
        ground = ground[0].parts
    return _nouns(voice, ground[:1], (1,))


def _of_grids(voice: Voice, start: StartPlan, grids: Sequence[Sequence[CountedPiece]]) -> str:
    """Return how many of the places are corners of motifs in a grid, and how many lie between motifs."""
    if not grids or len(start.along) > 1 or grids[0][0].grid is None or not grids[0][0].grid.corner:
        return ""
    grid = grids[0][0].grid
    laid = [piece.plan.laid for piece in grids[0] if piece.plan.laid is not None]
    joints = tuple(2 * (each.across + each.high - 2) for each in laid)
    between = grid.corners_joined and any(joints)
    return voice.say(
        "along.corners-and-joints" if between else "along.corners", corner=grid.corner, joints=sized(joints)
    )


def _from_behind(piece: CountedPiece) -> bool:
    mirrored = piece.plan.again is not None and piece.plan.again.mirrored
    for part in piece.parts:
        if isinstance(part, Block) and part.rows:
            return (part.rows[0].plan.side == "ws") != mirrored
    return mirrored


def _ratio(voice: Voice, start: StartPlan) -> str:
    if start.ratio is None:
        return ""
    made, of = start.ratio
    stitches = voice.say_many("along.stitches", (made,))
    return voice.say_many("along.ratio", (of,), stitches=stitches, ends=voice.noun("row end", (of,)))


def goes_round(along: Along) -> bool:
    """Tell whether an edge has no ends."""
    return along.edge == "around" or (along.in_rounds and along.edge in ("top", "foundation"))


def _sides(voice: Voice, along: Along, behind: bool) -> str:
    """Return the edges of a piece in the order that they are met."""
    edges = AROUND[::-1] if behind else AROUND
    names = ["lower" if along.laid and each == "foundation" else each for each in edges]
    return voice.listed([voice.say(f"along.side.{each}") for each in names])


def edge_name(voice: Voice, along: Along, piece: str = "", *, of: bool = False) -> str:
    """Return `the left edge of the Band`, with the word before it if something is `of` it.

    `piece` stands for the piece if it has another name there.
    """
    piece = piece or voice.piece(along.title)
    case = "of" if of else "whole"
    if along.row is not None:
        loop = "front" if along.edge == "flo" else "back"
        unit = voice.noun(along.unit, (1,))
        return voice.say(f"edges.{case}.loops.{loop}", unit=unit, row=along.row, piece=piece)
    if along.underside:
        return voice.say(f"edges.{case}.underside", name=along.edge, piece=piece)
    if along.in_rounds and along.edge in ("top", "around"):
        return voice.say(f"edges.{case}.last-round", piece=piece)
    if along.edge in CORNERS:
        return voice.say(f"edges.{case}.side.{along.edge}", piece=piece)
    return voice.say(f"edges.{case}.named", name=along.edge, stitches=voice.noun("stitch", (2,)), piece=piece)


def along_noun(voice: Voice, along: Along, count: Numbers = (1,)) -> Noun:
    """Return what the places of an edge are called, `place` where there may be several kinds."""
    if along.row is not None:
        return voice.noun("loop", count)
    if along.underside:
        return voice.noun("chain", count)
    if along.edge in ("left", "right") and not along.laid:
        return voice.noun("row end", count)
    return voice.noun("place" if along.edge in (*CORNERS, "around") else "stitch", count)


def part_name(voice: Voice, along: Along, count: Numbers, piece: str = "") -> str:
    """Return `the first 12 places of the left edge of the Band`, for an edge not used to its end."""
    return voice.say_many(
        f"along.part.{along.end}",
        count,
        noun=along_noun(voice, along, count),
        of_edge=edge_name(voice, along, piece, of=True),
    )


def _edge(voice: Voice, along: Along, count: Numbers, behind: bool) -> str:
    if along.edge == "around" and not along.in_rounds:
        sides = _sides(voice, along, behind)
        return voice.say("along.round-sides", piece=voice.piece(along.title), sides=sides)
    edge = edge_name(voice, along) if along.end is None else part_name(voice, along, count)
    return voice.say("along.along", edge=edge)


def _joined_at(voice: Voice, along: Along, count: Numbers, noun: Noun, *, behind: bool) -> str:
    piece = voice.piece(along.title)
    if goes_round(along) and along.in_rounds:
        return voice.say("along.in-first", noun=noun, of_edge=edge_name(voice, along, of=True))
    if along.edge == "around":
        edge, end = ("right", CORNERS["right"][1]) if behind else ("top", CORNERS["top"][0])
        return voice.say("along.at", end=end_name(voice, edge, end, piece))
    if along.row is not None:
        loop = "front" if along.edge == "flo" else "back"
        unit = voice.noun(along.unit, (1,))
        return voice.say(f"along.in-first-loop.{loop}", unit=unit, row=along.row, piece=piece)
    if along.edge not in CORNERS:
        of_edge = edge_name(voice, along, of=True)
        if along.underside:
            return voice.say("along.in-first", noun=noun, of_edge=of_edge)
        return voice.say("along.in-first-named", of_edge=of_edge)
    start, end = CORNERS[along.edge][::-1] if behind else CORNERS[along.edge]
    if along.end == "last":
        return voice.say(
            "along.before",
            count=sized(count),
            noun=along_noun(voice, along, count),
            end=end_name(voice, along.edge, end, piece),
        )
    return voice.say("along.at", end=end_name(voice, along.edge, start, piece))


def end_name(voice: Voice, edge: str, end: str, piece: str) -> str:
    """Return `right end of the top edge of the Band`."""
    return voice.say(f"along.end.{edge}-{end}", piece=piece)
