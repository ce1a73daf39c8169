"""How rows open and close: turning chains, the way to the first place, yarn and loops, joins."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ...lang.stitches import Stitch, vocabulary
from ..counted import CountedRow, Worked
from ..fabric import CHAIN, Run, has_space, places
from ..makes import places_used
from ..plan import PiecePlan
from ..steps import BracketStep, ChainStep, GroupStep, OwnStep, SkipStep, StitchStep, TogetherStep
from .aligned import Across, Peeled, after_first, align, parted, peel, runs, shape, unrolled, without_one
from .catalogue import Noun
from .come import come_from
from .items import item_phrases, items
from .phrases import Numbers, Voice, sentence
from .places import Where, at, kinds_of, one, over, slipped_over, space

Sized = Sequence[CountedRow | None]
"""One row in all sizes."""
GATHERED = frozenset({"bobble", "cluster", "puff", "popcorn"})
"""Stitches of several legs in one place that are closed as one."""


@dataclass(frozen=True, slots=True)
class HookStart:
    """In which chain from the hook a first row starts."""

    place: str
    aside: str
    """What the chains passed over are, with a blank before it; empty if they are nothing."""
    words: str
    """Both, where the row does not begin with something in that chain alone."""

    def __str__(self) -> str:
        return self.words


Lead = list[str | HookStart]
"""How a row opens before its items."""


def in_first_chain(item: Across) -> bool:
    """Tell whether all of an item is worked in one chain, the next."""
    step = item.step
    target = getattr(step, "target", None)
    if any(places(worked.used) != 1 or worked.passed or worked.rest for worked in item.present):
        return False
    match step:
        case GroupStep():
            return target is not None and target.kind == "st"
        case StitchStep(stitch=stitch):
            plain = not (step.loop or step.below or step.crossed) and stitch.uses == 1
            return plain and (target is None or target.kind == "st")
        case _:
            return False


def begun_in(voice: Voice, item: Across, start: HookStart, where: Where) -> str:
    """Return what is worked in the chain in which a first row starts."""
    (words,) = item_phrases(voice, item, where.but(named=start.place))
    return f"{words}{start.aside}"


def opened(voice: Voice, rows: Sized, where: Where, plan: PiecePlan) -> tuple[Lead, list[str], list[Across]]:
    """Return how a row opens, phrases of items that open it, and the items that follow."""
    first = present(rows)
    slipped = _way_to_first(voice, first, plan)
    way: Lead = [*_joined_anew(voice, rows, where, plan), *come_from(voice, rows, plan), *slipped]
    opening = first.opening
    if opening is not None and opening.manner == "counts":
        peeled = [peel(parted(row.worked)) if row is not None else None for row in rows]
        found = next((each for each in peeled if each is not None), None)
        if found is not None:
            across = align([each.worked if each is not None else () for each in peeled])
            after = tuple(each.chains for each in peeled if each is not None)
            lead = [*way, *_counting_chain(voice, opening.chains, found, after, first)]
            return lead, *_in_same(voice, across, where, found.same_place and not first.before.ring)
        opened_up = [unrolled(parted(row.worked)) if row is not None else () for row in rows]
        step = next((worked[0].step for worked in opened_up if worked), None)
        if isinstance(step, OwnStep):
            others = align([_without_first(worked) for worked in opened_up])
            lead = [*way, *_counting_own(voice, opening.chains, step, first)]
            again = step.target is not None and any(worked and worked[0].count > 1 for worked in opened_up)
            return lead, *_in_same(voice, others, where, again)
        if isinstance(step, TogetherStep):
            legs, *others = align(opened_up)
            return (
                [*way, _chain(voice, (opening.chains - 1,)), _counting_legs(voice, legs, where)],
                [],
                others,
            )
        way.append(voice.say_many("opening.counts-as-next", (opening.chains,)))
    else:
        way += _plain_chain(voice, rows)
    if first.whence is not None and first.whence.moved and not _looks_ahead(first):
        way.append(voice.say("opening.starting", place=one(voice, "same", _first_place(voice, first))))
    elif slipped:
        across = align([unrolled(parted(row.worked)) if row is not None else () for row in rows])
        return way, *_in_same(voice, across, where, True)
    return way, [], align([parted(row.worked) if row is not None else () for row in rows])


def manner(row: CountedRow) -> object:
    """Return what a row must have in common with another size's to be worded together with it."""
    opening = row.opening
    way = tuple((kind, chains, count) for kind, chains, count in runs(row.slip_to) or ())
    opens = opening and (opening.chains, opening.manner), bool(row.foundation), way
    if opening is None or opening.manner != "counts":
        return opens, shape(row.worked)
    peeled = peel(parted(row.worked))
    if peeled is None:
        return opens, shape(row.worked), shape(_without_first(unrolled(parted(row.worked))))
    stitch = peeled.stitch.stitch.key, peeled.stitch.mark, peeled.group_mark
    begun = stitch, peeled.whole, peeled.same_place, bool(peeled.chains)
    return opens, shape(row.worked), begun, shape(peeled.worked)


