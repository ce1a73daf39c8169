"""Tree to text: the one canonical way to write a pattern.

Comments stay with the item or line they followed, and the author's line breaks between the items of a row are
kept; both are read from the statement's own text through its spans. What has no text stands in one line.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

from . import syntax as s
from .source import LINE_BREAK

INDENT = "  "

# A line that holds more than a comment.
_WRITTEN_LINE = re.compile(r"(?<![^\r\n])[^\S\r\n]*(?!#(?:\s|\Z))(?=\S)")

_BINDS = {"+": 1, "-": 1, "*": 2, "div": 2}


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
    return _item(item)


def printed_value(value: s.Value) -> str:
    """Return a value as it stands in a row: a sum in braces, a number bare."""
    return _count(value)


# ---- statements --------------------------------------------------------------------------------------------


def _statement(statement: s.Statement) -> list[str]:
    node = statement.node
    if node is None:
        if statement.faulty:
            return [line.rstrip() for line in LINE_BREAK.split(statement.text.rstrip())]
        return [comment.text for comment in statement.comments]
    return _with_comments(_lines(node, statement.text), statement)


def _lines(node: s.Node, text: str) -> list[tuple[str, int]]:
    """Return the lines of a statement, each with the offset at which it begins in the author's text."""
    match node:
        case s.Row():
            return _row(node, text)
        case s.StitchDefinition():
            return _stitch(node, text)
        case s.Text(key, lines):
            return _words(key, lines, text)
        case s.Yarn(name, lines):
            return _words(f"yarn {name}:", lines, text)
        case s.Chart(name, squares, rows):
            keys = ", ".join(f"{square.key} = {square.name}" for square in squares)
            return _words(f"chart {name}: {keys}", ("", *rows), text)
        case _:
            return [(_one_line(node), 0)]


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
    | s.Close,
) -> str:
    match node:
        case s.Version(number, dialect):
            return f"turnchain {number}, {dialect}"
        case s.Hook(size):
            return f"hook {_number(size)}"
        case s.Gauge(stitches, counted, rows, length, name):
            counts = f"{_count(stitches)} {counted}, {_count(rows)} rows"
            return f"gauge {counts} = {_number(length)} in {name}"
        case s.Swatch(width, height, name, yarn, weight):
            wide = _number(width) if width.unit != height.unit else _number(replace(width, unit=None))
            with_yarn = f" with {yarn}" if yarn else ""
            return f"swatch {wide} x {_number(height)} in {name}{with_yarn} = {_number(weight)}"
        case s.Weighed(piece, yarn, size, weight):
            of = (piece, yarn and f"with {yarn}", size and f"in size {size}")
            return " ".join(("weighed", *filter(None, of), "=", _number(weight)))
        case s.BodyFit():
            return _body_fit(node)
        case s.Let(name, value):
            return f"let {name} = {_sum(value)}"
        case s.Use(path):
            return f"use {_quoted(path)}"
        case s.Piece():
            return _piece(node)
        case s.Start():
            return _start(node)
        case s.Seam():
            return _seam(node)
        case s.Close():
            return "close"


def _body_fit(fit: s.BodyFit) -> str:
    sizes = f" as {'/'.join(fit.sizes)}" if fit.sizes else ""
    measure = f" of {_length(fit.measure)}" if fit.measure is not None else ""
    ease = f", ease {'-' if fit.less else ''}{_number(fit.ease)}" if fit.ease is not None else ""
    return f"fit {fit.name}{sizes}{measure}{ease}"


def _piece(piece: s.Piece) -> str:
    title = "" if piece.title is None else f" {_quoted(piece.title)}"
    if piece.again is not None:
        options = _again(piece.again)
    elif piece.laid is not None:
        options = [_laid(piece.laid)]
    else:
        options = [piece.manner]
    if piece.make is not None:
        options.append(f"make {_count(piece.make)}")
    if piece.loop:
        options.append(piece.loop)
    for each in piece.turning_chains:
        options.append(_turning_chain(each.chain, each.name))
    if piece.chains_count:
        options.append("chains count")
    return f"piece {piece.name}{title}, {', '.join(options)}"


def _again(again: s.Again) -> list[str]:
    options = [f"as {again.name}" if again.edge is None else f"as {again.name} on {_edge(again.edge)}"]
    if again.ratio is not None:
        options.append(_ratio(again.ratio))
    if again.rounding is not None:
        options.append(again.rounding)
    if again.mirrored:
        options.append("mirrored")
    return options


