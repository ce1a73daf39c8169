"""Builds the items of a row."""

from __future__ import annotations

from .. import syntax as s
from ..source import Span
from .said import Said, how_said
from .tokens import Children, between, end_of, last_of, name_of, nth, quoted, span_of, whole


class Items:
    """One method a grammar rule of items."""

    def body(self, c: Children) -> s.Body:
        return s.Body(tuple(c), Span(c[0].span.start, c[-1].span.end))

    def some(self, c: Children) -> s.Some:
        count, name, *said, place, mark = c
        name_span = Span(name.start_pos, name.end_pos)
        if mark is not None:
            end = mark.end_pos
        elif place is not None:
            end = place.span.end
        elif said:
            end = said[-1].end_pos
        else:
            end = name.end_pos
        return s.Some(
            name_of(name),
            count,
            how_said(said),
            place,
            mark and name_of(mark),
            Span(name.start_pos if count is None else count.span.start, end),
            name_span,
        )

    def run(self, c: Children) -> s.Run:
        name, *said, stop = c
        span = Span(name.start_pos, stop.span.end)
        return s.Run(name_of(name), stop, how_said(said), span, Span(name.start_pos, name.end_pos))

    def over(self, c: Children) -> s.Over:
        count, name, *said, places = c
        span = Span(count.span.start, places.span.end)
        return s.Over(name_of(name), count, places, how_said(said), span, Span(name.start_pos, name.end_pos))

    def branch(self, c: Children) -> s.Branch:
        count, name, _, body, _, mark = c
        span = Span(count.span.start, end_of(last_of(c)))
        return s.Branch(
            name_of(name), count, body, mark and name_of(mark), span, Span(name.start_pos, name.end_pos)
        )

    def times(self, c: Children) -> s.Times:
        return s.Times(c[1], c[3], between(c))

    def as_fits(self, c: Children) -> s.AsFits:
        return s.AsFits(c[1], c[3], between(c))

    def in_one(self, c: Children) -> s.InOne:
        return s.InOne(c[1], c[3], c[4] and name_of(c[4]), between(c))

    def together(self, c: Children) -> s.Together:
        return s.Together(c[1], c[4] and name_of(c[4]), between(c))

    def skip_one(self, c: Children) -> s.Skip:
        count = s.Number((1,), None, span_of(c[0], c[0]))
        return s.Skip(count, mark=c[1] and name_of(c[1]), span=between(c))

    def skip_count(self, c: Children) -> s.Skip:
        return s.Skip(c[1], mark=c[2] and name_of(c[2]), span=between(c))

    def skip_place(self, c: Children) -> s.Skip:
        return s.Skip(place=name_of(c[1]), mark=c[2] and name_of(c[2]), span=between(c))

    def skip_to(self, c: Children) -> s.Skip:
        return s.Skip(stop=c[1], mark=c[2] and name_of(c[2]), span=between(c))

    def leave(self, c: Children) -> s.Leave:
        return s.Leave(c[1], c[2] and name_of(c[2]), between(c))

    def leave_rest(self, c: Children) -> s.Leave:
        return s.Leave(None, c[2] and name_of(c[2]), between(c))

    def spread(self, c: Children) -> s.Spread:
        return s.Spread(c[2], between(c))

    def underside(self, c: Children) -> s.Underside:
        return s.Underside(between(c))

    def join(self, c: Children) -> s.Join:
        _, ordinal, place, piece = c
        return s.Join(name_of(place), name_of(piece), ordinal and nth(ordinal), between(c))

    def chart_row(self, c: Children) -> s.ChartRow:
        _, name, _, row = c
        return s.ChartRow(name_of(name), row and whole(row), between(c))

    def words(self, c: Children) -> s.Words:
        text, over, (makes, end), mark = c
        span = Span(text.start_pos, end if mark is None else mark.end_pos)
        return s.Words(quoted(text), over, makes, mark and name_of(mark), span)

    def makes(self, c: Children) -> tuple[tuple[s.Tally, ...], int]:
        return tuple(c[::2]), c[-1].span.end

    def how_loop(self, c: Children) -> Said:
        return Said("loop", c[0].value.lower(), c[0].start_pos, c[0].end_pos)

    def how_yarn(self, c: Children) -> Said:
        return Said("yarn", name_of(c[0]), c[0].start_pos, c[0].end_pos)

    def how_below(self, c: Children) -> Said:
        return Said("below", 1 if c[1] is None else whole(c[1]), c[0].start_pos, last_of(c).end_pos)

    def how_crossed(self, c: Children) -> Said:
        return Said("crossed", True, c[0].start_pos, c[0].end_pos)

    def place(self, c: Children) -> s.Place:
        name = c[-1]
        if len(c) == 1:
            return s.Place(name_of(name), None, Span(name.start_pos, name.end_pos))
        word = c[0]
        if word.type == "ORDINAL":
            return s.Place(name_of(name), nth(word), between(c))
        return s.Place(name_of(name), word.value.lower(), between(c))

    def stop_word(self, c: Children) -> s.Stop:
        return s.Stop(c[0].value.lower(), span=span_of(c[0], c[0]))

    def stop_last(self, c: Children) -> s.Stop:
        return s.Stop("last", c[1], span=between(c))

    def stop_place(self, c: Children) -> s.Stop:
        return s.Stop("place", name=name_of(c[0]), span=span_of(c[0], c[0]))

    def stop_before(self, c: Children) -> s.Stop:
        return s.Stop("place", c[0], name_of(c[1]), Span(c[0].span.start, c[1].end_pos))
