"""Items as English: what to work, how often, and where."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from ...lang.stitches import Stitch, vocabulary
from ..counted import Worked
from ..fabric import CHAIN, SPACE, Place, Run, Segments, places
from ..plan import (
    BracketStep,
    ChainStep,
    GroupStep,
    LeaveStep,
    OwnStep,
    SaidStep,
    SkipStep,
    Step,
    StitchStep,
    Target,
    TogetherStep,
)
from ..walk import closes_picot, profile
from .aligned import Across, runs
from .phrases import Numbers, Voice, article, listed, ordinal, sized

NOUN_FAMILIES = frozenset({"bobble", "cluster", "puff", "popcorn", "shell"})


@dataclass(frozen=True, slots=True)
class Where:
    """What an item's words depend on beside itself."""

    whole_row: bool = False
    """The item is all that the row does."""
    in_round: bool = False
    top: bool = True
    """It stands in the row itself, not in a bracket."""
    exact: bool = True
    """What is passed or skipped is the same each time it is worked."""
    loop: str | None = None
    """The loop that the whole row is worked in, and has been said."""
    last_place: str = "place"
    """What the stitch before was worked into, for `same`."""
    from_hook: bool = False
    """The row is worked into single chains, counted from the hook."""
    names: Mapping[str, int] = field(default_factory=dict)
    """The marks and authors' stitches of the edge, and how many places each covers."""
    marks: frozenset[str] = frozenset()
    """Those that are marks."""


def items(voice: Voice, worked: list[Across], where: Where) -> list[str]:
    """Return the phrases of a row's items, or of a bracket's."""
    phrases: list[str] = []
    for item in worked:
        phrases += item_phrases(voice, item, where)
        place = place_name(voice, item)
        if place:
            where = replace(where, last_place=place, whole_row=False)
        where = replace(where, whole_row=False)
    return phrases


def item_phrases(voice: Voice, item: Across, where: Where) -> list[str]:
    """Return one item as a phrase, or as two where a skip comes before it."""
    step = item.step
    before = _passed(voice, item, where)
    match step:
        case StitchStep():
            phrase = _stitches(voice, item, step, where)
        case ChainStep(mark=mark):
            return [f"{voice.chain} {sized(item.count)}{_marking(mark, 'space')}"]
        case BracketStep():
            return [bracket(voice, item, where)]
        case GroupStep(target=target, mark=mark):
            inside = listed_inside(voice, item.body, where)
            work = "work " if voice.full else ""
            phrase = f"{work}({inside}) {_in(voice, item, target, where)}{_marking(mark, 'stitches')}"
        case TogetherStep(mark=mark):
            inside = ", ".join(items(voice, item.body, replace(where, top=False)))
            phrase = f"work ({inside}) together as one stitch{_marking(mark, 'stitch')}"
        case SkipStep(kind=kind, mark=mark):
            words = _skipped(voice, item, where)
            return [f"{words}{_marking(mark, 'places')}"]
        case LeaveStep():
            return [f"leave the remaining {_stretch(voice, item, 'used')} unworked"]
        case OwnStep():
            phrase = _own(voice, item, step, where)
        case SaidStep(text=text, over=over):
            words = text.strip().rstrip(".")
            phrase = f"over the next {_places(voice, item)}: {words}" if over else words
            made = _made(voice, step)
            phrase += f" (this makes {made})" if made else " (this makes nothing)"
    return [*before, phrase]


# ---- stitches ------------------------------------------------------------------------------------------------


