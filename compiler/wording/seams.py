"""Seams: which edge meets which, how, and place for place or not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...lang.seams import Method
from ...lang.stitches import vocabulary
from ..counted import CountedMakingUp, CountedSeam, Length
from ..document import Picture, Prose, Section
from ..plan import Along, Remark
from .along import CORNERS, along_noun, edge_name, end_name, goes_round, part_name
from .phrases import Numbers, Voice, sentence
from .sections import remark


def made_up(
    voice: Voice, groups: Sequence[CountedMakingUp], title: str, anchor: str, told: set[str]
) -> Section:
    """Return seams that stand together, all sizes side by side.

    `told` has the methods that are explained already, and takes in those that are explained here.
    """
    entries: list[Prose | Picture] = []
    for index, part in enumerate(groups[0].parts):
        if isinstance(part, Remark):
            if part.node.key != "finish":
                entries.append(remark(part.node))
            continue
        seams = [each for group in groups if isinstance(each := group.parts[index], CountedSeam)]
        method = part.plan.method
        if method is not None and method.key not in told:
            told.add(method.key)
            entries.append(Prose("seam", explained(voice, method)))
        entries.append(Prose("seam", " ".join(_seam(voice, seams))))
    return Section(title, anchor, tuple(entries))


def explained(voice: Voice, method: Method) -> str:
    """Return how a seam is worked."""
    return sentence(voice.say(f"seams.way.{method.key}", stitch=_stitch(voice, method)))


def in_method(voice: Voice, method: Method) -> str:
    """Return `in whip stitch`, `with single crochet`, and a blank before it."""
    return voice.say(f"seams.by.{method.key}", stitch=_stitch(voice, method))


def _stitch(voice: Voice, method: Method) -> str:
    """Return the stitch that a seam is worked in, empty where it is sewn."""
    if method.sewn:
        return ""
    stitch = vocabulary("US").find(method.key)
    assert stitch is not None
    return voice.stitch(stitch)


def _seam(voice: Voice, seams: Sequence[CountedSeam]) -> Iterator[str]:
    seam = seams[0]
    plan = seam.plan
    verb = "sew" if plan.method is None or plan.method.sewn else "join"
    copies = seam.between_copies
    one, other = (voice.say("seams.one"), voice.say("seams.other")) if copies else ("", "")
    seam_said = voice.say(
        f"seams.seam.{verb}.{'copies' if copies else 'edges'}",
        piece=voice.piece(plan.first[0].title),
        one=_side(voice, seams, first=True, piece=one),
        other=_side(voice, seams, first=copies, piece=other),
        way="" if plan.method is None else in_method(voice, plan.method),
        ends=_ends(voice, seam),
    )
    yield sentence(voice.say("seams.with-lengths", seam=seam_said, lengths=_lengths(voice, seams)))
    times = tuple(each.times for each in seams)
    if set(times) != {1}:
        yield voice.say("seams.times", times=voice.times(times))


def _side(voice: Voice, seams: Sequence[CountedSeam], *, first: bool, piece: str = "") -> str:
    sides = [seam.plan.first if first else seam.plan.second for seam in seams]
    return voice.listed(
        [
            _edge(voice, along, tuple(side[n].count for side in sides), piece)
            for n, along in enumerate(sides[0])
        ]
    )


def _edge(voice: Voice, along: Along, count: Numbers, piece: str) -> str:
    piece = piece or voice.piece(along.title)
    if along.edge == "around" and not along.in_rounds:
        return voice.say("seams.all-round", piece=piece)
    if along.end is None:
        return edge_name(voice, along, piece)
    if along.edge in CORNERS and not goes_round(along):
        end = end_name(voice, along.edge, CORNERS[along.edge][along.end == "last"], piece)
        return voice.say_many("seams.places-at", count, noun=along_noun(voice, along, count), end=end)
    return part_name(voice, along, count, piece)


def _ends(voice: Voice, seam: CountedSeam) -> str:
    """Return which end meets which: the places of the one go against those of the other."""
    first, second = seam.plan.first[0], seam.plan.second[-1]
    if any(goes_round(each) and each.end is None for each in (first, second)):
        return ""
    ends = [
        voice.say(f"seams.end.{_end(along, last=last)}", noun=along_noun(voice, along))
        for along, last in ((first, False), (second, True))
    ]
    return voice.say("seams.ends", one=ends[0], other=ends[1])


def _end(along: Along, *, last: bool) -> str:
    if along.edge in CORNERS and along.row is None and not goes_round(along):
        return CORNERS[along.edge][last]
    return "last" if last else "first"


def _lengths(voice: Voice, seams: Sequence[CountedSeam]) -> str:
    one, other = (length_words(voice, [pick(seam) for seam in seams]) for pick in (_first, _second))
    if all(seam.first.places == seam.second.places for seam in seams):
        how = "one-to-one"
    else:
        how = "eased" if seams[0].plan.node.eased else "spread"
    return voice.say(f"seams.lengths.{how}", one=one, other=other)


def _first(seam: CountedSeam) -> Length:
    return seam.first


def _second(seam: CountedSeam) -> Length:
    return seam.second


def length_words(voice: Voice, lengths: Sequence[Length]) -> str:
    """Return `36 stitches`, `20 stitches and 8 row ends`."""
    stitches = tuple(each.stitches for each in lengths)
    ends = tuple(each.row_ends for each in lengths)
    words = []
    if any(stitches) or not any(ends):
        words.append(voice.counted("stitch", stitches))
    if any(ends):
        words.append(voice.counted("row end", ends))
    return voice.listed(words)
