"""What could be typed next, at the place where it is typed."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from ...lang.bodies import body_parts
from ...lang.parser import could_follow
from ...lang.source import Span
from ...lang.statements import cut
from ...lang.syntax import Chart, Piece, StitchDefinition
from ..counted import Block
from ..fabric import Named, Repeat, Segments
from ..pipeline import Analysis
from .hover import stitch_in_short

_WORD = re.compile(r"[^\W\d]\w*\Z")
_PLACES = {
    "st": "the next stitch",
    "sp": "the next chain space",
    "ring": "the ring",
    "same": "the place of the stitch before",
    "ch": "a chain",
    "each ch": "each chain of the space",
}
_EDGES = ("top", "foundation", "left", "right", "around")


@dataclass(frozen=True, slots=True)
class Completion:
    """A word to type."""

    text: str
    kind: str
    """`keyword`, `stitch`, `mark`, `value`, `piece`, `yarn`, `chart` or `size`."""
    detail: str = ""


def completions(analysis: Analysis, offset: int) -> tuple[Span, list[Completion]]:
    """Return what could stand at an offset, and the word begun there that it takes the place of."""
    text = analysis.source.text
    start = _statement_start(analysis, offset)
    head = text[start:offset]
    begun = _WORD.search(head)
    before = head[: begun.start()] if begun else head
    place = Span(start + len(before), offset)
    code = cut(before)
    if code.comments and code.comments[-1].span.end >= len(before.rstrip()):
        return place, []
    last, following = could_follow(code.code)
    found: list[Completion] = []
    if "NAME" in following:
        found += _names(analysis, last, code.code, start)
    for terminal, said in following.items():
        found += [Completion(word, "keyword") for word in said if terminal != "BODY_SIZES"]
    if "BODY_SIZES" in following:
        part = body_parts().get(code.code.split()[1].casefold())
        found += [Completion(size.name, "size") for size in part.named()] if part is not None else []
    if begun is None and re.search(r"\bin\s+size\s+\Z", before, re.IGNORECASE):
        found += [Completion(size, "size") for size in analysis.scope.sizes]
    return place, list({each.text: each for each in reversed(found)}.values())[::-1]


def _statement_start(analysis: Analysis, offset: int) -> int:
    """Return where the statement begins that a line goes on, or the line itself."""
    source = analysis.source
    line = source.line_starts[source.line_number(offset) - 1]
    if source.text[line : line + 1].isspace() and line < offset:
        statements = analysis.tree.statements
        at = bisect_right(statements, line, key=lambda each: each.start) - 1
        if at >= 0:
            return statements[at].start
    return line


def _names(analysis: Analysis, last: str, code: str, start: int) -> Iterator[Completion]:
    scope = analysis.scope
    depth = code.count("{") - code.count("}")
    if last in ("PIECE", "_AS", "STITCH", "LET", "YARN"):
        return
    if last in ("_OF", "_LIKE", "WEIGHED"):
        yield from _pieces(analysis)
    elif last == "FIT":
        yield from (Completion(part, "size", "a part of the body") for part in body_parts())
    elif last == "CHART":
        charts = (each.node for each in scope.charts.values())
        yield from (Completion(node.name, "chart") for node in charts if isinstance(node, Chart))
    elif last == "_WITH":
        yield from _yarns(analysis)
    elif last in ("ALONG", "SEAM"):
        yield from (Completion(edge, "keyword", "an edge of a piece") for edge in _EDGES)
    elif depth > 0 or re.match(r"let\b", code, re.IGNORECASE):
        yield from (Completion(node.name, "value", "set in this pattern") for node in scope.lets.values())
    elif last == "_IN":
        yield from (Completion(word, "keyword", said) for word, said in _PLACES.items())
        yield from _marks(analysis, start)
        yield from _stitches(analysis)
    elif last in ("_TO", "_BEFORE", "BEGINNING", "_AT", "SKIP"):
        yield from _marks(analysis, start)
        yield from (Completion(word, "keyword", _PLACES[word]) for word in ("st", "sp"))
    else:
        yield from _stitches(analysis)
        if last == "NUM":
            yield from _marks(analysis, start)
        yield from _yarns(analysis)


def _pieces(analysis: Analysis) -> Iterator[Completion]:
    for statement in analysis.scope.pieces.values():
        if isinstance(statement.node, Piece):
            yield Completion(statement.node.name, "piece", statement.node.title or "a piece of this pattern")


def _yarns(analysis: Analysis) -> Iterator[Completion]:
    for key in analysis.scope.yarns:
        name = analysis.scope.yarn(key)
        if name is not None:
            yield Completion(name, "yarn", "a yarn of this pattern")


def _stitches(analysis: Analysis) -> Iterator[Completion]:
    scope = analysis.scope
    for definition in scope.definitions.values():
        if isinstance(definition.node, StitchDefinition):
            yield Completion(definition.node.name, "stitch", "a stitch of this pattern")
    for name in scope.vocabulary.names:
        stitch = scope.vocabulary.find(name)
        if stitch is not None:
            yield Completion(name, "stitch", stitch_in_short(stitch, scope.dialect))


def _marks(analysis: Analysis, start: int) -> Iterator[Completion]:
    """Yield the marks that the row before leaves on its edge; all of the pattern where it is not known."""
    left = _left_before(analysis, start)
    where = "marked in the row before"
    if left is None:
        left, where = dict.fromkeys(analysis.scope.marks.values()), "marked in this pattern"
    yield from (Completion(mark, "mark", where) for mark in left)


def _left_before(analysis: Analysis, start: int) -> dict[str, None] | None:
    before: Block | None = None
    for piece in analysis.patterns[0].pieces:
        if piece.plan.start_offset > start:
            break
        before = None
        for part in piece.parts:
            if isinstance(part, Block) and part.stretch.start < start:
                before = part
    if before is None or not before.rows:
        return None
    return dict.fromkeys(_marks_of(before.rows[-1].after.parts))


def _marks_of(parts: Segments) -> Iterable[str]:
    for part in parts:
        if isinstance(part, Named):
            if part.is_mark:
                yield part.label
            yield from _marks_of(part.parts)
        elif isinstance(part, Repeat):
            yield from _marks_of(part.parts)
