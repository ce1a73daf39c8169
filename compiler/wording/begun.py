"""How a piece is begun, and what is said of one that is worked like another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..counted import Block, CountedPiece
from ..plan import StartPlan
from .along import begun_along
from .opening import slip_stitch
from .phrases import Numbers, Voice, sentence, sized

TWISTS = 20
"""From so many chains on, a chain may be twisted when it is joined. Common practice, no source."""


def begun(
    voice: Voice,
    pieces: Sequence[CountedPiece],
    grids: Sequence[Sequence[CountedPiece]],
    *,
    several_yarns: bool,
    joined: bool,
) -> Iterator[str]:
    """Yield how often a piece is made and how it is begun; a grid that it is `joined` in says how often."""
    start = pieces[0].plan.start
    if start is None:
        return
    if not joined:
        yield from _make(voice, pieces)
    yarns = [piece.plan.yarns[0] for piece in pieces if piece.plan.yarns]
    yarn = sized(yarns) if several_yarns and yarns else ""
    if start.kind == "edge":
        yield sentence(begun_along(voice, pieces, yarn, grids))
    else:
        words = _first(voice, start, tuple(piece.start_count for piece in pieces))
        yield sentence(voice.say("items.with-yarn", yarn=yarn, items=words) if yarn else words)
    if pieces[0].plan.fastened_off and "stitches" in start.kind:
        yield voice.say("opening.fasten-off")
    if pieces[0].plan.node.manner == "spiral rounds":
        yield voice.say("begun.spiral")


def _make(voice: Voice, pieces: Sequence[CountedPiece]) -> Iterator[str]:
    make = tuple(piece.plan.make for piece in pieces)
    if set(make) != {1}:
        yield voice.say("begun.make", count=sized(make))


def _first(voice: Voice, start: StartPlan, count: Numbers) -> str:
    """Return the ring, chain or stitches that a piece is begun with."""
    match start.kind:
        case "ring" if start.node.words is None:
            return voice.say("begun.ring")
        case "ring":
            return voice.say("begun.ring-over", name=start.node.words)
        case "joined chain":
            return voice.say_many(
                "begun.joined-long-chain" if max(count) >= TWISTS else "begun.joined-chain",
                count,
                slip=slip_stitch(voice),
            )
        case "chain" | "for":
            return voice.say_many("begun.chain", count)
        case _:
            assert start.stitch is not None
            stitches = voice.stitches_of(start.stitch, count)
            if "joined" not in start.kind:
                return voice.say("begun.stitches", stitches=stitches)
            return voice.say("begun.joined-stitches", stitches=stitches, slip=slip_stitch(voice))


def begun_again(
    voice: Voice,
    pieces: Sequence[CountedPiece],
    like: Sequence[CountedPiece],
    grids: Sequence[Sequence[CountedPiece]],
    *,
    several_yarns: bool,
) -> Iterator[str]:
    """Yield how a piece that is worked as `like` is begun, and how it differs."""
    yield from _make(voice, pieces)
    start, yarns, again = pieces[0].plan.start, pieces[0].plan.yarns, pieces[0].plan.again
    if start is not None and start.kind == "edge":
        yield sentence(begun_along(voice, pieces, yarns[0] if several_yarns and yarns else "", grids))
    title = like[0].plan.title
    if again is None or not again.mirrored:
        yield sentence(voice.say("begun.as-for", title=title))
        return
    unit = voice.noun("round" if like[0].plan.in_rounds else "row", (1,))
    sides = {part.stretch.node.settings.side for part in like[0].parts if isinstance(part, Block)} - {None}
    labelled = sides or says_side(like, changes_yarn=False, used=True)
    read = voice.say("begun.read-other-side") if labelled else ""
    yield voice.say("begun.mirrored", title=title, unit=unit, read=read)


def says_side(pieces: Sequence[CountedPiece], *, changes_yarn: bool, used: bool) -> bool:
    """Tell whether the first row has to say that it shows the right side: where edges or colours need it."""
    plan = pieces[0].plan
    if not plan.turns or plan.in_rounds or not (used or changes_yarn):
        return False
    if plan.start is None or plan.start.kind == "edge":
        return False
    blocks = [part for piece in pieces for part in piece.parts if isinstance(part, Block)]
    return not any(block.stretch.node.settings.side for block in blocks)
