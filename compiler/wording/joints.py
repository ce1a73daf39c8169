"""Joins to pieces that are done, as English."""

from __future__ import annotations

from ...lang.stitches import vocabulary
from ..steps import Joint, StitchStep
from .phrases import Voice, ordinal, piece_name


def joined(voice: Voice, joint: Joint) -> str:
    """Return a slip stitch to a place of a piece that is done."""
    slip = vocabulary("US").find("ss")
    assert slip is not None
    match joint.place:
        case "sp":
            place = f"unmarked {voice.chain} {voice.word('space', 'sp')}"
        case "st":
            place = f"unmarked {voice.noun('stitch', (1,))}"
        case "picot":
            place = "unmarked picot"
        case mark:
            place = f"“{mark}”"
    which = "last free" if joint.which is None else ordinal(joint.which)
    article = "a " if voice.full else ""
    of = piece_name(voice, joint.title)
    return f"join with {article}{voice.stitch(slip)} in {voice.the(f'{which} {place}')} of {of}"


def joined_picot(voice: Voice, step: StitchStep) -> str:
    """Return which picot of a piece that is done this one is joined to, by which of its chains."""
    if step.joint is None:
        return ""
    middle = ordinal((step.stitch.legs + 2) // 2)
    return f" ({joined(voice, step.joint)} in place of its {middle} {voice.chain})"
