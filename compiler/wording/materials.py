"""Materials: yarns with their weights, amounts and estimates, hooks, what else is needed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from ...lang.amounts import Amount, Ball, amounts_in
from ...lang.measures import (
    HookNames,
    YarnClass,
    about,
    convert,
    hook_names,
    in_quarters,
    yarn_class,
)
from ...lang.stitches import vocabulary
from ...lang.syntax import Hook, Number, Text, Yarn
from ..document import Term
from ..needs import Need
from .phrases import listed, sized

if TYPE_CHECKING:
    from ...lang.syntax import Statement
    from ..pipeline import Analysis


LEAST_OUNCES = Fraction(1, 4)


def materials(analysis: Analysis, dialect: str) -> Iterator[Term]:
    """Yield what a maker has to have, in the terms of `US` or `UK`."""
    yarns = list(analysis.scope.yarns.values())
    needed = {need.yarn: need for need in analysis.yarn}
    told: set[str] = set()
    for statement in yarns:
        yield _yarn(statement, needed, dialect, told, named=len(yarns) > 1)
    if not yarns and (need := needed.get("")) is not None:
        words = f"{_estimate(need)} {_found_out(need, dialect)}"
        yield Term("Yarn", "as in the sample that was weighed", words, kind="supply")
    for statement in analysis.scope.hooks:
        node = statement.node
        assert isinstance(node, Hook)
        yield Term("Hook", _hook(node.size), kind="tool")
    if notions := analysis.scope.texts.get("notions"):
        node = notions[0].node
        assert isinstance(node, Text)
        yield Term("Notions", " ".join(node.lines), kind="tool")


# ---- yarns -------------------------------------------------------------------------------------------------


def _yarn(
    statement: Statement, needed: dict[str, Need], dialect: str, told: set[str], *, named: bool
) -> Term:
    """Return the entry of a yarn.

    `told` are the sentences that hold for several yarns and have been said: what a category has, and how
    estimates were found out. Those that are said here are added.
    """
    node = statement.node
    assert isinstance(node, Yarn)
    said = amounts_in(statement)
    meaning = ", ".join(filter(None, (said.words, *(_amount(each) for each in said.needed))))
    sentences = []
    if (weight := yarn_class(said.words)) is not None:
        sentences += _once(_weight(weight, dialect), told)
    if said.ball is not None:
        sentences.append(f"A ball holds {_ball(said.ball)}.")
    if (need := needed.get(node.name)) is not None:
        sentences += [_estimate(need), *_once(_found_out(need, dialect), told)]
    return Term(f"Yarn {node.name}" if named else "Yarn", meaning, " ".join(sentences), kind="supply")


def _once(said: str, told: set[str]) -> list[str]:
    """Return a sentence that has not been said, and keep it in `told`."""
    new = [] if said in told else [said]
    told.update(new)
    return new


def _amount(amount: Amount) -> str:
    return _weights([_whole(each) for each in amount.values]) if amount.is_weight else _lengths(amount.values)


def _ball(ball: Ball) -> str:
    weight = [_weights([_whole(ball.grams)])] if ball.grams else []
    return ", ".join((*weight, *([_lengths((ball.metres,))] if ball.metres else [])))


def _weights(grams: Sequence[int]) -> str:
    """Return whole grams in both systems: `60 (75) g / 2 (2¾) oz`."""
    return f"{sized(grams)} g / {sized([_ounces(each) for each in grams])} oz"


def _ounces(grams: int) -> str:
    """Return the nearest quarter of an ounce, for so many grams always the same, and never nothing."""
    ounces = convert(grams, "g", "oz")
    return in_quarters(ounces, up=ounces < LEAST_OUNCES)


def _lengths(metres: Sequence[Fraction]) -> str:
    """Return metres in both systems: `125 m / 137 yd`."""
    yards = [_whole(convert(each, "m", "yd")) for each in metres]
    return f"{sized([_whole(each) for each in metres])} m / {sized(yards)} yd"


def _whole(value: Fraction) -> int:
    return int(value + Fraction(1, 2))


def _estimate(need: Need) -> str:
    """Return what is needed, and how far that may be out."""
    amounts = []
    if need.grams is not None:
        amounts.append(_weights([*map(about, need.grams)]))
    if need.metres is not None:
        yards = [about(convert(each, "m", "yd")) for each in need.metres]
        amounts.append(f"{sized([*map(about, need.metres)])} m / {sized(yards)} yd")
    more = f"buy {need.margin} % more"
    if need.balls is not None:
        noun = "ball" if set(need.balls) == {1} else "balls"
        more += f", which is {sized(need.balls)} {noun}"
    return f"Estimate: about {', '.join(amounts)}; {more}."


def _found_out(need: Need, dialect: str) -> str:
    """Return how an estimate was worked out."""
    if need.swatches:
        names = listed([stitch.terms(dialect).name for stitch in need.swatches])
        source = f"a weighed swatch of {names}" if len(need.swatches) == 1 else f"weighed swatches of {names}"
    else:
        source = "a piece that was weighed"
    others = ", with a rule of thumb for the other stitches" if need.by_rule else ""
    return f"Estimates are worked out from the counts of stitches and {source}{others}."


def _weight(weight: YarnClass, dialect: str) -> str:
    """Return the category of a yarn, and what the published table has for it."""
    stitch = vocabulary("US").find(weight.stitch)
    assert stitch is not None
    least, most = weight.gauge
    stitches = f"{least} to {most}" if least > 1 else f"{most} or fewer"
    return (
        f"Yarn weight {weight.number} ({weight.name}): usually hooks of {_hooks(*weight.hook)} and "
        f"{stitches} {stitch.terms(dialect).plural} to 10 cm / 4 in."
    )


# ---- hooks -------------------------------------------------------------------------------------------------


def _hook(size: Number) -> str:
    """Return a hook's size, or that of each pattern size, with the other names of it."""
    words = sized([str(value) for value in size.values])
    if size.unit is None:
        return words
    names = _names([convert(value, size.unit, "mm") for value in size.values])
    also = ", ".join(f"{system} {sized(called)}" for system, called in names)
    return f"{words} {size.unit} ({also})" if also else f"{words} {size.unit}"


def _hooks(least: Fraction, most: Fraction | None) -> str:
    """Return a range of hooks with their other names."""
    ends = [least] if most is None else [least, most]
    also = ", ".join(f"{system} {' to '.join(called)}" for system, called in _names(ends))
    words = f"{' to '.join(f'{float(end):g}' for end in ends)} mm" + (f" ({also})" if also else "")
    return words if most is not None else f"{words} or larger"


def _names(sizes: Sequence[Fraction]) -> Iterator[tuple[str, list[str]]]:
    """Yield each system in which all the sizes have a name, and the names."""
    found = [hook_names(mm) or HookNames() for mm in sizes]
    us = [each.us or (each.steel and f"steel {each.steel}") for each in found]
    for system, names in (("US", us), ("UK", [each.uk for each in found])):
        if all(names):
            yield system, names
