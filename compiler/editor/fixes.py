"""Quick fixes: what the diagnostics of a stretch of the text offer, and what follows from the counts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from ...lang.diagnostics import Diagnostic, Fix, Label
from ...lang.source import Source, Span
from ...lang.syntax import AsFits, Body, Number, Row, Run, Some, Start, Statement, Times
from ..counted import CountedRow
from ..pipeline import Analysis
from ..plan import PiecePlan
from ..row import walked_row
from ..scope import items_of
from ..steps import BracketStep, OwnStep, Step, StitchStep
from .counts import per_size
from .places import blocks_of, statement_at


@dataclass(frozen=True, slots=True)
class Offer:
    """A fix, and what it mends."""

    fix: Fix
    mends: Diagnostic | None = None
    """None for what is only offered: nothing is wrong."""


def offers(analysis: Analysis, within: Span) -> Iterator[Offer]:
    """Yield the fixes for what is wrong in the lines of a stretch, and the total that a row may state."""
    lines = _whole_lines(analysis.source, within)
    for each in analysis.diagnostics:
        if each.span.start <= lines.end and lines.start <= each.span.end:
            if each.fix is not None:
                yield Offer(each.fix, each)
            yield from (Offer(fix, each) for fix in _near_name(analysis, each))
            for fix in _from_counts(analysis, each):
                yield Offer(fix, each)
    statement = statement_at(analysis.tree, within.start)
    if statement is not None and isinstance(statement.node, Row) and not statement.node.total:
        yield from map(Offer, _total(analysis, statement, statement.node))


def _whole_lines(source: Source, span: Span) -> Span:
    """Return a stretch from the start of its first line to the end of its last."""
    start = source.line_starts[source.line_number(span.start) - 1]
    end = source.text.find("\n", span.end)
    return Span(start, len(source.text) if end < 0 else end)


def _near_name(analysis: Analysis, found: Diagnostic) -> Iterator[Fix]:
    """Offer the name that a word is near to."""
    word, meant = found.facts.get("word"), found.facts.get("meant")
    if isinstance(word, str) and isinstance(meant, str):
        start = analysis.source.text.find(word, found.span.start, found.span.end)
        if start >= 0:
            span = Span(start, start + len(word))
            yield Fix(f"write `{meant}`", (Label(span, meant),), safe=False)


def _total(analysis: Analysis, statement: Statement, node: Row) -> Iterator[Fix]:
    """Offer to state the total that was counted."""
    blocks = blocks_of(analysis, statement)
    rows = [block.rows[-1] for block in blocks if block.rows]
    if not rows or len(rows) < len(blocks) or any(_has_fault(analysis, statement)):
        return
    counts = [str(row.stitches) for row in rows]
    yield _fix(f"state the total, `= {per_size(counts)}`", statement, node.span.end, f" = {per_size(counts)}")


def _has_fault(analysis: Analysis, statement: Statement) -> Iterator[bool]:
    whole = Span(statement.start, statement.start + len(statement.text))
    return (whole.start <= each.span.start < whole.end for each in analysis.diagnostics)


def _fix(title: str, statement: Statement, at: int, text: str, until: int | None = None) -> Fix:
    span = Span(at, at if until is None else until).shifted(statement.start)
    return Fix(title, (Label(span, text),), safe=False)


def _from_counts(analysis: Analysis, found: Diagnostic) -> Iterator[Fix]:
    statement = statement_at(analysis.tree, found.span.start)
    if statement is None or not isinstance(statement.node, Row):
        return
    content = statement.node.content
    if not isinstance(content, Body):
        return
    match found.name:
        case "unworked-places" if "left" in found.facts and found.tallies:
            yield from _working(found, statement, content, int(found.facts["left"]))
        case "uneven-repeat" if "fewer" in found.facts:
            yield from _fitting(analysis, found, statement, content)
        case "stated-total":
            yield from _begun_with(analysis, found, statement)
            yield from _meeting(analysis, found, statement, content)
        case _:
            pass


def _working(found: Diagnostic, statement: Statement, content: Body, left: int) -> Iterator[Fix]:
    """Offer to work what is left: a bracket more often, a round to its end; or to leave it in a row."""
    last, used = content.items[-1], found.tallies[-1]
    if isinstance(last, Times) and last.span.shifted(statement.start) == used.span:
        match last.count:
            case Number(values=(int(count),)) if int(used.text) % count == 0:
                more, rest = divmod(left, int(used.text) // count)
                if not rest:
                    number = last.count.span
                    yield _fix(
                        f"write `x {count + more}`", statement, number.start, str(count + more), number.end
                    )
                    return
    stitch = next((item.name for item in items_of(content) if isinstance(item, Run)), None)
    assert isinstance(statement.node, Row)
    if statement.node.label.unit == "row":
        yield _fix(f"leave {left} unworked", statement, content.span.end, f", leave {left}")
    elif stitch is not None:
        yield _fix(f"end with `{stitch} to end`", statement, content.span.end, f", {stitch} to end")


# ---- counts that fit a repeat ------------------------------------------------------------------------------


def _fitting(analysis: Analysis, found: Diagnostic, statement: Statement, content: Body) -> Iterator[Fix]:
    """Offer the numbers to begin with that fit, and to end the last bracket of a row earlier."""
    wanted, fewer, more = (int(found.facts[key]) for key in ("found", "fewer", "more"))
    last = content.items[-1]
    if isinstance(last, AsFits) and last.stop.kind == "end" and isinstance(last.body.items[0], Some):
        rest = wanted - fewer
        name = last.body.items[0].name
        stop = f"last {rest}, {rest} {name}" if rest > 1 else f"last 1, {name}"
        title = f"end the bracket before the last {rest}, and work {name} there"
        yield _fix(title, statement, last.stop.span.start, stop, last.stop.span.end)
    start = _start_of_first_row(analysis, statement)
    if start is None or not isinstance(start.node, Start) or not isinstance(start.node.count, Number):
        return
    number = start.node.count
    if len(number.values) == 1 and isinstance(number.values[0], int):
        for places in filter(None, (fewer, more)):
            begun = number.values[0] + places - wanted
            if begun > 0:
                title = f"start with {begun}, which leaves {places} for the bracket"
                yield _fix(title, start, number.span.start, str(begun), number.span.end)


def _start_of_first_row(analysis: Analysis, statement: Statement) -> Statement | None:
    """Return the `start` that stands right above a row."""
    before = [each for each in analysis.tree.statements if each.start < statement.start and each.node]
    return before[-1] if before and isinstance(before[-1].node, Start) else None


def _begun_with(analysis: Analysis, found: Diagnostic, statement: Statement) -> Iterator[Fix]:
    """Offer the chains to begin with that make a first row come to its total."""
    start = _start_of_first_row(analysis, statement)
    told = re.search(r"start with ([0-9]+) ch", found.help)
    if told is None or start is None or not isinstance(start.node, Start):
        return
    number = start.node.count
    if isinstance(number, Number) and len(number.values) == 1:
        yield _fix(f"start with {told[1]} ch", start, number.span.start, told[1], number.span.end)


# ---- another count that meets the total --------------------------------------------------------------------


def _meeting(analysis: Analysis, found: Diagnostic, statement: Statement, content: Body) -> Iterator[Fix]:
    """Offer every single count of a row whose change would make the total the one that is stated."""
    blocks = blocks_of(analysis, statement)
    stated = found.facts.get("expected")
    if len(blocks) != 1 or not blocks[0].rows or not isinstance(stated, int) or blocks[0].times != 1:
        return
    block, row = blocks[0], blocks[0].rows[0]
    piece = next(
        pattern.plan
        for pattern in analysis.patterns[0].pieces
        if any(part is block for part in pattern.parts)
    )
    for at, step in enumerate(row.plan.body):
        item = next((each for each in content.items if each.span == step.span), None)
        count = _count_of(step)
        if item is None or count is None:
            continue
        right = _count_meeting(row, piece, at, count, stated)
        if right is not None:
            yield from _with_count(statement, item, count, right)


def _count_of(step: Step) -> int | None:
    match step:
        case BracketStep(count=count) | StitchStep(count=count) | OwnStep(count=count):
            return count
        case _:
            return None


def _count_meeting(row: CountedRow, piece: PiecePlan, at: int, count: int, stated: int) -> int | None:
    """Return the count of one item with which a row comes to a total and uses up its places."""
    for by in (1, -1):
        other = _stitches(row, piece, at, count + by)
        if other is not None and other != row.stitches:
            change, rest = divmod((stated - row.stitches) * by, other - row.stitches)
            right = count + change
            if not rest and 0 < right != count and _stitches(row, piece, at, right) == stated:
                return right
    return None


def _stitches(row: CountedRow, piece: PiecePlan, at: int, count: int) -> int | None:
    """Return what a row makes with another count of one item; None if that does not come out."""
    if count < 1:
        return None
    body = list(row.plan.body)
    step = body[at]
    if isinstance(step, BracketStep | StitchStep | OwnStep):
        body[at] = replace(step, count=count)
    tried = walked_row(replace(row.plan, body=tuple(body)), row.before, piece, number=row.number)
    return None if tried.row is None or tried.faults else tried.row.stitches


def _with_count(statement: Statement, item: object, count: int, right: int) -> Iterator[Fix]:
    match item:
        case Times(count=Number(values=(_,)) as number):
            title = f"write `x {right}`"
            yield _fix(title, statement, number.span.start, str(right), number.span.end)
        case Some(count=None) if count == 1:
            title = f"write `{right} {item.name}`"
            yield _fix(title, statement, item.span.start, f"{right} ")
        case Some(count=Number(values=(_,)) as number):
            title = f"write `{right} {item.name}`"
            yield _fix(title, statement, number.span.start, str(right), number.span.end)
        case _:
            pass
