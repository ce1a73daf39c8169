"""How a piece ends: fastened off, or with the yarn drawn through its last round."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from ...lang.syntax import Text
from ..counted import Block, CountedPiece
from ..fabric import SPACE, Segments, places, tally
from ..plan import Closing, Remark
from .opening import slip_stitch
from .phrases import Voice, sentence
from .places import one

TAIL_CM = 20
"""The tail that a last round is drawn together with. Common practice, no source."""

ENDED = re.compile(r"\bfasten(?:ed|ing)? off\b|\b(?:cut|break)(?: off)? the (?:yarn|thread)\b", re.IGNORECASE)
"""What an author says who ends a piece in words of their own."""


def fastened_off(voice: Voice, piece: CountedPiece, finishing: Iterable[Text], *, sewn: bool) -> str:
    """Return how a piece ends, with a tail where it is `sewn`; empty where that is said elsewhere.

    `finishing` are the author's words after all pieces that tell of this one's end.
    """
    plan = piece.plan
    if not any(isinstance(part, Block) for part in piece.parts) or plan.fastened_off:
        return ""
    if any(isinstance(part, Closing) for part in piece.parts) or _ended([*_after_rows(piece), *finishing]):
        return ""
    end = voice.say("closing.sewn" if sewn else "closing.end")
    if plan.node.manner == "spiral rounds":
        end = voice.say(
            "closing.spiral",
            slip=slip_stitch(voice),
            place=one(voice, "next", voice.noun("stitch", (1,))),
            end=end,
        )
    return sentence(end)


def _after_rows(piece: CountedPiece) -> list[Text]:
    """Return what an author says after the last row of a piece."""
    last = max(index for index, part in enumerate(piece.parts) if isinstance(part, Block))
    return [part.node for part in piece.parts[last:] if isinstance(part, Remark)]


def _ended(texts: Iterable[Text]) -> bool:
    return any(ENDED.search(" ".join(text.lines)) for text in texts)


def closed(voice: Voice, pieces: Sequence[CountedPiece]) -> str:
    """Return what is done with the last round of a piece that is drawn together, in all sizes."""
    edges = [_last_edge(piece) for piece in pieces]
    spaces = tuple(tally(parts)[SPACE] for parts in edges)
    stitches = tuple(places(parts) - many for parts, many in zip(edges, spaces, strict=True))
    through = voice.say("closing.stitches", stitches=voice.counted("stitch", stitches))
    if any(spaces):
        through = voice.say("closing.spaces", stitches=through, spaces=voice.counted("space", spaces))
    return voice.say("closing.drawn", tail=voice.about_lengths([TAIL_CM]), through=through)


def _last_edge(piece: CountedPiece) -> Segments:
    rows = [row for part in piece.parts if isinstance(part, Block) for row in part.rows]
    return rows[-1].after.parts if rows else ()
