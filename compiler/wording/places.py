"""Places as English: what is worked into, what is passed, what is skipped."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from ...lang.stitches import vocabulary
from ..counted import Worked
from ..fabric import CHAIN, SPACE, TIP, Place, Run, Segments, places
from ..steps import BracketStep, SkipStep, StitchStep, Target
from .aligned import PLACE_NOUNS, Across, runs
from .catalogue import Noun
from .phrases import Numbers, Voice, sized

CHAIN_AND_STITCH = 2
"""The kinds of places that both have a name in one phrase."""
MOST_RUNS = 3
"""From more stretches of places on, they are told by their number."""


@dataclass(frozen=True, slots=True)
class Where:
    """What an item's words depend on beside itself."""

    whole_row: bool = False
    """The item is all that the row does."""
    in_round: bool = False
    from_start: bool = False
    """Nothing of the edge is used before it."""
    top: bool = True
    """It stands in the row itself, not in a bracket."""
    loop: str | None = None
    """The loop that the whole row is worked in, and has been said."""
    last_place: Noun | None = None
    """What the stitch before was worked into, for `same`; None where that has no name."""
    in_same: bool = False
    """The hook is at the item's place already."""
    from_hook: bool = False
    """The row is worked into single chains, counted from the hook."""
    named: str = ""
    """The one place that an author's stitch is worked in, where only the rows say which."""
    yarn: str = ""
    """The yarn of the row, by size where they differ; empty where the piece is worked with one yarn."""
    names: Mapping[str, int] = field(default_factory=dict)
    """The marks and authors' stitches of the edge, and how many places each covers."""
    marks: frozenset[str] = frozenset()
    """Those that are marks."""

    def but(self, **changes: object) -> Where:
        """Return it with changes; itself where they change nothing, which is so for most items."""
        if all(getattr(self, name) == value for name, value in changes.items()):
            return self
        return replace(self, **changes)  # type: ignore[arg-type]

    @property
    def nearest(self) -> str:
        """Which of the places ahead comes first: the `first` of the edge, or the `next`."""
        return "first" if self.from_start and self.top else "next"

    def ahead(self, item: Across) -> str:
        """Return which of its kind an item looks ahead to: `first`, `next`, or `same`."""
        if self.in_same:
            return "same"
        return "next" if any(worked.passed for worked in item.present) else self.nearest

    def which(self, item: Across) -> str:
        """Return which place an item is worked in: `first`, `next`, `last`, or `same`."""
        if self.in_same:
            return "same"
        return "last" if item.to_last and self.top else self.nearest

    def run(self, item: Across) -> str:
        """Return which places an item is worked over: `first`, `next`, `last`, `same`, or `all` there are."""
        alone = self.from_start and item.to_last and self.top and not self.in_same
        return "all" if alone else self.which(item)


# ---- what sort of place ------------------------------------------------------------------------------------


def sorts(parts: Segments) -> frozenset[Place]:
    """Return the different places among segments."""
    found: frozenset[Place] = frozenset()
    for part in parts:
        found |= {part.place} if type(part) is Run else sorts(part.parts)  # type: ignore[union-attr]
    return found


def kinds_of(parts: Segments) -> set[str]:
    """Return the nouns of the places among segments: `stitch`, `chain`, `space`."""
    if len(parts) == 1 and type(parts[0]) is Run:
        return {PLACE_NOUNS.get(parts[0].place.kind, "stitch")}
    return {PLACE_NOUNS.get(place.kind, "stitch") for place in sorts(parts)}


def kinds_used(item: Across) -> set[str]:
    """Return the nouns of what an item uses, in any size."""
    return {kind for worked in item.present for kind in kinds_of(worked.used)}


def noun(voice: Voice, item: Across, count: Numbers) -> Noun:
    """Return the noun of what stitches are worked into: chains on a foundation, else stitches."""
    kinds = kinds_used(item)
    if kinds == {"chain", "stitch"}:
        met = [kind for kind, *_ in runs(item.any.used, 2) or ()]
        each = [voice.noun(kind, count) for kind in (met if len(met) == CHAIN_AND_STITCH else sorted(kinds))]
        return voice.noun_for("stitch", count, voice.listed(each))
    of_edges = kinds & {"chain", "row end", "loop", "place", "tip", "join"}
    if not of_edges:
        return voice.noun("stitch", count)
    return voice.noun(kinds.pop() if len(kinds) == 1 else "place", count)


