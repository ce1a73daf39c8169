"""Items as English: what to work, how often, and where."""

from __future__ import annotations

from dataclasses import replace

from ...lang.stitches import Stitch, vocabulary
from ..counted import Worked
from ..fabric import PICOT
from ..makes import closes_picot, places_used
from ..steps import (
    BracketStep,
    BranchStep,
    ChainStep,
    GroupStep,
    Joint,
    LeaveStep,
    MeshStep,
    OwnStep,
    SaidStep,
    SkipStep,
    SpreadStep,
    StitchStep,
    TogetherStep,
    UndersideStep,
)
from .aligned import Across, is_in_spaces
from .colours import gathered, yarns_said
from .joints import joined, joined_picot
from .phrases import Numbers, Voice, article, listed, marking, ordinals, sized, times_words
from .places import (
    Where,
    any_noun,
    below,
    each_of,
    into,
    left,
    made_for,
    noun,
    passed,
    place_name,
    rest_left,
    skipped,
    spaces,
)
from .spreading import spread_out
from .told import told

CROSSED = 2
"""Stitches that cross one another."""
NOUN_FAMILIES = frozenset({"bobble", "cluster", "puff", "popcorn", "shell"})
"""Stitches that are spoken of as things: one works *a* bobble."""


def items(voice: Voice, worked: list[Across], where: Where) -> list[str]:
    """Return the phrases of a row's items, or of a bracket's."""
    phrases: list[str] = []
    for item in gathered(worked):
        if not any(item.count):
            continue
        phrases += item_phrases(voice, item, where)
        last = place_name(voice, item) or where.last_place
        where = replace(where, last_place=last, whole_row=False, in_same=False)
    return phrases


def item_phrases(voice: Voice, item: Across, where: Where) -> list[str]:
    """Return one item as a phrase, or as two where a skip comes before it."""
    step = item.step
    match step:
        case StitchStep():
            phrase = f"{_stitches(voice, item, step, where)}{yarns_said(item)}"
        case ChainStep(joint=Joint() as joint):
            phrase = joined(voice, joint)
        case ChainStep(mark=mark):
            phrase = f"{voice.chain} {sized(item.count)}{marking(mark, 'space')}{yarns_said(item)}"
        case MeshStep():
            phrase = _squares(voice, step)
        case BracketStep():
            phrase = bracket(voice, item, where)
        case BranchStep():
            phrase = _branch(voice, item, step, where)
        case GroupStep(target=target, mark=mark):
            before, after = made_for(voice, target)
            inside = f"({listed_inside(voice, item.body, where)}) {into(voice, item, target, where)}"
            phrase = f"{before}{voice.work}{inside}{marking(mark, 'stitches')}{after}"
        case TogetherStep(mark=mark):
            inside = ", ".join(items(voice, item.body, replace(where, top=False)))
            phrase = f"work ({inside}) together as one stitch{marking(mark, 'stitch')}"
        case SkipStep(mark=mark):
            phrase = f"{skipped(voice, item)}{marking(mark, 'places')}"
        case LeaveStep(mark=mark):
            phrase = f"{left(voice, item)}{marking(mark, 'places')}"
        case OwnStep():
            phrase = f"{_own(voice, item, step, where)}{yarns_said(item)}"
        case SaidStep():
            phrase = told(voice, item, step)
        case SpreadStep():
            phrase = spread_out(voice, item, where, lambda leaf: _spread_item(voice, leaf, where))
        case UndersideStep():
            phrase = f"continue along {voice.the('other')} side of {voice.the('foundation')} {voice.chain}"
    # After each space around there is nothing but stitches before the join.
    around = where.whole_row and where.in_round and in_each_place(item) and _in_spaces(item)
    return [*passed(voice, item, where), phrase, *([] if around else rest_left(voice, item))]


# ---- stitches ----------------------------------------------------------------------------------------------