def _laid(laid: s.Laid) -> str:
    how = f"joined at {', '.join(laid.at)}" if laid.method is None else f"sewn in {laid.method}"
    return f"{_count(laid.across)} x {_count(laid.high)} of {laid.motif}, {how}"


def _seam(seam: s.Seam) -> str:
    sides = [" and ".join(map(_edge, side)) for side in (seam.first, seam.second)]
    way = [f"in {seam.method}"] if seam.method is not None else []
    return f"seam {', '.join([*sides, *way, *(['eased'] if seam.eased else [])])}"


def _ratio(ratio: tuple[int, int]) -> str:
    return f"{ratio[0]} for {ratio[1]}"


def _start(start: s.Start) -> str:
    match start.kind:
        case "for":
            assert start.count is not None
            return f"start for {_count(start.count)}"
        case "ring":
            return "start ring"
        case "edge":
            edges = " and ".join(map(_edge, start.edges))
            ratio = f", {start.ratio[0]} for {start.ratio[1]}" if start.ratio else ""
            rounding = f", {start.rounding}" if start.rounding else ""
            return f"start along {edges}{ratio}{rounding}"
        case _:
            assert start.count is not None
            return f"start {_count(start.count)} {start.name}{', joined' if start.joined else ''}"


def _edge(edge: s.EdgeName) -> str:
    row = "" if edge.row is None else f"{edge.unit} {edge.row} of "
    part = "" if edge.count is None else f", {edge.end} {_count(edge.count)}"
    return f"{edge.edge} of {row}{edge.piece}{part}"


def _words(head: str, lines: tuple[str, ...], text: str) -> list[tuple[str, int]]:
    """Return lines of words under `head`, the first of them beside it."""
    first, *rest = lines
    starts = [0] * len(rest) + [found.start() for found in _WRITTEN_LINE.finditer(text)]
    under = [
        (INDENT + line, start) for line, start in zip(rest, starts[len(starts) - len(rest) :], strict=True)
    ]
    return [(f"{head} {first}".rstrip(), 0), *under]


def _stitch(stitch: s.StitchDefinition, text: str) -> list[tuple[str, int]]:
    explanation = "" if stitch.explanation is None else f" {_quoted(stitch.explanation)}"
    body = stitch.body if isinstance(stitch.body, s.Body) else s.Body((stitch.body,))
    return _broken(f"stitch {stitch.name}: ", body, explanation, text)


# ---- comments ----------------------------------------------------------------------------------------------


def _with_comments(lines: list[tuple[str, int]], statement: s.Statement) -> list[str]:
    """Set each comment behind the line it stood in, or on a line of its own if it stood so."""
    if not statement.comments:
        return [line for line, _ in lines]
    behind: list[list[s.Comment]] = [[] for _ in lines]
    at = 0
    for comment in statement.comments:
        while at + 1 < len(lines) and comment.span.start > lines[at + 1][1]:
            at += 1
        behind[at].append(comment)
    made: list[str] = []
    for (line, _), comments in zip(lines, behind, strict=True):
        if comments and not _alone(comments[0], statement.text):
            line = f"{line}  {comments.pop(0).text}"
        made += [line, *(INDENT + comment.text for comment in comments)]
    return made


def _alone(comment: s.Comment, text: str) -> bool:
    before = text[: comment.span.start]
    return bool(before) and not LINE_BREAK.split(before)[-1].strip()


# ---- rows --------------------------------------------------------------------------------------------------


def _row(row: s.Row, text: str) -> list[tuple[str, int]]:
    head = f"{_label(row.label)}{_settings(row.settings, row.label.unit)}: "
    total = f" = {', '.join(map(_tally, row.total))}" if row.total else ""
    match row.content:
        case s.Body() as body:
            return _broken(head, body, total, text)
        case s.RepeatRows() as repeat:
            return [(head + _repeat(repeat) + total, 0)]
        case s.Work() as work:
            return [(head + _work(work, row.label.unit) + total, 0)]


def _broken(head: str, body: s.Body, tail: str, text: str) -> list[tuple[str, int]]:
    """Return a statement's lines, broken between the items where the author broke them."""
    lines: list[tuple[str, int]] = []
    line, start = head, 0
    for item, following in pairwise((*body.items, None)):
        assert item is not None
        line += _item(item)
        if following is None:
            break
        if LINE_BREAK.search(text, item.span.end, following.span.start):
            lines.append((f"{line},", start))
            line, start = INDENT, following.span.start
        else:
            line += ", "
    return [*lines, (line + tail, start)]