def _stitches(voice: Voice, item: Across, step: StitchStep, where: Where) -> str:
    stitch, count = step.stitch, item.count
    if step.yarn:
        return f"with {step.yarn}, {_stitches(voice, item, replace(step, yarn=None), where)}"
    if closes_picot(step):
        last = f"last {voice.noun('stitch', (1,))}"
        return f"{voice.stitch(stitch)} in {voice.the('top of')} {voice.the(last)}"
    mark = _marking(step.mark, "stitch" if set(count) == {1} else "stitches")
    if step.target is not None:
        return f"{_several(voice, stitch_words(voice, step, count), step, count)} {_in(voice, item, step.target, where)}{mark}"
    if not stitch.uses:
        return (
            f"make {voice.stitches_of(stitch, count)}{mark}" if stitch.makes else _picots(voice, step, count)
        )
    if stitch.family == "together":
        return _togethers(voice, item, step, where) + mark
    if stitch.makes > 1:
        words = f"{stitch.makes} {_base_name(voice, step, stitch.makes)}"
        lead = f"work {words}" if voice.full else words
    elif stitch.family in NOUN_FAMILIES:
        name = voice.stitch(stitch)
        lead = f"work {article(name)} {name}" if voice.full else name
    else:
        lead = voice.stitch(stitch)
    preposition = "around" if stitch.family == "post" else "in"
    if step.loop and step.loop != where.loop:
        preposition = voice.loop(step.loop, row=False)
    return f"{lead} {preposition} {_each(voice, item, where)}{mark}"


def stitch_words(voice: Voice, step: StitchStep, count: Numbers) -> str:
    """Return `single crochet` or `3 single crochet`, as worked in one place."""
    stitch = step.stitch
    if stitch.makes > 1:
        many = tuple(number * stitch.makes for number in count)
        return f"{sized(many)} {_base_name(voice, step, max(many))}"
    if set(count) == {1}:
        name = voice.stitch(stitch)
        return f"{article(name)} {name}" if stitch.family in NOUN_FAMILIES and voice.full else name
    return voice.stitches_of(stitch, count)


def _several(voice: Voice, words: str, step: StitchStep, count: Numbers) -> str:
    plain = set(count) == {1} and step.stitch.makes <= 1 and step.stitch.family not in NOUN_FAMILIES
    return words if plain or not voice.full else f"work {words}"


def _picots(voice: Voice, step: StitchStep, count: Numbers) -> str:
    if set(count) == {1}:
        name = voice.stitch(step.stitch)
        return f"make {article(name)} {name}"
    return f"make {voice.stitches_of(step.stitch, count)}"


def _togethers(voice: Voice, item: Across, step: StitchStep, where: Where) -> str:
    stitch = _spelt_out(step.stitch)
    legs = stitch.uses
    voice.stitches.setdefault(stitch.key, stitch)
    terms = stitch.terms(voice.dialect)
    name = terms.name if voice.full else terms.abbreviation
    times = "" if set(item.count) == {1} else f" {sized(item.count)} times"
    over = tuple(number * legs for number in item.count)
    which = "last" if item.to_last and where.top else "next"
    stitches_over = f"over {voice.the(which)} {sized(over)} {_noun(voice, item, over)}"
    return f"work {name}{times} {stitches_over}" if voice.full else f"{name}{times} {stitches_over}"


def _spelt_out(stitch: Stitch) -> Stitch:
    """Return a decrease by the name that says how it is worked."""
    exact = vocabulary("US").find(f"{stitch.base}{stitch.legs}tog")
    return exact if exact is not None and stitch.key == "dec" else stitch


def _base_name(voice: Voice, step: StitchStep, count: int) -> str:
    base = vocabulary("US").find(step.stitch.base)
    assert base is not None
    voice.stitches.setdefault(base.key, base)
    terms = base.terms(voice.dialect)
    return (terms.name if count == 1 else terms.plural) if voice.full else terms.abbreviation


def _each(voice: Voice, item: Across, where: Where) -> str:
    """Return the places of a run: `each of the next 8 stitches`, `the last stitch`, `each stitch across`."""
    uses = tuple(places(worked.used) if worked is not None else 0 for worked in item.each)
    noun = _noun(voice, item, uses)
    if where.whole_row and item.to_last and min(uses) > 1:
        single = _noun(voice, item, (1,))
        return f"each {single} {'around' if where.in_round else 'across'}"
    which = "last" if item.to_last and where.top else "next"
    if set(uses) == {1}:
        return voice.the(f"{which} {noun}")
    return (
        f"each of {voice.the(which)} {sized(uses)} {noun}" if voice.full else f"{which} {sized(uses)} {noun}"
    )


def _noun(voice: Voice, item: Across, count: Numbers) -> str:
    kinds = {name for worked in item.present for name in kinds_of(worked.used)}
    return voice.noun("chain" if kinds == {"chain"} else "stitch", count)


