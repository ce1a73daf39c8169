"""Items of a row as they are written."""

from __future__ import annotations

from collections.abc import Iterator

from .. import syntax as s
from .values import count_text, quoted


def body_text(body: s.Body) -> str:
    """Return items with commas between them."""
    return ", ".join(map(item_text, body.items))


def item_text(item: s.Item) -> str:
    """Return one item of a row."""
    match item:
        case s.Some(name, count, how, place, mark):
            times = "" if count is None else f"{count_text(count)} "
            where = "" if place is None else f" in {_place(place)}"
            return f"{times}{name}{how_text(how)}{where}{_mark(mark)}"
        case s.Run(name, stop, how):
            return f"{name}{how_text(how)} to {_stop(stop)}"
        case s.Over(name, count, over, how):
            return f"{count_text(count)} {name}{how_text(how)} over {count_text(over)}"
        case s.Branch(name, count, body, mark):
            return f"{count_text(count)} {name} and back [{body_text(body)}]{_mark(mark)}"
        case s.Times(body, count):
            return f"[{body_text(body)}] x {count_text(count)}"
        case s.AsFits(body, stop):
            return f"[{body_text(body)}] to {_stop(stop)}"
        case s.InOne(body, place, mark):
            return f"({body_text(body)}) in {_place(place)}{_mark(mark)}"
        case s.Together(body, mark):
            return f"({body_text(body)}) tog{_mark(mark)}"
        case s.Skip():
            return f"skip {' '.join(_skipped(item))}{_mark(item.mark)}"
        case s.Leave(count, mark):
            return f"leave {'rest' if count is None else count_text(count)}{_mark(mark)}"
        case s.Words(text, over, makes, mark):
            made = " + ".join(map(tally_text, makes))
            return f"{quoted(text)} over {count_text(over)} makes {made}{_mark(mark)}"
        case s.Spread(body):
            return f"spread [{body_text(body)}]"
        case s.Underside():
            return "underside"
        case s.ChartRow(name, row):
            return f"chart {name}" if row is None else f"chart {name} row {row}"
        case s.Join(place, piece, which):
            nth = "" if which is None else f"{_ordinal(which)} "
            return f"join {nth}{place} of {piece}"


def _skipped(skip: s.Skip) -> Iterator[str]:
    if skip.count is not None:
        yield count_text(skip.count)
    if skip.place is not None:
        yield skip.place
    if skip.stop is not None:
        yield f"to {_stop(skip.stop)}"


def how_text(how: s.How) -> str:
    """Return what is said of a stitch behind its name, a blank before each part."""
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
    if place.chains is not None:
        over = "" if place.over is None else f" over {place.over}"
        return f"{place.name} of {place.chains} ch{over}"
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
            return f"last {count_text(count)}"
        case s.Stop("place", None, name):
            return str(name)
        case s.Stop("place", count, name) if count is not None:
            return f"{count_text(count)} before {name}"
        case _:
            return stop.kind


def tally_text(tally: s.Tally) -> str:
    """Return one part of a total."""
    return count_text(tally.count) if tally.name is None else f"{count_text(tally.count)} {tally.name}"
