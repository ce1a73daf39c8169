"""What stands round the rows: title, sizes, materials, gauge, key, notes, cautions, finishing."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...lang.measures import said_gauge
from ...lang.stitches import vocabulary
from ...lang.syntax import StitchDefinition, Text
from ..cautions import raised
from ..counted import Block
from ..document import Document, Headings, Section, Term
from ..pictures import picture
from . import colours
from .charts import charts
from .materials import materials
from .measurements import measurements
from .phrases import Voice, listed, sentence

if TYPE_CHECKING:
    from ..pipeline import Analysis


def front(analysis: Analysis, voice: Voice, sections: tuple[Section, ...]) -> Document:
    """Return the document round the pieces that `voice` has worded."""
    texts = analysis.scope.texts
    title = _one(analysis, "pattern")
    by = _one(analysis, "by")
    sizes = analysis.scope.sizes
    gauge = tuple(_gauge(analysis, voice))
    special = tuple(_special(analysis, voice))
    return Document(
        language="en-US" if voice.dialect == "US" else "en-GB",
        slug=slug(title) or "pattern",
        title=title,
        by=by,
        by_line=f"by {by}" if by else "",
        about=tuple(_about(analysis, voice)),
        headings=headings(voice),
        sizes=sizes,
        sizes_note=_sizes_note(analysis),
        measurements=measurements(analysis.patterns, voice),
        materials=tuple(materials(analysis, voice.dialect)),
        gauge=gauge,
        abbreviations=tuple(_key(voice)),
        special_stitches=special,
        notes=(*_notes(analysis), *_before_pieces(analysis, "note")),
        cautions=(*_cautions(analysis), *_before_pieces(analysis, "caution")),
        sections=sections,
        finishing=tuple(" ".join(_lines(statement.node)) for statement in texts.get("finish", ())),
        charts=charts(analysis, voice),
        pictures=tuple(picture(node) for node in _texts_before_pieces(analysis, "picture")),
    )


def slug(title: str) -> str:
    """Return a title in a-z, 0-9 and hyphens; empty if nothing of it is left."""
    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")


def _lines(node: object) -> tuple[str, ...]:
    assert isinstance(node, Text)
    return node.lines


def _one(analysis: Analysis, key: str) -> str:
    lines = analysis.scope.texts.get(key, ())
    return " ".join(_lines(lines[0].node)) if lines else ""


def headings(voice: Voice) -> Headings:
    """Return the headings in the reader's dialect."""
    return Headings(
        sizes="Sizes",
        measurements="Finished measurements",
        materials="Materials",
        gauge="Gauge" if voice.dialect == "US" else "Tension",
        abbreviations="Stitches used" if voice.full else "Abbreviations",
        special_stitches="Special stitches",
        notes="Notes",
        cautions="Safety",
        finishing="Finishing",
        making_up="Assembly" if voice.dialect == "US" else "Making up",
    )


def _about(analysis: Analysis, voice: Voice) -> Iterator[str]:
    if level := _one(analysis, "level"):
        yield f"Level: {level}."
    if wearer := _one(analysis, "for"):
        yield f"For: {wearer}."
    yield f"Written in {voice.dialect} terms."


def _sizes_note(analysis: Analysis) -> str:
    sizes = analysis.scope.sizes
    if not sizes:
        return ""
    others = listed(sizes[1:])
    pieces = zip(*(pattern.pieces for pattern in analysis.patterns), strict=True)
    what, one = ("Numbers", "one number, it is")
    if any(map(colours.yarns_differ, pieces)):
        what, one = ("Numbers and yarns", "one number or yarn, it is")
    return (
        f"{what} are given for size {sizes[0]}, with those for {others} in brackets: "
        f"{sizes[0]} ({', '.join(sizes[1:])}). Where there is only {one} for every size."
    )


def _gauge(analysis: Analysis, voice: Voice) -> Iterator[str]:
    for in_sizes in zip(*(pattern.gauges for pattern in analysis.patterns), strict=True):
        gauge = in_sizes[0]
        stitch = vocabulary("US").find(gauge.stitch)
        own = f"“{gauge.stitch}”" if gauge.is_own else gauge.stitch
        yield f"{said_gauge(in_sizes, voice.stitch(stitch) if stitch is not None else own)}."


def _key(voice: Voice) -> Iterator[Term]:
    """Yield the stitches that the text has named, then the other short words."""
    us = vocabulary("US")
    order = {name: index for index, name in enumerate(us.names)}
    for stitch in sorted(
        voice.stitches.values(), key=lambda each: (order.get(each.key, len(order)), each.key)
    ):
        terms = stitch.terms(voice.dialect)
        explanation = stitch.explanation(voice.dialect)
        if voice.full:
            yield Term(sentence(terms.name).rstrip("."), terms.abbreviation, explanation)
        else:
            yield Term(terms.abbreviation, terms.name, explanation)
    for short, meaning in sorted(voice.short_words.items()):
        yield Term(short, meaning)


