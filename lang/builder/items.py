"""Builds the items of a row."""

from __future__ import annotations

from .. import syntax as s
from ..diagnostics import Diagnostic
from ..source import Span
from .said import Said, how_said
from .tokens import Children, Refused, name_of, nth, quoted, whole


class Items:
    """One method a grammar rule of items."""

    def body(self, c: Children, span: Span) -> s.Body:
        return s.Body(tuple(c), span)

    def some(self, c: Children, span: Span) -> s.Some:
        count, name, *said, place, mark = c
        return s.Some(name_of(name), count, how_said(said), place, mark and name_of(mark), span, name.span)

    def run(self, c: Children, span: Span) -> s.Run:
        name, *said, stop = c
        return s.Run(name_of(name), stop, how_said(said), span, name.span)

    def over(self, c: Children, span: Span) -> s.Over:
        count, name, *said, places = c
        return s.Over(name_of(name), count, places, how_said(said), span, name.span)

    def branch(self, c: Children, span: Span) -> s.Branch:
        count, name, _, body, _, mark = c
        return s.Branch(name_of(name), count, body, mark and name_of(mark), span, name.span)

    def times(self, c: Children, span: Span) -> s.Times:
        return s.Times(c[1], c[3], span)

    def as_fits(self, c: Children, span: Span) -> s.AsFits:
        return s.AsFits(c[1], c[3], span)

    def in_one(self, c: Children, span: Span) -> s.InOne:
        return s.InOne(c[1], c[3], c[4] and name_of(c[4]), span)

    def together(self, c: Children, span: Span) -> s.Together:
        return s.Together(c[1], c[4] and name_of(c[4]), span)

    def skip_one(self, c: Children, span: Span) -> s.Skip:
        count = s.Number((1,), None, c[0].span)
        return s.Skip(count, mark=c[1] and name_of(c[1]), span=span)

    def skip_count(self, c: Children, span: Span) -> s.Skip:
        return s.Skip(c[1], mark=c[2] and name_of(c[2]), span=span)

    def skip_place(self, c: Children, span: Span) -> s.Skip:
        return s.Skip(place=name_of(c[1]), mark=c[2] and name_of(c[2]), span=span)

    def skip_to(self, c: Children, span: Span) -> s.Skip:
        return s.Skip(stop=c[1], mark=c[2] and name_of(c[2]), span=span)

    def leave(self, c: Children, span: Span) -> s.Leave:
        return s.Leave(c[1], c[2] and name_of(c[2]), span)

    def leave_rest(self, c: Children, span: Span) -> s.Leave:
        return s.Leave(None, c[2] and name_of(c[2]), span)

    def spread(self, c: Children, span: Span) -> s.Spread:
        return s.Spread(c[2], span)

    def underside(self, c: Children, span: Span) -> s.Underside:
        return s.Underside(span)

    def join(self, c: Children, span: Span) -> s.Join:
        _, ordinal, place, piece = c
        return s.Join(name_of(place), name_of(piece), ordinal and nth(ordinal), span)

    def chart_row(self, c: Children, span: Span) -> s.ChartRow:
        _, name, _, row = c
        return s.ChartRow(name_of(name), row and whole(row), span)

    def words(self, c: Children, span: Span) -> s.Words:
        text, over, makes, mark = c
        return s.Words(quoted(text), over, makes, mark and name_of(mark), span)

    def makes(self, c: Children, span: Span) -> tuple[s.Tally, ...]:
        return tuple(c[::2])

    def how_loop(self, c: Children, span: Span) -> Said:
        return Said("loop", c[0].text.lower(), span)

    def how_yarn(self, c: Children, span: Span) -> Said:
        return Said("yarn", name_of(c[0]), span)

    def how_below(self, c: Children, span: Span) -> Said:
        return Said("below", 1 if c[1] is None else whole(c[1]), span)

    def how_crossed(self, c: Children, span: Span) -> Said:
        return Said("crossed", True, span)

    def place(self, c: Children, span: Span) -> s.Place:
        name = c[-1]
        if len(c) == 1:
            return s.Place(name_of(name), None, span)
        word = c[0]
        if word.kind == "ORDINAL":
            return s.Place(name_of(name), nth(word), span)
        return s.Place(name_of(name), word.text.lower(), span)

    def place_of_chains(self, c: Children, span: Span) -> s.Place:
        name, chains, chain, over = c
        if chain.text.casefold() not in ("ch", "chs"):
            raise Refused(
                Diagnostic(
                    "stray-word",
                    f"`{name.text}` of something else than chains can't be made here",
                    chain.span,
                    help="write `12 sc in ring of 8 ch`, or `11 sc in arch of 7 ch over 6`",
                )
            )
        return s.Place(name_of(name), None, span, whole(chains), over and whole(over))

    def stop_word(self, c: Children, span: Span) -> s.Stop:
        return s.Stop(c[0].text.lower(), span=span)

    def stop_last(self, c: Children, span: Span) -> s.Stop:
        return s.Stop("last", c[1], span=span)

    def stop_place(self, c: Children, span: Span) -> s.Stop:
        return s.Stop("place", name=name_of(c[0]), span=span)

    def stop_before(self, c: Children, span: Span) -> s.Stop:
        return s.Stop("place", c[0], name_of(c[1]), span)
