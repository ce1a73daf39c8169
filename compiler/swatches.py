"""Swatches: what stitches are in a swatch of so many cm, in one size.

One in a plain stitch has as many as the gauge says. One in a stitch of the author's own, or in pattern, has
what as much of the pattern has, of the rows that the gauge measures.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from ..lang.measures import Gauge
from ..lang.stitches import Stitch
from ..lang.syntax import StitchDefinition, Swatch
from .counted import CountedPattern, CountedPiece
from .faults import Fault, HeldBack, fault
from .finished import gauge_of, height, rows_of, width
from .gauges import PATTERN, Gauges
from .kinds import kinds_in_rows
from .scope import Scope


def worked_in(node: Swatch, scope: Scope) -> Stitch | str:
    """Return what a swatch is in: a stitch, the name of one of the author's own, or `pattern`.

    Raises Fault if there is none of that name.
    """
    definition = scope.definitions.get(node.name.casefold())
    if definition is not None and isinstance(definition.node, StitchDefinition):
        return definition.node.name
    if node.name.casefold() == PATTERN:
        return PATTERN
    stitch = scope.vocabulary.find(node.name)
    if stitch is None or stitch.uses != 1 or stitch.makes != 1:
        raise fault(
            "unknown-stitch",
            f"a swatch is worked in one stitch, and `{node.name}` is none",
            node.name_span,
            help="name a stitch such as `sc` or `dc`, one of your own, or `pattern`",
        )
    return stitch


def swatch_stitches(
    node: Swatch, what: Stitch | str, wide: Fraction, high: Fraction, pattern: CountedPattern
) -> Mapping[Stitch, Fraction]:
    """Return the stitches of a swatch so many cm wide and high; none if no row of the pattern is like it.

    Raises Fault without a gauge in what it is worked in.
    """
    gauges = pattern.gauges
    name = what if isinstance(what, str) else what.key
    gauge = next((each for each in gauges if each.stitch == name), None)
    if gauge is None and gauges.incomplete:
        raise HeldBack
    if gauge is None:
        raise fault(
            "missing-header",
            f"how many stitches this swatch has is not known: there is no gauge in {node.name}",
            node.name_span,
            help=f"add a line such as `gauge 16 st, 18 rows = 10 cm in {node.name}`",
            facts={"line": "gauge"},
        )
    if isinstance(what, Stitch):
        return {what: gauge.stitches_in(wide) * gauge.rows_in(high)}
    found: dict[Stitch, Fraction] = {}
    area = Fraction(0)
    for piece in pattern.pieces:
        area += _add_like(piece, gauge, gauges, found)
    return {stitch: many * wide * high / area for stitch, many in found.items()} if area else {}


def _add_like(piece: CountedPiece, gauge: Gauge, gauges: Gauges, found: dict[Stitch, Fraction]) -> Fraction:
    """Add the stitches of the rows that a gauge measures, and return their area in square cm."""
    rows = [row for row in rows_of(piece) if gauge_of(row, gauges) is gauge]
    widths = [width(row, gauges) for row in rows]
    # Rows between those of a stitch of the author's own are as wide as they, if no other gauge tells.
    usual = next((each for each in widths if each is not None), Fraction(0))
    for (_, stitch), many in kinds_in_rows(piece.plan, rows).items():
        found[stitch] = found.get(stitch, Fraction(0)) + many
    return sum(
        (
            (wide if wide is not None else usual) * height(row, gauges) * row.times
            for wide, row in zip(widths, rows, strict=True)
        ),
        Fraction(0),
    )


def not_worked(node: Swatch) -> Fault:
    """Return what to say of a swatch like which no row is worked."""
    return fault(
        "nothing-weighed",
        f"no row is worked in {node.name}, so what is in this swatch is not known",
        node.name_span,
        help="weigh a swatch in a stitch that the rows have, or take the line out",
    )
