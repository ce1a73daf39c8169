"""Needs: how much of each yarn the pattern takes in each size, by the samples that were weighed.

An estimate is the yarn in the sample, so many times over as the pattern has more stitches. Stitches that the
sample has not are reckoned by a rule of thumb, and how far the estimate may be out grows with their share.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from ..lang.amounts import Amounts, amounts_in
from ..lang.measures import yarn_margin
from ..lang.stitches import Stitch
from ..lang.syntax import Yarn
from .counted import CountedPattern
from .kinds import kinds_made
from .samples import Sample, of_yarn, units
from .scope import Scope


@dataclass(frozen=True, slots=True)
class Need:
    """What the pattern needs of one yarn, a value a size. Estimates, without the margin."""

    yarn: str
    """Its name; empty if the pattern lists no yarns."""
    grams: tuple[Fraction, ...] | None
    """None if only the length is known."""
    metres: tuple[Fraction, ...] | None
    """None if only the weight is known."""
    margin: int
    """Percent to buy on top."""
    balls: tuple[int, ...] | None
    """The balls to buy, the margin included; None if what a ball holds is not known."""
    swatches: tuple[Stitch | str, ...]
    """What the swatches are worked in that it is estimated from, as `Sample` has it; none if it is from a
    weighed piece."""
    by_rule: bool
    """Whether stitches that were not weighed are among it."""


def needs(
    scope: Scope, patterns: Sequence[CountedPattern], made: Sequence[Sequence[Sample]]
) -> tuple[Need, ...]:
    """Return what is needed of each yarn that rows are worked with and a sample tells of.

    `made` are the samples of each size.
    """
    if not any(made):
        return ()
    in_sizes = [kinds_made(pattern) for pattern in patterns]
    yarns = [statement.node.name for statement in scope.yarns.values() if isinstance(statement.node, Yarn)]
    found = []
    for yarn in yarns or [""]:
        chosen = [_chosen(each, yarn) for each in made]
        stitches = [of_yarn(kinds, yarn) for kinds in in_sizes]
        if all(chosen) and any(units(each) for each in stitches):
            statement = scope.yarns.get(yarn.casefold())
            said = amounts_in(statement) if statement is not None else Amounts("")
            found.append(_need(yarn, stitches, chosen, said))
    return tuple(found)


def _chosen(made: Sequence[Sample], yarn: str) -> list[Sample]:
    """Return the samples that tell most of a yarn: pieces before swatches, its own before any yarn's."""
    ranks = [(False, True), (False, False), (True, True), (True, False)]
    for swatch, own in ranks:
        found = [
            each
            for each in made
            if (each.swatch_of is not None) == swatch and (each.yarn == yarn if own else each.yarn is None)
        ]
        if found:
            # Of amounts told as weights and as lengths, those told like the first go together.
            return [each for each in found if each.is_weight == found[0].is_weight]
    return []


def _need(
    yarn: str, stitches: Sequence[Counter[Stitch]], chosen: Sequence[Sequence[Sample]], said: Amounts
) -> Need:
    by_size = list(zip(stitches, chosen, strict=True))
    amounts_needed = tuple(_estimate(*each) for each in by_size)
    others = [_not_weighed(*each) for each in by_size]
    margin = yarn_margin().of(max(others))
    ratio = said.metres_per_gram
    grams = metres = None
    if chosen[0][0].is_weight:
        grams = amounts_needed
        metres = tuple(each * ratio for each in grams) if ratio else None
    else:
        metres = amounts_needed
        grams = tuple(each / ratio for each in metres) if ratio else None
    return Need(
        yarn,
        grams,
        metres,
        margin,
        _balls(grams, metres, margin, said),
        tuple(
            dict.fromkeys(each.swatch_of for size in chosen for each in size if each.swatch_of is not None)
        ),
        by_rule=any(others),
    )


def _estimate(stitches: Counter[Stitch], chosen: Sequence[Sample]) -> Fraction:
    """Return the grams or metres in stitches: each by its own swatch, or else by the rule of thumb."""
    if chosen[0].swatch_of is not None:
        # What a swatch in one stitch tells of it goes before what one of many has of it.
        mixed_first = sorted(chosen, key=lambda each: isinstance(each.swatch_of, Stitch))
        own = {stitch: each.per_unit for each in mixed_first for stitch in each.stitches}
        rule = chosen[0].per_unit
        return sum(
            (many * stitch.yarn * own.get(stitch, rule) for stitch, many in stitches.items()), Fraction(0)
        )
    weighed = sum((each.amount for each in chosen), Fraction(0))
    return weighed / sum((units(each.stitches) for each in chosen), Fraction(0)) * units(stitches)


def _not_weighed(stitches: Counter[Stitch], chosen: Sequence[Sample]) -> Fraction:
    """Return the share of the yarn that goes into stitches the samples have not, or have fewer of."""
    if not units(stitches):
        return Fraction(0)
    shares = _shares(stitches)
    if chosen[0].swatch_of is not None:
        weighed = {stitch for each in chosen for stitch in each.stitches}
        return sum((share for stitch, share in shares.items() if stitch not in weighed), Fraction(0))
    together: dict[Stitch, Fraction] = {}
    for each in chosen:
        for stitch, many in each.stitches.items():
            together[stitch] = together.get(stitch, Fraction(0)) + many
    had = _shares(together)
    more = (share - had.get(stitch, Fraction(0)) for stitch, share in shares.items())
    return sum((each for each in more if each > 0), Fraction(0))


def _shares(stitches: Mapping[Stitch, int] | Mapping[Stitch, Fraction]) -> dict[Stitch, Fraction]:
    total = units(stitches)
    return {stitch: Fraction(many) * stitch.yarn / total for stitch, many in stitches.items()}


def _balls(
    grams: Sequence[Fraction] | None, metres: Sequence[Fraction] | None, margin: int, said: Amounts
) -> tuple[int, ...] | None:
    ball = said.ball
    if ball is None:
        return None
    for needed, held in ((grams, ball.grams), (metres, ball.metres)):
        if needed is not None and held:
            return tuple(ceil(each * (100 + margin) / 100 / held) for each in needed)
    return None
