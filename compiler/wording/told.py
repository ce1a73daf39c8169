"""What authors say in words of their own, and what they say it makes."""

from __future__ import annotations

from ...lang.stitches import vocabulary
from ..fabric import places
from ..steps import SaidStep
from .aligned import Across
from .phrases import Voice
from .places import any_noun

NOUNS = {"sp": "space", "chains": "chain", "st": "stitch"}


def told(voice: Voice, item: Across, step: SaidStep) -> str:
    """Return an author's words with the places that they use, and what they make."""
    words = step.text.strip().rstrip(".")
    over = tuple(places(worked.used) if worked is not None else 0 for worked in item.each)
    if any(over):
        words = voice.say_many("told.over", over, noun=any_noun(voice, item, over), words=words)
    return voice.say("told.with", words=words, makes=made_words(voice, step))


def made_words(voice: Voice, step: SaidStep) -> str:
    """Return what the author says that the quoted words make."""
    made = [_made(voice, kind, count) for kind, count in step.makes]
    words = voice.listed(made) if made else voice.say("told.nothing")
    return voice.say("told.makes-in-order" if len(made) > 1 else "told.makes", made=words)


def _made(voice: Voice, kind: str, count: int) -> str:
    if kind in NOUNS:
        return voice.counted(NOUNS[kind], (count,))
    if kind.startswith("as "):
        return f"{count} {voice.say('quoted', name=kind.removeprefix('as '))}"
    stitch = vocabulary("US").find(kind)
    return voice.stitches_of(stitch, (count,)) if stitch else f"{count} {kind}"
