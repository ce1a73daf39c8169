"""What the work measures when it is done, and whom it fits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import pi

from ...lang.measures import in_both
from ..counted import CountedPattern
from ..finished import Finished, finished_pieces
from ..fits import FitPlan
from .phrases import Voice, piece_name, sized_words

ACROSS = {
    "flat": "width",
    "tube": "circumference",
    "disc": "diameter",
    "polygon": "width from side to side",
}


def measurements(patterns: Sequence[CountedPattern], voice: Voice) -> tuple[str, ...]:
    """Return the lines, all sizes in each."""
    fits = [_fit(found) for found in zip(*(pattern.fits for pattern in patterns), strict=True)]
    pieces = list(_measured(patterns))
    lines = []
    for title, found in pieces:
        begin = f"{title}, finished" if len(pieces) > 1 else "Finished"
        lines += [f"{begin} {what}" for what in _said(found)]
        together = [each.with_it for each in found if each.with_it is not None]
        if len(together) == len(found):
            wide, long = zip(*together, strict=True)
            both = f"{found[0].around} with {piece_name(voice, title)}, finished"
            lines += [f"{both} width: {in_both(*wide)}", f"{both} length: {in_both(*long)}"]
    return (*fits, *lines)


def _measured(patterns: Sequence[CountedPattern]) -> Iterator[tuple[str, list[Finished]]]:
    """Yield each piece that is measured in all sizes, under its title."""
    in_sizes = zip(*(finished_pieces(pattern) for pattern in patterns), strict=True)
    for piece, found in zip(patterns[0].pieces, in_sizes, strict=True):
        measured = [each for each in found if each is not None]
        if len(measured) == len(found):
            yield piece.plan.title, measured


def _said(found: Sequence[Finished]) -> Iterator[str]:
    shapes = {each.shape for each in found}
    shape = shapes.pop() if len(shapes) == 1 else "tube"
    about = "about " if any(each.about for each in found) else ""
    if shape in ("disc", "polygon"):
        yield f"{ACROSS[shape]}: {in_both(*(2 * each.length for each in found))}"
        return
    if shape == "ball":
        yield f"diameter when stuffed: {in_both(*(each.widest / Fraction(pi) for each in found))}"
        return
    if shape == "border":
        yield f"depth: {in_both(*(each.length for each in found))}"
        return
    yield f"{ACROSS[shape]}: {about}{_widths(found)}"
    along = " along the fabric" if shape == "tube" else ""
    if any(each.length for each in found):
        yield f"length{along}: {in_both(*(each.length for each in found))}"


def _widths(found: Sequence[Finished]) -> str:
    """Return how wide a piece begins and ends, and where it is widest or narrowest between."""

    def of(name: str) -> list[Fraction]:
        return [getattr(each, name) for each in found]

    first, last, widest, narrowest = map(of, ("first", "last", "widest", "narrowest"))
    if widest == narrowest:
        return in_both(*widest)
    begins = not all(each.from_ring for each in found)
    if not begins and widest == last:
        return in_both(*last)
    parts = [f"{in_both(*first)} at the beginning"] if begins else []
    ends = list(zip(first, last, strict=True))
    if any(most > max(each) for most, each in zip(widest, ends, strict=True)):
        parts.append(f"{in_both(*widest)} at the widest")
    if begins and any(least < min(each) for least, each in zip(narrowest, ends, strict=True)):
        parts.append(f"{in_both(*narrowest)} at the narrowest")
    return ", ".join((*parts, f"{in_both(*last)} at the end"))


def _fit(fits: Sequence[FitPlan]) -> str:
    first = fits[0]
    said = f"To fit: {first.part.said} {in_both(*(each.body for each in fits))}"
    if any(each.own for each in fits) and all(each.size for each in fits):
        said += f", which is about {sized_words([each.size for each in fits])}"
    if any(each.ease for each in fits):
        manner = "negative ease" if first.ease < 0 else "ease"
        said += f", with {in_both(*(abs(each.ease) for each in fits))} of {manner}"
    return said
