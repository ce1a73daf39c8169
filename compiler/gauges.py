"""The gauges of a pattern: which of them measures a stitch."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from ..lang.measures import Gauge, convert
from ..lang.syntax import Gauge as GaugeLine
from ..lang.syntax import Number
from .scope import Scope


def gauges_of(scope: Scope) -> Mapping[str, Gauge]:
    """Return the gauges in their order, by the stitch that they are worked in as its name is written.

    One without stitches or rows measures nothing, and is left out.
    """
    found: dict[str, Gauge] = {}
    for statement in scope.gauges:
        node = statement.node
        assert isinstance(node, GaugeLine)
        if isinstance(node.stitches, Number) and isinstance(node.rows, Number) and node.length.unit:
            stitches, rows = node.stitches.values[0], node.rows.values[0]
            length = convert(node.length.values[0], node.length.unit, "cm")
            if stitches and rows and length:
                stitch = scope.vocabulary.find(node.name)
                key = stitch.key if stitch is not None else node.name.casefold()
                found.setdefault(node.name.casefold(), Gauge(stitches, rows, length, key))
    return found


def gauge_of(gauges: Iterable[Gauge], stitch: str) -> Gauge | None:
    """Return the gauge measured in the stitch of that key; None if there is none."""
    return next((gauge for gauge in gauges if gauge.stitch == stitch), None)