def _special(analysis: Analysis, voice: Voice) -> Iterator[Term]:
    from .special import defined

    for definition in analysis.scope.definitions.values():
        if isinstance(definition.node, StitchDefinition):
            term = defined(analysis, definition.node.name, voice)
            if term is not None:
                yield term
    yield from _mesh(voice)


def _mesh(voice: Voice) -> Iterator[Term]:
    """Yield how the squares of a mesh are worked, as far as there are any."""
    for name, stitch in sorted(voice.squares.items(), reverse=True):
        one, two = voice.stitch(stitch), voice.stitches_of(stitch, (2,))
        if name == "space":
            way = (
                f"{voice.chain} 2, {voice.skip} {voice.the('next')} 2 {voice.noun('stitch', (2,))} or "
                f"{voice.the('next')} {voice.chain}-2 {voice.word('space', 'sp')}, "
                f"{one} in {voice.the('next')} {voice.noun('stitch', (1,))}"
            )
        else:
            each = "each of " if voice.full else ""
            way = (
                f"{one} in {each}{voice.the('next')} 2 {voice.noun('stitch', (2,))}, or {voice.work}{two} in "
                f"{voice.the('next')} {voice.chain}-2 {voice.word('space', 'sp')}; "
                f"{one} in {voice.the('next')} {voice.noun('stitch', (1,))}"
            )
        meaning = "an open square of the mesh" if name == "space" else "a filled square of the mesh"
        yield Term(name.capitalize(), meaning, sentence(way))


def _notes(analysis: Analysis) -> Iterator[str]:
    """Yield what a reader must know of chains and joins to count as the rows do."""
    rows = [
        (row, piece.plan)
        for pattern in analysis.patterns
        for piece in pattern.pieces
        for part in piece.parts
        if isinstance(part, Block)
        for row in part.rows
    ]
    openings = [(row.opening, row, plan) for row, plan in rows if row.opening is not None]
    units = {
        row.plan.unit
        for opening, row, _ in openings
        if opening.chains == 1 and opening.manner is None and not row.foundation
    }
    if units:
        rows_or_rounds = " or ".join(sorted(units, reverse=True))
        yield (
            f"The chain of 1 at the beginning of a {rows_or_rounds} does not count as a stitch: the first "
            "stitch goes into the very first stitch or space."
        )
    yield from colours.notes([piece for pattern in analysis.patterns for piece in pattern.pieces])
    if any(opening.manner == "counts" and plan.fastened_off for opening, _, plan in openings):
        yield (
            "Where the chain at the beginning of a row counts as a stitch, it is among the stitches counted "
            "at the end of the row, and the yarn for the next row is joined in the top of it."
        )
    if any(opening.manner == "counts" and plan.turns for opening, _, plan in openings):
        yield (
            "Where a turning chain counts as a stitch, it is among the stitches counted at the end of the "
            "row, and the last stitch of the next row goes into the top of it."
        )
    if chained := list(dict.fromkeys(plan.title for _, plan in rows if plan.node.chains_count)):
        yield (
            f"In {listed([f'“{title}”' for title in chained])} each chain between stitches counts as a "
            "stitch: the number at the end of a row has the chains in it, and the next row works into each "
            "of them as into a stitch."
        )
    if any(row.slip_to for row, _ in rows):
        yield "Slip stitches that bring the hook to where a round begins are not counted as stitches."
    if any(plan.node.manner == "turned rounds" for _, plan in rows):
        yield (
            "After a round is joined and turned, the first stitch met is the last one made; the one that was "
            "joined to is met last."
        )


def _before_pieces(analysis: Analysis, key: str) -> tuple[str, ...]:
    """Return the author's words of that kind that stand above the first piece."""
    return tuple(" ".join(node.lines) for node in _texts_before_pieces(analysis, key))


def _texts_before_pieces(analysis: Analysis, key: str) -> Iterator[Text]:
    first = min((statement.start for statement in analysis.scope.pieces.values()), default=0)
    for each in analysis.scope.texts.get(key, ()):
        if each.start < first:
            assert isinstance(each.node, Text)
            yield each.node


def _cautions(analysis: Analysis) -> Iterator[str]:
    """Yield the cautions that the pattern's own facts call for and that stand before all work."""
    for each in raised(analysis.scope, analysis.patterns):
        if each.piece is None:
            yield each.text
