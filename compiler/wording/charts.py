"""Squared charts as they are printed: every square with its meaning, and from which end rows are read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...lang.syntax import Body
from ..charts import MESH, Squares, charts_of, squares_of
from ..counted import Block
from ..document import Chart, ChartLine, Term
from .phrases import Voice

if TYPE_CHECKING:
    from ..pipeline import Analysis


def charts(analysis: Analysis, voice: Voice) -> tuple[Chart, ...]:
    """Return the charts that rows work."""
    found, _ = squares_of(analysis.scope)
    used = _used(analysis)
    return tuple(
        _printed(chart, used[key], analysis, voice, f"chart-{number}")
        for number, (key, chart) in enumerate(found.items(), 1)
        if key in used
    )


def _used(analysis: Analysis) -> dict[str, set[tuple[str, bool]]]:
    """Return the charts that rows name; for each whether these are rows or rounds, and whether they turn."""
    used: dict[str, set[tuple[str, bool]]] = {}
    for piece in analysis.patterns[0].pieces if analysis.patterns else ():
        for part in piece.parts:
            content = part.stretch.node.content if isinstance(part, Block) else None
            if isinstance(content, Body):
                for item in charts_of(content):
                    unit = "round" if piece.plan.in_rounds else "row"
                    used.setdefault(item.name.casefold(), set()).add((unit, piece.plan.turns))
    return used


def _printed(
    chart: Squares, used: set[tuple[str, bool]], analysis: Analysis, voice: Voice, anchor: str
) -> Chart:
    terms = {key: Term(key, _meaning(name, analysis, voice)) for key, name in chart.names.items()}
    rows = chart.node.rows
    lines = tuple(
        ChartLine(str(len(rows) - index), tuple(terms[key] for key in row)) for index, row in enumerate(rows)
    )
    shown = {key for row in rows for key in row}
    return Chart(
        chart.node.name.replace("_", " "),
        anchor,
        lines,
        _reading(voice, used),
        tuple(term for key, term in terms.items() if key in shown),
    )


def _meaning(name: str, analysis: Analysis, voice: Voice) -> str:
    if name in MESH:
        return voice.say(f"charts.mesh.{name}")
    if (yarn := analysis.scope.yarn(name)) is not None:
        return voice.say("charts.yarn", yarn=yarn)
    stitch = analysis.scope.vocabulary.find(name)
    return voice.stitch(stitch) if stitch is not None else voice.say("quoted", name=name)


def _reading(voice: Voice, used: set[tuple[str, bool]]) -> str:
    turned = {unit for unit, turns in used if turns}
    ways = []
    if turned:
        ways.append(voice.say(f"charts.turned.{'both' if len(turned) > 1 else turned.pop()}"))
    if any(not turns for _, turns in used):
        ways.append(voice.say("charts.other-rounds" if ways else "charts.rounds"))
    return voice.say("charts.reading", ways="; ".join(ways))