def _label(label: s.Label) -> str:
    unit = label.unit
    if label.first is not None:
        return f"{unit} {label.first}" if label.last is None else f"{unit}s {label.first}-{label.last}"
    if label.count is not None:
        return f"next {_count(label.count)} {unit}s"
    return f"next {unit}s" if label.until else f"next {unit}"


def _settings(settings: s.Settings, unit: str) -> str:
    words = []
    if settings.side:
        words.append(settings.side)
    if settings.yarn:
        words.append(f"with {settings.yarn}")
    if settings.stitch:
        words.append(f"in {settings.stitch}")
    if settings.loop:
        words.append(settings.loop)
    if settings.chains_count:
        words.append("chains count")
    if settings.turning_chain:
        words.append(_turning_chain(settings.turning_chain))
    if settings.into is not None:
        words.append(f"into {unit} {settings.into}")
    if settings.begin is not None:
        words.append(_beginning(settings.begin))
    if settings.steps:
        words.append("steps")
    return "".join(f" {word}" for word in words)


def _beginning(begin: s.Beginning) -> str:
    if begin.name is not None:
        return f"begin {begin.name}"
    return f"begin {abs(begin.places)} {'back' if begin.places < 0 else 'on'}"


def _turning_chain(chain: s.TurningChain, name: str | None = None) -> str:
    words = ("tch", name, str(chain.chains), chain.manner)
    return " ".join(word for word in words if word)


def _tally(tally: s.Tally) -> str:
    return _count(tally.count) if tally.name is None else f"{_count(tally.count)} {tally.name}"


def _repeat(repeat: s.RepeatRows) -> str:
    if repeat.back is not None:
        which = f"last {repeat.back}"
    else:
        which = str(repeat.first) if repeat.last is None else f"{repeat.first}-{repeat.last}"
    if repeat.limit is None:
        return f"repeat {which}"
    if repeat.limit_name is not None:
        return f"repeat {which} until {_count(repeat.limit)} {repeat.limit_name}"
    length = repeat.limit
    measured = isinstance(length, s.Number) and length.unit is not None
    return f"repeat {which} until {_sum(length) if measured else _braced(length)}"


def _work(work: s.Work, unit: str) -> str:
    if isinstance(work.changes, s.Shape):
        parts = [_shape(work.changes)]
    else:
        parts = [_change(change, unit) for change in work.changes]
    side = ", any side" if work.any_side else ""
    return f"work {work.name}{_how(work.how)}, {', '.join(parts)}{side}"


def _change(change: s.Change, unit: str) -> str:
    how = "".join(
        word
        for word in (
            " evenly" if change.spot == "evenly" else f" at {change.spot}",
            " staggered" if change.staggered else "",
            " symmetrical" if change.symmetrical else "",
            f" keep {_count(change.keep)}" if change.keep is not None else "",
        )
    )
    if change.kind == "to":
        over = "" if change.over is None else f" over {_length(change.over)}"
        target = change.count
        measured = isinstance(target, s.Number) and target.unit is not None
        return f"to {_sum(target) if measured else _count(target)}{how}{over}"
    when = "" if change.every is None else f" every {_count(change.every)} {unit}s"
    if change.rows:
        spans = ", ".join(str(a) if a == b else f"{a}-{b}" for a, b in change.rows)
        when = f" on {unit}s {spans}"
    return f"{'-' if change.decrease else '+'}{_count(change.count)}{how}{when}"


def _shape(shape: s.Shape) -> str:
    depth = "" if shape.depth is None else f", {shape.said} {_length(shape.depth)}"
    fit = "" if shape.fit is None else f", {_fit(shape.fit)}"
    return f"{shape.name} of {_length(shape.measure)}{depth}{fit}"


def _length(value: s.Value) -> str:
    """Return a length as it stands in a row: bare, or a sum in braces."""
    measured = isinstance(value, s.Number) and value.unit is not None
    return _sum(value) if measured else _braced(value)


# ---- items -------------------------------------------------------------------------------------------------


def _body(body: s.Body) -> str:
    return ", ".join(map(_item, body.items))


