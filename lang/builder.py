"""Builds syntax nodes while lark reduces: one method a grammar rule, handed that rule's children.

No tree of lark's own is ever made. Spans are taken from the tokens, so they are offsets into the statement.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import replace
from decimal import Decimal
from typing import Any

from . import syntax as s
from .diagnostics import Diagnostic, Label
from .source import LINE_BREAK, Span

LARGEST = 10**15
LONGEST_NUMBER = 32
DASHES = re.compile("[-–−]")

Children = list[Any]


class Refused(Exception):  # noqa: N818 - it reports the author's fault, not ours
    """Stops lark where a word fits the grammar and is wrong all the same; never leaves this package."""

    def __init__(self, diagnostic: Diagnostic) -> None:
        super().__init__(diagnostic.message)
        self.diagnostic = diagnostic


def _span(first: Any, last: Any) -> Span:
    return Span(first.start_pos, last.end_pos)


def _end(child: Any) -> int:
    """Return where a token or a node ends."""
    span = getattr(child, "span", None)
    return child.end_pos if span is None else span.end  # type: ignore[no-any-return]


def _last(children: Children) -> Any:
    return next(child for child in reversed(children) if child is not None)


def _between(children: Children) -> Span:
    """Return the span from a first token to the last child that is there."""
    return Span(children[0].start_pos, _end(_last(children)))


def normal(text: str) -> str:
    """Return `text` with its letters composed (NFC), so that one name is one string."""
    return text if text.isascii() else unicodedata.normalize("NFC", text)


def _name(token: Any) -> str:
    value: str = token.value
    if value.isascii():
        return value
    name = unicodedata.normalize("NFC", value)
    for at, char in enumerate(value):
        if unicodedata.category(char)[0] not in "LMN" and char != "_":
            span = Span(token.start_pos + at, token.start_pos + at + 1)
            raise Refused(
                Diagnostic(
                    "wrong-character",
                    f"`{char}` is no letter, so it can't be part of a name",
                    span,
                    help="make a name of letters, digits and `_`",
                )
            )
    return name


def _within(token: Any, digits: str) -> None:
    if len(digits) > LONGEST_NUMBER or float(digits) > LARGEST:
        shown = digits if len(digits) <= 20 else f"{digits[:8]}..."
        raise Refused(
            Diagnostic(
                "too-large",
                f"the number {shown} is too large",
                Span(token.start_pos, token.end_pos),
                help="numbers go up to a thousand million million (15 zeros)",
            )
        )


def _int(token: Any) -> int:
    digits = token.value
    if len(digits) > 15:
        _within(token, digits)
    return int(digits)


def _digits(token: Any, text: str) -> int:
    if len(text.strip()) > 15:
        _within(token, text.strip())
    return int(text)


def _decimal(token: Any, text: str) -> int | Decimal:
    if len(text) > 15:
        _within(token, text)
    return Decimal(text) if "." in text else int(text)


def _number(token: Any, unit: Any = None) -> s.Number:
    text = token.value
    span = Span(token.start_pos, token.end_pos if unit is None else unit.end_pos)
    if text.isdigit() and len(text) <= 15:
        values: tuple[int | Decimal, ...] = (int(text),)
    else:
        values = tuple(_decimal(token, part) for part in text.split("/"))
    return s.Number(values, None if unit is None else unit.value.lower(), span)


def _words(token: Any) -> str:
    return normal(token.value[1:-1])


def _lines(token: Any) -> tuple[str, ...]:
    lines = (line.strip() for line in LINE_BREAK.split(token.value))
    return tuple(normal(line) for line in lines if line)


def _lower(token: Any) -> str:
    return " ".join(token.value.lower().split())


def _one(row_word: str) -> str:
    """Return `row` or `round` for the singular or plural."""
    return row_word.lower().removesuffix("s")


class _Said:
    """A setting and where it stands, until the row or stitch it belongs to is built."""

    __slots__ = ("end_pos", "start_pos", "value", "what")

    def __init__(self, what: str, value: Any, start_pos: int, end_pos: int) -> None:
        self.what = what
        self.value = value
        self.start_pos = start_pos
        self.end_pos = end_pos


_SETTING_NAMES = {
    "side": "the side",
    "yarn": "the yarn",
    "stitch": "the stitch",
    "loop": "the loop",
    "chains_count": "`chains count`",
    "turning_chain": "the turning chain",
    "below": "`below`",
    "crossed": "`crossed`",
    "into": "`into`",
    "begin": "`begin`",
    "steps": "`steps`",
    "make": "`make`",
    "mirrored": "`mirrored`",
    "ratio": "the ratio",
    "rounding": "the rounding",
}


def _once(said: list[_Said]) -> dict[str, Any]:
    """Return the settings by what they set; refuse the second of a kind."""
    found: dict[str, _Said] = {}
    for each in said:
        if each.what in found:
            first = found[each.what]
            raise Refused(
                Diagnostic(
                    "used-twice",
                    f"{_SETTING_NAMES[each.what]} is set twice",
                    Span(each.start_pos, each.end_pos),
                    related=(Label(Span(first.start_pos, first.end_pos), "first set here"),),
                    help="keep one of the two",
                )
            )
        found[each.what] = each
    return {what: each.value for what, each in found.items()}


def _how(said: list[_Said]) -> s.How:
    return s.How(**_once(said)) if said else s.PLAIN


def _part_after(said: _Said) -> Refused:
    return Refused(
        Diagnostic(
            "stray-word",
            "which part of an edge is meant stands once, right behind it",
            Span(said.start_pos, said.end_pos),
            help="write `start along top of Back, last 9 and left of Back, 3 for 4`",
        )
    )


def _ratio_first(said: _Said) -> Refused:
    return Refused(
        Diagnostic(
            "stray-word",
            "a ratio stands behind the last edge, and holds for all of them",
            Span(said.start_pos, said.end_pos),
            help="write `start along left of Band and top of Band, 3 for 4`",
        )
    )


class Builder:
    """The callbacks that lark finds by rule name."""

    # ---- header

    def version(self, c: Children) -> s.Version:
        return s.Version(_int(c[1]), c[2].value.upper(), _between(c))

    def text(self, c: Children) -> s.Text:
        return s.Text(c[0].value.lower(), _lines(c[1]), _between(c))

    def yarn(self, c: Children) -> s.Yarn:
        return s.Yarn(_name(c[1]), _lines(c[2]), _between(c))

    def hook(self, c: Children) -> s.Hook:
        return s.Hook(_number(c[1], c[2]), _between(c))

    def gauge(self, c: Children) -> s.Gauge:
        _, stitches, counted, rows, _, length, unit, name = c
        return s.Gauge(
            stitches, _name(counted), rows, _number(length, unit), _name(name), _between(c), _span(name, name)
        )

    def let(self, c: Children) -> s.Let:
        return s.Let(_name(c[1]), c[2], _between(c), _span(c[1], c[1]))

    def use(self, c: Children) -> s.Use:
        return s.Use(_words(c[1]), _between(c))

    def stitch(self, c: Children) -> s.StitchDefinition:
        _, name, body, explanation = c
        content: s.Body | s.Words = body
        if len(body.items) == 1 and isinstance(body.items[0], s.Words):
            content = body.items[0]
        return s.StitchDefinition(
            _name(name),
            content,
            explanation and _words(explanation),
            _between(c),
            _span(name, name),
        )

    def chart(self, c: Children) -> s.Chart:
        squares = tuple(square for square, _ in c[2:])
        span = Span(c[0].start_pos, c[-1][1])
        return s.Chart(_name(c[1]), squares, (), span, _span(c[1], c[1]))

    def square(self, c: Children) -> tuple[s.Square, int]:
        return s.Square(normal(c[0].value[0]), _name(c[1])), c[1].end_pos

    # ---- pieces

    def piece(self, c: Children) -> s.Piece:
        _, name, title, manner, *options = c
        of_stitches = tuple(each for each in options if each.what == "turning_chain_for")
        chosen = _once([each for each in options if each.what != "turning_chain_for"])
        for_all = chosen.pop("turning_chain", None)
        chains = tuple(each.value for each in of_stitches)
        if for_all is not None:
            chains = (s.TurningChainFor(None, for_all), *chains)
        last = options[-1] if options else manner
        return s.Piece(
            _name(name),
            _lower(manner),
            title and _words(title),
            turning_chains=chains,
            span=_span(c[0], last),
            name_span=_span(name, name),
            **chosen,
        )

    def piece_again(self, c: Children) -> s.Piece:
        _, name, title, again, *options = c
        chosen = _once(options)
        again = replace(again, mirrored=chosen.pop("mirrored", False), ratio=chosen.pop("ratio", None))
        return s.Piece(
            _name(name),
            "",
            title and _words(title),
            again=again,
            span=Span(c[0].start_pos, _end(c[-1])),
            name_span=_span(name, name),
            **chosen,
        )

    def again(self, c: Children) -> s.Again:
        return s.Again(_name(c[0]), span=_span(c[0], c[0]))

    def again_on(self, c: Children) -> s.Again:
        name, _, edge = c
        return s.Again(_name(name), edge, span=_between(c))

    def ratio(self, c: Children) -> _Said:
        return _Said("ratio", (_int(c[0]), _int(c[1])), c[0].start_pos, c[1].end_pos)

    def mirrored(self, c: Children) -> _Said:
        return _Said("mirrored", True, c[0].start_pos, c[0].end_pos)

    def make(self, c: Children) -> _Said:
        return _Said("make", c[0], c[0].span.start, c[0].span.end)

    def turning_chain(self, c: Children) -> _Said:
        span = _between(c)
        chain = s.TurningChain(_int(c[1]), c[2] and c[2].value.lower(), span)
        return _Said("turning_chain", chain, span.start, span.end)

    def turning_chain_for(self, c: Children) -> _Said:
        span = _between(c)
        chain = s.TurningChain(_int(c[2]), c[3] and c[3].value.lower(), span)
        return _Said("turning_chain_for", s.TurningChainFor(_name(c[1]), chain), span.start, span.end)

    def option(self, c: Children) -> _Said:
        return c[0]  # type: ignore[no-any-return]

    setting = again_option = option

    def start_stitches(self, c: Children) -> s.Start:
        _, count, name, joined = c
        return s.Start(
            "stitches",
            count,
            _name(name),
            joined is not None,
            span=_between(c),
            name_span=_span(name, name),
        )

    def start_for(self, c: Children) -> s.Start:
        return s.Start("for", c[1], span=_between(c))

    def start_ring(self, c: Children) -> s.Start:
        return s.Start("ring", span=_between(c))

    def start_edge(self, c: Children) -> s.Start:
        edges: list[s.EdgeName] = []
        said: list[_Said] = []
        for each in c[2:]:
            if isinstance(each, s.EdgeName):
                if said:
                    raise _ratio_first(said[0])
                edges.append(each)
            elif not isinstance(each, _Said):
                said.append(_Said("rounding", each.value.lower(), each.start_pos, each.end_pos))
            elif each.what != "part":
                said.append(each)
            elif said or edges[-1].end is not None:
                raise _part_after(each)
            else:
                end, count = each.value
                edges[-1] = replace(
                    edges[-1], end=end, count=count, span=Span(edges[-1].span.start, each.end_pos)
                )
        return s.Start("edge", edges=tuple(edges), **_once(said), span=Span(c[0].start_pos, _end(c[-1])))

    def edge_part(self, c: Children) -> _Said:
        return _Said("part", (c[0].value.lower(), c[1]), c[0].start_pos, c[1].span.end)

    def edge_ratio(self, c: Children) -> _Said:
        return _Said("ratio", (_int(c[0]), _int(c[1])), c[0].start_pos, c[1].end_pos)

    def edge_name(self, c: Children) -> s.EdgeName:
        return s.EdgeName(_name(c[0]), _name(c[1]), span=_between(c))

    def edge_loops(self, c: Children) -> s.EdgeName:
        loop, unit, row, piece = c
        return s.EdgeName(loop.value.lower(), _name(piece), unit.value.lower(), _int(row), span=_between(c))

    def close(self, c: Children) -> s.Close:
        return s.Close(_between(c))

    def seam(self, c: Children) -> s.Seam:
        return s.Seam(c[1], c[2], _between(c))

    # ---- rows

    def row(self, c: Children) -> s.Row:
        label, *said, content, total = c
        settings = s.Settings(**_once(said)) if said else _UNSET
        start = label.span.start
        if total is None:
            return s.Row(label, content, settings, (), Span(start, content.span.end))
        end = total[-1].span.end
        return s.Row(label, content, settings, total, Span(start, end), Span(total[0].span.start, end))

    def numbered(self, c: Children) -> s.Label:
        return s.Label(c[0].value.lower(), _int(c[1]), span=_span(c[0], c[1]))

    def stretch(self, c: Children) -> s.Label:
        return s.Label(_one(c[0].value), _int(c[1]), _int(c[3]), span=_span(c[0], c[3]))

    def next_one(self, c: Children) -> s.Label:
        return s.Label(c[1].value.lower(), span=_between(c))

    def next_many(self, c: Children) -> s.Label:
        return s.Label(_one(c[2].value), count=c[1], span=_between(c))

    def next_until(self, c: Children) -> s.Label:
        return s.Label(_one(c[1].value), until=True, span=_between(c))

    def side(self, c: Children) -> _Said:
        return _Said("side", c[0].value.lower(), c[0].start_pos, c[0].end_pos)

    def with_yarn(self, c: Children) -> _Said:
        return _Said("yarn", _name(c[0]), c[0].start_pos, c[0].end_pos)

    def in_stitch(self, c: Children) -> _Said:
        return _Said("stitch", _name(c[0]), c[0].start_pos, c[0].end_pos)

    def loop(self, c: Children) -> _Said:
        return _Said("loop", c[0].value.lower(), c[0].start_pos, c[0].end_pos)

    def chains_count(self, c: Children) -> _Said:
        return _Said("chains_count", True, c[0].start_pos, c[0].end_pos)

    def into(self, c: Children) -> _Said:
        return _Said("into", _int(c[2]), c[0].start_pos, c[2].end_pos)

    def begin_at(self, c: Children) -> _Said:
        span = _between(c)
        return _Said("begin", s.Beginning(_name(c[1]), 0, span), span.start, span.end)

    def begin_by(self, c: Children) -> _Said:
        span = _between(c)
        places = _int(c[1]) * (-1 if c[2].value.lower() == "back" else 1)
        return _Said("begin", s.Beginning(None, places, span), span.start, span.end)

    def steps(self, c: Children) -> _Said:
        return _Said("steps", True, c[0].start_pos, c[0].end_pos)

    def repeat_numbers(self, c: Children) -> s.RepeatRows:
        _, first, _, last, limit = c
        value, name, _ = limit or (None, None, None)
        return s.RepeatRows(_int(first), last and _int(last), None, value, name, _until(c))

    def repeat_last(self, c: Children) -> s.RepeatRows:
        value, name, _ = c[3] or (None, None, None)
        return s.RepeatRows(None, None, _int(c[2]), value, name, _until(c))

    def limit(self, c: Children) -> tuple[s.Value, str | None, int]:
        if len(c) == 1:
            return c[0], None, c[0].span.end
        if isinstance(c[0], s.Value):
            return c[0], _name(c[1]), c[1].end_pos
        return _number(c[0], c[1]), None, c[1].end_pos

    def work(self, c: Children) -> s.Work:
        said = [each for each in c[2:-1] if isinstance(each, _Said)]
        changes = tuple(each for each in c[2:-1] if isinstance(each, s.Change))
        return s.Work(_name(c[1]), changes, _how(said), c[-1] is not None, _between(c), _span(c[1], c[1]))

    def work_shape(self, c: Children) -> s.Work:
        return s.Work(_name(c[1]), c[-1], _how(c[2:-1]), False, _between(c), _span(c[1], c[1]))

    def change_by(self, c: Children) -> s.Change:
        sign, count, spot, when = c
        chosen = {**spot.value, **(when.value if when is not None else {})}
        end = spot.end_pos if when is None else when.end_pos
        return s.Change("by", count, sign.value != "+", span=Span(sign.start_pos, end), **chosen)

    def change_to(self, c: Children) -> s.Change:
        count, spot, over = c
        end = spot.end_pos if over is None else over.span.end
        return s.Change("to", count, over=over, span=Span(count.span.start, end), **spot.value)

    def spot(self, c: Children) -> _Said:
        words = [_name(token) if token.type == "NAME" else token.value.lower() for token in c]
        said = " ".join(words)
        spot = "start" if said.casefold() == "start" else said
        return _Said("spot", {"spot": spot}, c[0].start_pos, c[-1].end_pos)

    def evenly(self, c: Children) -> _Said:
        _, how, keep, count = c
        chosen: dict[str, Any] = {} if how is None else {how.type.lower(): True}
        if keep is not None:
            chosen["keep"] = count
        return _Said("spot", chosen, c[0].start_pos, _end(_last(c)))

    def when_each(self, c: Children) -> _Said:
        return _Said("when", {}, c[0].start_pos, c[0].end_pos)

    def when_every(self, c: Children) -> _Said:
        return _Said("when", {"every": c[0]}, c[0].span.start, c[1].end_pos)

    def when_on(self, c: Children) -> _Said:
        _, token = c
        ends = [[_digits(token, each) for each in DASHES.split(part)] for part in token.value.split(",")]
        rows = tuple((each[0], each[-1]) for each in ends)
        return _Said("when", {"rows": rows}, c[0].start_pos, token.end_pos)

    def shape(self, c: Children) -> s.Shape:
        name, measure, said, depth, fit = c
        span = Span(name.start_pos, (measure if depth is None else depth).span.end)
        return s.Shape(_name(name), measure, depth, said and said.value.lower(), fit, span)

    def length(self, c: Children) -> s.Number:
        return _number(*c)

    def total(self, c: Children) -> tuple[s.Tally, ...]:
        return tuple(c)

    def tally(self, c: Children) -> s.Tally:
        count, name = c
        if name is None:
            return s.Tally(count, None, count.span)
        return s.Tally(count, _name(name), Span(count.span.start, name.end_pos))

    # ---- items

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
            _name(name),
            count,
            _how(said),
            place,
            mark and _name(mark),
            Span(name.start_pos if count is None else count.span.start, end),
            name_span,
        )

    def run(self, c: Children) -> s.Run:
        name, *said, stop = c
        span = Span(name.start_pos, stop.span.end)
        return s.Run(_name(name), stop, _how(said), span, Span(name.start_pos, name.end_pos))

    def over(self, c: Children) -> s.Over:
        count, name, *said, places = c
        span = Span(count.span.start, places.span.end)
        return s.Over(_name(name), count, places, _how(said), span, Span(name.start_pos, name.end_pos))

    def branch(self, c: Children) -> s.Branch:
        count, name, _, body, _, mark = c
        span = Span(count.span.start, _end(_last(c)))
        return s.Branch(
            _name(name), count, body, mark and _name(mark), span, Span(name.start_pos, name.end_pos)
        )

    def times(self, c: Children) -> s.Times:
        return s.Times(c[1], c[3], _between(c))

    def as_fits(self, c: Children) -> s.AsFits:
        return s.AsFits(c[1], c[3], _between(c))

    def in_one(self, c: Children) -> s.InOne:
        return s.InOne(c[1], c[3], c[4] and _name(c[4]), _between(c))

    def together(self, c: Children) -> s.Together:
        return s.Together(c[1], c[4] and _name(c[4]), _between(c))

    def skip_one(self, c: Children) -> s.Skip:
        count = s.Number((1,), None, _span(c[0], c[0]))
        return s.Skip(count, mark=c[1] and _name(c[1]), span=_between(c))

    def skip_count(self, c: Children) -> s.Skip:
        return s.Skip(c[1], mark=c[2] and _name(c[2]), span=_between(c))

    def skip_place(self, c: Children) -> s.Skip:
        return s.Skip(place=_name(c[1]), mark=c[2] and _name(c[2]), span=_between(c))

    def skip_to(self, c: Children) -> s.Skip:
        return s.Skip(stop=c[1], mark=c[2] and _name(c[2]), span=_between(c))

    def leave(self, c: Children) -> s.Leave:
        return s.Leave(c[1], c[2] and _name(c[2]), _between(c))

    def leave_rest(self, c: Children) -> s.Leave:
        return s.Leave(None, c[2] and _name(c[2]), _between(c))

    def spread(self, c: Children) -> s.Spread:
        return s.Spread(c[2], _between(c))

    def underside(self, c: Children) -> s.Underside:
        return s.Underside(_between(c))

    def chart_row(self, c: Children) -> s.ChartRow:
        _, name, _, row = c
        return s.ChartRow(_name(name), row and _int(row), _between(c))

    def words(self, c: Children) -> s.Words:
        text, over, (makes, end), mark = c
        span = Span(text.start_pos, end if mark is None else mark.end_pos)
        return s.Words(_words(text), over, makes, mark and _name(mark), span)

    def makes(self, c: Children) -> tuple[tuple[s.Tally, ...], int]:
        return tuple(c[::2]), c[-1].span.end

    def how_loop(self, c: Children) -> _Said:
        return _Said("loop", c[0].value.lower(), c[0].start_pos, c[0].end_pos)

    def how_yarn(self, c: Children) -> _Said:
        return _Said("yarn", _name(c[0]), c[0].start_pos, c[0].end_pos)

    def how_below(self, c: Children) -> _Said:
        return _Said("below", 1 if c[1] is None else _int(c[1]), c[0].start_pos, _last(c).end_pos)

    def how_crossed(self, c: Children) -> _Said:
        return _Said("crossed", True, c[0].start_pos, c[0].end_pos)

    def place(self, c: Children) -> s.Place:
        name = c[-1]
        if len(c) == 1:
            return s.Place(_name(name), None, Span(name.start_pos, name.end_pos))
        word = c[0]
        if word.type == "ORDINAL":
            digits = word.value[:-2]
            if len(digits) > 15:
                _within(word, digits)
            return s.Place(_name(name), int(digits), _between(c))
        return s.Place(_name(name), word.value.lower(), _between(c))

    def stop_word(self, c: Children) -> s.Stop:
        return s.Stop(c[0].value.lower(), span=_span(c[0], c[0]))

    def stop_last(self, c: Children) -> s.Stop:
        return s.Stop("last", c[1], span=_between(c))

    def stop_place(self, c: Children) -> s.Stop:
        return s.Stop("place", name=_name(c[0]), span=_span(c[0], c[0]))

    def stop_before(self, c: Children) -> s.Stop:
        return s.Stop("place", c[0], _name(c[1]), Span(c[0].span.start, c[1].end_pos))

    # ---- values

    def number(self, c: Children) -> s.Number:
        return _number(*c)

    def braces(self, c: Children) -> s.Value:
        return _respanned(c[1], _between(c))

    def bracketed(self, c: Children) -> s.Value:
        return _respanned(c[1], _between(c))

    def arithmetic(self, c: Children) -> s.Arithmetic:
        left, operator, right = c
        symbol = "-" if operator.type == "DASH" else operator.value.lower()
        return s.Arithmetic(symbol, left, right, Span(left.span.start, right.span.end))

    def name_value(self, c: Children) -> s.NameValue:
        return s.NameValue(_name(c[0]), _between(c))

    def row_number(self, c: Children) -> s.RowNumber:
        return s.RowNumber(_between(c))

    def fitted(self, c: Children) -> s.Fitted:
        function, _, measure, fit, _ = c
        which = "stitches" if function.type == "STITCHES" else "rows"
        return s.Fitted(which, measure, fit, _between(c))

    def fit(self, c: Children) -> s.Fit:
        if len(c) == 1:
            return s.Fit(c[0].value.lower())
        return s.Fit("multiple", _int(c[1]), 0 if c[3] is None else _int(c[3]))


_UNSET = s.Settings()


def _until(children: Children) -> Span:
    limit = children[-1]
    end = limit[2] if limit else _last(children).end_pos
    return Span(children[0].start_pos, end)


def _respanned(value: s.Value, span: Span) -> s.Value:
    """Return `value` with the brackets around it counted in."""
    match value:
        case s.Number(values, unit):
            return s.Number(values, unit, span)
        case s.NameValue(name):
            return s.NameValue(name, span)
        case s.RowNumber():
            return s.RowNumber(span)
        case s.Arithmetic(operator, left, right):
            return s.Arithmetic(operator, left, right, span)
        case s.Fitted(function, measure, fit):
            return s.Fitted(function, measure, fit, span)
