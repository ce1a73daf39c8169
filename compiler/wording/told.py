"""What authors say in words of their own, and what they say it makes."""

from __future__ import annotations

from ...lang.stitches import vocabulary
from ..fabric import places
from ..steps import SaidStep
from .aligned import Across
from .phrases import Voice, listed, sized
from .places import any_noun


def told(voice: Voice, item: Across, step: SaidStep) -> str:
    """Return an author's words with the places that they use, and what they make."""
    words = step.text.strip().rstrip(".")
    over = tuple(places(worked.used) if worked is not None else 0 for worked in item.each)
    if any(over):
        many = any_noun(voice, item, over)
        counted = many if set(over) == {1} else f"{sized(over)} {many}"
        words = f"over {voice.the('next')} {counted}: {words}"
    return f"{words} ({made_words(voice, step)})"


def made_words(voice: Voice, step: SaidStep) -> str:
    """Return what the author says that the quoted words make."""
    made = _made(voice, step)
    order = ", in this order" if len(step.makes) > 1 else ""
    return f"this makes {made or 'nothing'}{order}"


def _made(voice: Voice, step: SaidStep) -> str:
    words = []
    for kind, count in step.makes:
        if kind == "sp":
            words.append(voice.counted("space", (count,)))
        elif kind == "chains":
            words.append(voice.counted("chain", (count,)))
        elif kind == "st":
            words.append(voice.counted("stitch", (count,)))
        elif kind.startswith("as "):
            words.append(f"{count} “{kind[3:]}”")
        else:
            stitch = vocabulary("US").find(kind)
            words.append(voice.stitches_of(stitch, (count,)) if stitch else f"{count} {kind}")
    return listed(words) if words else ""