def present(rows: Sized) -> CountedRow:
    """Return the row in the first size that has it."""
    return next(row for row in rows if row is not None)


def _in_same(voice: Voice, across: list[Across], where: Where, same: bool) -> tuple[list[str], list[Across]]:
    """Word the first item by itself if the hook is at its place already."""
    if not same or not across:
        return [], across
    return item_phrases(voice, across[0], where.but(in_same=True)), across[1:]


def _plain_chain(voice: Voice, rows: Sized) -> Lead:
    """Return the turning chain that counts for nothing, if there is one."""
    first = present(rows)
    opening = first.opening
    if opening is None:
        return []
    if first.foundation:
        taken = tuple(row.foundation if row is not None else first.foundation for row in rows)
        nth = voice.ordinals(tuple(number + 1 for number in taken))
        passed, aside = taken, ""
        if opening.manner == "loop":
            passed = (opening.chains,)
            aside = voice.say_many("opening.passed.loop", passed, chains=voice.noun("chain", passed))
        elif set(taken) != {1}:
            aside = voice.say_many("opening.passed.over", taken, chains=voice.noun("chain", taken))
        return [_hook_start(voice, nth, aside)]
    if opening.manner == "loop":
        return [voice.say_many("opening.loop", (opening.chains,))]
    if opening.chains == 1:
        return [_chain(voice, (1,))]
    return [voice.say_many("opening.not-counted", (opening.chains,))]


def _chain(voice: Voice, count: Numbers) -> str:
    return voice.say_many("items.chains", count)


def _hook_start(voice: Voice, nth: str, aside: str) -> HookStart:
    place = voice.say("places.from-hook", nth=nth)
    return HookStart(place, aside, f"{voice.say('opening.starting', place=place)}{aside}")


def _counting_chain(voice: Voice, chains: int, peeled: Peeled, more: Numbers, first: CountedRow) -> Lead:
    """Return the turning chain that is a stitch or part of one, and the rest of that one.

    `more` are the chains made right after it, by size.
    """
    stitch = peeled.stitch.stitch
    mark = peeled.stitch.mark
    if stitch.family == "together":
        return _counting_together(voice, chains, stitch, first, mark)
    if stitch.family in GATHERED and not first.foundation:
        return _counting_gathered(voice, chains, stitch, first, mark)
    base = vocabulary("US").find(stitch.base)
    assert base is not None
    stands_for = _stands_for(voice, stitch if peeled.whole else base, mark)
    of_all = voice.say("opening.all-marked", mark=peeled.group_mark) if peeled.group_mark else ""
    rest = [] if peeled.whole else [_rest_of(voice, stitch, base, first)]
    if not first.foundation:
        after = voice.say_many("opening.and-chains", more) if peeled.chains else ""
        made = tuple(chains + number for number in more)
        stands_for += f"{after}{of_all}"
        return [voice.say_many("opening.counts", made, stands_for=stands_for), *rest]
    passed = {
        "chains": voice.noun("chain", (chains,)),
        "stands_for": f"{stands_for}{of_all}",
    }
    next_step = peeled.worked[0].step if peeled.worked and not peeled.chains else None
    while isinstance(next_step, BracketStep):
        next_step = next_step.body[0]
    if peeled.whole and (next_step is None or isinstance(next_step, ChainStep | SkipStep)):
        count = voice.say_many("opening.count-first", (chains,), **passed)
        return [count, _chain(voice, more)] if peeled.chains else [count]
    aside = voice.say_many("opening.passed-count", (chains,), **passed)
    return [_hook_start(voice, voice.ordinal(chains + 1), aside), *rest]


def _stands_for(voice: Voice, stitch: Stitch, mark: str | None) -> str:
    """Return the first stitch, which a turning chain counts as."""
    return f"{one(voice, 'first', voice.stitch(stitch))}{voice.marking(mark, 'stitch', inside=True)}"


