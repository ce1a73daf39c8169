"""What `fit` asks for: a part of the body, measured as the table has it or as the author does."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from ..lang.bodies import BodyPart, BodySize, body_parts
from ..lang.source import Span
from ..lang.syntax import BodyFit
from .faults import fault


@dataclass(frozen=True, slots=True)
class FitPlan:
    """A part of the body that a pattern fits, in one size."""

    part: BodyPart
    body: Fraction
    """Of the body, in cm."""
    ease: Fraction
    """The room that the work has beside it, in cm; less than 0 where it is stretched."""
    size: str
    """The size of the table that this is, or that it falls in; empty where it falls in none."""
    own: bool
    """Whether the author measured it."""


def planned(fit: BodyFit, body: Fraction, work: Fraction, size: int, names: Sequence[str]) -> FitPlan:
    """Return what a `fit` asks for in one size: `body` and `work` in cm. Raises Fault."""
    part = part_of(fit)
    own = fit.measure is not None
    found = part.falls_in(body) if own else size_of(fit, part, size, names)
    return FitPlan(part, body, work - body, found.name if not own or part.covers(body) else "", own)


def part_of(fit: BodyFit) -> BodyPart:
    """Return the part that is named. Raises Fault if no table tells of it."""
    parts = body_parts()
    part = parts.get(fit.name.casefold())
    if part is None:
        from difflib import get_close_matches

        near = get_close_matches(fit.name.casefold(), parts, n=1)
        raise fault(
            "unknown-name",
            f"no table of measurements tells of `{fit.name}`",
            fit.name_span,
            help=f"write `fit {near[0]}`" if near else f"the parts are {', '.join(parts)}",
            facts={"misnamed": fit.name},
        )
    return part


def size_of(fit: BodyFit, part: BodyPart, size: int, names: Sequence[str]) -> BodySize:
    """Return the size of the table that one of the pattern's sizes is. Raises Fault if there is none."""
    if not fit.sizes and not names:
        raise fault(
            "unlisted-size",
            f"whose {part.said} it fits is not said",
            fit.span,
            help=f"name a size of the table: `fit {fit.name} as {_some(part)[0]}`",
            facts={"line": "sizes"},
        )
    many = max(1, len(names))
    if fit.sizes and len(fit.sizes) not in (1, many):
        raise fault(
            "size-count",
            f"{len(fit.sizes)} sizes are named, but the pattern has {many}",
            fit.sizes_span,
            help=f"name {many} sizes with `/` between them",
            facts={"found": len(fit.sizes), "expected": many, "line": "sizes"},
        )
    asked = (fit.sizes[0] if len(fit.sizes) == 1 else fit.sizes[size]) if fit.sizes else names[size]
    found = part.size(asked)
    if found is None:
        raise _unknown(fit, part, asked, fit.sizes_span if fit.sizes else fit.name_span)
    return found


def _unknown(fit: BodyFit, part: BodyPart, asked: str, span: Span) -> Exception:
    from difflib import get_close_matches

    near = get_close_matches(asked.casefold(), [each.name for each in part.named()], n=2, cutoff=0.5)
    told = f"such as {' or '.join(f'`{each}`' for each in near or _some(part))}"
    if fit.sizes:
        advice = f"name a size that it has, {told}"
    else:
        given = f"`fit {fit.name} of {float(part.named_for_both[-1].cm):g} cm`"
        advice = f"say which it is, `fit {fit.name} as ...`, {told}, or give its measure: {given}"
    facts = {} if fit.sizes else {"line": "sizes"}
    message = f"the table of the {part.said} has no size `{asked}`"
    return fault("unlisted-size", message, span, help=advice, facts=facts)


def _some(part: BodyPart) -> list[str]:
    sizes = part.named_for_both
    return [sizes[0].name, sizes[len(sizes) // 2].name]