def kinds_of(parts: Segments) -> set[str]:
    """Return the nouns of the places among them: `stitch`, `chain`, `space`."""
    return {
        "chain" if place.kind == CHAIN else "space" if place.is_space else "stitch" for place in sorts(parts)
    }


def sorts(parts: Segments) -> frozenset[Place]:
    """Return the different places among them."""
    found: frozenset[Place] = frozenset()
    for part in parts:
        found |= {part.place} if type(part) is Run else sorts(part.parts)
    return found


# ---- places --------------------------------------------------------------------------------------------------


def _in(voice: Voice, item: Across, target: Target, where: Where) -> str:
    step = item.step
    loop = getattr(step, "loop", None)
    preposition = "in" if not loop or loop == where.loop else voice.loop(loop, row=False)
    if isinstance(step, StitchStep) and step.stitch.family == "post":
        preposition = "around"
    return f"{preposition} {_target(voice, item, target, where)}"


def _target(voice: Voice, item: Across, target: Target, where: Where) -> str:
    match target.kind:
        case "st":
            which = "last" if item.to_last and where.top else "next"
            return voice.the(f"{which} {_noun(voice, item, (1,))}")
        case "same":
            return voice.the(f"same {where.last_place}")
        case "top":
            return voice.the(f"top of {voice.the('last stitch')}")
        case "ring":
            return voice.the("ring")
        case "chain":
            return _single_chain(voice, item, target, where)
        case _:
            return _ahead(voice, item, target, where)


def _single_chain(voice: Voice, item: Across, target: Target, where: Where) -> str:
    used = item.any.used
    if target.which == "each":
        return f"each {voice.chain} of {voice.the('next')} {_space(voice, item)}"
    if target.which == "middle":
        return f"{voice.the('middle')} {voice.chain} of {voice.the('next')} {_space(voice, item)}"
    assert isinstance(target.which, int)
    if where.from_hook:
        return f"{voice.the(ordinal(target.which))} {voice.chain} from {voice.the('hook')}"
    space = f"{voice.the('next')} {_space(voice, item)}" if used else voice.the("same space")
    return f"{voice.the(ordinal(target.which))} {voice.chain} of {space}"


def _space(voice: Voice, item: Across) -> str:
    chains = {place.chains for worked in item.present for place in sorts(worked.used)}
    if len(chains) == 1 and chains != {0}:
        return f"{voice.chain}-{chains.pop()} {voice.word('space', 'sp')}"
    return f"{voice.chain} {voice.word('space', 'sp')}"


def _ahead(voice: Voice, item: Across, target: Target, where: Where) -> str:
    name = target.name
    kinds = {kind for worked in item.present for kind in kinds_of(worked.used)}
    if name == SPACE:
        return voice.the(f"next {_space(voice, item)}")
    if name == "ch":
        return voice.the(f"next {voice.chain}")
    covered = where.names.get(name, 1)
    place = _space(voice, item) if kinds == {"space"} else voice.noun("stitch", (1,))
    if _is_stitch(name):
        stitch = vocabulary("US").find(name)
        assert stitch is not None
        return voice.the(f"next {voice.stitch(stitch)}")
    if covered > 1:
        center = "center" if voice.dialect == "US" else "centre"
        return f"{voice.the(center)} {place} of {voice.the('next')} “{name}”"
    return voice.the(f"next {place} marked “{name}”" if name in where.marks else f"next “{name}”")


def _is_stitch(name: str) -> bool:
    return vocabulary("US").find(name) is not None


def place_name(voice: Voice, item: Across) -> str:
    """Return what an item was last worked into, for `the same ...` after it."""
    step: Step = item.step
    if isinstance(step, BracketStep):
        return place_name(voice, item.body[-1]) if item.body else ""
    target = getattr(step, "target", None)
    if target is not None and target.kind == "ring":
        return "ring"
    kinds = {kind for worked in item.present for kind in kinds_of(worked.used)}
    if kinds == {"space"}:
        return voice.word("space", "sp")
    if kinds == {"stitch"}:
        return voice.noun("stitch", (1,))
    if kinds == {"chain"}:
        return voice.chain
    return ""


