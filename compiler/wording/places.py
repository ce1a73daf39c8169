"""Places as English: what is worked into, what is passed, what is skipped."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from ...lang.stitches import vocabulary
from ..counted import Worked
from ..fabric import CHAIN, SPACE, TIP, Place, Run, Segments, places
from ..steps import BracketStep, SkipStep, StitchStep, Target
from .aligned import PLACE_NOUNS, Across, runs
from .phrases import Numbers, Voice, listed, ordinal, ordinals, sized

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
    last_place: str = "place"
    """What the stitch before was worked into, for `same`."""
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

    def which(self, item: Across) -> str:
        """Return the word before a place: `next`, `last`, or `same`."""
        if self.in_same:
            return "same"
        return "last" if item.to_last and self.top else "next"

    def run(self, item: Across, count: Numbers) -> str:
        """Return the words before several places: `next 8`, `last 8`, or `8` where these are all."""
        alone = self.from_start and item.to_last and self.top and not self.in_same
        return sized(count) if alone else f"{self.which(item)} {sized(count)}"


# ---- what sort of place ------------------------------------------------------------------------------------


def sorts(parts: Segments) -> frozenset[Place]:
    """Return the different places among segments."""
    found: frozenset[Place] = frozenset()
    for part in parts:
        found |= {part.place} if type(part) is Run else sorts(part.parts)  # type: ignore[union-attr]
    return found


def kinds_of(parts: Segments) -> set[str]:
    """Return the nouns of the places among segments: `stitch`, `chain`, `space`."""
    return {PLACE_NOUNS.get(place.kind, "stitch") for place in sorts(parts)}


def kinds_used(item: Across) -> set[str]:
    """Return the nouns of what an item uses, in any size."""
    return {kind for worked in item.present for kind in kinds_of(worked.used)}


def noun(voice: Voice, item: Across, count: Numbers) -> str:
    """Return the noun of what stitches are worked into: chains on a foundation, else stitches."""
    kinds = kinds_used(item)
    if kinds == {"chain", "stitch"}:
        return f"{voice.noun('chain', count)} and {voice.noun('stitch', count)}"
    of_edges = kinds & {"chain", "row end", "loop", "place", "tip", "join"}
    if not of_edges:
        return voice.noun("stitch", count)
    return voice.noun(kinds.pop() if len(kinds) == 1 else "place", count)


def any_noun(voice: Voice, item: Across, count: Numbers) -> str:
    """Return the noun of what an item uses, whatever it is."""
    kinds = kinds_used(item)
    return voice.noun(kinds.pop() if len(kinds) == 1 else "place", count)


def space(voice: Voice, parts: Segments) -> str:
    """Return `chain-2 space`, or `chain space` where they differ."""
    chains = {place.chains for place in sorts(parts)}
    size = f"-{chains.pop()}" if len(chains) == 1 and chains != {0} else ""
    return f"{voice.chain}{size} {voice.word('space', 'sp')}"


def spaces(voice: Voice, item: Across, count: Numbers) -> str:
    """Return `chain-2 space` or `chain-2 spaces` for those that a bracket is worked in."""
    one = space(voice, tuple(part for inner in item.body for worked in inner.present for part in worked.used))
    many = voice.word("spaces", "sps")
    return one if set(count) == {1} else f"{one.rsplit(' ', 1)[0]} {many}"


def _space_used(voice: Voice, item: Across) -> str:
    return space(voice, tuple(part for worked in item.present for part in worked.used))


def place_name(voice: Voice, item: Across) -> str:
    """Return what an item was last worked into, for `the same ...` after it; empty if it was nothing."""
    if isinstance(item.step, SkipStep):
        return ""
    if isinstance(item.step, BracketStep):
        return next(filter(None, (place_name(voice, each) for each in reversed(item.body))), "")
    target = getattr(item.step, "target", None)
    if target is not None and (target.is_made_here or target.kind in ("ring", "gap", "start")):
        return "place" if target.kind == "start" else str(target.name)
    back = {kind for worked in item.present if worked.back for kind in kinds_of(worked.back.skipped)}
    match back or kinds_used(item):
        case kinds if kinds == {"space"}:
            return voice.word("space", "sp")
        case kinds if kinds == {"stitch"}:
            return voice.noun("stitch", (1,))
        case kinds if kinds == {"chain"}:
            return voice.chain
        case kinds if len(kinds) == 1:
            return voice.noun(kinds.pop(), (1,))
    return ""


# ---- worked into -------------------------------------------------------------------------------------------


def each_of(voice: Voice, item: Across, where: Where, *, each: bool = False) -> str:
    """Return the places of a run: `each of the next 8 stitches`, `the last stitch`, `each stitch across`."""
    uses = tuple(places(worked.used) if worked is not None else 0 for worked in item.each)
    if where.whole_row and item.to_last and min(uses) > 1:
        return f"each {noun(voice, item, (1,))} {'around' if where.in_round else 'across'}"
    many = noun(voice, item, uses)
    if where.named:
        return where.named
    if set(uses) == {1}:
        return voice.the(f"{where.which(item)} {many}")
    if parts := _runs_of(voice, item, where):
        return " and in ".join(parts)
    run = where.run(item, uses)
    article = voice.the(f"{run} {many}")
    return f"each of {article}" if voice.full or each or run[0].isdigit() else article


def _runs_of(voice: Voice, item: Across, where: Where) -> list[str]:
    """Return the places of a run by what they are, where the join of two motifs is one of them."""
    described = [runs(worked.used, MOST_RUNS) for worked in item.present]
    if "join" not in kinds_used(item) or len(set(map(str, described))) != 1 or described[0] is None:
        return []
    words = []
    for index, (kind, _, count) in enumerate(described[0]):
        last = index == len(described[0]) - 1
        which = where.which(item) if last else "next"
        many = voice.noun(kind, (count,))
        some = voice.the(f"{which} {many}" if count == 1 else f"{which} {count} {many}")
        words.append(some if count == 1 or not voice.full else f"each of {some}")
    return words


def below(voice: Voice, item: Across, rows: int, place: str, where: Where) -> str:
    """Return what lies so many rows below a place: a stitch, but below a space that is not known."""
    unit = "round" if where.in_round else "row"
    what = "place" if "space" in kinds_used(item) else "stitch"
    return f"{voice.the(voice.noun(what, (1,)))} {rows} {unit}{'s' * (rows > 1)} below {place}"


def into(voice: Voice, item: Across, target: Target, where: Where) -> str:
    """Return where an item is worked, with its preposition."""
    step = item.step
    loop = getattr(step, "loop", None)
    if target.kind == "cord":
        return f"over {voice.the('cord')} alone"
    preposition = "in" if not loop or loop == where.loop else voice.loop(loop, row=False)
    if isinstance(step, StitchStep) and step.stitch.family == "post":
        preposition = "around"
    if target.kind == "edge":
        assert isinstance(step, StitchStep)
        return f"{preposition} {voice.the('row end')} {step.below + 1} rows below this row"
    place = _target(voice, item, target, where)
    if isinstance(step, StitchStep) and step.below:
        place = below(voice, item, step.below, place, where)
    return f"{preposition} {place}"


def _target(voice: Voice, item: Across, target: Target, where: Where) -> str:
    match target.kind:
        case "st" if where.named:
            return where.named
        case "st":
            return voice.the(f"{where.which(item)} {noun(voice, item, (1,))}")
        case "same":
            return voice.the(f"same {where.last_place}")
        case "top" if isinstance(target.which, int):
            first = voice.the(ordinal(target.which))
            return f"{first} {voice.chain} from {voice.the('hook')} to close a picot"
        case "top":
            made = f"{voice.noun('stitch', (1,))} just made"
            return f"{voice.the('top of')} {voice.the(made)}"
        case "stem":
            made = f"last {voice.noun('stitch', (1,))} made"
            return f"{voice.the('middle of')} {voice.the('post of')} {voice.the(made)}"
        case "skipped":
            return _skipped_before(voice, item)
        case "gap":
            after = voice.the(f"next {voice.noun('stitch', (1,))}")
            return f"{voice.the('gap')} before {after}"
        case "start":
            return f"{voice.the('place')} where {voice.the('round')} began"
        case "ring":
            return voice.the("ring")
        case "own ring" | "arch":
            return f"this {target.name}"
        case "chain":
            return _single_chain(voice, item, target, where)
        case _:
            return _ahead(voice, item, target, where)


def made_for(voice: Voice, target: Target | None) -> tuple[str, str]:
    """Return the words for a ring or an arch made for what goes into it, before and behind that."""
    if target is None or not target.is_made_here:
        return "", ""
    slip = vocabulary("US").find("ss")
    assert slip is not None
    slipped, chains = voice.stitch(slip), f"{voice.chain} {target.chains}"
    one = voice.noun("stitch", (1,))
    if target.over:
        back = f"{voice.the(f'{ordinal(target.over)} {one}')} counted back from {voice.the('hook')}"
        return f"{chains}, turn, {slipped} in {back}, turn, ", ""
    first = f"{voice.the(ordinal(target.chains))} {voice.chain} from {voice.the('hook')}"
    closed = f"{voice.the(f'first {one}')} of this ring"
    return f"{chains}, {slipped} in {first} to form a ring, ", f", {slipped} in {closed}"


def _skipped_before(voice: Voice, item: Across) -> str:
    """Return which of the places skipped before an item goes back to."""
    backs = [worked.back for worked in item.present if worked.back is not None]
    count = tuple(places(back.skipped) for back in backs)
    kinds = {kind for back in backs for kind in kinds_of(back.skipped)}
    name = voice.noun(kinds.pop() if len(kinds) == 1 else "place", count)
    passed_over = "skipped" if voice.dialect == "US" else "missed"
    if set(count) == {1}:
        return voice.the(f"{passed_over} {name}")
    of = voice.the(f"{sized(count)} {passed_over} {name}")
    if not any(back.which for back in backs):
        return f"each of {of}"
    which = voice.the(ordinals(tuple(back.which for back in backs)))
    return f"{which} of {of}"


def _from_hook(item: Across, target: Target, where: Where) -> bool:
    """Tell whether a single chain is named by its number from the hook."""
    return where.from_hook and isinstance(target.which, int) and kinds_used(item) == {"chain"}


def _single_chain(voice: Voice, item: Across, target: Target, where: Where) -> str:
    if isinstance(target.which, int) and _from_hook(item, target, where):
        return f"{voice.the(ordinal(target.which))} {voice.chain} from {voice.the('hook')}"
    if item.any.used:
        which = "same" if where.in_same else "next"
        of = f"{voice.chain} of {voice.the(which)} {_space_used(voice, item)}"
    else:
        of = f"{voice.chain} of {voice.the('same')} {voice.word('space', 'sp')}"
    match target.which:
        case "each":
            return f"each {of}"
        case "middle":
            return f"{voice.the('middle')} {of}"
        case number:
            assert isinstance(number, int)
            return f"{voice.the(ordinal(number))} {of}"


def _ahead(voice: Voice, item: Across, target: Target, where: Where) -> str:
    name = target.name
    which = "same" if where.in_same else "next"
    if name == SPACE:
        return voice.the(f"{which} {_space_used(voice, item)}")
    if name == TIP and name not in where.marks:
        return voice.the(f"{which} {voice.noun('tip', (1,))}")
    if name == CHAIN:
        return voice.the(f"{which} {voice.chain}")
    stitch = vocabulary("US").find(name)
    if stitch is not None:
        return voice.the(f"{which} {voice.stitch(stitch)}")
    place = _space_used(voice, item) if kinds_used(item) == {"space"} else noun(voice, item, (1,))
    if where.names.get(name, 1) > 1 and where.in_same:
        return voice.the(f"same {place}")
    if where.names.get(name, 1) > 1:
        center = "center" if voice.dialect == "US" else "centre"
        return f"{voice.the(center)} {place} of {voice.the(which)} “{name}”"
    return voice.the(f"{which} {place} marked “{name}”" if name in where.marks else f"{which} “{name}”")


# ---- passed and skipped ------------------------------------------------------------------------------------


def passed(voice: Voice, item: Across, where: Where) -> list[str]:
    """Return the words for what a look-ahead goes past, if that is to be said."""
    target = getattr(item.step, "target", None)
    if target is None or where.in_same or not any(worked.passed for worked in item.present):
        return []
    if _from_hook(item, target, where):
        return []
    return [f"{voice.skip} {_stretch(voice, item, _passed_places)}"]


def skipped(voice: Voice, item: Across) -> str:
    """Return the words for an author's own skip."""
    return f"{voice.skip} {_stretch(voice, item, _all_places)}"


