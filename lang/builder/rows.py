"""Builds rows and rounds."""

from __future__ import annotations

import re
from typing import Any

from .. import syntax as s
from ..source import Span
from .said import Said, how_said, once
from .tokens import Children, between, end_of, last_of, name_of, number_of, span_of, whole, whole_of

DASHES = re.compile("[-–−]")

_UNSET = s.Settings()


class Rows:
    """One method a grammar rule of rows."""

    def row(self, c: Children) -> s.Row:
        label, *said, content, total = c
        settings = s.Settings(**once(said)) if said else _UNSET
        start = label.span.start
        if total is None:
            return s.Row(label, content, settings, (), Span(start, content.span.end))
        end = total[-1].span.end
        return s.Row(label, content, settings, total, Span(start, end), Span(total[0].span.start, end))

    def numbered(self, c: Children) -> s.Label:
        return s.Label(c[0].value.lower(), whole(c[1]), span=span_of(c[0], c[1]))

    def stretch(self, c: Children) -> s.Label:
        return s.Label(_one(c[0].value), whole(c[1]), whole(c[3]), span=span_of(c[0], c[3]))

    def next_one(self, c: Children) -> s.Label:
        return s.Label(c[1].value.lower(), span=between(c))

    def next_many(self, c: Children) -> s.Label:
        return s.Label(_one(c[2].value), count=c[1], span=between(c))

    def next_until(self, c: Children) -> s.Label:
        return s.Label(_one(c[1].value), until=True, span=between(c))

    def side(self, c: Children) -> Said:
        return Said("side", c[0].value.lower(), c[0].start_pos, c[0].end_pos)

    def with_yarn(self, c: Children) -> Said:
        return Said("yarn", name_of(c[0]), c[0].start_pos, c[0].end_pos)

    def in_stitch(self, c: Children) -> Said:
        return Said("stitch", name_of(c[0]), c[0].start_pos, c[0].end_pos)

    def loop(self, c: Children) -> Said:
        return Said("loop", c[0].value.lower(), c[0].start_pos, c[0].end_pos)

    def chains_count(self, c: Children) -> Said:
        return Said("chains_count", True, c[0].start_pos, c[0].end_pos)

    def into(self, c: Children) -> Said:
        return Said("into", whole(c[2]), c[0].start_pos, c[2].end_pos)

    def begin_at(self, c: Children) -> Said:
        span = between(c)
        return Said("begin", s.Beginning(name_of(c[1]), 0, span), span.start, span.end)

    def begin_by(self, c: Children) -> Said:
        span = between(c)
        places = whole(c[1]) * (-1 if c[2].value.lower() == "back" else 1)
        return Said("begin", s.Beginning(None, places, span), span.start, span.end)

    def steps(self, c: Children) -> Said:
        return Said("steps", True, c[0].start_pos, c[0].end_pos)

    def repeat_numbers(self, c: Children) -> s.RepeatRows:
        _, first, _, last, limit = c
        value, name, _ = limit or (None, None, None)
        return s.RepeatRows(whole(first), last and whole(last), None, value, name, _until(c))

    def repeat_last(self, c: Children) -> s.RepeatRows:
        value, name, _ = c[3] or (None, None, None)
        return s.RepeatRows(None, None, whole(c[2]), value, name, _until(c))

    def limit(self, c: Children) -> tuple[s.Value, str | None, int]:
        if len(c) == 1:
            return c[0], None, c[0].span.end
        if isinstance(c[0], s.Value):
            return c[0], name_of(c[1]), c[1].end_pos
        return number_of(c[0], c[1]), None, c[1].end_pos

    def work(self, c: Children) -> s.Work:
        said = [each for each in c[2:-1] if isinstance(each, Said)]
        changes = tuple(each for each in c[2:-1] if isinstance(each, s.Change))
        return s.Work(
            name_of(c[1]), changes, how_said(said), c[-1] is not None, between(c), span_of(c[1], c[1])
        )

    def work_shape(self, c: Children) -> s.Work:
        return s.Work(name_of(c[1]), c[-1], how_said(c[2:-1]), False, between(c), span_of(c[1], c[1]))

    def change_by(self, c: Children) -> s.Change:
        sign, count, spot, when = c
        chosen = {**spot.value, **(when.value if when is not None else {})}
        end = spot.end_pos if when is None else when.end_pos
        return s.Change("by", count, sign.value != "+", span=Span(sign.start_pos, end), **chosen)

    def change_to(self, c: Children) -> s.Change:
        count, spot, over = c
        end = spot.end_pos if over is None else over.span.end
        return s.Change("to", count, over=over, span=Span(count.span.start, end), **spot.value)

    def spot(self, c: Children) -> Said:
        words = [name_of(token) if token.type == "NAME" else token.value.lower() for token in c]
        said = " ".join(words)
        spot = "start" if said.casefold() == "start" else said
        return Said("spot", {"spot": spot}, c[0].start_pos, c[-1].end_pos)

    def evenly(self, c: Children) -> Said:
        _, how, keep, count = c
        chosen: dict[str, Any] = {} if how is None else {how.type.lower(): True}
        if keep is not None:
            chosen["keep"] = count
        return Said("spot", chosen, c[0].start_pos, end_of(last_of(c)))

    def when_each(self, c: Children) -> Said:
        return Said("when", {}, c[0].start_pos, c[0].end_pos)

    def when_every(self, c: Children) -> Said:
        return Said("when", {"every": c[0]}, c[0].span.start, c[1].end_pos)

    def when_on(self, c: Children) -> Said:
        _, token = c
        ends = [[whole_of(token, each) for each in DASHES.split(part)] for part in token.value.split(",")]
        rows = tuple((each[0], each[-1]) for each in ends)
        return Said("when", {"rows": rows}, c[0].start_pos, token.end_pos)

    def shape(self, c: Children) -> s.Shape:
        name, measure, said, depth, fit = c
        span = Span(name.start_pos, (measure if depth is None else depth).span.end)
        return s.Shape(name_of(name), measure, depth, said and said.value.lower(), fit, span)

    def length(self, c: Children) -> s.Number:
        return number_of(*c)

    def total(self, c: Children) -> tuple[s.Tally, ...]:
        return tuple(c)

    def tally(self, c: Children) -> s.Tally:
        count, name = c
        if name is None:
            return s.Tally(count, None, count.span)
        return s.Tally(count, name_of(name), Span(count.span.start, name.end_pos))


def _one(row_word: str) -> str:
    """Return `row` or `round` for the singular or plural."""
    return row_word.lower().removesuffix("s")


def _until(children: Children) -> Span:
    limit = children[-1]
    end = limit[2] if limit else last_of(children).end_pos
    return Span(children[0].start_pos, end)
