"""Wording: a counted pattern as English, every word a reader will see. Layout is `publish`'s."""

from __future__ import annotations

from ..document import Document
from ..pipeline import Analysis
from .front import front
from .phrases import Voice
from .sections import section


def document(analysis: Analysis, dialect: str, words: str) -> Document:
    """Return a pattern without errors in the terms of `US` or `UK`, its words `full` or `short`."""
    voice = Voice(dialect, words == "full")
    patterns = analysis.patterns
    sections = []
    anchors: set[str] = set()
    for index, piece in enumerate(patterns[0].pieces):
        anchor = _anchor(piece.plan.node.name, anchors)
        again = piece.plan.again
        sections.append(
            section(
                voice,
                [pattern.pieces[index] for pattern in patterns],
                analysis.scope.sizes,
                anchor,
                like=[pattern.pieces[again.index] for pattern in patterns] if again is not None else (),
                several_yarns=len(analysis.scope.yarns) > 1,
            )
        )
    return front(analysis, voice, tuple(sections))


def _anchor(name: str, taken: set[str]) -> str:
    from .front import slug

    anchor = base = slug(name) or "piece"
    number = 2
    while anchor in taken:
        anchor = f"{base}-{number}"
        number += 1
    taken.add(anchor)
    return anchor
