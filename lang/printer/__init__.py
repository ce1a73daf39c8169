"""Tree to text: the one canonical way to write a pattern.

Each statement is printed in one line, which `layout` breaks where its author did or where it is too long;
comments stay with the item or line that they followed.
"""

from __future__ import annotations

from dataclasses import replace

from .. import syntax as s
from ..source import LINE_BREAK
from ..statements import cut
from .items import body_text, item_text
from .layout import Line, laid_out, of_words, with_comments, with_tail
from .pieces import piece_text, seam_text, start_text
from .rows import row_text
from .values import count_text, length_text, number_text, quoted, sum_text


def printed(tree: s.Tree) -> str:
    """Return the canonical text of `tree`; parsed, it gives an equal tree again. Empty for an empty tree."""
    lines: list[str] = []
    for number, statement in enumerate(tree.statements):
        if statement.blank_before and number:
            lines.append("")
        lines.extend(_statement(statement))
    return "\n".join((*lines, ""))


def printed_item(item: s.Item) -> str:
    """Return one item of a row, in one line."""
    return item_text(item)


def printed_value(value: s.Value) -> str:
    """Return a value as it stands in a row: a sum in braces, a number bare."""
    return count_text(value)


def _statement(statement: s.Statement) -> list[str]:
    node = statement.node
    if node is None:
        if statement.faulty:
            return [line.rstrip() for line in LINE_BREAK.split(statement.text.rstrip())]
        return [comment.text for comment in statement.comments]
    return with_comments(_lines(node, statement.text), statement)


def _lines(node: s.Node, text: str) -> list[Line]:
    match node:
        case s.Text(key, lines):
            return of_words(key, lines, text)
        case s.Yarn(name, lines):
            return of_words(f"yarn {name}:", lines, text)
        case s.Chart(name, squares, rows):
            keys = ", ".join(f"{square.key} = {square.name}" for square in squares)
            return of_words(f"chart {name}: {keys}", ("", *rows), text)
        case s.StitchDefinition():
            return _stitch(node, cut(text).code)
        case _:
            return laid_out(_one_line(node), cut(text).code)


def _one_line(
    node: s.Version
    | s.Hook
    | s.Gauge
    | s.Swatch
    | s.Weighed
    | s.BodyFit
    | s.Let
    | s.Use
    | s.Piece
    | s.Start
    | s.Seam
    | s.Row
    | s.Close,
) -> str:
    match node:
        case s.Version(number, dialect):
            return f"turnchain {number}, {dialect}"
        case s.Hook(size):
            return f"hook {number_text(size)}"
        case s.Gauge(stitches, counted, rows, length, name, rows_length):
            across = f" = {number_text(length)}" if rows_length is not None else ""
            counts = f"{count_text(stitches)} {counted}{across}, {count_text(rows)} rows"
            return f"gauge {counts} = {number_text(rows_length or length)} in {name}"
        case s.Swatch(width, height, name, yarn, weight):
            wide = number_text(width) if width.unit != height.unit else number_text(replace(width, unit=None))
            with_yarn = f" with {yarn}" if yarn else ""
            return f"swatch {wide} x {number_text(height)} in {name}{with_yarn} = {number_text(weight)}"
        case s.Weighed(piece, yarn, size, weight):
            of = (piece, yarn and f"with {yarn}", size and f"in size {size}")
            return " ".join(("weighed", *filter(None, of), "=", number_text(weight)))
        case s.BodyFit():
            return _body_fit(node)
        case s.Let(name, value):
            return f"let {name} = {sum_text(value)}"
        case s.Use(path):
            return f"use {quoted(path)}"
        case s.Piece():
            return piece_text(node)
        case s.Start():
            return start_text(node)
        case s.Seam():
            return seam_text(node)
        case s.Row():
            return row_text(node)
        case s.Close():
            return "close"


def _body_fit(fit: s.BodyFit) -> str:
    sizes = f" as {'/'.join(fit.sizes)}" if fit.sizes else ""
    measure = f" of {length_text(fit.measure)}" if fit.measure is not None else ""
    ease = f", ease {'-' if fit.less else ''}{number_text(fit.ease)}" if fit.ease is not None else ""
    return f"fit {fit.name}{sizes}{measure}{ease}"


def _stitch(stitch: s.StitchDefinition, code: str) -> list[Line]:
    body = stitch.body if isinstance(stitch.body, s.Body) else s.Body((stitch.body,))
    lines = laid_out(f"stitch {stitch.name}: {body_text(body)}", code)
    if stitch.explanation is None:
        return lines
    end = stitch.body.span.end
    begin = end + len(code[end:]) - len(code[end:].lstrip())
    return with_tail(lines, quoted(stitch.explanation), begin)