def rest_left(voice: Voice, item: Across) -> list[str]:
    """Return the words for what a bracket leaves at the end of a row, if it leaves anything."""
    if not any(worked.rest for worked in item.present):
        return []
    return [f"leave {voice.the('remaining')} {_stretch(voice, item, _rest, leaving=True)} unworked"]


def left(voice: Voice, item: Across) -> str:
    """Return the words for places left at the end of a row."""
    return f"leave {voice.the('remaining')} {_stretch(voice, item, _used_places, leaving=True)} unworked"


def slipped_over(voice: Voice, parts: Segments) -> str:
    """Return the places that a round is slip stitched over to reach its first one."""
    words = []
    for kind, chains, count in runs(parts) or []:
        each = "each of " if count > 1 and voice.full else ""
        words.append(f"in {each}{_named_run(voice, kind, chains, (count,))}")
    return listed(words)


def _passed_places(worked: Worked) -> Segments:
    return worked.passed


def _used_places(worked: Worked) -> Segments:
    return worked.used


def _rest(worked: Worked) -> Segments:
    return worked.rest


def _all_places(worked: Worked) -> Segments:
    return (*worked.passed, *worked.used)


def _stretch(
    voice: Voice, item: Across, which: Callable[[Worked], Segments], *, leaving: bool = False
) -> str:
    """Return places by kind: `the next 2 stitches and the next chain-2 space`."""
    parts = [which(worked) if worked is not None else () for worked in item.each]
    described = [runs(each) for each in parts]
    shapes = {tuple((kind, chains) for kind, chains, _ in each) for each in described if each}
    if len(shapes) != 1 or None in described:
        count = tuple(places(each) for each in parts)
        words = f"{sized(count)} {voice.noun('place', count)}"
        return words if leaving else f"{voice.the('next')} {words}"
    (shape,) = shapes
    words_of = []
    for index, (kind, chains) in enumerate(shape):
        count = tuple(each[index][2] if each else 0 for each in described)
        words_of.append(_named_run(voice, kind, chains, count, leaving=leaving))
    return listed(words_of)


def _named_run(voice: Voice, kind: str, chains: int, count: Numbers, *, leaving: bool = False) -> str:
    if kind == "space":
        of = voice.word("space", "sp") if set(count) == {1} else voice.word("spaces", "sps")
        name = f"{voice.chain}-{chains} {of}" if chains else f"{voice.chain} {of}"
    else:
        name = voice.noun(kind, count)
    words = name if set(count) == {1} else f"{sized(count)} {name}"
    return words if leaving else voice.the(f"next {words}")
