"""Wording: a counted pattern as English, every word a reader will see. Layout is `publish`'s."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ...lang.collector import collector_held_off
from ...lang.syntax import Text
from ..cautions import raised
from ..counted import CountedPattern, CountedSeam
from ..document import Document, Prose, Section
from ..pipeline import Analysis
from .catalogue import NotWorded as NotWorded
from .front import caution, front, headings
from .grids import laid_out
from .phrases import Voice
from .seams import made_up
from .sections import Around, section


def document(analysis: Analysis, dialect: str, words: str) -> Document:
    """Return a pattern without errors in the terms of `US`, `UK` or `DE`, its words `full` or `short`.

    Raises NotWorded where a language has no words for it yet.
    """
    with collector_held_off():
        return _worded(analysis, dialect, words)


def _worded(analysis: Analysis, dialect: str, words: str) -> Document:
    voice = Voice(dialect, words == "full")
    patterns = analysis.patterns
    cautions = raised(analysis.scope, patterns)
    sections: list[Section] = []
    anchors: set[str] = set()
    told: set[str] = set()
    laid_pieces = [piece.plan.laid for piece in patterns[0].pieces if piece.plan.laid is not None]
    joined = {each.index for each in laid_pieces if each.at}
    used, sewn = _used(patterns[0]), _sewn(patterns[0])
    finishing = tuple(
        statement.node
        for statement in analysis.scope.texts.get("finish", ())
        if isinstance(statement.node, Text)
    )

    def make_up(above: int) -> None:
        for groups in zip(*(pattern.making_up for pattern in patterns), strict=True):
            if groups[0].above == above:
                title = headings(voice).making_up
                sections.append(made_up(voice, groups, title, _anchor(title, anchors), told))

    for index, piece in enumerate(patterns[0].pieces):
        make_up(index)
        anchor = _anchor(piece.plan.node.name, anchors)
        again, laid = piece.plan.again, piece.plan.laid
        if laid is not None:
            grid = [pattern.pieces[index] for pattern in patterns]
            sections.append(laid_out(voice, grid, patterns[0].pieces[laid.index], anchor, told))
            continue
        along = piece.plan.start.along if piece.plan.start is not None else ()
        sections.append(
            _cautioned(
                section(
                    voice,
                    [pattern.pieces[index] for pattern in patterns],
                    analysis.scope.sizes,
                    anchor,
                    like=[pattern.pieces[again.index] for pattern in patterns] if again is not None else (),
                    grids=[
                        [pattern.pieces[each.index] for pattern in patterns] for each in along if each.laid
                    ],
                    around=Around(
                        several_yarns=len(analysis.scope.yarns) > 1,
                        joined=index in joined,
                        used=index in used,
                        sewn=index in sewn,
                        finishing=finishing if index == len(patterns[0].pieces) - 1 else (),
                    ),
                ),
                [caution(voice, each) for each in cautions if each.piece == index],
            )
        )
    make_up(len(patterns[0].pieces))
    return front(analysis, voice, tuple(sections))


def _used(pattern: CountedPattern) -> frozenset[int]:
    """Return the pieces whose edges are worked along or sewn, or that are worked again in mirror image."""
    found = set(_sewn(pattern))
    for piece in pattern.pieces:
        if piece.plan.start is not None:
            found |= {each.index for each in piece.plan.start.along}
        if piece.plan.again is not None and piece.plan.again.mirrored:
            found.add(piece.plan.again.index)
    for seam in _seams(pattern):
        found |= {each.index for each in (*seam.plan.first, *seam.plan.second)}
    return frozenset(found)


def _sewn(pattern: CountedPattern) -> frozenset[int]:
    """Return the pieces that leave the yarn for a seam: those that stand first in it."""
    return frozenset(
        seam.plan.first[0].index
        for seam in _seams(pattern)
        if seam.plan.method is None or seam.plan.method.sewn
    )


def _seams(pattern: CountedPattern) -> list[CountedSeam]:
    return [part for group in pattern.making_up for part in group.parts if isinstance(part, CountedSeam)]


def _cautioned(found: Section, cautions: Sequence[str]) -> Section:
    """Return a section that begins with the cautions that concern its piece."""
    own = tuple(Prose("caution", each) for each in cautions)
    return replace(found, entries=(*own, *found.entries)) if own else found


def _anchor(name: str, taken: set[str]) -> str:
    from .front import slug

    anchor = base = slug(name) or "piece"
    number = 2
    while anchor in taken:
        anchor = f"{base}-{number}"
        number += 1
    taken.add(anchor)
    return anchor
