"""What stands round the rows: title, sizes, materials, gauge, key, notes, cautions, finishing."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import fields
from typing import TYPE_CHECKING

from ...lang.stitches import Stitch, vocabulary
from ...lang.syntax import StitchDefinition, Text
from ..cautions import Raised, raised
from ..counted import Block
from ..document import Controls, Document, Headings, Section, Term
from ..pictures import picture
from . import colours
from .charts import charts
from .materials import materials
from .measurements import measurements, said_gauge
from .phrases import Voice, sentence, sized

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
        language=voice.language,
        slug=slug(title) or "pattern",
        title=title,
        by=by,
        by_line=voice.say("front.by", name=by) if by else "",
        time=_one(analysis, "time"),
        about=tuple(_about(analysis, voice)),
        headings=headings(voice),
        sizes=sizes,
        sizes_note=_sizes_note(analysis, voice),
        measurements=measurements(analysis.patterns, voice),
        materials=tuple(materials(analysis, voice)),
        gauge=gauge,
        abbreviations=tuple(_key(voice)),
        special_stitches=special,
        notes=(*_notes(analysis, voice), *_before_pieces(analysis, "note")),
        cautions=(*_cautions(analysis, voice), *_before_pieces(analysis, "caution")),
        sections=sections,
        finishing=tuple(" ".join(_lines(statement.node)) for statement in texts.get("finish", ())),
        charts=charts(analysis, voice),
        pictures=tuple(picture(node) for node in _texts_before_pieces(analysis, "picture")),
        controls=Controls(**{each: voice.say(f"front.control.{each}") for each in _names(Controls)}),
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
    """Return the headings in the reader's terms."""
    return Headings(**{each: voice.say(f"front.heading.{each}") for each in _names(Headings)})


def caution(voice: Voice, called: Raised) -> str:
    """Return what is printed where a caution is called for."""
    kind = called.rule.kind
    if called.reason:
        return voice.say(f"front.caution.answered.{kind}", reason=called.reason)
    return voice.say("front.caution.called", text=voice.say(f"front.caution.text.{kind}"))


def _names(form: type) -> list[str]:
    return [each.name for each in fields(form)]


def _about(analysis: Analysis, voice: Voice) -> Iterator[str]:
    if level := _one(analysis, "level"):
        yield voice.say("front.level", level=level)
    if wearer := _one(analysis, "for"):
        yield voice.say("front.for", wearer=wearer)
    if time := _one(analysis, "time"):
        yield voice.say("front.time", time=time)
    yield voice.say("front.terms")


def _sizes_note(analysis: Analysis, voice: Voice) -> str:
    sizes = analysis.scope.sizes
    if not sizes:
        return ""
    pieces = zip(*(pattern.pieces for pattern in analysis.patterns), strict=True)
    what = "numbers-and-yarns" if any(map(colours.yarns_differ, pieces)) else "numbers"
    return voice.say(f"front.sizes.{what}", first=sizes[0], others=voice.listed(sizes[1:]), all=sized(sizes))


def _gauge(analysis: Analysis, voice: Voice) -> Iterator[str]:
    plans = [piece.plan for pattern in analysis.patterns for piece in pattern.pieces]
    unit = "round" if plans and all(plan.in_rounds for plan in plans) else "row"
    for in_sizes in zip(*(pattern.gauges for pattern in analysis.patterns), strict=True):
        gauge = in_sizes[0]
        stitch = vocabulary("US").find(gauge.stitch)
        if stitch is not None:
            one, several = voice.stitch(stitch), voice.stitch(stitch, many=True)
            yield sentence(said_gauge(voice, in_sizes, unit, one, several))
        else:
            own = voice.say("quoted" if gauge.is_own else "front.in-pattern", name=gauge.stitch)
            yield sentence(said_gauge(voice, in_sizes, unit, own, own))


def _key(voice: Voice) -> Iterator[Term]:
    """Yield the stitches that the text has named, then the other short words."""
    order = {name: index for index, name in enumerate(vocabulary("US").names)}

    def place(stitch: Stitch) -> tuple[object, ...]:
        made_of = order.get(stitch.made_of or stitch.key, len(order))
        return stitch.form, made_of, stitch.legs, stitch.key

    for stitch in sorted(voice.stitches.values(), key=place):
        terms, explanation = voice.terms(stitch), voice.explanation(stitch)
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
    for square, stitch in sorted(voice.squares.items(), reverse=True):
        way = voice.say(
            f"front.mesh.way.{square}",
            stitch=voice.stitch(stitch),
            two=voice.stitches_of(stitch, (2,)),
            one_place=voice.noun("stitch", (1,)),
            places=voice.noun("stitch", (2,)),
        )
        yield Term(
            voice.say(f"front.mesh.name.{square}"), voice.say(f"front.mesh.meaning.{square}"), sentence(way)
        )


def _notes(analysis: Analysis, voice: Voice) -> Iterator[str]:
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
        yield voice.say(f"front.chain-of-one.{units.pop() if len(units) == 1 else 'both'}")
    yield from colours.notes(voice, [piece for pattern in analysis.patterns for piece in pattern.pieces])
    if any(opening.manner == "counts" and plan.fastened_off for opening, _, plan in openings):
        yield voice.say("front.chain-counts")
    if any(opening.manner == "counts" and plan.turns for opening, _, plan in openings):
        yield voice.say("front.turning-chain-counts")
    if chained := list(dict.fromkeys(plan.title for _, plan in rows if plan.node.chains_count)):
        pieces = voice.listed([voice.say("quoted", name=title) for title in chained])
        yield voice.say("front.chains-count", pieces=pieces)
    if any(row.slip_to for row, _ in rows):
        yield voice.say("front.slips-not-counted")
    if any(plan.node.manner == "turned rounds" for _, plan in rows):
        yield voice.say("front.turned-rounds")


def _before_pieces(analysis: Analysis, key: str) -> tuple[str, ...]:
    """Return the author's words of that kind that stand above the first piece."""
    return tuple(" ".join(node.lines) for node in _texts_before_pieces(analysis, key))


def _texts_before_pieces(analysis: Analysis, key: str) -> Iterator[Text]:
    first = min((statement.start for statement in analysis.scope.pieces.values()), default=0)
    for each in analysis.scope.texts.get(key, ()):
        if each.start < first:
            assert isinstance(each.node, Text)
            yield each.node


def _cautions(analysis: Analysis, voice: Voice) -> Iterator[str]:
    """Yield the cautions that the pattern's own facts call for and that stand before all work."""
    for each in raised(analysis.scope, analysis.patterns):
        if each.piece is None:
            yield caution(voice, each)