# ---- skips ---------------------------------------------------------------------------------------------------


def _passed(voice: Voice, item: Across, where: Where) -> list[str]:
    target = getattr(item.step, "target", None)
    if not any(worked.passed for worked in item.present) or not where.exact or where.from_hook:
        return []
    if target is None or isinstance(item.step, SkipStep):
        return []
    return [f"{voice.skip} {_stretch(voice, item, 'passed')}"]


def _skipped(voice: Voice, item: Across, where: Where) -> str:
    step = item.step
    assert isinstance(step, SkipStep)
    if step.kind is not None and not where.exact:
        noun = "chain space" if step.kind == SPACE else f"“{step.kind}”"
        return f"{voice.skip} to {voice.the('next')} {noun} and {voice.skip} it too"
    if not where.exact:
        count = item.count
        return f"{voice.skip} {voice.the('next')} {_counted_places(voice, item, count)}"
    if step.kind is not None:
        return f"{voice.skip} {_stretch(voice, item, 'both')}"
    return f"{voice.skip} {_stretch(voice, item, 'used')}"


def _counted_places(voice: Voice, item: Across, count: Numbers) -> str:
    kinds = {kind for worked in item.present for kind in kinds_of(worked.used)}
    noun = voice.noun(kinds.pop() if len(kinds) == 1 else "place", count)
    return noun if set(count) == {1} else f"{sized(count)} {noun}"


def _stretch(voice: Voice, item: Across, which: str) -> str:
    """Return places by kind: `the next 2 stitches and the next chain-2 space`."""

    def parts(worked: Worked) -> Segments:
        if which == "both":
            return (*worked.passed, *worked.used)
        return worked.passed if which == "passed" else worked.used

    described = [runs(parts(worked)) if worked is not None else [] for worked in item.each]
    first = next((each for each in described if each), None)
    counts = tuple(places(parts(worked)) if worked is not None else 0 for worked in item.each)
    leaving = isinstance(item.step, LeaveStep)
    unnamed = f"{sized(counts)} {voice.noun('place', counts)}"
    if not leaving:
        unnamed = f"{voice.the('next')} {unnamed}"
    if first is None or any(each is None for each in described):
        return unnamed
    shapes = [[(noun, chains) for noun, chains, _ in each or []] for each in described if each]
    if any(shape != shapes[0] for shape in shapes):
        return unnamed
    words = []
    for index, (noun, chains, _) in enumerate(first):
        count = tuple(each[index][2] if each else 0 for each in described)  # type: ignore[index]
        words.append(_named_run(voice, noun, chains, count, leaving=leaving))
    return listed(words)


def _named_run(voice: Voice, noun: str, chains: int, count: Numbers, *, leaving: bool = False) -> str:
    if noun == "space":
        space = voice.word("space", "sp") if set(count) == {1} else voice.word("spaces", "sps")
        name = f"{voice.chain}-{chains} {space}" if chains else f"{voice.chain} {space}"
    else:
        name = voice.noun(noun, count)
    words = name if set(count) == {1} else f"{sized(count)} {name}"
    return words if leaving else voice.the(f"next {words}")


def slip_stitches(voice: Voice, across: list[Segments]) -> str:
    """Return the places that a round is slip stitched over to reach its first place."""
    described = runs(across[0]) or []
    words = []
    for noun, chains, count in described:
        each = "each of " if count > 1 and voice.full else ""
        words.append(f"in {each}{_named_run(voice, noun, chains, (count,))}")
    return listed(words)


# ---- brackets ------------------------------------------------------------------------------------------------


def bracket(voice: Voice, item: Across, where: Where, *, starred: bool = False) -> str:
    """Return a bracket: written once, or with how often it is worked."""
    inner = replace(
        where, top=False, whole_row=False, exact=where.exact and all(w.alike for w in item.present)
    )
    body = ", ".join(items(voice, item.body, inner))
    if set(item.count) == {1}:
        return body
    if starred:
        again = tuple(max(0, number - 1) for number in item.count)
        times = "once more" if set(again) == {1} else f"{sized(again)} more times"
        return f"*{body}; repeat from * {times}"
    return f"[{body}] {sized(item.count)} times"


