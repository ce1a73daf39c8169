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
from ...lang.stitches import Stitch, vocabulary
from ...lang.syntax import Hook, Number, Text, Yarn
from ..document import Term
from ..gauges import PATTERN
from ..needs import Need
from .phrases import Voice, form, sized

if TYPE_CHECKING:
    from ...lang.syntax import Statement
    from ..pipeline import Analysis


LEAST_OUNCES = Fraction(1, 4)


def materials(analysis: Analysis, voice: Voice) -> Iterator[Term]:
    """Yield what a maker has to have."""
    yarns = list(analysis.scope.yarns.values())
    needed = {need.yarn: need for need in analysis.yarn}
    told: set[str] = set()
    for statement in yarns:
        yield _yarn(voice, statement, needed, told, named=len(yarns) > 1)
    if not yarns and (need := needed.get("")) is not None:
        words = f"{_estimate(voice, need)} {_found_out(voice, need)}"
        yield Term(voice.say("materials.yarn"), voice.say("materials.as-sample"), words, kind="supply")
    for statement in analysis.scope.hooks:
        node = statement.node
        assert isinstance(node, Hook)
        yield Term(voice.say("materials.hook"), _hook(voice, node.size), kind="tool")
    if notions := analysis.scope.texts.get("notions"):
        node = notions[0].node
        assert isinstance(node, Text)
        yield Term(voice.say("materials.notions"), " ".join(node.lines), kind="tool")


# ---- yarns -------------------------------------------------------------------------------------------------


def _yarn(
    voice: Voice, statement: Statement, needed: dict[str, Need], told: set[str], *, named: bool
) -> Term:
    """Return the entry of a yarn.

    `told` are the sentences that hold for several yarns and have been said: what a category has, and how
    estimates were found out. Those that are said here are added.
    """
    node = statement.node
    assert isinstance(node, Yarn)
    said = amounts_in(statement)
    meaning = ", ".join(filter(None, (said.words, *(_amount(voice, each) for each in said.needed))))
    sentences = []
    if (weight := yarn_class(said.words)) is not None:
        sentences += _once(_weight(voice, weight), told)
    if said.ball is not None:
        sentences.append(voice.say("materials.ball", amount=_ball(voice, said.ball)))
    if (need := needed.get(node.name)) is not None:
        sentences += [_estimate(voice, need), *_once(_found_out(voice, need), told)]
    called = voice.say("materials.yarn-named", name=node.name) if named else voice.say("materials.yarn")
    return Term(called, meaning, " ".join(sentences), kind="supply")


def _once(said: str, told: set[str]) -> list[str]:
    """Return a sentence that has not been said, and keep it in `told`."""
    new = [] if said in told else [said]
    told.update(new)
    return new


def _amount(voice: Voice, amount: Amount) -> str:
    if amount.is_weight:
        return _weights(voice, [_whole(each) for each in amount.values])
    return _lengths(voice, amount.values)


def _ball(voice: Voice, ball: Ball) -> str:
    weight = [_weights(voice, [_whole(ball.grams)])] if ball.grams else []
    return ", ".join((*weight, *([_lengths(voice, (ball.metres,))] if ball.metres else [])))


def _weights(voice: Voice, grams: Sequence[int]) -> str:
    """Return whole grams: `60 (75) g / 2 (2¾) oz`."""
    return voice.say("materials.weights", grams=sized(grams), ounces=sized([_ounces(each) for each in grams]))


def _ounces(grams: int) -> str:
    """Return the nearest quarter of an ounce, for so many grams always the same, and never nothing."""
    ounces = convert(grams, "g", "oz")
    return in_quarters(ounces, up=ounces < LEAST_OUNCES)


def _lengths(voice: Voice, metres: Sequence[Fraction]) -> str:
    """Return whole metres: `125 m / 137 yd`."""
    yards = [_whole(convert(each, "m", "yd")) for each in metres]
    return voice.say("materials.lengths", metres=sized([_whole(each) for each in metres]), yards=sized(yards))


def _whole(value: Fraction) -> int:
    return int(value + Fraction(1, 2))