def _counting_together(
    voice: Voice, chains: int, stitch: Stitch, first: CountedRow, mark: str | None
) -> Lead:
    """Return a turning chain that is one leg of several worked together, and the other legs."""
    base = vocabulary("US").find(stitch.base)
    assert base is not None
    legs = stitch.uses - 1
    noun = voice.noun("chain" if first.foundation else "stitch", (legs,))
    if legs == 1:
        leg = voice.say("items.in-one.stitch", stitch=voice.stitch(base))
        others = f"{leg} {at(voice, 'in', one(voice, 'next', noun))}"
    else:
        fewer = vocabulary("US").find(f"{base.key}{legs}tog")
        assert fewer is not None
        places = over(voice, "next", (legs,), noun)
        others = voice.say("items.together", stitch=voice.stitch(fewer), times="", places=places)
    stands_for = _stands_for(voice, stitch, mark)
    if not first.foundation:
        return [
            _chain(voice, (chains - 1,)),
            voice.say("opening.with-chain", legs=others, stands_for=stands_for),
        ]
    place = voice.say("places.from-hook", nth=voice.ordinal(chains + 1))
    start = voice.say("opening.starting", place=place)
    return [start, voice.say("opening.with-chains-before", legs=others, stands_for=stands_for)]


def _counting_gathered(
    voice: Voice, chains: int, stitch: Stitch, first: CountedRow, mark: str | None
) -> Lead:
    """Return a turning chain that is one leg of several gathered in one place, and the other legs."""
    find = vocabulary("US").find
    fewer = find(f"{stitch.base}{stitch.legs - 1}{stitch.family}") or find(stitch.base)
    assert fewer is not None
    kind = "thing" if fewer.family in GATHERED else "stitch"
    others = voice.say(f"items.singly.{kind}.one", stitch=voice.stitch(fewer))
    legs = f"{others} {_in_same_place(voice, first)}"
    stands_for = _stands_for(voice, stitch, mark)
    return [_chain(voice, (chains,)), voice.say("opening.with-chain", legs=legs, stands_for=stands_for)]


def _in_same_place(voice: Voice, first: CountedRow) -> str:
    return at(voice, "in", one(voice, "same", _first_place(voice, first)))


def _counting_own(voice: Voice, chains: int, step: OwnStep, first: CountedRow) -> list[str]:
    """Return the turning chain that is the first stitch of an author's own, and the rest of that one."""
    name, uses = step.stitch.name, _own_uses(step)
    rest = voice.say("opening.rest-of-own", name=name)
    if uses == 1:
        rest += f" {_in_same_place(voice, first)}"
    elif uses:
        left = (uses - 1,)
        places = over(voice, "next", left, voice.noun("place", left))
        rest += f" {voice.say('items.over', places=places)}"
    return [voice.say_many("opening.counts-of-own", (chains,), name=name), rest]


def _counting_legs(voice: Voice, item: Across, where: Where) -> str:
    """Return the legs of several worked together that are left where the turning chain is the first."""
    left = [peel(parted(worked.body)) if worked is not None else None for worked in item.each]
    across = align([each.worked if each is not None else () for each in left])
    inside = ", ".join(items(voice, across, where.but(top=False, last_place=voice.noun("stitch", (1,)))))
    return voice.say("opening.legs", items=inside)


def _without_first(worked: tuple[Worked, ...]) -> tuple[Worked, ...]:
    """Return the items without the first stitch, an author's own or one that is all of its item."""
    if not worked:
        return ()
    first, *rest = worked
    if isinstance(first.step, OwnStep):
        return (*without_one(first, _own_uses(first.step) or 0, first.step.target), *rest)
    return (*without_one(first, 0, None), *rest)


def _own_uses(step: OwnStep) -> int | None:
    body = step.stitch.body
    return places_used(body) if isinstance(body, tuple) else None


def _rest_of(voice: Voice, stitch: Stitch, base: Stitch, first: CountedRow) -> str:
    """Return what is still to be worked of a stitch whose first part the turning chain is."""
    if stitch.makes > 1:
        others = voice.say("items.worked", stitches=voice.stitches_of(base, (stitch.makes - 1,)))
    else:
        others = voice.say("opening.rest-of", stitch=voice.stitch(stitch))
    return f"{others} {_in_same_place(voice, first)}"


def is_joined_anew(row: CountedRow, plan: PiecePlan) -> bool:
    """Tell whether the yarn has to be joined before a row: it was cut, or never there."""
    if not plan.fastened_off or plan.start is None:
        return False
    return row.number > 1 or plan.start.kind not in ("chain", "joined chain", "for", "ring", "edge")


def _joined_anew(voice: Voice, rows: Sized, where: Where, plan: PiecePlan) -> list[str]:
    row = present(rows)
    if not is_joined_anew(row, plan):
        return []
    first = row.before.parts[0] if row.before.parts else None
    while first is not None and type(first) is not Run:
        first = first.parts[0]  # type: ignore[union-attr]
    noun = "space" if first is not None and first.place.is_space else "stitch"
    place = one(voice, "first", voice.noun(noun, (1,)))
    join = (
        voice.say("opening.join-yarn", yarn=where.yarn, place=place)
        if where.yarn
        else voice.say("opening.join-the-yarn", place=place)
    )
    return [voice.say("opening.facing"), join]