def listed_inside(voice: Voice, worked: list[Across], where: Where) -> str:
    """Return what is worked into one place: `2 double crochet, chain 2, 2 double crochet`."""
    words = []
    for item in worked:
        step = item.step
        match step:
            case ChainStep(mark=mark):
                words.append(f"{voice.chain} {sized(item.count)}{_marking(mark, 'space')}")
            case StitchStep() if closes_picot(step):
                words.append(item_phrases(voice, item, where)[-1])
            case StitchStep(stitch, mark=mark):
                if not stitch.makes:
                    words.append(_picots(voice, step, item.count).removeprefix("make "))
                elif stitch.family in NOUN_FAMILIES and stitch.makes > 1:
                    words.append(stitch_words(voice, step, item.count))
                else:
                    words.append(
                        voice.stitches_of(stitch, item.count) + _marking(mark, "stitch", inside=True)
                    )
            case BracketStep():
                inside = listed_inside(voice, item.body, where)
                words.append(f"[{inside}] {sized(item.count)} times")
            case GroupStep() | TogetherStep():
                words.append(f"({listed_inside(voice, item.body, where)})")
            case OwnStep(stitch=own, mark=mark):
                times = "" if set(item.count) == {1} else f"{sized(item.count)} times "
                words.append(f"{times}“{own.name}”{_marking(mark, 'stitches', inside=True)}")
            case SaidStep(text=text):
                words.append(text.strip().rstrip("."))
            case _:
                words += item_phrases(voice, item, where)
    return ", ".join(words)


# ---- authors' own --------------------------------------------------------------------------------------------


def _own(voice: Voice, item: Across, step: OwnStep, where: Where) -> str:
    own, count = step.stitch, item.count
    mark = _marking(step.mark, "stitches")
    name = f"“{own.name}”"
    if step.target is not None:
        times = "" if set(count) == {1} else f" {sized(count)} times"
        return f"work {name}{times} {_in(voice, item, step.target, where)}{mark}"
    one = profile(own.body if isinstance(own.body, tuple) else (own.body,))
    times = "" if set(count) == {1} else f" {sized(count)} times"
    if one is None:
        return f"work {name}{times}{mark}"
    uses = tuple(number * one.uses for number in count)
    if not one.uses:
        return f"work {name}{times}{mark}"
    if one.uses == 1:
        return f"work {name} in {_each(voice, item, where)}{mark}"
    which = "last" if item.to_last and where.top else "next"
    return f"work {name}{times} over {voice.the(which)} {sized(uses)} {_places_noun(voice, item, uses)}{mark}"


def _places_noun(voice: Voice, item: Across, count: Numbers) -> str:
    kinds = {kind for worked in item.present for kind in kinds_of(worked.used)}
    return voice.noun(kinds.pop() if len(kinds) == 1 else "place", count)


def _places(voice: Voice, item: Across) -> str:
    counts = tuple(places(worked.used) if worked is not None else 0 for worked in item.each)
    noun = _places_noun(voice, item, counts)
    return noun if set(counts) == {1} else f"{sized(counts)} {noun}"


def _made(voice: Voice, step: SaidStep) -> str:
    words = []
    for kind, count in step.makes:
        if kind == "sp":
            words.append(voice.counted("space", (count,)))
        elif kind == "chains":
            words.append(voice.counted("chain", (count,)))
        elif kind == "st":
            words.append(voice.counted("stitch", (count,)))
        elif kind.startswith("as "):
            words.append(f"{count} “{kind[3:]}”")
        else:
            stitch = vocabulary("US").find(kind)
            words.append(voice.stitches_of(stitch, (count,)) if stitch else f"{count} {kind}")
    return listed(words) if words else ""


def _marking(mark: str | None, what: str, *, inside: bool = False) -> str:
    """Return the words that set a marker; `inside` parentheses they stand without their own."""
    if mark is None:
        return ""
    if inside or what == "space":
        return f" marked “{mark}”"
    return f" (mark {'it' if what == 'stitch' else 'them'} “{mark}”)"