def any_noun(voice: Voice, item: Across, count: Numbers) -> Noun:
    """Return the noun of what an item uses, whatever it is."""
    kinds = kinds_used(item)
    return voice.noun(kinds.pop() if len(kinds) == 1 else "place", count)


def space(voice: Voice, parts: Segments, count: Numbers = (1,)) -> Noun:
    """Return `chain-2 space`, or `chain space` where they differ."""
    lengths = {place.chains for place in sorts(parts)}
    return spaces_of(voice, lengths.pop() if len(lengths) == 1 else 0, count)


def spaces_of(voice: Voice, length: int, count: Numbers) -> Noun:
    """Return `chain-2 space` for a space of so many chains, `chain space` for none that is known."""
    name = voice.say_many("places.space-of" if length else "places.space", count, length=length)
    return voice.noun_for("space", count, name)


def _space_used(voice: Voice, item: Across) -> Noun:
    return space(voice, tuple(part for worked in item.present for part in worked.used))


def space_inside(voice: Voice, item: Across, count: Numbers) -> Noun:
    """Return the spaces that a bracket is worked in."""
    return space(
        voice, tuple(part for inner in item.body for worked in inner.present for part in worked.used), count
    )


def place_name(voice: Voice, item: Across) -> Noun | None:
    """Return what an item was last worked into, for `the same ...` after it; None if it was nothing."""
    if isinstance(item.step, SkipStep):
        return None
    if isinstance(item.step, BracketStep):
        return next(filter(None, (place_name(voice, each) for each in reversed(item.body))), None)
    target = getattr(item.step, "target", None)
    if target is not None and (target.is_made_here or target.kind in ("ring", "gap", "start")):
        return voice.noun("place" if target.kind == "start" else target.name, (1,))
    back = {kind for worked in item.present if worked.back for kind in kinds_of(worked.back.skipped)}
    kinds = back or kinds_used(item)
    if len(kinds) != 1:
        return None
    (kind,) = kinds
    return voice.noun("bare space" if kind == "space" else kind, (1,))


# ---- worked into -------------------------------------------------------------------------------------------


def at(voice: Voice, how: str, place: str) -> str:
    """Return a place with the word before it: `in`, `around`, `blo` or `flo`."""
    return voice.say(f"places.at.{how}", place=place)


def one(voice: Voice, which: str, noun: Noun) -> str:
    """Return one place: the `next`, `last`, `same` or `first` one."""
    return voice.say(f"places.one.{which}", noun=noun)


def over(voice: Voice, which: str, count: Numbers, noun: Noun) -> str:
    """Return places that something is worked over: the `next`, `last`, `same` ones, or `all`."""
    return voice.say(f"places.run.{which}", count=sized(count), noun=noun)


def how(step: StitchStep, where: Where) -> str:
    """Return how a stitch takes its place: `in` it, `around` it, or `blo` or `flo`."""
    if step.loop and step.loop != where.loop:
        return step.loop
    return "around" if step.stitch.family == "post" else "in"


def each_of(voice: Voice, item: Across, where: Where, *, each: bool = False) -> str:
    """Return the places of a run: `each of the next 8 stitches`, `the last stitch`, `each stitch across`."""
    uses = tuple(places(worked.used) if worked is not None else 0 for worked in item.each)
    if where.whole_row and item.to_last and min(uses) > 1:
        return each_along(voice, noun(voice, item, (1,)), where)
    many = noun(voice, item, uses)
    if where.named:
        return where.named
    if set(uses) == {1}:
        return one(voice, where.which(item), many)
    if parts := _runs_of(voice, item, where):
        return voice.say("places.and-in").join(parts)
    run = where.run(item)
    return voice.say(f"places.each-of.{run}" if each else f"places.some.{run}", count=sized(uses), noun=many)


def each_along(voice: Voice, noun: Noun, where: Where) -> str:
    """Return every place of a row or round."""
    return voice.say(f"places.each.{'around' if where.in_round else 'across'}", noun=noun)


def _runs_of(voice: Voice, item: Across, where: Where) -> list[str]:
    """Return the places of a run by what they are, where the join of two motifs is one of them."""
    if "join" not in kinds_used(item):
        return []
    described = [runs(worked.used, MOST_RUNS) for worked in item.present]
    if len(set(map(str, described))) != 1 or described[0] is None:
        return []
    words = []
    for index, (kind, _, many) in enumerate(described[0]):
        last = index == len(described[0]) - 1 and item.to_last and where.top
        which = "last" if last else "next" if index else where.nearest
        noun = voice.noun(kind, (many,))
        if many == 1:
            words.append(one(voice, which, noun))
        else:
            words.append(voice.say(f"places.some.{which}", count=many, noun=noun))
    return words