def _item(item: s.Item) -> str:
    match item:
        case s.Some(name, count, how, place, mark):
            times = "" if count is None else f"{_count(count)} "
            where = "" if place is None else f" in {_place(place)}"
            return f"{times}{name}{_how(how)}{where}{_mark(mark)}"
        case s.Run(name, stop, how):
            return f"{name}{_how(how)} to {_stop(stop)}"
        case s.Over(name, count, over, how):
            return f"{_count(count)} {name}{_how(how)} over {_count(over)}"
        case s.Branch(name, count, body, mark):
            return f"{_count(count)} {name} and back [{_body(body)}]{_mark(mark)}"
        case s.Times(body, count):
            return f"[{_body(body)}] x {_count(count)}"
        case s.AsFits(body, stop):
            return f"[{_body(body)}] to {_stop(stop)}"
        case s.InOne(body, place, mark):
            return f"({_body(body)}) in {_place(place)}{_mark(mark)}"
        case s.Together(body, mark):
            return f"({_body(body)}) tog{_mark(mark)}"
        case s.Skip():
            return f"skip {' '.join(_skipped(item))}{_mark(item.mark)}"
        case s.Leave(count, mark):
            return f"leave {'rest' if count is None else _count(count)}{_mark(mark)}"
        case s.Words(text, over, makes, mark):
            made = " + ".join(map(_tally, makes))
            return f"{_quoted(text)} over {_count(over)} makes {made}{_mark(mark)}"
        case s.Spread(body):
            return f"spread [{_body(body)}]"
        case s.Underside():
            return "underside"
        case s.ChartRow(name, row):
            return f"chart {name}" if row is None else f"chart {name} row {row}"
        case s.Join(place, piece, which):
            nth = "" if which is None else f"{_ordinal(which)} "
            return f"join {nth}{place} of {piece}"


def _skipped(skip: s.Skip) -> Iterator[str]:
    if skip.count is not None:
        yield _count(skip.count)
    if skip.place is not None:
        yield skip.place
    if skip.stop is not None:
        yield f"to {_stop(skip.stop)}"


def _how(how: s.How) -> str:
    words = ""
    if how.loop:
        words += f" {how.loop}"
    if how.yarn:
        words += f" with {how.yarn}"
    if how.below is not None:
        words += " below" if how.below == 1 else f" below {how.below}"
    if how.crossed:
        words += " crossed"
    return words


def _mark(mark: str | None) -> str:
    return "" if mark is None else f" as {mark}"


def _place(place: s.Place) -> str:
    match place.which:
        case None:
            return place.name
        case int(number):
            return f"{_ordinal(number)} {place.name}"
        case word:
            return f"{word} {place.name}"


def _ordinal(number: int) -> str:
    teens = 11 <= number % 100 <= 13
    ending = "th" if teens else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"


def _stop(stop: s.Stop) -> str:
    match stop:
        case s.Stop("last", count) if count is not None:
            return f"last {_count(count)}"
        case s.Stop("place", None, name):
            return str(name)
        case s.Stop("place", count, name) if count is not None:
            return f"{_count(count)} before {name}"
        case _:
            return stop.kind


# ---- values ------------------------------------------------------------------------------------------------


def _count(value: s.Value) -> str:
    """Return a value among items, where anything but a plain number stands in braces."""
    if isinstance(value, s.Number) and value.unit is None:
        return _number(value)
    return _braced(value)


def _braced(value: s.Value) -> str:
    return f"{{{_sum(value)}}}"


def _number(number: s.Number) -> str:
    values = "/".join(
        format(value, "f") if isinstance(value, Decimal) else str(value) for value in number.values
    )
    return values if number.unit is None else f"{values} {number.unit}"


def _sum(value: s.Value) -> str:
    match value:
        case s.Number():
            return _number(value)
        case s.NameValue(name):
            return name
        case s.RowNumber():
            return "row"
        case s.Arithmetic(operator, left, right):
            binds = _BINDS[operator]
            first = f"({_sum(left)})" if _binding(left) < binds else _sum(left)
            second = f"({_sum(right)})" if _binding(right) <= binds else _sum(right)
            between = operator if operator == "*" else f" {operator} "
            return f"{first}{between}{second}"
        case s.Fitted(function, measure, fit, stitch=stitch):
            of = "" if stitch is None else f" in {stitch}"
            return f"{function}({_sum(measure)}{of}{'' if fit is None else f', {_fit(fit)}'})"


def _binding(value: s.Value) -> int:
    return _BINDS[value.operator] if isinstance(value, s.Arithmetic) else 3


def _fit(fit: s.Fit) -> str:
    plus = f" + {fit.plus}" if fit.plus else ""
    to = f"multiple {fit.of}{plus}" if fit.kind == "multiple" else fit.kind
    return ", ".join(filter(None, (to, fit.way)))


def _quoted(text: str) -> str:
    return f'"{text}"'
