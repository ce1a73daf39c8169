"""Seams as English: which edge meets which, how, and place for place or not."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...lang.seams import Method
from ...lang.stitches import vocabulary
from ..counted import CountedMakingUp, CountedSeam, Length
from ..document import Picture, Prose, Section
from ..plan import Along, Remark
from .along import CORNERS, edge_name, goes_round
from .phrases import Voice, listed, piece_name, sentence, sized
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
    if method.sewn:
        return sentence(f"{method.key}: {method.way}")
    stitch = _stitch(voice, method)
    return sentence(f"{stitch} seam: {method.way.format(stitch=stitch)}")


def in_method(voice: Voice, method: Method) -> str:
    """Return `in whip stitch`, `with single crochet`."""
    return f" in {method.key}" if method.sewn else f" with {_stitch(voice, method)}"


def _stitch(voice: Voice, method: Method) -> str:
    stitch = vocabulary("US").find(method.key)
    assert stitch is not None
    return voice.stitch(stitch)


def _seam(voice: Voice, seams: Sequence[CountedSeam]) -> Iterator[str]:
    seam = seams[0]
    plan = seam.plan
    verb = "sew" if plan.method is None or plan.method.sewn else "join"
    way = "" if plan.method is None else in_method(voice, plan.method)
    if seam.between_copies:
        copies = f"two copies of {piece_name(voice, plan.first[0].title)} together, "
        one, other = (_side(voice, seams, first=True, piece=each) for each in ("one", voice.the("other")))
        what = f"{copies}{one} to {other}"
    else:
        what = f"{_side(voice, seams, first=True)} to {_side(voice, seams, first=False)}"
    yield sentence(f"{verb} {what}{way}{_ends(voice, seam)}: {_lengths(voice, seams)}")
    times = tuple(each.times for each in seams)
    if set(times) != {1}:
        yield f"Make this seam {sized(times)} times."


def _side(voice: Voice, seams: Sequence[CountedSeam], *, first: bool, piece: str = "") -> str:
    sides = [seam.plan.first if first else seam.plan.second for seam in seams]
    return listed(
        [
            _edge(voice, along, tuple(side[n].count for side in sides), piece)
            for n, along in enumerate(sides[0])
        ]
    )


def _edge(voice: Voice, along: Along, count: tuple[int, ...], piece: str) -> str:
    if along.edge == "around" and not along.in_rounds:
        return f"all round {piece or piece_name(voice, along.title)}"
    name = edge_name(voice, along, piece)
    if along.end is None:
        return name
    places = f"{sized(count)} {voice.noun('place', count)}"
    if along.edge in CORNERS and not goes_round(along):
        end = CORNERS[along.edge][along.end == "last"]
        return f"{voice.the(places)} at {voice.the(f'{end} end')} of {name}"
    return f"{voice.the(f'{along.end} {places}')} of {name}"


def _ends(voice: Voice, seam: CountedSeam) -> str:
    """Return which end meets which: the places of the one go against those of the other."""
    first, second = seam.plan.first[0], seam.plan.second[-1]
    if any(goes_round(each) and each.end is None for each in (first, second)):
        return ""
    one, other = _end(first, last=False), _end(second, last=True)
    return f", {voice.the(one)} of {voice.the('one')} at {voice.the(other)} of {voice.the('other')}"


def _end(along: Along, *, last: bool) -> str:
    if along.edge in CORNERS and along.row is None and not goes_round(along):
        return f"{CORNERS[along.edge][last]} end"
    return "last place" if last else "first place"


def _lengths(voice: Voice, seams: Sequence[CountedSeam]) -> str:
    one, other = (length_words(voice, [pick(seam) for seam in seams]) for pick in (_first, _second))
    even = all(seam.first.places == seam.second.places for seam in seams)
    if even:
        how = "one to one"
    elif seams[0].plan.node.eased:
        how = "easing in the longer edge evenly"
    else:
        how = "spread evenly"
    return f"{one} to {other}, {how}"


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
    return listed(words)
