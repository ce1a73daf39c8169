"""What the work measures when it is done, and whom it fits."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from fractions import Fraction
from math import pi

from ...lang.measures import Exact, Gauge
from ..counted import CountedPattern
from ..finished import Finished, finished_pieces
from ..fits import FitPlan
from .phrases import Voice, sized

ENDS = ("first", "last", "widest")
"""Where a piece may measure what it is to fit with."""


def measurements(patterns: Sequence[CountedPattern], voice: Voice) -> tuple[str, ...]:
    """Return the lines, all sizes in each."""
    pieces = list(_measured(patterns))
    widths = {tuple(getattr(each, at) for each in found) for _, found in pieces for at in ENDS}
    fits = [_fit(voice, found, widths) for found in zip(*(pattern.fits for pattern in patterns), strict=True)]
    lines = []
    for title, found in pieces:
        name = "of-piece" if len(pieces) > 1 else "alone"
        lines += [
            voice.say(f"measurements.finished.{name}", title=title, what=what) for what in _said(voice, found)
        ]
        together = [each.with_it for each in found if each.with_it is not None]
        if len(together) == len(found):
            wide, long = zip(*together, strict=True)
            names = {"around": found[0].around, "piece": voice.piece(title)}
            lines += [
                voice.say("measurements.width-with", **names, size=voice.lengths(wide)),
                voice.say("measurements.length-with", **names, size=voice.lengths(long)),
            ]
    return (*fits, *lines)


def said_gauge(voice: Voice, in_sizes: Sequence[Gauge], unit: str, what: str, several: str) -> str:
    """Return a gauge, one a size: `16 (18) stitches and 20 rows in dc = 10 cm / 4 in`.

    `unit` is `row` or `round`; `what` is what it is in, and what is counted if that is a stitch of the
    author's own; `several` are such.
    """
    across = voice.lengths([each.length for each in in_sizes])
    up = voice.lengths([each.rows_length or each.length for each in in_sizes])
    rows = tuple(float(each.rows) for each in in_sizes)
    return voice.say(
        f"measurements.gauge.{'square' if up == across else 'each-way'}",
        stitches=sized([voice.number(f"{float(each.stitches):g}") for each in in_sizes]),
        counted=what if in_sizes[0].counted else voice.say("measurements.counted"),
        across=across,
        rows=sized([voice.number(f"{each:g}") for each in rows]),
        unit=voice.noun(unit, (1,) if set(rows) == {1} else (2,)),
        up=up,
        stitch=what,
        several=several,
    )


def _measured(patterns: Sequence[CountedPattern]) -> Iterator[tuple[str, list[Finished]]]:
    """Yield each piece that is measured in all sizes, under its title."""
    in_sizes = zip(*(finished_pieces(pattern) for pattern in patterns), strict=True)
    for piece, found in zip(patterns[0].pieces, in_sizes, strict=True):
        measured = [each for each in found if each is not None]
        if len(measured) == len(found):
            yield piece.plan.title, measured


def _said(voice: Voice, found: Sequence[Finished]) -> Iterator[str]:
    shapes = {each.shape for each in found}
    shape = shapes.pop() if len(shapes) == 1 else "tube"
    yield voice.say(f"measurements.across.{shape}", size=_across(voice, found, shape))
    if shape in ("flat", "tube") and any(each.length for each in found):
        along = "length-along" if shape == "tube" else "length"
        yield voice.say(f"measurements.up.{along}", size=voice.lengths([each.length for each in found]))


def _across(voice: Voice, found: Sequence[Finished], shape: str) -> str:
    match shape:
        case "disc" | "polygon":
            return voice.lengths([2 * each.length for each in found])
        case "ball":
            return voice.lengths([each.widest / Fraction(pi) for each in found])
        case "border":
            return voice.lengths([each.length for each in found])
    if any(each.about for each in found):
        return voice.say("measurements.about", size=_widths(voice, found, voice.about_lengths))
    return _widths(voice, found, voice.lengths)


def _widths(voice: Voice, found: Sequence[Finished], said: Callable[[Sequence[Exact]], str]) -> str:
    """Return how wide a piece begins and ends, and where it is widest or narrowest between."""

    def of(name: str) -> list[Fraction]:
        return [getattr(each, name) for each in found]

    first, last, widest, narrowest = map(of, ("first", "last", "widest", "narrowest"))
    if widest == narrowest:
        return said(widest)
    begins = not all(each.from_ring for each in found)
    if not begins and widest == last:
        return said(last)
    parts = [voice.say("measurements.at.beginning", size=said(first))] if begins else []
    ends = list(zip(first, last, strict=True))
    if any(most > max(each) for most, each in zip(widest, ends, strict=True)):
        parts.append(voice.say("measurements.at.widest", size=said(widest)))
    if begins and any(least < min(each) for least, each in zip(narrowest, ends, strict=True)):
        parts.append(voice.say("measurements.at.narrowest", size=said(narrowest)))
    return ", ".join((*parts, voice.say("measurements.at.end", size=said(last))))


def _fit(voice: Voice, fits: Sequence[FitPlan], widths: Collection[tuple[Fraction, ...]]) -> str:
    """Return what the work fits, its ease as about so much unless a piece has just that width."""
    first = fits[0]
    said = voice.say(
        "measurements.fit",
        part=voice.say(f"measurements.body.{first.part.name}"),
        size=voice.lengths([each.body for each in fits]),
    )
    if any(each.own for each in fits) and all(each.size for each in fits):
        said += voice.say("measurements.fit-size", size=sized([each.size for each in fits]))
    if any(each.ease for each in fits):
        manner = "negative" if first.ease < 0 else "positive"
        exact = tuple(each.body + each.ease for each in fits) in widths
        manner = manner if exact else f"about-{manner}"
        ease = voice.lengths([abs(each.ease) for each in fits])
        said += voice.say(f"measurements.ease.{manner}", ease=ease)
    return said