def _way_to_first(voice: Voice, row: CountedRow, plan: PiecePlan) -> list[str]:
    """Return the slip stitches from the join to a round's first place, if any are needed."""
    # The join stands in a stitch: where the round turns back, a space met first still lies ahead.
    turned_to_space = plan.node.manner == "turned rounds" and row.before.parts and _space_first(row)
    if not row.slip_to and not turned_to_space:
        return []
    slip = slip_stitch(voice)
    place = at(voice, "in", one(voice, "next", _first_place(voice, row)))
    # In a round that does not turn the join stands in the first of the stitches passed.
    in_older = row.whence is not None and row.whence.into is not None
    between = row.slip_to if plan.turns or in_older else after_first(row.slip_to)
    if row.whence is not None and row.whence.moved:
        place += voice.say("opening.rest-at-end")
    if not between:
        return [voice.say("opening.slip", slip=slip, place=place)]
    return [
        voice.say("opening.slip-over", slip=slip, place=slipped_over(voice, between)),
        voice.say("opening.then-slip", slip=slip, place=place),
    ]


def _looks_ahead(row: CountedRow) -> bool:
    """Tell whether a row begins with something in one place, which is worded with the hook there already."""
    return getattr(_first_worked(row).step, "target", None) is not None


def _first_place(voice: Voice, row: CountedRow) -> Noun:
    worked = _first_worked(row)
    kinds = kinds_of(worked.used)
    if kinds == {"space"}:
        return space(voice, worked.used)
    return voice.noun(next(iter(kinds & {"tip", "loop"}), "stitch"), (1,))


def _space_first(row: CountedRow) -> bool:
    return kinds_of(_first_worked(row).used) == {"space"}


def _first_worked(row: CountedRow) -> Worked:
    worked = row.worked[0]
    while isinstance(worked.step, BracketStep) and worked.body:
        worked = worked.body[0]
    return worked


def slip_stitch(voice: Voice) -> Noun:
    """Return the name of a slip stitch."""
    stitch = vocabulary("US").find("ss")
    assert stitch is not None
    return voice.stitch(stitch)


def row_sentence(
    voice: Voice, row: CountedRow, where: Where, opens: Lead, phrases: list[str], plan: PiecePlan
) -> str:
    """Return a row as sentences: its yarn is named first, the manner of all of it after the turning chain."""
    lead = [str(each) for each in opens]
    if where.yarn and not is_joined_anew(row, plan):
        lead = [voice.say("opening.with-yarn", yarn=where.yarn), *lead]
    manner = []
    if where.loop is not None:
        manner.append(voice.say("opening.in-loops", loops=voice.say(f"places.loops.{where.loop}")))
    if row.plan.reads_chains and has_space(row.before.parts) and not plan.node.chains_count:
        manner.append(voice.say("opening.chains-count", stitch=voice.noun("stitch", (1,))))
    if not manner:
        return sentence(", ".join([*lead, *phrases])) if lead or phrases else ""
    opening = f"{sentence(', '.join(lead))} " if lead else ""
    return opening + sentence(", ".join([voice.listed(manner), *phrases]))


def closing(voice: Voice, row: CountedRow, plan: PiecePlan) -> str:
    """Return what is done at the end of a row or round."""
    match plan.node.manner:
        case "turned rows":
            return voice.say("opening.turn")
        case "right-side rows":
            return voice.say("opening.fasten-off")
        case "spiral rounds":
            return ""
        case manner:
            join = sentence(
                voice.say("opening.join-round", slip=slip_stitch(voice), place=_joined_to(voice, row))
            )
            return f"{join} {voice.say('opening.turn')}" if manner == "turned rounds" else join


def _joined_to(voice: Voice, row: CountedRow) -> str:
    opening = row.opening
    if opening is not None and opening.manner == "counts":
        peeled = peel(parted(row.worked))
        if peeled is not None and peeled.chains:
            # Above the chains that stand for the stitch are those of a space.
            return voice.say("opening.beginning-nth", nth=voice.ordinal(opening.chains))
        return voice.say("opening.beginning-top")
    first = row.after.parts[0] if row.after.parts else None
    while first is not None and type(first) is not Run:
        first = first.parts[0]  # type: ignore[union-attr]
    if first is not None and first.place.is_space:
        return voice.say("opening.first-chain")
    return one(voice, "first", voice.noun("stitch", (1,)))


def into_chains(row: CountedRow) -> bool:
    """Tell whether a row is worked into single chains that lie ahead of the hook."""
    if row.foundation:
        return True
    first = row.before.parts[0] if row.before.parts and not row.before.ring else None
    while first is not None and type(first) is not Run:
        first = first.parts[0]  # type: ignore[union-attr]
    return first is not None and first.place.kind == CHAIN and not row.plan.reads_chains
