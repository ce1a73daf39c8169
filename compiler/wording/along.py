"""How a piece is begun along the edges of others, as English."""

from __future__ import annotations

from collections.abc import Sequence

from ..counted import Block, CountedPiece
from ..fabric import Run, Segments
from ..plan import Along, StartPlan
from .opening import joining
from .phrases import Numbers, Voice, listed, piece_name, sized
from .places import kinds_of

CORNERS = {"top": ("right", "left"), "left": ("upper", "lower"), "foundation": ("left", "right")}
CORNERS["right"] = CORNERS["left"][::-1]
"""The end of an edge where right-handed work with the right side facing comes to it, and the other end."""

AROUND = ("top", "left", "foundation", "right")


def begun_along(
    voice: Voice, pieces: Sequence[CountedPiece], yarn: str, grids: Sequence[Sequence[CountedPiece]] = ()
) -> str:
    """Return where the yarn is joined and what is worked along, without its full stop.

    `grids` are the pieces worked along that are motifs in a grid, each in all sizes.
    """
    start = pieces[0].plan.start
    assert start is not None
    behind = _from_behind(pieces[0])
    counts = [
        tuple(piece.plan.start.along[n].count for piece in pieces if piece.plan.start is not None)
        for n in range(len(start.along))
    ]
    side = "wrong" if behind else "right"
    first = start.along[0]
    ground = _ground(pieces[0])
    where = _joined_at(voice, first, counts[0], _first_noun(voice, ground), behind=behind)
    facing = f"with {voice.the(f'{side} side')} facing, "
    join = joining(voice).replace("join ", f"join {_the(voice, yarn)} ", 1)
    edges = [_edge(voice, along, count, behind) for along, count in zip(start.along, counts, strict=True)]
    if len(edges) > 1 or first.end is not None:
        along_what = ", then ".join(
            each if each.startswith("all round") else f"along {each}" for each in edges
        )
    elif goes_round(first):
        along_what = f"all round {_it(voice, first, behind)}"
    else:
        along_what = "along these loops" if first.row is not None else "along it"
    many = tuple(piece.start_count for piece in pieces)
    return (
        f"{facing}{join} {where} and work {along_what}{_ratio(start)} "
        f"({sized(many)} {_nouns(voice, ground, many)} in all{_of_grids(start, grids)})"
    )


def _ground(piece: CountedPiece) -> Segments:
    """Return the places that the first row comes to."""
    rows = [row for part in piece.parts if isinstance(part, Block) for row in part.rows]
    return rows[0].before.parts if rows else ()


def _nouns(voice: Voice, ground: Segments, count: Numbers) -> str:
    """Return what the places are called that are all alike, else `places`."""
    kinds = kinds_of(ground)
    return voice.noun(kinds.pop() if len(kinds) == 1 else "place", count)


def _first_noun(voice: Voice, ground: Segments) -> str:
    while ground and not isinstance(ground[0], Run):
        ground = ground[0].parts
    return _nouns(voice, ground[:1], (1,))


def _of_grids(start: StartPlan, grids: Sequence[Sequence[CountedPiece]]) -> str:
    """Return how many of the places are corners of motifs in a grid, and how many lie between motifs."""
    if not grids or len(start.along) > 1 or grids[0][0].grid is None or not grids[0][0].grid.corner:
        return ""
    grid = grids[0][0].grid
    laid = [piece.plan.laid for piece in grids[0] if piece.plan.laid is not None]
    joints = tuple(2 * (each.across + each.high - 2) for each in laid)
    between = f" and {sized(joints)} where two motifs meet" if grid.corners_joined and any(joints) else ""
    return f", 4 of them “{grid.corner}”{between}"


def _from_behind(piece: CountedPiece) -> bool:
    mirrored = piece.plan.again is not None and piece.plan.again.mirrored
    for part in piece.parts:
        if isinstance(part, Block) and part.rows:
            return (part.rows[0].plan.side == "ws") != mirrored
    return mirrored


def _ratio(start: StartPlan) -> str:
    if start.ratio is None:
        return ""
    made, of = start.ratio
    stitches = "stitch" if made == 1 else "stitches"
    ends = "row end" if of == 1 else f"{of} row ends"
    return f", {made} {stitches} for every {ends}"


def _the(voice: Voice, yarn: str) -> str:
    return yarn if voice.full else yarn.removeprefix("the ")


def goes_round(along: Along) -> bool:
    """Tell whether an edge has no ends."""
    return along.edge == "around" or (along.in_rounds and along.edge in ("top", "foundation"))


def _it(voice: Voice, along: Along, behind: bool) -> str:
    """Return `it`, with its edges in the order that they are met where there are several."""
    if along.in_rounds:
        return "it"
    return f"it, along {_sides(voice, along, behind)}"


def _sides(voice: Voice, along: Along, behind: bool) -> str:
    edges = AROUND[::-1] if behind else AROUND
    names = ["lower" if along.laid and each == "foundation" else each for each in edges]
    return listed([voice.the(f"{each} edge") for each in names])


def edge_name(voice: Voice, along: Along, piece: str = "") -> str:
    """Return `the left edge of the Band`; `piece` stands for the piece if it has another name there."""
    piece = piece or piece_name(voice, along.title)
    if along.row is not None:
        loop = "front" if along.edge == "flo" else "back"
        return f"{voice.the(f'free {loop} loops of {along.unit} {along.row}')} of {piece}"
    if along.underside:
        return f"{voice.the('other side')} of {voice.the('chains')} “{along.edge}” of {piece}"
    if along.in_rounds and along.edge in ("top", "around"):
        return f"{voice.the('last round')} of {piece}"
    if along.edge in CORNERS:
        return f"{voice.the(f'{along.edge} edge')} of {piece}"
    stitches = voice.noun("stitch", (2,))
    return f"{voice.the(f'“{along.edge}” {stitches}')} of {piece}"


def _edge(voice: Voice, along: Along, count: Numbers, behind: bool) -> str:
    if along.edge == "around" and not along.in_rounds:
        return f"all round {piece_name(voice, along.title)}, along {_sides(voice, along, behind)}"
    if along.end is None:
        return edge_name(voice, along)
    places = f"{along.end} {sized(count)} {voice.noun('place', count)}"
    return f"{voice.the(places)} of {edge_name(voice, along)}"


def _joined_at(voice: Voice, along: Along, count: Numbers, noun: str, *, behind: bool) -> str:
    if goes_round(along) and along.in_rounds:
        return f"in {voice.the(f'first {noun}')} of {edge_name(voice, along)}"
    if along.edge == "around":
        edge, end = ("right", CORNERS["right"][1]) if behind else ("top", CORNERS["top"][0])
        return (
            f"at {voice.the(f'{end} end')} of {voice.the(f'{edge} edge')} of {piece_name(voice, along.title)}"
        )
    if along.row is not None:
        loop = "front" if along.edge == "flo" else "back"
        first = f"first free {loop} loop of {along.unit} {along.row}"
        return f"in {voice.the(first)} of {piece_name(voice, along.title)}"
    if along.edge not in CORNERS:
        return f"in {voice.the(f'first {noun}' if along.underside else 'first')} of {edge_name(voice, along)}"
    start, end = CORNERS[along.edge][::-1] if behind else CORNERS[along.edge]
    if along.end == "last":
        many = f"{sized(count)} {voice.noun('place', count)}"
        return f"{many} before {voice.the(f'{end} end')} of {edge_name(voice, along)}"
    return f"at {voice.the(f'{start} end')} of {edge_name(voice, along)}"