def _stitches(voice: Voice, item: Across, step: StitchStep, where: Where) -> str:
    stitch, count = step.stitch, item.count
    is_picot = closes_picot(step) or stitch.family == PICOT
    mark = marking(step.mark, "picot" if is_picot else "stitch" if set(count) == {1} else "stitches")
    if step.target is not None:
        each = count
        if step.target.which == "each":
            each = tuple(_in_each(worked) for worked in item.each)
        lead = _several(voice, stitch_words(voice, step, each), step, each)
        before, after = made_for(voice, step.target)
        return f"{before}{lead} {into(voice, item, step.target, where)}{mark}{after}"
    if not stitch.uses:
        made = f"make {voice.stitches_of(stitch, count)}" if stitch.makes else _picots(voice, step, count)
        return f"{made}{mark}"
    if step.crossed:
        return _crossed(voice, item, step)
    if stitch.family == "together":
        return _togethers(voice, item, step, where) + mark
    if stitch.makes > 1:
        lead = f"{voice.work}{stitch.makes} {_base_name(voice, step, stitch.makes)}"
    elif stitch.family in NOUN_FAMILIES:
        name = voice.stitch(stitch)
        lead = f"work {article(name)} {name}" if voice.full else name
    else:
        lead = voice.stitch(stitch)
    preposition = "around" if stitch.family == "post" else "in"
    if step.loop and step.loop != where.loop:
        preposition = voice.loop(step.loop, row=False)
    if step.below:
        place = below(voice, item, step.below, each_of(voice, item, where, each=True), where)
        return f"{lead} {preposition} {place}{mark}"
    return f"{lead} {preposition} {each_of(voice, item, where)}{mark}"


