"""`turnchain resize`: what a pattern becomes at another gauge."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby
from math import pi

from ...lang.measures import Gauge, in_both
from ...lang.parser import parsed_statement
from ...lang.syntax import Gauge as GaugeLine
from ...lang.syntax import Number, Statement
from ..faults import plural
from ..finished import Finished, source_name
from ..names import ALL_STITCHES
from ..pipeline import Analysis, analyse
from ..resizing import Resized, Resizing, Worked, gauge_lines, in_proportion, resizing
from . import CLEAN, FAULTY, WRONG_USE, Outcome
from .loading import load, report, unreadable

SHOWN = 6
"""Lines of what does not come out; of more the number is told."""


class WrongGauge(Exception):  # noqa: N818 - says what was asked for
    """The gauge asked for is none, or stands in no place of the pattern."""


def resize(name: str, gauges: Sequence[str], *, colour: bool = False) -> Outcome:
    """Return what every size of a pattern becomes at other gauges."""
    try:
        loaded = load(name)
    except OSError as error:
        return Outcome(WRONG_USE, err=unreadable(name, error))
    analysis = loaded.analysis
    if analysis.has_errors:
        return Outcome(FAULTY, report([analysis], colour=colour))
    try:
        given = [_line(analysis, gauge) for gauge in gauges]
    except WrongGauge as wrong:
        return Outcome(WRONG_USE, err=f"turnchain: {wrong}")
    lines = [(statement, line) for statement, line, _ in given]
    lines += in_proportion(analysis, lines, given[0][2])
    found = resizing(analysis, lines, lambda source: analyse(source, loaded.read))
    return Outcome(CLEAN, "\n".join(_told(analysis, found)))


def _line(analysis: Analysis, gauge: str) -> tuple[Statement, str, tuple[GaugeLine, GaugeLine]]:
    """Return the gauge of the pattern that another takes the place of, the other as a line, and both."""
    there = list(gauge_lines(analysis))
    if not there:
        raise WrongGauge(f"{analysis.source.name} has no gauge to be resized from")
    line = f"gauge {gauge}"
    node = parsed_statement(line)
    if not isinstance(node, GaugeLine):
        line = f"{line} in {there[0][1].name}"
        node = parsed_statement(line)
    if not isinstance(node, GaugeLine):
        raise WrongGauge(f"`{gauge}` is no gauge: write it as `20 st, 24 rows = 10 cm`")
    if not all(
        isinstance(each, Number) and all(each.values) for each in (node.stitches, node.rows, node.length)
    ):
        raise WrongGauge(f"`{gauge}` measures nothing: write it as `20 st, 24 rows = 10 cm`")
    sizes = len(analysis.patterns)
    given = (node.stitches, node.rows, node.length, node.rows_length)
    if any(isinstance(each, Number) and len(each.values) not in (1, sizes) for each in given):
        raise WrongGauge(f"`{gauge}` has not one number, or one for each of {plural(sizes, 'size')}")
    for statement, old in there:
        if old.name.casefold() == node.name.casefold():
            if {
                node.counted.casefold(),
                old.counted.casefold(),
            } - ALL_STITCHES and node.counted != old.counted:
                raise WrongGauge(f"the gauge in {old.name} counts {old.counted}, and `{gauge}` does not")
            return statement, line, (old, node)
    names = ", ".join(old.name for _, old in there)
    raise WrongGauge(f"{analysis.source.name} has no gauge in {node.name}; it has gauges in {names}")


def _told(analysis: Analysis, found: Resizing) -> Iterator[str]:
    dialect = analysis.scope.dialect
    for before, after in zip(zip(*found.before, strict=True), zip(*found.after, strict=True), strict=True):
        if before != after:
            yield f"{_gauge(after, dialect)}, where the pattern has {_gauge(before, dialect)}"
        else:
            yield f"{_gauge(before, dialect)}, as in the pattern"
    for title, pieces in groupby(found.pieces, key=lambda each: each.title):
        yield ""
        yield title
        for piece in pieces:
            yield from _piece(piece)
    if found.hindrances:
        yield ""
        yield "What does not come out at this gauge, and has to be changed:"
        yield from (f"  {each}" for each in found.hindrances[:SHOWN])
        if len(found.hindrances) > SHOWN:
            yield f"  and {len(found.hindrances) - SHOWN} more"


def _gauge(in_sizes: Sequence[Gauge], dialect: str) -> str:
    from ..wording.measurements import said_gauge
    from ..wording.phrases import Voice

    name = source_name(in_sizes[0].stitch, dialect)
    return said_gauge(Voice(dialect, full=True), in_sizes, "row", name, name)


def _piece(piece: Resized) -> Iterator[str]:
    indent = "  "
    if piece.size:
        yield f"  {piece.size}"
        indent = "    "
    unit = piece.unit
    yield f"{indent}as it is written: {_worked(piece.written, unit)}"
    yield f"{indent}the same counts here: {_measures(piece.here)}"
    if piece.broken:
        yield f"{indent}its measures, here: they do not come out"
        return
    if piece.anew is not None:
        yield f"{indent}its measures, here: {_worked(piece.anew, unit)}"
        return
    across, up = _counts(piece.wanted, piece.wanted_rows, unit)
    changed = (across, piece.wanted != piece.written.stitches), (up, piece.wanted_rows != piece.written.rows)
    keeping = " and ".join(said for said, changes in changed if changes)
    if not keeping:
        yield f"{indent}it keeps its size"
        return
    yield f"{indent}to keep its size: {keeping}"
    if piece.hindered:
        near = " or ".join(map(str, piece.near))
        yield f"{indent}  the rows do not come out on {piece.wanted}: {piece.hindered}"
        yield f"{indent}  they come out on {near or 'no other number near it'}"
    elif piece.near:
        yield f"{indent}  the rows come out on {piece.near[0]}"


def _worked(worked: Worked, unit: str) -> str:
    return f"{', '.join(_counts(worked.stitches, worked.rows, unit))}: {_measures(worked.finished)}"


def _counts(across: int, up: int, unit: str) -> tuple[str, str]:
    if unit == "motif":
        return f"{plural(across, 'motif')} across", f"{plural(up, 'motif')} high"
    return plural(across, "stitch", "stitches"), plural(up, unit)


def _measures(found: Finished) -> str:
    if found.shape in ("disc", "polygon"):
        return f"{in_both(2 * found.length)} across"
    if found.shape == "ball":
        return f"{in_both(found.widest / Fraction(pi))} across when stuffed"
    if found.with_it is not None:
        wide, long = map(in_both, found.with_it)
        return f"{in_both(found.length)} deep, {wide} by {long} with what it goes around"
    what = "around" if found.shape == "tube" else "wide"
    return f"{in_both(found.widest)} {what}, {in_both(found.length)} long"
