"""`turnchain fit`: in which size of a pattern a measurement falls."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from ...lang.measures import convert, in_both
from ...lang.parser import parsed_statement
from ...lang.syntax import BodyFit, Number
from ..faults import Fault
from ..fits import FitPlan, part_of
from ..pipeline import Analysis
from . import CLEAN, FAULTY, WRONG_USE, Outcome
from .loading import load, report, unreadable


def fit(name: str, measure: str, *, colour: bool = False) -> Outcome:
    """Return in which size of a pattern a measurement such as `head 47 cm` falls."""
    try:
        analysis = load(name).analysis
    except OSError as error:
        return Outcome(WRONG_USE, err=unreadable(name, error))
    if analysis.has_errors:
        return Outcome(FAULTY, report([analysis], colour=colour))
    asked = _measured(analysis, measure)
    if asked is None:
        return Outcome(WRONG_USE, err=f"turnchain: `{measure}` is no measurement: write it as `head 47 cm`")
    part, body = asked
    fits = [plan for pattern in analysis.patterns for plan in pattern.fits if plan.part.name == part]
    if not fits:
        parts = ", ".join(plan.part.name for plan in analysis.patterns[0].fits)
        told = f"it fits the {parts}" if parts else "add a line such as `fit head, ease -2 cm`"
        said = f"{analysis.source.name} does not say what {part} it fits; {told}"
        return Outcome(WRONG_USE, err=f"turnchain: {said}")
    return Outcome(CLEAN, "\n".join(_told(analysis, fits, body)))


def _measured(analysis: Analysis, measure: str) -> tuple[str, Fraction] | None:
    """Return the part and its measure in cm; the part that the pattern fits may be left out."""
    parts = [plan.part.name for plan in analysis.patterns[0].fits]
    part, _, length = measure.strip().partition(" ")
    if part[:1].isdigit() and parts:
        part, length = parts[0], measure
    node = parsed_statement(f"fit {part} of {length}")
    if not isinstance(node, BodyFit) or not isinstance(node.measure, Number):
        return None
    number = node.measure
    if number.unit in (None, "g", "oz") or len(number.values) != 1 or not number.values[0]:
        return None
    try:
        return part_of(node).name, convert(number.values[0], number.unit or "cm", "cm")
    except Fault:
        return None


def _told(analysis: Analysis, fits: list[FitPlan], body: Fraction) -> Iterator[str]:
    part = fits[0].part
    names = analysis.scope.sizes or ("the one size",)
    sizes = sorted(zip((plan.body for plan in fits), names, strict=True))
    at = min(range(len(sizes)), key=lambda each: (abs(sizes[each][0] - body), -sizes[each][0]))
    yield f"{part.said} {in_both(body)} falls in {_size(sizes[at])}"
    least = (sizes[at - 1][0] + sizes[at][0]) / 2 if at else None
    most = (sizes[at][0] + sizes[at + 1][0]) / 2 if at + 1 < len(sizes) else None
    if least is not None and most is not None:
        yield f"which is nearest from {in_both(least)} to {in_both(most)}"
    elif most is not None:
        yield f"which is nearest up to {in_both(most)}"
    elif least is not None:
        yield f"which is nearest from {in_both(least)}"
    if at == 0 and body < sizes[0][0]:
        yield f"it is {in_both(sizes[0][0] - body)} less than the smallest size is made for"
    if at + 1 == len(sizes) and body > sizes[-1][0]:
        yield f"it is {in_both(body - sizes[-1][0])} more than the largest size is made for"
    yield f"of the tables it is nearest to {part.falls_in(body).name}"


def _size(size: tuple[Fraction, str]) -> str:
    return f"size {size[1]}, made for {in_both(size[0])}"
