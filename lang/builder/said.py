"""What is said of a row, a stitch or a piece: each thing once."""

from __future__ import annotations

from typing import Any, NamedTuple

from .. import syntax as s
from ..diagnostics import Diagnostic, Label
from ..source import Span
from .tokens import Refused


class Said(NamedTuple):
    """A setting and where it stands, until the row or stitch it belongs to is built."""

    what: str
    value: Any
    span: Span


_SETTING_NAMES = {
    "side": "the side",
    "yarn": "the yarn",
    "stitch": "the stitch",
    "loop": "the loop",
    "chains_count": "`chains count`",
    "turning_chain": "the turning chain",
    "below": "`below`",
    "crossed": "`crossed`",
    "into": "`into`",
    "begin": "`begin`",
    "steps": "`steps`",
    "make": "`make`",
    "mirrored": "`mirrored`",
    "ratio": "the ratio",
    "rounding": "the rounding",
    "part": "the part of the edge",
    "method": "the way it is sewn",
    "eased": "`eased`",
}


def once(said: list[Said]) -> dict[str, Any]:
    """Return the settings by what they set; refuse the second of a kind."""
    found: dict[str, Said] = {}
    for each in said:
        if each.what in found:
            first = found[each.what]
            raise Refused(
                Diagnostic(
                    "used-twice",
                    f"{_SETTING_NAMES[each.what]} is set twice",
                    each.span,
                    related=(Label(first.span, "first set here"),),
                    help="keep one of the two",
                )
            )
        found[each.what] = each
    return {what: each.value for what, each in found.items()}


def how_said(said: list[Said]) -> s.How:
    """Return what is said of a stitch beside its name."""
    return s.How(**once(said)) if said else s.PLAIN
