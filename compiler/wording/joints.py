"""Joins to pieces that are done."""

from __future__ import annotations

from ...lang.stitches import vocabulary
from ..steps import Joint, StitchStep
from .phrases import Voice


def joined(voice: Voice, joint: Joint) -> str:
    """Return a slip stitch to a place of a piece that is done."""
    slip = vocabulary("US").find("ss")
    assert slip is not None
    match joint.place:
        case "sp" | "picot" as kind:
            place = voice.say(f"joints.kind.{kind}")
        case "st":
            place = voice.say("joints.stitch", stitch=voice.noun("stitch", (1,)))
        case mark:
            place = voice.say("quoted", name=mark)
    which = voice.say("joints.last-free") if joint.which is None else voice.ordinal(joint.which)
    slip_stitch, piece = voice.stitch(slip), voice.piece(joint.title)
    return voice.say("joints.join", slip=slip_stitch, which=which, place=place, piece=piece)


def joined_picot(voice: Voice, step: StitchStep) -> str:
    """Return which picot of a piece that is done this one is joined to, by which of its chains."""
    if step.joint is None:
        return ""
    middle = voice.ordinal((step.stitch.legs + 2) // 2)
    return voice.say("joints.picot-joined", join=joined(voice, step.joint), middle=middle)