def below(voice: Voice, item: Across, rows: int, place: str, where: Where) -> str:
    """Return what lies so many rows below a place: a stitch, but below a space that is not known."""
    unit = voice.noun("round" if where.in_round else "row", (rows,))
    what = voice.noun("place" if "space" in kinds_used(item) else "stitch", (1,))
    return voice.say("places.below", noun=what, rows=rows, unit=unit, place=place)


def into(voice: Voice, item: Across, target: Target, where: Where) -> str:
    """Return where an item is worked, with its preposition."""
    step = item.step
    if target.kind == "cord":
        return voice.say("places.over-cord")
    loop = getattr(step, "loop", None)
    manner = how(step, where) if isinstance(step, StitchStep) else loop if loop != where.loop else None
    if target.kind == "edge":
        assert isinstance(step, StitchStep)
        return at(voice, manner or "in", voice.say("places.row-end-below", rows=step.below + 1))
    place = _target(voice, item, target, where)
    if isinstance(step, StitchStep) and step.below:
        place = below(voice, item, step.below, place, where)
    return at(voice, manner or "in", place)


def _target(voice: Voice, item: Across, target: Target, where: Where) -> str:
    match target.kind:
        case "st" if where.named:
            return where.named
        case "st":
            return one(voice, where.which(item), noun(voice, item, (1,)))
        case "same":
            return one(voice, "same", where.last_place or voice.noun("place", (1,)))
        case "top" if isinstance(target.which, int):
            return voice.say("places.picot-foot", nth=voice.ordinal(target.which))
        case "top" | "stem" | "gap" as kind:
            return voice.say(f"places.of-stitch.{kind}", stitch=voice.noun("stitch", (1,)))
        case "start":
            return voice.say("places.start-of-round")
        case "ring":
            return voice.say("places.ring")
        case "own ring" | "arch":
            return voice.say("places.made-here", noun=voice.noun(target.name, (1,)))
        case "chain":
            return _single_chain(voice, item, target, where)
        case "skipped":
            return _skipped_before(voice, item)
        case _:
            return _ahead(voice, item, target, where)


def made_for(voice: Voice, target: Target | None) -> tuple[str, str]:
    """Return the words for a ring or an arch made for what goes into it, before and behind that."""
    if target is None or not target.is_made_here:
        return "", ""
    slip = vocabulary("US").find("ss")
    assert slip is not None
    made = {"slip": voice.stitch(slip), "stitch": voice.noun("stitch", (1,))}
    if target.over:
        return voice.say_many("places.arch", (target.chains,), nth=voice.ordinal(target.over), **made), ""
    before = voice.say_many("places.ring-begun", (target.chains,), nth=voice.ordinal(target.chains), **made)
    return before, voice.say("places.ring-closed", **made)


def _skipped_before(voice: Voice, item: Across) -> str:
    """Return which of the places skipped before an item goes back to."""
    backs = [worked.back for worked in item.present if worked.back is not None]
    count = tuple(places(back.skipped) for back in backs)
    kinds = {kind for back in backs for kind in kinds_of(back.skipped)}
    noun = voice.noun(kinds.pop() if len(kinds) == 1 else "place", count)
    if set(count) == {1}:
        return voice.say("places.skipped.one", noun=noun)
    if not any(back.which for back in backs):
        return voice.say("places.skipped.each", count=sized(count), noun=noun)
    nth = voice.ordinals(tuple(back.which for back in backs))
    return voice.say("places.skipped.nth", nth=nth, count=sized(count), noun=noun)


def _from_hook(item: Across, target: Target, where: Where) -> bool:
    """Tell whether a single chain is named by its number from the hook."""
    return where.from_hook and isinstance(target.which, int) and kinds_used(item) == {"chain"}


def _single_chain(voice: Voice, item: Across, target: Target, where: Where) -> str:
    if isinstance(target.which, int) and _from_hook(item, target, where):
        return voice.say("places.from-hook", nth=voice.ordinal(target.which))
    if item.any.used:
        of = one(voice, where.ahead(item), _space_used(voice, item))
    else:
        of = one(voice, "same", voice.noun("bare space", (1,)))
    if isinstance(target.which, int):
        return voice.say("places.nth-chain-of", nth=voice.ordinal(target.which), in_space=of)
    lengths = {place.chains for worked in item.present for place in sorts(worked.used)}
    if target.which == "each" and len(lengths) == 1 and (length := lengths.pop()) > 1:
        return voice.say("places.chains-of", count=length, chains=voice.noun("chain", (length,)), in_space=of)
    return voice.say(f"places.chain-of.{target.which}", in_space=of)


