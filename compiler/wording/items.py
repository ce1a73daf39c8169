"""Items in words: what to work, how often, and where."""

from __future__ import annotations

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
from .catalogue import Noun
from .colours import gathered, yarns_said
from .joints import joined, joined_picot
from .phrases import Numbers, Voice, sized
from .places import (
    Where,
    any_noun,
    at,
    below,
    each_along,
    each_of,
    how,
    into,
    left,
    made_for,
    noun,
    one,
    over,
    passed,
    place_name,
    rest_left,
    skipped,
    space_inside,
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
        where = where.but(last_place=last, whole_row=False, in_same=False)
    return phrases


def item_phrases(voice: Voice, item: Across, where: Where) -> list[str]:
    """Return one item as a phrase, or as two where a skip comes before it."""
    step = item.step
    match step:
        case StitchStep():
            phrase = f"{_stitches(voice, item, step, where)}{yarns_said(voice, item)}"
        case ChainStep(joint=Joint() as joint):
            phrase = joined(voice, joint)
        case ChainStep(mark=mark):
            phrase = f"{_chains(voice, item, mark)}{yarns_said(voice, item)}"
        case MeshStep():
            phrase = _squares(voice, step)
        case BracketStep():
            phrase = bracket(voice, item, where)
        case BranchStep():
            phrase = _branch(voice, item, step, where)
        case GroupStep(target=target, mark=mark):
            before, after = made_for(voice, target)
            group = voice.say("items.group", items=listed_inside(voice, item.body, where))
            place = into(voice, item, target, where)
            phrase = f"{before}{group} {place}{voice.marking(mark, 'stitches')}{after}"
        case TogetherStep(mark=mark):
            inside = ", ".join(items(voice, item.body, where.but(top=False)))
            phrase = f"{voice.say('items.as-one', items=inside)}{voice.marking(mark, 'stitch')}"
        case SkipStep(mark=mark):
            phrase = f"{skipped(voice, item, where)}{voice.marking(mark, 'places')}"
        case LeaveStep(mark=mark):
            phrase = f"{left(voice, item)}{voice.marking(mark, 'places')}"
        case OwnStep():
            phrase = f"{_own(voice, item, step, where)}{yarns_said(voice, item)}"
        case SaidStep():
            phrase = told(voice, item, step)
        case SpreadStep():
            phrase = spread_out(voice, item, where, lambda leaf: _spread_item(voice, leaf, where))
        case UndersideStep():
            phrase = voice.say("items.underside")
    # After each space around there is nothing but stitches before the join.
    around = where.whole_row and where.in_round and in_each_place(item) and _in_spaces(item)
    return [*passed(voice, item, where), phrase, *([] if around else rest_left(voice, item))]


def _chains(voice: Voice, item: Across, mark: str | None) -> str:
    return f"{voice.say_many('items.chains', item.count)}{voice.marking(mark, 'space')}"


def _times_behind(voice: Voice, count: Numbers) -> str:
    """Return how often something is worked, with the blank before it; empty for once."""
    return "" if set(count) == {1} else f" {voice.times(count)}"


# ---- stitches ----------------------------------------------------------------------------------------------


def _stitches(voice: Voice, item: Across, step: StitchStep, where: Where) -> str:
    stitch, count = step.stitch, item.count
    is_picot = closes_picot(step) or stitch.family == PICOT
    mark = voice.marking(step.mark, "picot" if is_picot else "stitch" if set(count) == {1} else "stitches")
    if step.target is not None:
        each = count
        if step.target.which == "each":
            each = tuple(_in_each(worked) for worked in item.each)
        before, after = made_for(voice, step.target)
        return (
            f"{before}{_in_one_place(voice, step, each)} {into(voice, item, step.target, where)}{mark}{after}"
        )
    if not stitch.uses:
        made = voice.stitches_of(stitch, count) if stitch.makes else _picots(voice, step, count)
        return f"{voice.say('items.make', stitches=made)}{mark}"
    if step.crossed:
        return _crossed(voice, item, step)
    if stitch.family == "together":
        return f"{_togethers(voice, item, step, where)}{mark}"
    place = each_of(voice, item, where, each=bool(step.below))
    if step.below:
        place = below(voice, item, step.below, place, where)
    return f"{_singly(voice, step, count)} {at(voice, how(step, where), place)}{mark}"


def _singly(voice: Voice, step: StitchStep, places: Numbers) -> str:
    """Return stitches of which one goes into each of so many places: `single crochet`, `work a bobble`."""
    stitch = step.stitch
    if stitch.makes > 1:
        several = voice.say("items.several", count=stitch.makes, stitch=_base(voice, step, stitch.makes))
        return voice.say("items.worked", stitches=several)
    kind = "thing" if stitch.family in NOUN_FAMILIES else "stitch"
    return voice.say_many(f"items.singly.{kind}", places, stitch=voice.stitch(stitch))


def _crossed(voice: Voice, item: Across, step: StitchStep) -> str:
    """Return stitches of which the second of each pair is worked first."""
    place = noun(voice, item, (1,))
    following, manner = one(voice, "next", place), how(step, Where())
    pair = voice.say(
        "items.crossed",
        stitch=voice.stitch(step.stitch),
        next=following,
        in_next=at(voice, manner, following),
        in_skipped=at(voice, manner, voice.say("places.skipped.one", noun=place)),
    )
    pairs = tuple(number // 2 for number in item.count)
    mark = voice.marking(step.mark, "stitches")
    return f"{pair}{mark}" if set(pairs) == {1} and not mark else f"{_times_of(voice, pair, pairs)}{mark}"


def _branch(voice: Voice, item: Across, step: BranchStep, where: Where) -> str:
    """Return a chain and what is worked back along it."""
    along, begins = item.body, ""
    first = along[0] if along else None
    target = getattr(first.step, "target", None) if first is not None else None
    if first is not None and isinstance(first.step, SkipStep) and first.step.count is not None:
        begins, along = voice.ordinals(tuple(number + 1 for number in first.count)), along[1:]
    elif target is None or target.which is None:
        begins = voice.ordinal(1)
    inside = where.but(top=False, whole_row=False, in_same=False, from_hook=True, loop=None)
    return voice.say_many(
        "items.branch",
        item.count,
        begins=voice.say("items.branch-begins", nth=begins) if begins else "",
        items=", ".join(items(voice, along, inside)),
        mark=voice.say("items.tip", mark=step.mark) if step.mark else "",
    )


def _squares(voice: Voice, step: MeshStep) -> str:
    """Return squares of a mesh in the order they are worked."""
    voice.stitch(step.stitch)
    voice.squares.update({name: step.stitch for name, _ in step.squares})
    squares = voice.listed([voice.counted(f"mesh {name}", (many,)) for name, many in step.squares])
    return voice.say("items.worked", stitches=squares)


def _in_each(worked: Worked | None) -> int:
    """Return how many stitches go into each of several chains."""
    step = worked.step if worked is not None else None
    return step.count or 0 if isinstance(step, StitchStep) else 0


def stitch_words(voice: Voice, step: StitchStep, count: Numbers) -> str:
    """Return `single crochet` or `3 single crochet`, as worked in one place."""
    stitch = step.stitch
    if stitch.makes > 1:
        many = tuple(number * stitch.makes for number in count)
        return voice.say("items.several", count=sized(many), stitch=_base(voice, step, max(many)))
    kind = "thing" if stitch.family in NOUN_FAMILIES else "stitch"
    if set(count) == {1}:
        return voice.say(f"items.in-one.{kind}", stitch=voice.stitch(stitch))
    return voice.stitches_of(stitch, count)


def _in_one_place(voice: Voice, step: StitchStep, count: Numbers) -> str:
    words = stitch_words(voice, step, count)
    plain = set(count) == {1} and step.stitch.makes <= 1 and step.stitch.family not in NOUN_FAMILIES
    return words if plain else voice.say("items.worked", stitches=words)


def _picots(voice: Voice, step: StitchStep, count: Numbers) -> str:
    if set(count) == {1}:
        return f"{voice.say('items.a-picot', picot=voice.stitch(step.stitch))}{joined_picot(voice, step)}"
    return voice.stitches_of(step.stitch, count)


def _togethers(voice: Voice, item: Across, step: StitchStep, where: Where) -> str:
    stitch = _spelt_out(step.stitch)
    places = tuple(number * stitch.uses for number in item.count)
    return voice.say(
        "items.together",
        stitch=voice.stitch(stitch),
        times=_times_behind(voice, item.count),
        places=over(voice, where.run(item), places, noun(voice, item, places)),
    )


def _spelt_out(stitch: Stitch) -> Stitch:
    """Return a decrease by the name that says how it is worked."""
    exact = vocabulary("US").find(f"{stitch.base}{stitch.legs}tog")
    return exact if exact is not None and stitch.key == "dec" else stitch


def _base(voice: Voice, step: StitchStep, count: int) -> Noun:
    base = vocabulary("US").find(step.stitch.base)
    assert base is not None
    return voice.stitch(base, many=count != 1)


# ---- brackets ----------------------------------------------------------------------------------------------


def bracket(voice: Voice, item: Across, where: Where, *, star: str = "") -> str:
    """Return a bracket: written once, or with how often it is worked; from `star` to it if there is one.

    Brackets stand in braces where others stand in them, and those in a starred stretch.
    """
    if in_each_place(item):
        return _in_each_place(voice, item, where)
    inner = where.but(top=False, whole_row=False, in_same=False)
    body = ", ".join(items(voice, item.body, inner))
    if set(item.count) == {1}:
        return body
    if star:
        again = tuple(max(0, number - 1) for number in item.count)
        few = max(again) < 3 and len(set(again)) == 1
        more = (
            voice.say("items.more-few", times=voice.times(again))
            if few
            else voice.say("items.more", count=sized(again))
        )
        return voice.say("items.repeated", star=star, items=body, more=more)
    return _times_of(voice, body, item.count, braces=depth(item) % 2 == 0)


def _times_of(voice: Voice, body: str, count: Numbers, *, braces: bool = False) -> str:
    opens, closes = "{}" if braces else "[]"
    return voice.say("items.times", items=f"{opens}{body}{closes}", times=voice.times(count))


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
    in_spaces = _in_spaces(item)

    def name(count: Numbers) -> Noun:
        return space_inside(voice, item, count) if in_spaces else noun(voice, item, count)

    if where.whole_row and item.to_last:
        place = each_along(voice, name((1,)), where)
    else:
        which = where.nearest if in_spaces else where.run(item)
        place = voice.say(f"places.each-of.{which}", count=sized(item.count), noun=name(item.count))
    manner = "in"
    match step:
        case StitchStep():
            lead = _in_one_place(voice, step, inner.count)
            manner = how(step, where)
            if step.below:
                place = below(voice, item, step.below, place, where)
        case GroupStep():
            lead = voice.say("items.group", items=listed_inside(voice, inner.body, where))
        case _:
            assert isinstance(step, OwnStep)
            lead = voice.say("items.own", name=step.stitch.name, times=_times_behind(voice, inner.count))
    return f"{lead} {at(voice, manner, place)}{yarns_said(voice, inner)}"


def listed_inside(voice: Voice, worked: list[Across], where: Where) -> str:
    """Return what is worked into one place: `2 double crochet, chain 2, 2 double crochet`."""
    return ", ".join(words for item in worked for words in _inside(voice, item, where))


def _inside(voice: Voice, item: Across, where: Where) -> list[str]:
    step = item.step
    match step:
        case ChainStep(joint=Joint() as joint):
            return [joined(voice, joint)]
        case ChainStep(mark=mark):
            return [_chains(voice, item, mark)]
        case StitchStep() if closes_picot(step):
            return item_phrases(voice, item, where)[-1:]
        case StitchStep(stitch, mark=mark):
            if not stitch.makes:
                return [f"{_picots(voice, step, item.count)}{voice.marking(mark, 'picot', inside=True)}"]
            if stitch.family in NOUN_FAMILIES and stitch.makes > 1:
                return [stitch_words(voice, step, item.count)]
            yarns = yarns_said(voice, item, inside=True)
            mark_said = voice.marking(mark, "stitch", inside=True)
            return [f"{voice.stitches_of(stitch, item.count)}{yarns}{mark_said}"]
        case BracketStep():
            return [_times_of(voice, listed_inside(voice, item.body, where), item.count)]
        case GroupStep() | TogetherStep():
            return [f"({listed_inside(voice, item.body, where)})"]
        case OwnStep(stitch=own, mark=mark):
            words = voice.say_many("items.own-inside", item.count, name=own.name)
            return [f"{words}{voice.marking(mark, 'stitches', inside=True)}"]
        case SaidStep(text=text):
            return [text.strip().rstrip(".")]
        case _:
            return item_phrases(voice, item, where)


def _spread_item(voice: Voice, leaf: Across, where: Where) -> str:
    """Return one item of those spread over an edge, without its place."""
    step = leaf.step
    match step:
        case StitchStep(stitch, mark=mark) if stitch.makes and not closes_picot(step):
            words = f"{stitch_words(voice, step, leaf.count)}{voice.marking(mark, 'stitch')}"
            words = voice.say("items.with-yarn", yarn=step.yarn, items=words) if step.yarn else words
            return f"{words} {voice.say(f'places.loops.{step.loop}')}" if step.loop else words
        case GroupStep(mark=mark):
            return f"({listed_inside(voice, leaf.body, where)}){voice.marking(mark, 'stitches')}"
        case OwnStep():
            return listed_inside(voice, [leaf], where)
        case _:
            return item_phrases(voice, leaf, where)[-1]


# ---- authors' own ------------------------------------------------------------------------------------------


def _own(voice: Voice, item: Across, step: OwnStep, where: Where) -> str:
    """Return an author's own stitch, with its place where it is told."""
    own, count, mark = step.stitch, item.count, voice.marking(step.mark, "stitches")
    once = voice.say("items.own", name=own.name, times="")
    worked = voice.say("items.own", name=own.name, times=_times_behind(voice, count))
    if step.target is not None:
        before, after = made_for(voice, step.target)
        return f"{before}{worked} {into(voice, item, step.target, where)}{mark}{after}"
    each = places_used(own.body if isinstance(own.body, tuple) else (own.body,))
    if not each:
        return f"{worked}{mark}"
    if each == 1:
        return f"{once} {at(voice, 'in', each_of(voice, item, where))}{mark}"
    uses = tuple(number * each for number in count)
    places = over(voice, where.run(item), uses, any_noun(voice, item, uses))
    return f"{worked} {voice.say('items.over', places=places)}{mark}"
