"""Builds rows and rounds."""

from __future__ import annotations

import re
from typing import Any

from .. import syntax as s
from ..source import Span
from .said import Said, how_said, once
from .tokens import Children, name_of, number_of, whole, whole_of

DASHES = re.compile("[-–−]")

_UNSET = s.Settings()
_ONE = s.Number((1,))


class Rows:
    """One method a grammar rule of rows."""

    def row(self, c: Children, span: Span) -> s.Row:
        label, *said, content, total = c
        settings = _settings(said) if said else _UNSET
        if total is None:
            return s.Row(label, content, settings, (), span)
        return s.Row(label, content, settings, total.value, span, total.span)

    def numbered(self, c: Children, span: Span) -> s.Label:
        return s.Label(c[0].text.lower(), whole(c[1]), span=span)

    def stretch(self, c: Children, span: Span) -> s.Label:
        first, last = whole(c[1]), whole(c[3])
        return s.Label(_one(c[0].text), first, last if last != first else None, span=span)

    def next_one(self, c: Children, span: Span) -> s.Label:
        return s.Label(c[1].text.lower(), span=span)

    def next_many(self, c: Children, span: Span) -> s.Label:
        return s.Label(_one(c[2].text), count=None if c[1] == _ONE else c[1], span=span)

    def next_until(self, c: Children, span: Span) -> s.Label:
        return s.Label(_one(c[1].text), until=True, span=span)

    def side(self, c: Children, span: Span) -> Said:
        return Said("side", c[0].text.lower(), span)

    def with_yarn(self, c: Children, span: Span) -> Said:
        return Said("yarn", name_of(c[0]), span)

    def with_stripes(self, c: Children, span: Span) -> Said:
        return Said("yarn", tuple(c), span)

    def stripe(self, c: Children, span: Span) -> s.Stripe:
        return s.Stripe(c[0], name_of(c[1]), span)

    def in_stitch(self, c: Children, span: Span) -> Said:
        return Said("stitch", name_of(c[0]), span)

    def loop(self, c: Children, span: Span) -> Said:
        return Said("loop", c[0].text.lower(), span)

    def chains_count(self, c: Children, span: Span) -> Said:
        return Said("chains_count", True, span)

    def into(self, c: Children, span: Span) -> Said:
        return Said("into", whole(c[2]), span)

    def begin_at(self, c: Children, span: Span) -> Said:
        return Said("begin", s.Beginning(name_of(c[1]), 0, span), span)

    def begin_by(self, c: Children, span: Span) -> Said:
        places = whole(c[1]) * (-1 if c[2].text.lower() == "back" else 1)
        return Said("begin", s.Beginning(None, places, span), span)

    def steps(self, c: Children, span: Span) -> Said:
        return Said("steps", True, span)

    def repeat_numbers(self, c: Children, span: Span) -> s.RepeatRows:
        _, first, _, last, limit = c
        value, name = limit or (None, None)
        start, end = whole(first), last and whole(last)
        return s.RepeatRows(start, end if end != start else None, None, value, name, span)

    def repeat_last(self, c: Children, span: Span) -> s.RepeatRows:
        value, name = c[3] or (None, None)
        return s.RepeatRows(None, None, whole(c[2]), value, name, span)

    def limit(self, c: Children, span: Span) -> tuple[s.Value, str | None]:
        if len(c) == 1:
            return c[0], None
        return c[0], name_of(c[1])

    def work(self, c: Children, span: Span) -> s.Work:
        said = [each for each in c[2:-1] if isinstance(each, Said)]
        changes = tuple(each for each in c[2:-1] if isinstance(each, s.Change))
        return s.Work(name_of(c[1]), changes, how_said(said), c[-1] is not None, span, c[1].span)

    def work_shape(self, c: Children, span: Span) -> s.Work:
        return s.Work(name_of(c[1]), c[-1], how_said(c[2:-1]), False, span, c[1].span)

    def change_by(self, c: Children, span: Span) -> s.Change:
        sign, count, spot, when, over = c
        chosen = {**spot.value, **(when.value if when is not None else {})}
        return s.Change("by", count, sign.text != "+", over=over, span=span, **chosen)

    def change_to(self, c: Children, span: Span) -> s.Change:
        count, spot, over = c
        return s.Change("to", count, over=over, span=span, **spot.value)

    def spot(self, c: Children, span: Span) -> Said:
        words = [name_of(token) if token.kind == "NAME" else token.text.lower() for token in c]
        said = " ".join(words)
        spot = "start" if said.casefold() == "start" else said
        return Said("spot", {"spot": spot}, span)

    def evenly(self, c: Children, span: Span) -> Said:
        _, how, keep, count = c
        chosen: dict[str, Any] = {} if how is None else {how.kind.lower(): True}
        if keep is not None:
            chosen["keep"] = count
        return Said("spot", chosen, span)

    def when_each(self, c: Children, span: Span) -> Said:
        return Said("when", {}, span)

    def when_every(self, c: Children, span: Span) -> Said:
        return Said("when", {} if c[0] == _ONE else {"every": c[0]}, span)

    def when_on(self, c: Children, span: Span) -> Said:
        _, token = c
        ends = [[whole_of(token, each) for each in DASHES.split(part)] for part in token.text.split(",")]
        rows = tuple((each[0], each[-1]) for each in ends)
        return Said("when", {"rows": rows}, span)

    def shape(self, c: Children, span: Span) -> s.Shape:
        name, measure, said, depth, fit = c
        return s.Shape(name_of(name), measure, depth, said and said.text.lower(), fit, span)

    def length(self, c: Children, span: Span) -> s.Number:
        return number_of(c, span)

    def total(self, c: Children, span: Span) -> Said:
        return Said("total", tuple(c), span)

    def tally(self, c: Children, span: Span) -> s.Tally:
        count, name = c
        return s.Tally(count, name and name_of(name), span)


def _settings(said: list[Said]) -> s.Settings:
    """Return the settings of a row; its yarn may be stripes."""
    found = once(said)
    if isinstance(found.get("yarn"), tuple):
        found["stripes"] = found.pop("yarn")
    span = next((each.span for each in said if each.what == "yarn"), None)
    if span is not None:
        found["yarn_span"] = span
    return s.Settings(**found)


def _one(row_word: str) -> str:
    """Return `row` or `round` for the singular or plural."""
    return row_word.lower().removesuffix("s")