def _ahead(voice: Voice, item: Across, target: Target, where: Where) -> str:
    name = target.name
    which = "same" if where.in_same else "next"
    if name == SPACE:
        return one(voice, where.ahead(item), _space_used(voice, item))
    if name == TIP and name not in where.marks:
        return one(voice, where.ahead(item), voice.noun("tip", (1,)))
    if name == CHAIN:
        return one(voice, which, voice.noun("chain", (1,)))
    stitch = vocabulary("US").find(name)
    if stitch is not None:
        return one(voice, where.ahead(item), voice.stitch(stitch))
    several = where.names.get(name, 1) > 1
    if not several and name not in where.marks:
        return voice.say(f"places.own.{which}", name=name)
    place = _space_used(voice, item) if kinds_used(item) == {"space"} else noun(voice, item, (1,))
    if several and where.in_same:
        return one(voice, "same", place)
    if several:
        return voice.say("places.middle-of", noun=place, name=name)
    return voice.say(f"places.marked.{which}", noun=place, name=name)


# ---- passed and skipped ------------------------------------------------------------------------------------


def passed(voice: Voice, item: Across, where: Where) -> list[str]:
    """Return the words for what a look-ahead goes past, if that is to be said."""
    target = getattr(item.step, "target", None)
    if target is None or where.in_same or not any(worked.passed for worked in item.present):
        return []
    if _from_hook(item, target, where):
        return []
    return [voice.say("places.skip", places=_stretch(voice, item, _passed_places, where.nearest))]


def skipped(voice: Voice, item: Across, where: Where) -> str:
    """Return the words for an author's own skip."""
    return voice.say("places.skip", places=_stretch(voice, item, _all_places, where.nearest))


def rest_left(voice: Voice, item: Across) -> list[str]:
    """Return the words for what a bracket leaves at the end of a row, if it leaves anything."""
    if not any(worked.rest for worked in item.present):
        return []
    return [voice.say("places.leave", places=_stretch(voice, item, _rest))]


def left(voice: Voice, item: Across) -> str:
    """Return the words for places left at the end of a row."""
    return voice.say("places.leave", places=_stretch(voice, item, _used_places))


def slipped_over(voice: Voice, parts: Segments) -> str:
    """Return the places that a round is slip stitched over to reach its first one."""
    words = []
    for kind, chains, count in runs(parts) or []:
        words.append(
            voice.say_many(
                "places.slipped", (count,), places=_named_run(voice, kind, chains, (count,), "next")
            )
        )
    return voice.listed(words)


def _passed_places(worked: Worked) -> Segments:
    return worked.passed


def _used_places(worked: Worked) -> Segments:
    return worked.used


def _rest(worked: Worked) -> Segments:
    return worked.rest


def _all_places(worked: Worked) -> Segments:
    return (*worked.passed, *worked.used)


def _stretch(voice: Voice, item: Across, which: Callable[[Worked], Segments], nearest: str = "") -> str:
    """Return places by kind: `the next 2 stitches and the next chain-2 space`; without `nearest`, bare."""
    parts = [which(worked) if worked is not None else () for worked in item.each]
    described = [runs(each) for each in parts]
    shapes = {tuple((kind, chains) for kind, chains, _ in each) for each in described if each}
    if len(shapes) != 1 or None in described:
        count = tuple(places(each) for each in parts)
        noun = voice.noun("place", count)
        return over(voice, nearest, count, noun) if nearest else voice.counted("place", count)
    (shape,) = shapes
    words_of = []
    for index, (kind, chains) in enumerate(shape):
        count = tuple(each[index][2] if each else 0 for each in described)
        words_of.append(_named_run(voice, kind, chains, count, nearest and ("next" if index else nearest)))
    return voice.listed(words_of)


def _named_run(voice: Voice, kind: str, chains: int, count: Numbers, which: str) -> str:
    noun = spaces_of(voice, chains, count) if kind == "space" else voice.noun(kind, count)
    if set(count) == {1}:
        return one(voice, which, noun) if which else str(noun)
    return over(voice, which, count, noun) if which else f"{sized(count)} {noun}"