def _estimate(voice: Voice, need: Need) -> str:
    """Return what is needed, and how far that may be out."""
    amounts = []
    if need.grams is not None:
        amounts.append(_weights(voice, [*map(about, need.grams)]))
    if need.metres is not None:
        yards = [about(convert(each, "m", "yd")) for each in need.metres]
        metres = [*map(about, need.metres)]
        amounts.append(voice.say("materials.lengths", metres=sized(metres), yards=sized(yards)))
    said = ", ".join(amounts)
    if need.balls is None:
        return voice.say("materials.estimate", amounts=said, margin=need.margin)
    return voice.say_many("materials.estimate-in-balls", need.balls, amounts=said, margin=need.margin)


def _found_out(voice: Voice, need: Need) -> str:
    """Return how an estimate was worked out."""
    source = voice.say("materials.weighed-piece")
    if need.swatches:
        names, several = zip(*(_worked_in(voice, each) for each in need.swatches), strict=True)
        source = voice.say(
            f"materials.swatch.{form((len(names),))}",
            stitches=voice.listed(names),
            several=voice.listed(several),
        )
    return voice.say("materials.found-out-by-rule" if need.by_rule else "materials.found-out", source=source)


def _worked_in(voice: Voice, what: Stitch | str) -> tuple[str, str]:
    """Return what a swatch is worked in, and several of it: the author's own word for a stitch of theirs."""
    if isinstance(what, str):
        word = voice.say("materials.pattern") if what == PATTERN else what
        return word, word
    terms = voice.terms(what)
    return terms.name, terms.plural


def _weight(voice: Voice, weight: YarnClass) -> str:
    """Return the category of a yarn, and what the published table has for it."""
    stitch = vocabulary("US").find(weight.stitch)
    assert stitch is not None
    least, most = weight.gauge
    return voice.say(
        f"materials.weight.{'range' if least > 1 else 'or-fewer'}",
        number=weight.number,
        name=weight.name,
        hooks=_hooks(voice, *weight.hook),
        least=least,
        most=most,
        stitches=voice.terms(stitch).plural,
    )


# ---- hooks -------------------------------------------------------------------------------------------------


def _hook(voice: Voice, size: Number) -> str:
    """Return a hook's size, or that of each pattern size, with the other names of it."""
    words = sized([voice.number(str(value)) for value in size.values])
    if size.unit is None:
        return words
    names = _names(voice, [convert(value, size.unit, "mm") for value in size.values])
    called = _called(voice, [(system, sized(each)) for system, each in names])
    return voice.say("materials.hook-size", size=words, unit=size.unit, called=called)


def _hooks(voice: Voice, least: Fraction, most: Fraction | None) -> str:
    """Return a range of hooks with their other names."""
    ends = [least] if most is None else [least, most]
    written = [voice.number(f"{float(end):g}") for end in ends]
    names = _names(voice, ends)
    called = _called(voice, [(system, _range(voice, each)) for system, each in names])
    if most is None:
        return voice.say("materials.hook-or-larger", size=written[0], called=called)
    return voice.say("materials.hook-size", size=_range(voice, written), unit="mm", called=called)


def _range(voice: Voice, ends: Sequence[str]) -> str:
    return voice.say("materials.range", least=ends[0], most=ends[1]) if len(ends) > 1 else ends[0]


def _called(voice: Voice, names: Sequence[tuple[str, str]]) -> str:
    """Return the names of a hook in brackets, in the systems that the language tells of."""
    said = [voice.say(f"materials.system.{system}", name=name) for system, name in names]
    told = ", ".join(filter(None, said))
    return voice.say("materials.called", names=told) if told else ""


def _names(voice: Voice, sizes: Sequence[Fraction]) -> Iterator[tuple[str, list[str]]]:
    """Yield each system in which all the sizes have a name, and the names."""
    found = [hook_names(mm) or HookNames() for mm in sizes]
    us = [each.us or (each.steel and voice.say("materials.steel", number=each.steel)) for each in found]
    for system, names in (("us", us), ("uk", [each.uk for each in found])):
        if all(names):
            yield system, names
