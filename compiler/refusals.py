"""What the syntax lets stand, and what can't be worked there: refused before anything is counted."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from ..lang.diagnostics import Fix, Label
from ..lang.printer.items import item_text
from ..lang.source import Span
from ..lang.syntax import (
    AsFits,
    Body,
    ChartRow,
    InOne,
    Item,
    Number,
    Place,
    Run,
    Skip,
    Some,
    Spread,
    Times,
    Underside,
)
from ..lang.syntax import Stop as StopNode
from .faults import Fault, fault
from .scope import HOLDERS, items_of
from .steps import BracketStep, Steps, Target


def odd_crossed(count: int, span: Span) -> Fault:
    """Return the fault of crossed stitches that come to no pairs."""
    return fault(
        "odd-crossed",
        f"crossed stitches go in pairs, and {count} {'is' if count == 1 else 'are'} odd",
        span,
        help=f"write `{count + 1}`, or work one of them by itself",
        facts={"found": count},
    )


def refuse_stops_inside(items: Iterable[Item]) -> None:
    """Refuse a stop that a bracket among items would meet again and again. Raises Fault."""
    for holder in items:
        if isinstance(holder, (Times, AsFits)):
            for item in holder.body.items:
                stop = item.stop if isinstance(item, (Run, AsFits, Skip)) else None
                if stop is not None and stop.kind != "place":
                    raise fault(
                        "stop-in-repeat",
                        f"`to {stop.kind}` stands inside a bracket that is repeated",
                        stop.span,
                        help="inside a bracket stop at a place, `sc to peak`, or say how many: `6 sc`",
                    )


EVERY = {"st": "st", "sts": "st", "stitch": "st", "stitches": "st", "sp": "sp", "sps": "sp", "space": "sp"}
"""What `in each` is said of in sentences, and what a bracket looks for. Common practice."""


def refuse_each(place: Place, item: Some | InOne) -> None:
    """Refuse `in each st`, which a bracket says here. Raises Fault."""
    name = EVERY.get(place.name.casefold())
    if place.which != "each" or name is None:
        return
    once = isinstance(item, Some) and (
        item.count is None or (isinstance(item.count, Number) and item.count.values == (1,))
    )
    if once and name == "st" and isinstance(item, Some) and item.mark is None:
        right = item_text(Run(item.name, StopNode("end"), item.how))
    else:
        right = f"[{item_text(replace(item, place=Place(name)))}] to end"
    raise fault(
        "unknown-name",
        f"only chains can be counted out: `{place.name}` can't",
        place.span,
        help=f"write `{right}`",
        fix=Fix(f"write `{right}`", (Label(item.span, right),), safe=False),
    )


def refuse_places_inside(steps: Steps) -> None:
    """Refuse an item that names a place of its own among those that share one. Raises Fault."""
    for step in steps:
        target = getattr(step, "target", None)
        if isinstance(target, Target) and target.kind not in ("top", "stem"):
            raise fault(
                "stray-word",
                f"`in {target.name}` stands inside parentheses that are all worked in one place",
                target.span,
                help="name the place once, after the parentheses: `(2 dc, 2 ch, 2 dc) in st`",
            )
        if isinstance(step, BracketStep):
            refuse_places_inside(step.body)


def check_row(body: Body) -> tuple[ChartRow, ...]:
    """Return the charts of a row whose items all stand where they can. Raises Fault where one does not."""
    for item in body.items:
        if isinstance(item, Spread) and item is not body.items[-1]:
            raise _out_of_place(item)
        if isinstance(item, HOLDERS):
            refuse_edges_inside(items_of(item.body))
    items = tuple(items_of(body))
    refuse_stops_inside(items)
    return tuple(item for item in items if isinstance(item, ChartRow))


def refuse_edges_inside(items: Iterable[Item]) -> None:
    """Refuse what takes the whole of an edge, or goes round its end, among other items. Raises Fault."""
    for item in items:
        if isinstance(item, (Spread, Underside)):
            raise _out_of_place(item)


def _out_of_place(item: Spread | Underside) -> Fault:
    what, why = (
        ("`spread`", "takes all the places that are left, so it is the last item")
        if isinstance(item, Spread)
        else ("`underside`", "goes round the end of the chain once, so it is an item")
    )
    return fault("stray-word", f"{what} can't stand here", item.span, help=f"{what} {why} of the row itself")


def no_beginning(why: str, span: Span) -> Fault:
    """Return the fault of `begin` where a round can't begin elsewhere."""
    return fault(
        "no-beginning",
        why,
        span,
        help="`begin` is for joined and turned rounds, from round 2 on; in rows write `skip 2` or `leave 2`",
    )
