"""Seams, as the English says which edge meets which: every place once, and as long as one another."""

import re
from collections.abc import Iterable

from .along import CORNERS, Done, called, order, piece_of, some
from .hook import Made
from .words import ReadingError

LENGTH = r"(?:\d+ stitch(?:es)?)?(?: and )?(?:\d+ row ends?)?"
NOUN = r"(?:place|stitch|row end|loop|chain)"
SEAM = re.compile(
    r"(?:sew|join) (?P<what>.+?)(?: (?:in|with) (?P<way>[a-z ]+?))?"
    rf"(?:, (?:the )?(?P<near>\w+ (?:end|{NOUN})) of (?:the )?one"
    rf" at (?:the )?(?P<far>\w+ (?:end|{NOUN})) of (?:the )?other)?"
    rf": (?P<one>{LENGTH}) to (?P<other>{LENGTH}), "
    r"(?P<how>one to one|easing in the longer edge evenly|spread evenly)\."
    r"(?: work this seam (?P<times>twice|\d+ times)\.)?"
)
NOUN_OF = {"run": "stitch", "loops": "loop"}
COPIES = re.compile(
    r"two copies of (?:the )?(?P<title>.+) together, (?P<one>.+) of one to (?P<two>.+) of (?:the )?other"
)
PART = re.compile(
    r"(?:(?:the )?(?P<count>\d+) (?P<one>stitch(?:es)?|row ends?|places?) at (?:the )?(?P<near>\w+) end of |"
    r"(?:the )?(?P<which>first|last) (?P<many>\d+) (?P<other>stitch(?:es)?|row ends?|places?|loops?) of )?"
    r"(?:the )?(?:(?P<edge>top|left|right|foundation) edge|(?P<round>last round)|“(?P<run>[^”]+)” stitches|"
    r"free (?P<loop>front|back) loops of (?:row|round) (?P<row>\d+)) of (?:the )?(?P<title>.+)"
)
ROUND = re.compile(r"all round (?:the )?(?P<title>.+)")
EXPLAINED = re.compile(r"(?P<way>[a-z ]+?)(?: seam)?: (?:hold|lay) the pieces")


def sew(lines: Iterable[str], done: dict[str, Done], ways: set[str]) -> None:
    """Follow seams that stand together; `ways` are those explained so far. Raises ReadingError."""
    for line in lines:
        said = line.lower()
        if explained := EXPLAINED.match(said):
            ways.add(explained["way"])
        elif re.match(r"(?:sew|join) ", said):
            seam = SEAM.fullmatch(said)
            if not seam:
                raise ReadingError("this seam is not understood", line)
            if seam["way"] and seam["way"] not in ways:
                raise ReadingError(f"how is {seam['way']} worked?", line)
            _seam(seam, done)


def _seam(seam: re.Match[str], done: dict[str, Done]) -> None:
    times = {None: 1, "twice": 2}.get(seam["times"]) or int(seam["times"].split()[0])
    if copies := COPIES.fullmatch(seam["what"]):
        sides = [f"{copies[each]} of {copies['title']}" for each in ("one", "two")]
    else:
        sides = re.split(r" to (?=the |all |\d|top|left|right|foundation|last|free|“)", seam["what"])
    if len(sides) != 2:
        raise ReadingError("a seam joins two edges", seam["what"])
    places, ends = [], []
    for side in sides:
        met: list[Made] = []
        names: list[str] = []
        for edge in re.split(r" and (?=the |all |\d|top|left|right|foundation|last|free|“)", side):
            name, found = _edge(edge, done, times)
            met += found
            names.append(name)
        places.append(met)
        ends.append(names)
    for said, met in zip((seam["one"], seam["other"]), places, strict=True):
        if said != (have := length(met)):
            raise ReadingError(f"this edge has {have}, the text says {said}", seam[0])
    _meeting(seam, ends[0][0], ends[1][-1])
    one, two = (sum(_size(each) for each in met) for met in places)
    sorts = {each.name == "row end" for met in places for each in met}
    if (seam["how"] == "one to one") != (one == two) or (seam["how"] == "spread evenly" and len(sorts) < 2):
        raise ReadingError(f"{one} places meet {two}", seam[0])


def _meeting(seam: re.Match[str], first: str, second: str) -> None:
    """Right sides out, the places of one edge go against those of the other."""
    near = f"{CORNERS[first][0]} end" if first in CORNERS else f"first {NOUN_OF.get(first, 'place')}"
    far = f"{CORNERS[second][1]} end" if second in CORNERS else f"last {NOUN_OF.get(second, 'place')}"
    if "" in (first, second):
        near = far = ""
    if (seam["near"] or "", seam["far"] or "") != (near, far):
        raise ReadingError(f"the {near} of the one meets the {far} of the other", seam[0])


def _edge(said: str, done: dict[str, Done], copies: int) -> tuple[str, list[Made]]:
    """The edge's name, empty where it has no ends, and the places that are sewn."""
    if all_round := ROUND.fullmatch(said):
        piece = piece_of(all_round["title"], done)
        sides = ("top", "left", "foundation", "right")
        return "", [each for side in sides for each in piece.use(side, order(piece, side), copies)]
    found = PART.fullmatch(said)
    if not found:
        raise ReadingError("which edge is this?", said)
    piece = piece_of(found["title"], done)
    if found["run"]:
        return "run", some(piece.run(found["run"]), found["which"], found["many"])
    if found["loop"]:
        key = (int(found["row"]), found["loop"])
        piece.take(("loops", *key))
        return "loops", some([Made("loop")] * piece.loops.get(key, 0), found["which"], found["many"])
    name = "top" if found["round"] else found["edge"]
    called(found["one"] or found["other"], name, piece)
    which, many = found["which"], found["many"]
    if found["near"]:
        if found["near"] not in CORNERS[name]:
            raise ReadingError(f"the {name} edge has no {found['near']} end", said)
        which, many = ("first", "last")[CORNERS[name].index(found["near"])], found["count"]
    places = piece.use(name, some(order(piece, name), which, many), copies)
    return ("" if piece.around and not many else name), places


def _size(place: Made) -> int:
    return (place.chains or 0) if place.is_space else int(place.name != "tip")


def length(places: list[Made]) -> str:
    """So many stitches, so many row ends; a space is as long as its chains."""
    ends = sum(place.name == "row end" for place in places)
    stitches = sum(_size(place) for place in places) - ends
    words = []
    if stitches or not ends:
        words.append(f"{stitches} stitch{'' if stitches == 1 else 'es'}")
    if ends:
        words.append(f"{ends} row end{'' if ends == 1 else 's'}")
    return " and ".join(words)
