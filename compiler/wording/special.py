"""The author's own stitches, explained from their definitions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from ..counted import Block, CountedPattern, Worked
from ..document import Term
from ..fabric import Segments
from ..makes import places_used
from ..steps import OwnStep, OwnStitch, SaidStep
from .aligned import align
from .items import items
from .phrases import Voice, sentence
from .places import Where, kinds_of
from .told import made_words

if TYPE_CHECKING:
    from ..pipeline import Analysis


def defined(analysis: Analysis, name: str, voice: Voice) -> Term | None:
    """Return an author's stitch as its rows work it; None if no row does."""
    sizes: list[tuple[Worked, ...]] = []
    own: OwnStitch | None = None
    kinds: set[str] = set()
    for pattern in analysis.patterns:
        uses = list(_uses(name, _worked(pattern)))
        if not uses:
            continue
        first, _ = uses[0]
        assert isinstance(first.step, OwnStep)
        own = first.step.stitch
        sizes.append(first.body)
        kinds = kinds.union(*(kinds_of(used) for _, used in uses))
    if own is None:
        return None
    if isinstance(own.body, SaidStep):
        said = own.body.text.strip().rstrip(".")
        words = sentence(voice.say("told.with", words=said, makes=made_words(voice, own.body)))
    else:
        across = align(sizes)
        named = _named(voice, kinds) if len(across) == 1 and places_used(own.body) == 1 else ""
        words = sentence(", ".join(items(voice, across, Where(top=False, named=named))))
    explained = (own.explanation or "").strip() or voice.say("special.of-this-pattern")
    return Term(voice.say("quoted", name=own.name), explained, words)


def _named(voice: Voice, kinds: set[str]) -> str:
    """Return the place of which only the rows say which it is, by all that they work the stitch into."""
    if "space" not in kinds:
        return voice.say("special.named.stitch", noun=voice.noun("stitch", (1,)))
    if kinds == {"space"}:
        return voice.say("special.named.space")
    return voice.say("special.named.both", noun=voice.noun("stitch", (1,)))


def _worked(pattern: CountedPattern) -> Iterator[Worked]:
    for piece in pattern.pieces:
        for part in piece.parts:
            if isinstance(part, Block):
                for row in part.rows:
                    yield from row.worked


def _uses(name: str, worked: Iterable[Worked], around: Segments = ()) -> Iterator[tuple[Worked, Segments]]:
    """Yield where a stitch is worked, with the places of it or of what it is worked in one place with."""
    for each in worked:
        used = each.used or around
        if isinstance(each.step, OwnStep) and each.step.stitch.name == name and each.count:
            yield each, used
        else:
            yield from _uses(name, each.body, used)
            for turns in each.turns:
                for body in turns.bodies:
                    yield from _uses(name, body, used)