def _crossed(voice: Voice, item: Across, step: StitchStep) -> str:
    """Return stitches of which the second of each pair is worked first."""
    place, name = noun(voice, item, (1,)), voice.stitch(step.stitch)
    next_place = voice.the(f"next {place}")
    passed_over = "skipped" if voice.dialect == "US" else "missed"
    preposition = "around" if step.stitch.family == "post" else "in"
    if step.loop:
        preposition = voice.loop(step.loop, row=False)
    back = f"{name} {preposition} {voice.the(f'{passed_over} {place}')}"
    pair = f"{voice.skip} {next_place}, {name} {preposition} {next_place}, {back}"
    pairs = tuple(number // 2 for number in item.count)
    mark = marking(step.mark, "stitches")
    return f"{pair}{mark}" if set(pairs) == {1} and not mark else f"[{pair}] {times_words(pairs)}{mark}"


def _branch(voice: Voice, item: Across, step: BranchStep, where: Where) -> str:
    """Return a chain and what is worked back along it."""
    along, begins = item.body, ""
    first = along[0] if along else None
    target = getattr(first.step, "target", None) if first is not None else None
    if first is not None and isinstance(first.step, SkipStep) and first.step.count is not None:
        start = ordinals(tuple(number + 1 for number in first.count))
        begins, along = f" from {voice.the(start)} {voice.chain} from {voice.the('hook')}", along[1:]
    elif target is None or target.which is None:
        begins = f" from {voice.the('1st')} {voice.chain} from {voice.the('hook')}"
    inside = replace(where, top=False, whole_row=False, in_same=False, from_hook=True, loop=None)
    words = ", ".join(items(voice, along, inside))
    mark = f" (mark its tip “{step.mark}”)" if step.mark else ""
    return f"{voice.chain} {sized(item.count)} and work back along it{begins} ({words}){mark}"


def _squares(voice: Voice, step: MeshStep) -> str:
    """Return squares of a mesh in the order they are worked."""
    voice.stitch(step.stitch)
    voice.squares.update({name: step.stitch for name, _ in step.squares})
    return voice.work + listed([f"{many} {name}{'s' * (many > 1)}" for name, many in step.squares])


def _in_each(worked: Worked | None) -> int:
    """Return how many stitches go into each of several chains."""
    step = worked.step if worked is not None else None
    return step.count or 0 if isinstance(step, StitchStep) else 0


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
        return f"make {article(name)} {name}{joined_picot(voice, step)}"
    return f"make {voice.stitches_of(step.stitch, count)}"


def _togethers(voice: Voice, item: Across, step: StitchStep, where: Where) -> str:
    stitch = _spelt_out(step.stitch)
    legs = stitch.uses
    voice.stitches.setdefault(stitch.key, stitch)
    terms = stitch.terms(voice.dialect)
    name = terms.name if voice.full else terms.abbreviation
    times = "" if set(item.count) == {1} else f" {times_words(item.count)}"
    over = tuple(number * legs for number in item.count)
    places_over = f"{where.run(item, over)} {noun(voice, item, over)}"
    return f"{voice.work}{name}{times} over {voice.the(places_over)}"


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


# ---- brackets ----------------------------------------------------------------------------------------------


def bracket(voice: Voice, item: Across, where: Where, *, star: str = "") -> str:
    """Return a bracket: written once, or with how often it is worked; from `star` to it if there is one.

    Brackets stand in braces where others stand in them, and those in a starred stretch.
    """
    if in_each_place(item):
        return _in_each_place(voice, item, where)
    inner = replace(where, top=False, whole_row=False, in_same=False)
    body = ", ".join(items(voice, item.body, inner))
    if set(item.count) == {1}:
        return body
    if star:
        again = tuple(max(0, number - 1) for number in item.count)
        times = (
            f"{times_words(again)} more"
            if max(again) < 3 and len(set(again)) == 1
            else f"{sized(again)} more times"
        )
        return f"{star}{body}; repeat from {star} {times}"
    opens, closes = "{}" if depth(item) % 2 == 0 else "[]"
    return f"{opens}{body}{closes} {times_words(item.count)}"


def depth(item: Across) -> int:
    """Return how many brackets stand in one another that are worked several times, with this one."""
    match item.step:
        case BracketStep() if in_each_place(item):
            return 0
        case StitchStep(crossed=True):
            return int(max(item.count) > CROSSED)
        case OwnStep() | SpreadStep():
            return 0
    inner = max(map(depth, item.body), default=0)
    return inner + int(isinstance(item.step, BracketStep) and set(item.count) != {1})


def in_each_place(item: Across) -> bool:
    """Tell whether a bracket stands for the same in each of several places, or chain spaces."""
    if not isinstance(item.step, BracketStep) or set(item.count) == {1} or len(item.body) != 1:
        return False
    return item.step.over or _in_one(item.body[0]) or _in_spaces(item)


def _in_one(inner: Across) -> bool:
    """Tell whether an item is worked in one place, the next."""
    step = inner.step
    if getattr(step, "mark", None):
        return False
    match step:
        case StitchStep(stitch=stitch, target=None):
            return set(inner.count) == {1} and stitch.uses == 1 and not step.crossed
        case OwnStep(stitch=own, target=None):
            body = own.body if isinstance(own.body, tuple) else (own.body,)
            return set(inner.count) == {1} and places_used(body) == 1
        case StitchStep(target=target) | GroupStep(target=target):
            return target is not None and target.kind == "st"
        case _:
            return False


def _in_spaces(item: Across) -> bool:
    return all(is_in_spaces(worked.body) for worked in item.present)


def _in_each_place(voice: Voice, item: Across, where: Where) -> str:
    inner = item.body[0]
    step = inner.step
    if _in_spaces(item):
        run = f"next {sized(item.count)}"
        name = spaces(voice, item, (1,) if where.whole_row and item.to_last else item.count)
    else:
        run = where.run(item, item.count)
        name = noun(voice, item, (1,) if where.whole_row and item.to_last else item.count)
    if where.whole_row and item.to_last:
        place = f"each {name} {'around' if where.in_round else 'across'}"
    else:
        place = f"each of {voice.the(f'{run} {name}')}"
    preposition = "in"
    match step:
        case StitchStep():
            lead = _several(voice, stitch_words(voice, step, inner.count), step, inner.count)
            if step.stitch.family == "post":
                preposition = "around"
            if step.loop and step.loop != where.loop:
                preposition = voice.loop(step.loop, row=False)
            if step.below:
                place = below(voice, item, step.below, place, where)
        case GroupStep():
            lead = f"{voice.work}({listed_inside(voice, inner.body, where)})"
        case _:
            assert isinstance(step, OwnStep)
            times = "" if set(inner.count) == {1} else f" {times_words(inner.count)}"
            lead = f"work “{step.stitch.name}”{times}"
    return f"{lead} {preposition} {place}{yarns_said(inner)}"


def listed_inside(voice: Voice, worked: list[Across], where: Where) -> str:
    """Return what is worked into one place: `2 double crochet, chain 2, 2 double crochet`."""
    words = []
    for item in worked:
        step = item.step
        match step:
            case ChainStep(joint=Joint() as joint):
                words.append(joined(voice, joint))
            case ChainStep(mark=mark):
                words.append(f"{voice.chain} {sized(item.count)}{marking(mark, 'space')}")
            case StitchStep() if closes_picot(step):
                words.append(item_phrases(voice, item, where)[-1])
            case StitchStep(stitch, mark=mark):
                if not stitch.makes:
                    made = _picots(voice, step, item.count).removeprefix("make ")
                    words.append(made + marking(mark, "picot", inside=True))
                elif stitch.family in NOUN_FAMILIES and stitch.makes > 1:
                    words.append(stitch_words(voice, step, item.count))
                else:
                    words.append(
                        voice.stitches_of(stitch, item.count)
                        + yarns_said(item, inside=True)
                        + marking(mark, "stitch", inside=True)
                    )
            case BracketStep():
                inside = listed_inside(voice, item.body, where)
                words.append(f"[{inside}] {times_words(item.count)}")
            case GroupStep() | TogetherStep():
                words.append(f"({listed_inside(voice, item.body, where)})")
            case OwnStep(stitch=own, mark=mark):
                times = "" if set(item.count) == {1} else f"{sized(item.count)} times "
                words.append(f"{times}“{own.name}”{marking(mark, 'stitches', inside=True)}")
            case SaidStep(text=text):
                words.append(text.strip().rstrip("."))
            case _:
                words += item_phrases(voice, item, where)
    return ", ".join(words)


def _spread_item(voice: Voice, leaf: Across, where: Where) -> str:
    """Return one item of those spread over an edge, without its place."""
    step = leaf.step
    match step:
        case StitchStep(stitch, mark=mark) if stitch.makes and not closes_picot(step):
            words = stitch_words(voice, step, leaf.count) + marking(mark, "stitch")
            words = f"with yarn {step.yarn}, {words}" if step.yarn else words
            return f"{words} {voice.loop(step.loop, row=True)}" if step.loop else words
        case GroupStep(mark=mark):
            return f"({listed_inside(voice, leaf.body, where)}){marking(mark, 'stitches')}"
        case OwnStep():
            return listed_inside(voice, [leaf], where)
        case _:
            return item_phrases(voice, leaf, where)[-1]


# ---- authors' own ------------------------------------------------------------------------------------------


def _own(voice: Voice, item: Across, step: OwnStep, where: Where) -> str:
    own, count = step.stitch, item.count
    mark = marking(step.mark, "stitches")
    name = f"“{own.name}”"
    if step.target is not None:
        times = "" if set(count) == {1} else f" {times_words(count)}"
        before, after = made_for(voice, step.target)
        return f"{before}work {name}{times} {into(voice, item, step.target, where)}{mark}{after}"
    one = places_used(own.body if isinstance(own.body, tuple) else (own.body,))
    times = "" if set(count) == {1} else f" {times_words(count)}"
    if one is None:
        return f"work {name}{times}{mark}"
    uses = tuple(number * one for number in count)
    if not one:
        return f"work {name}{times}{mark}"
    if one == 1:
        return f"work {name} in {each_of(voice, item, where)}{mark}"
    over = voice.the(f"{where.run(item, uses)} {any_noun(voice, item, uses)}")
    return f"work {name}{times} over {over}{mark}"
