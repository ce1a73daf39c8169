"""How a piece ends that is drawn together: the yarn through its last round."""

from __future__ import annotations

from collections.abc import Sequence

from ...lang.measures import in_both
from ..counted import Block, CountedPiece
from ..fabric import SPACE, Segments, places, tally
from .phrases import Voice

TAIL_CM = 20
"""The tail that a last round is drawn together with. Common practice, no source."""


def closed(voice: Voice, pieces: Sequence[CountedPiece]) -> str:
    """Return what is done with the last round of a piece that is drawn together, in all sizes."""
    tail = f"cut {voice.the('yarn')}, leaving a tail of {in_both(TAIL_CM)}"
    edges = [_last_edge(piece) for piece in pieces]
    spaces = tuple(tally(parts)[SPACE] for parts in edges)
    stitches = tuple(places(parts) - many for parts, many in zip(edges, spaces, strict=True))
    loop = voice.the("front loop")
    through = f"through {loop} of each of {voice.the(voice.counted('stitch', stitches))}"
    if any(spaces):
        through += f", and through each of {voice.the(voice.counted('space', spaces))},"
    thread = (
        f"thread it {through} of {voice.the('last round')}, pull it tight to close the hole and fasten off"
    )
    return f"{tail[0].upper()}{tail[1:]}. {thread[0].upper()}{thread[1:]}."


def _last_edge(piece: CountedPiece) -> Segments:
    rows = [row for part in piece.parts if isinstance(part, Block) for row in part.rows]
    return rows[-1].after.parts if rows else ()
