"""The author's own stitches, explained from their definitions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..counted import Block, Worked
from ..document import Term
from ..steps import OwnStep, OwnStitch, SaidStep
from .aligned import Across, align
from .items import items, made_words
from .phrases import Voice, sentence
from .places import Where

if TYPE_CHECKING:
    from ..pipeline import Analysis


def defined(analysis: Analysis, name: str, voice: Voice) -> Term | None:
    """Return an author's stitch as its rows work it; None if no row does."""
    sizes: list[tuple[Worked, ...]] = []
    own: OwnStitch | None = None
    for pattern in analysis.patterns:
        found = _first_use(
            name,
            (
                worked
                for piece in pattern.pieces
                for part in piece.parts
                if isinstance(part, Block)
                for row in part.rows
                for worked in row.worked
            ),
        )
        if found is None:
            continue
        step = found.step
        assert isinstance(step, OwnStep)
        own = step.stitch
        sizes.append(found.body)
    if own is None:
        return None
    words = []
    if isinstance(own.body, SaidStep):
        said = own.body.text.strip().rstrip(".")
        words.append(sentence(f"{said} ({made_words(voice, own.body)})"))
    else:
        across: list[Across] = align(sizes)
        words.append(sentence(", ".join(items(voice, across, Where(top=False)))))
    return Term(
        f"“{own.name}”", (own.explanation or "").strip() or "a stitch of this pattern", " ".join(words)
    )


def _first_use(name: str, worked: object) -> Worked | None:
    for each in worked:  # type: ignore[attr-defined]
        if isinstance(each.step, OwnStep) and each.step.stitch.name == name and each.count:
            return each  # type: ignore[no-any-return]
        found = _first_use(name, each.body)
        if found is not None:
            return found
    return None
