"""Items spread over an edge as English: which of its places they go into."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from ..counted import Worked
from ..spread import even_gap, place_of, spread_places
from ..steps import BracketStep, OwnStep, SpreadStep, Step, StitchStep
from .aligned import Across
from .phrases import Numbers, Voice, sized
from .places import Where, any_noun

MOST_LISTED = 12
"""Places that are listed although the gaps between them are all the same."""

Said = Callable[[Across], str]
"""Words one item without its place."""


def spread_out(voice: Voice, item: Across, where: Where, said: Said) -> str:
    """Return the words for items spread over all the places that are left."""
    many = [_places_in(worked) for worked in item.present]
    leaving = any(few < worked.count for few, worked in zip(many, item.present, strict=True))
    over = voice.say(
        "spreading.whole" if where.whole_row else "spreading.rest",
        count=sized(item.count),
        noun=any_noun(voice, item, item.count),
        leaving=voice.say("spreading.leaving") if leaving else "",
    )
    return voice.say("spreading.spread", over=over, items=_told(voice, item, where, said))


def _told(voice: Voice, item: Across, where: Where, said: Said) -> str:
    """Return what is spread, with its places: for all sizes together if that can be, else size by size."""
    gaps = [_gap_told(worked, where) for worked in item.present]
    if None not in gaps:
        return _in_every(voice, item, tuple(gap or 0 for gap in gaps), said)
    if len(gaps) == 1 or not any(gaps):
        parts = [list(_singly(worked.body)) for worked in item.present]
        if len({tuple(map(_like, part)) for part in parts}) == 1:
            return _placed(voice, item.present, parts, where, said)
    sizes = []
    for index, (worked, gap) in enumerate(zip(item.present, gaps, strict=True)):
        if gap is not None:
            words = _in_every(voice, Across((worked,)), (gap,), said)
        else:
            words = _placed(voice, (worked,), [list(_singly(worked.body))], where, said)
        sizes.append(voice.say("spreading.of-size", nth=voice.ordinal(index + 1), items=words))
    return "; ".join(sizes)


def _gap_told(worked: Worked, where: Where) -> int | None:
    """Return the gap between places if that tells all of them; None if they are to be listed."""
    many = _places_in(worked)
    if many <= MOST_LISTED:
        return None
    return even_gap(many, worked.count, in_round=where.in_round)


def _singly(body: Sequence[Worked]) -> Iterator[Worked]:
    """Yield what is spread, every stitch that has a place of its own by itself."""
    for worked in body:
        step = worked.step
        if isinstance(step, BracketStep):
            for _ in range(worked.count):
                yield from _singly(worked.body)
        elif isinstance(step, OwnStep) or (isinstance(step, StitchStep) and step.target is None):
            for _ in range(worked.count):
                yield replace(worked, step=replace(step, count=1), count=1)
        else:
            yield worked


def _places_in(worked: Worked) -> int:
    assert isinstance(worked.step, SpreadStep)
    return spread_places(worked.step.body)


def _like(worked: Worked) -> tuple[Step, int]:
    return worked.step, worked.count


def _placed(
    voice: Voice, each: Sequence[Worked], parts: Sequence[Sequence[Worked]], where: Where, said: Said
) -> str:
    """Name the place of every stitch; like ones one after another are named together."""
    found: list[tuple[str, list[str]]] = []
    places = [list(_positions(worked, part, where)) for worked, part in zip(each, parts, strict=True)]
    for index in range(len(parts[0])):
        words = said(Across(tuple(part[index] for part in parts)))
        at = tuple(positions[index] for positions in places)
        spot = (
            [voice.ordinals(tuple(place + 1 for place in at if place is not None))] if None not in at else []
        )
        if found and spot and found[-1][0] == words and found[-1][1]:
            found[-1][1].extend(spot)
        else:
            found.append((words, spot))
    phrases = []
    for words, spots in found:
        if not spots:
            phrases.append(words)
            continue
        one, noun = (any_noun(voice, Across(tuple(each)), (many,)) for many in (1, len(spots)))
        at_all = voice.listed(spots)
        phrases.append(voice.say("spreading.at", items=words, places=at_all, one=one, noun=noun))
    return ", ".join(phrases)


def _positions(worked: Worked, parts: Sequence[Worked], where: Where) -> Iterator[int | None]:
    """Yield the place of each part, counted from 0; None for what uses no place."""
    many = _places_in(worked)
    uses = [spread_places((part.step,)) for part in parts]
    # A turning chain may stand for the first of them: those that are left are the last ones.
    index = many - sum(uses)
    for use in uses:
        yield place_of(index, many, worked.count, in_round=where.in_round) if use else None
        index += use


def _in_every(voice: Voice, item: Across, gap: Numbers, said: Said) -> str:
    """Return what is spread, and the gap from place to place."""
    start = (1,) if _begins(item) else tuple(1 + each for each in gap)
    return voice.say_many(
        "spreading.in-every",
        gap,
        items=", ".join(_several(voice, part, said) for part in item.body),
        gap=voice.ordinals(gap),
        noun=any_noun(voice, item, (1,)),
        first=voice.ordinals(start),
    )


def _begins(item: Across) -> bool:
    """Tell whether the first place is still to be worked: a turning chain may have taken it."""
    return sum(map(_uses, item.any.body)) == _places_in(item.any)


def _uses(worked: Worked) -> int:
    step = worked.step
    if isinstance(step, BracketStep):
        return worked.count * sum(map(_uses, worked.body))
    if isinstance(step, OwnStep) or (isinstance(step, StitchStep) and step.target is None):
        return worked.count * spread_places((replace(step, count=1),))
    return spread_places((step,))


def _several(voice: Voice, part: Across, said: Said) -> str:
    if isinstance(part.step, BracketStep):
        inside = ", ".join(_several(voice, each, said) for each in part.body)
        return voice.say("spreading.times", items=inside, count=sized(part.count))
    step = part.step
    if set(part.count) != {1} and (
        isinstance(step, OwnStep) or (isinstance(step, StitchStep) and step.target is None)
    ):
        one = Across(
            tuple(worked and replace(worked, step=replace(step, count=1), count=1) for worked in part.each)
        )
        return voice.say("spreading.times", items=said(one), count=sized(part.count))
    return said(part)
