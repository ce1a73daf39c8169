"""What a `work` asks for, in one size: its changes and shapes as numbers.

How many stitches there are is not yet known; `shaped` makes the rows once it is.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import gcd

from ..lang.measures import Gauge, convert, fitted
from ..lang.source import Span
from ..lang.syntax import Body, Change, Fit, Run, Shape, Value, Work
from ..lang.syntax import Stop as StopNode
from .faults import HeldBack, fault
from .gauges import Gauges
from .items import Items
from .plan import ChangePlan, Shaping
from .shapes import CORNERS, Rounding, ball, chevron_arm, cone, crown, disc, fabric_of, polygon, trails
from .steps import StitchStep
from .values import Arithmetics

SHAPES = ("disc", *CORNERS, "ball", "cone", "crown", "chevron")
DEPTHS = {"cone": "height", "crown": "depth"}
MOST_ROUNDS = 10_000
SPOTS = ("middle", "each end", "start", "end", "evenly")


def plain_row(work: Work) -> Body:
    """Return the row of a `work` in which nothing changes."""
    return Body((Run(work.name, StopNode("end"), work.how, work.span, work.name_span),), work.span)


def plain_step(work: Work, items: Items) -> StitchStep:
    """Return the stitch that rows are worked in, to the end of a row. Raises Fault if it is no plain one."""
    (step,) = items.steps(plain_row(work))
    if not isinstance(step, StitchStep) or (step.stitch.uses, step.stitch.makes) != (1, 1):
        raise fault(
            "unknown-stitch",
            f"`work` shapes rows of one plain stitch, and {work.name} is none",
            work.name_span,
            help="name a stitch such as `sc` or `dc`, or write the rows out",
        )
    return step


def shaping_of(work: Work, step: StitchStep, items: Items) -> tuple[Shaping, int | None]:
    """Return the shaping, and how many rows its measures ask for; None if they ask for none. Raises Fault."""
    arithmetic = items.arithmetic
    gauges = arithmetic.measuring()
    gauge = gauges.measuring(step.stitch.key)
    borrowed = ""
    if gauge is None and (gauge := gauges.others) is not None:
        borrowed = "" if gauges.in_pattern else next(name for name, each in gauges.entries if each is gauge)
    if isinstance(work.changes, Shape):
        measures = _Measures(arithmetic, _wanted(gauge, gauges, work.span))
        shaping = replace(_shape(work.changes, measures, work.span), gauge=gauge, borrowed=borrowed)
        return shaping, len(shaping.counts) or None
    changes, rows = [], None
    for each in work.changes:
        changes.append(_change(each, items, gauge))
        if each.over is not None:
            if rows is not None:
                raise fault("used-twice", "`over` is given twice", each.span, help="keep one of the two")
            wanted = _wanted(gauge, gauges, each.span)
            length = _Measures(arithmetic, wanted).cm(each.over)
            rows = max(1, fitted(wanted.rows_in(length)))
    if sum(each.kind == "to" for each in changes) > 1:
        raise fault("used-twice", "a `work` can come `to` one number only", work.span, help="keep one `to`")
    measured = rows is not None or any(each.exact is not None for each in changes)
    shaping = Shaping(tuple(changes), work.any_side, gauge=gauge, span=work.span)
    return replace(shaping, borrowed=borrowed) if measured else shaping, rows


def _wanted(gauge: Gauge | None, gauges: Gauges, span: Span) -> Gauge:
    if gauge is None and gauges.incomplete:
        raise HeldBack
    if gauge is None:
        raise fault(
            "missing-header",
            "a shape by measurement needs a gauge",
            span,
            help="add a line such as `gauge 16 st, 18 rows = 10 cm in sc`",
            facts={"line": "gauge"},
        )
    return gauge


def _change(change: Change, items: Items, gauge: Gauge | None) -> ChangePlan:
    arithmetic = items.arithmetic
    spot, mark = change.spot, ""
    if spot not in SPOTS:
        name = spot.removeprefix("each ")
        spot, mark = "mark", items.mark_named(name, change.span)
    keep = arithmetic.count(change.keep) if change.keep is not None else 0
    amount, exact, gap = 0, None, 1
    if change.kind == "to":
        quantity = arithmetic.evaluate(change.count)
        if quantity.unit is not None:
            wanted = _wanted(gauge, arithmetic.gauges, change.span)
            exact = wanted.stitches_in(_Measures(arithmetic, wanted).cm(change.count))
            amount = fitted(exact)
        else:
            amount = arithmetic.count(change.count)
    else:
        amount = items.positive(change.count, change.span) * (-1 if change.decrease else 1)
        gap = 1 if change.every is None else arithmetic.count(change.every)
        if gap == 0:
            raise fault(
                "zero-count",
                "every 0 rows is never",
                change.span,
                help="write `every row`, or `every 2 rows`",
            )
    return ChangePlan(
        change.kind,
        amount,
        spot,
        mark,
        gap,
        change.rows,
        change.staggered,
        change.symmetrical,
        keep,
        exact,
        change.kind == "to" and change.over is not None,
        change.span,
    )


class _Measures:
    """Lengths in cm."""

    def __init__(self, arithmetic: Arithmetics, gauge: Gauge) -> None:
        self.arithmetic = arithmetic
        self.fabric = fabric_of(gauge)

    def cm(self, value: Value) -> Fraction:
        """Return a length in cm. Raises Fault if it is none, or is nothing at all."""
        quantity = self.arithmetic.evaluate(value)
        if quantity.unit is None or quantity.unit in ("g", "oz"):
            raise fault(
                "unit-mismatch", "a length is wanted here", value.span, help="give it a unit: `20 cm`"
            )
        length = convert(quantity.number, quantity.unit, "cm")
        if length <= 0:
            raise fault(
                "zero-count", "this measures nothing at all", value.span, help="give a length above 0"
            )
        if length > 2 * MOST_ROUNDS * min(self.fabric.height, self.fabric.width):
            most = int(MOST_ROUNDS * min(self.fabric.height, self.fabric.width))
            raise fault(
                "too-large",
                f"this takes more than {MOST_ROUNDS:,} rows to write out",
                value.span,
                help=f"the most by this gauge are about {most} cm",
            )
        return length


def _shape(shape: Shape, measures: _Measures, span: Span) -> Shaping:
    name = shape.name.casefold()
    if name not in SHAPES:
        from difflib import get_close_matches

        near = get_close_matches(name, SHAPES, n=1) or ["disc"]
        raise fault(
            "unknown-name",
            f"no shape is called `{shape.name}`",
            shape.span,
            help=f"write `{near[0]} of 20 cm`; the shapes are {', '.join(SHAPES)}",
        )
    wanted = DEPTHS.get(name)
    if shape.said != wanted:
        raise fault(
            "stray-word" if wanted is None else "unit-mismatch",
            f"a {name} has no {shape.said}" if wanted is None else f"a {name} needs its {wanted}",
            shape.span,
            help=f"write `{name} of 20 cm{f', {wanted} 15 cm' if wanted else ''}`",
        )
    fabric, across = measures.fabric, float(measures.cm(shape.measure))
    deep = float(measures.cm(shape.depth)) if shape.depth is not None else 0.0
    rounded = _rounding(shape.fit)
    if shape.fit is not None:
        _check_fit(name, shape.fit, shape.span)
    if name == "chevron":
        return Shaping(shape=name, arm=chevron_arm(fabric, across), span=span)
    counts: tuple[int, ...] | None
    match name:
        case "disc":
            counts = disc(fabric, across, rounded)
        case "ball":
            counts = ball(fabric, across, rounded)
        case "cone":
            counts = cone(fabric, across, deep, rounded)
        case "crown":
            counts = crown(fabric, across, deep, rounded)
        case _:
            counts = polygon(fabric, CORNERS[name], across, _side_rounding(shape.fit, CORNERS[name]))
    if counts is None:
        least = across / 6.283 + fabric.height
        raise fault(
            "shaping-missed",
            f"a hat {across:g} cm around is not that wide yet at a depth of {deep:g} cm",
            shape.span,
            help=f"its flat top alone is about {least:.1f} cm deep: give a depth of {least:.1f} cm or more",
        )
    corners = CORNERS.get(name, 0)
    after = trails(counts, corners) if corners else ()
    return Shaping(shape=name, counts=counts, corners=corners, trails=after, span=span)


def _check_fit(name: str, fit: Fit, span: Span) -> None:
    """Raise Fault for a rounding that a shape can't have."""
    if name == "chevron":
        raise fault(
            "stray-word",
            "a chevron comes out on the stitches that there are: its width can't be rounded",
            span,
            help="leave the rounding out; the width of the piece is what has to suit",
        )
    if name in CORNERS and (fit.kind == "odd" or fit.plus):
        corners = CORNERS[name]
        raise fault(
            "stray-word",
            f"a {name} has {corners} sides alike: its rounds are multiples of {corners}, and nothing over",
            span,
            help=f"leave the rounding out, or write one such as `multiple {2 * corners}`",
        )


def _side_rounding(fit: Fit | None, corners: int) -> Rounding:
    """Return the rounding of one side that makes a multiple of the round."""
    if fit is None:
        return _rounding(None)
    of = 2 if fit.kind == "even" else fit.of
    return _rounding(Fit("multiple", of // gcd(of, corners), 0, fit.way))


def _rounding(fit: Fit | None) -> Rounding:
    least = 1 if fit is None or fit.kind == "odd" else 2 if fit.kind == "even" else fit.of + fit.plus

    def rounded(value: float) -> int:
        return max(least, fitted(Fraction(value), fit))

    return rounded
