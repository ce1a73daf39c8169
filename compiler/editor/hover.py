"""What is told of the word under the pointer, as Markdown."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ...lang.diagnostics import Severity
from ...lang.measures import in_both
from ...lang.parser import parse
from ...lang.source import Span
from ...lang.stitches import DIALECTS, Stitch
from ...lang.syntax import AsFits, Row, Statement, Times
from ..counted import CountedRow, Worked
from ..finished import width
from ..pipeline import Analysis
from ..wording.phrases import Voice
from ..wording.sections import rows_of_statement
from .counts import per_size, said
from .names import definition, name_at
from .places import Counted, counted_at, nodes_at, statement_at
from .words import NAME, words


@dataclass(frozen=True, slots=True)
class Hover:
    """A few lines about a stretch of the text."""

    span: Span
    markdown: str


def hover(analysis: Analysis, offset: int) -> Hover | None:
    """Return what is to be told at an offset, if anything."""
    statement = statement_at(analysis.tree, offset)
    if statement is None:
        return None
    if (named := _own(analysis, offset) or _of_the_trade(analysis, statement, offset)) is not None:
        return named
    for node in reversed(nodes_at(statement, offset)):
        if isinstance(node, Times | AsFits) and (told := _repeat(analysis, statement, node)):
            return Hover(node.span.shifted(statement.start), told)
    return _row(analysis, statement, statement.node) if isinstance(statement.node, Row) else None


# ---- names -------------------------------------------------------------------------------------------------


def _own(analysis: Analysis, offset: int) -> Hover | None:
    """Tell of a name of the author's own the line that gives it."""
    name, place = name_at(analysis, offset), definition(analysis, offset)
    if name is None or place is None:
        return None
    tree, source = analysis.tree, analysis.source
    if place.file is not None:
        tree, source = parse(place.file)[0], place.file
    statement = statement_at(tree, place.span.start)
    if statement is None:
        return None
    where = f"line {source.line_number(place.span.start)}"
    if place.file is not None:
        where = f"{where} of {source.name}"
    return Hover(name.span, f"**{name.text}**, from {where}\n\n```turnchain\n{statement.text}\n```")


def _of_the_trade(analysis: Analysis, statement: Statement, offset: int) -> Hover | None:
    """Tell of a stitch of the trade."""
    for word in words(statement):
        if word.of == NAME and word.span.start <= offset < word.span.end:
            stitch = analysis.scope.vocabulary.find(word.text)
            if stitch is not None:
                return Hover(word.span, stitch_told(stitch, analysis.scope.dialect))
    return None


def stitch_told(stitch: Stitch, dialect: str) -> str:
    """Return a stitch's names in both dialects, what it uses and makes, and how it is worked."""
    other = next(each for each in DIALECTS if each != dialect)
    names = [f"**{stitch.terms(dialect).name}** ({dialect})", f"{stitch.terms(other).name} ({other})"]
    words = [f"`{stitch.source_name(each)}` in {each} terms" for each in (dialect, other)]
    facts = [f"uses {stitch.uses}, makes {stitch.makes}"]
    if stitch.height:
        facts.append(f"as high as {stitch.height} chain{'s' if stitch.height > 1 else ''}")
    lines = [" · ".join(names), ", ".join(words), "; ".join(facts), stitch.explanation(dialect)]
    return "\n\n".join(filter(None, lines))


def stitch_in_short(stitch: Stitch, dialect: str) -> str:
    """Return a stitch's name in one dialect, and what it uses and makes."""
    return f"{stitch.terms(dialect).name}: uses {stitch.uses}, makes {stitch.makes}"


# ---- repeats -----------------------------------------------------------------------------------------------


def _repeat(analysis: Analysis, statement: Statement, node: Times | AsFits) -> str:
    counted = counted_at(analysis, statement)
    if counted is None or not all(block.rows for block in counted.blocks):
        return ""
    turns = [_turns(block.rows[-1], node.span) for block in counted.blocks]
    if not all(turns):
        return ""
    many = per_size([str(each) for each in turns])
    return f"goes {many} {'time' if many == '1' else 'times'}"


def _turns(row: CountedRow, span: Span) -> int:
    return next((each.count for each in _items(row.worked) if each.step.span == span), 0)


def _items(worked: Sequence[Worked]) -> Sequence[Worked]:
    return [inner for each in worked for inner in (each, *_items(each.body))]


# ---- rows --------------------------------------------------------------------------------------------------


def _row(analysis: Analysis, statement: Statement, node: Row) -> Hover | None:
    counted = counted_at(analysis, statement)
    if counted is None:
        return None
    lines = [f"{said(counted.blocks)} stitches"]
    sizes = analysis.scope.sizes
    if sizes:
        lines[0] += f" ({', '.join(sizes)})"
    if measured := _measured(counted, analysis):
        lines.append(measured)
    if _is_sound(analysis, statement, counted):
        voice = Voice(analysis.scope.dialect, full=True)
        for row in rows_of_statement(voice, counted.pieces, counted.at, sizes):
            count = f" ({row.count})" if row.count else ""
            lines.insert(-1 if measured else len(lines), f"**{row.label}:** {row.text}{count}")
    return Hover(node.span.shifted(statement.start), "\n\n".join(lines))


def _is_sound(analysis: Analysis, statement: Statement, counted: Counted) -> bool:
    """Tell whether all of a statement's rows were counted without a fault, and so can be put in words."""
    end = statement.start + len(statement.text)
    wrong = any(
        statement.start <= each.span.start < end
        for each in analysis.diagnostics
        if each.severity is Severity.ERROR
    )
    known = all(block.rows or block.times == 0 for block in counted.blocks)
    return not wrong and known and any(block.rows for block in counted.blocks)


def _measured(counted: Counted, analysis: Analysis) -> str:
    gauges = [pattern.gauges for pattern in analysis.patterns]
    if not all(gauges) or not all(block.rows for block in counted.blocks):
        return ""
    found = [width(block.rows[-1], each) for block, each in zip(counted.blocks, gauges, strict=True)]
    widths = [each for each in found if each is not None]
    if len(widths) < len(found):
        return ""
    return f"about {in_both(*widths)} {'around' if counted.pieces[0].plan.in_rounds else 'wide'} by the gauge"
