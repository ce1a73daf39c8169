"""Pieces that are done, and where the English says the next one is begun on their edges."""

import re
from collections import Counter
from dataclasses import dataclass, field
from math import ceil, floor
from typing import TypeVar

from .hook import NO_STITCHES, Made
from .words import JoinTo, ReadingError

STITCH = r"(?P<made>\d+) stitch(?:es)? for every (?:(?P<of>\d+) )?row ends?"
NOUNS = r"places?|stitch(?:es)?|chains?|chain spaces?|row ends?|loops?|tips?|joins?"
BEGUN = re.compile(
    r"with (?:the )?(?P<side>right|wrong) side facing, join (?:the )?yarn(?: \w+)? with (?:a )?slip stitch "
    rf"(?P<where>.+?) and work (?P<along>.+?)(?:, {STITCH})? [\[(](?P<many>\d+) "
    rf"(?P<noun>(?:{NOUNS})(?:(?:, (?:{NOUNS}))* and (?:{NOUNS}))?) in all"
    r"(?:, (?P<corners>\d+) of them “(?P<corner>[^”]+)”(?: and (?P<joins>\d+) where two motifs meet)?)?"
    r"[\])]\."
)
OF = r"(?: of (?:the )?(?P<title>.+))?"
COUNTED = r"(?:stitch(?:es)?|chains?|row ends?|loops?|places?)"
PART = rf"(?:(?P<end>first|last) (?P<count>\d+) (?P<called>{COUNTED}) of (?:the )?)?"
EDGES = re.compile(
    rf"{PART}(?:(?P<edge>top|left|right|foundation) edge|“(?P<run>[^”]+)” stitches|(?P<round>last round)|"
    r"other side of (?:the )?chains “(?P<chains>[^”]+)”|"
    rf"free (?P<loop>front|back) loops of (?:row|round) (?P<row>\d+)){OF}"
)
WHERE = re.compile(
    r"(?:at (?:the )?(?P<corner>\w+) end of (?:the )?|"
    r"in (?:the )?first (?P<noun>stitch|place|chain|chain space|tip) of (?:the )?|"
    r"in (?:the )?first of (?:the )?(?=“)|"
    rf"in (?:the )?first (?=free)|\d+ {COUNTED} before (?:the )?(?P<far>\w+) end of (?:the )?)(?P<rest>.+)"
)
CORNERS = {
    "top": ("right", "left"),
    "left": ("upper", "lower"),
    "foundation": ("left", "right"),
    "right": ("lower", "upper"),
}


@dataclass(slots=True)
class Done:
    """What a maker has in hand of a piece: its edges as met with the right side facing."""

    around: bool = False
    top: list[Made] = field(default_factory=list)
    left: int = 0
    right: int = 0
    foundation: int | None = None
    runs: list[tuple[str, list[Made]]] = field(default_factory=list)
    loops: dict[tuple[int, str], int] = field(default_factory=dict)
    chains: list[tuple[str, int]] = field(default_factory=list)
    """The marked chains that rows made, in order."""
    taken: list[tuple[object, ...]] = field(default_factory=list)
    used: Counter[tuple[str, int]] = field(default_factory=Counter)
    """How often each place of an edge has been worked or sewn into."""
    grid: dict[str, list[Made]] = field(default_factory=dict)
    """The edges of motifs in a grid."""
    begun: list[Made] | None = None
    """The places of the edge that it was begun on, if it was."""
    behind: bool | None = None
    """Whether the wrong side of that edge faced."""
    faces: bool = True
    """Whether the right side faces in the last row: its places are told in the order made."""
    joined: Counter[int] = field(default_factory=Counter)
    """How often each place of the last row has been joined to."""
    picots: list[str | None] = field(default_factory=list)
    """The marks of the picots of the last row, in order."""
    joined_picots: Counter[int] = field(default_factory=Counter)
    """How often each of them has been joined to."""
    copies: int = 1
    laid: int = 0
    """Copies that grids need and make, where the piece itself says nothing of how many are made."""

    def edge(self, name: str) -> list[Made]:
        if self.grid:
            return self.grid[name]
        match name:
            case "top":
                return self.top
            case "foundation":
                if self.foundation is None:
                    raise ReadingError("the piece has no foundation edge")
                return [Made("chain")] * self.foundation
            case _:
                if self.around:
                    raise ReadingError("rounds have no sides")
                return [Made("row end")] * (self.left if name == "left" else self.right)

    def use(self, name: str, at: list[int], copies: int = 1) -> list[Made]:
        """Use up places of an edge, told by where they stand with the right side facing."""
        edge = self.edge(name)
        for place in at:
            self.used[name, place] += copies
            if self.used[name, place] > max(self.copies, self.laid):
                raise ReadingError(f"a place of the {name} edge has been worked into before")
        return [edge[place] for place in at]

    def join(self, to: JoinTo, copies: int) -> None:
        """Join a row to a place of the last row. Raises ReadingError."""
        if to.kind == "picot":
            which = [n for n, mark in enumerate(self.picots) if mark == to.mark]
            self.join_one(to, which, self.joined_picots, copies)
            return
        made = self.top if self.faces else self.top[::-1]
        kinds = {"chain space": True, "stitch": False}
        at = [
            n
            for n, place in enumerate(made)
            if (to.mark in place.marks if to.mark else not place.marks and place.is_space == kinds[to.kind])
        ]
        self.join_one(to, at, self.joined, copies)

    def join_one(self, to: JoinTo, at: list[int], joined: Counter[int], copies: int) -> None:
        """Join one of the places told by their numbers. Raises ReadingError."""
        if to.number is None:
            free = [n for n in at if joined[n] + copies <= self.copies]
            at = free[-1:]
        else:
            at = at[to.number - 1 : to.number]
        if not at or joined[at[0]] + copies > self.copies:
            raise ReadingError(f"there is no such place to be joined to: {to}")
        joined[at[0]] += copies

    def mirrored(self) -> "Done":
        """The piece as it comes out with the other side facing."""
        return Done(
            self.around,
            self.top[::-1],
            self.right,
            self.left,
            self.foundation,
            [(name, places[::-1]) for name, places in self.runs],
            dict(self.loops),
            faces=not self.faces,
        )

    def take(self, key: tuple[object, ...]) -> None:
        if self.taken.count(key) >= self.copies:
            raise ReadingError(f"{key} has been worked into before")
        self.taken.append(key)

    def run(self, name: str) -> list[Made]:
        """The next run of that name that nothing was worked into."""
        marked: list[list[Made]] = []
        inside = False
        for made in self.top:
            if name in made.marks:
                marked = [*marked[:-1], [*marked[-1], made]] if inside else [*marked, [made]]
            inside = name in made.marks
        for n, places in enumerate([*marked, *(places for mark, places in self.runs if mark == name)]):
            if (name, n) not in self.taken:
                self.taken.append((name, n))
                return [Made("chain") if each.name == "chain" else each for each in places]
        raise ReadingError(f"there is no “{name}” to work along")

    def other_side(self, name: str) -> list[Made]:
        """The next chains of that name whose other side is free."""
        for n, (mark, many) in enumerate(self.chains):
            if mark == name and self.taken.count(("chains", n)) < self.copies:
                self.taken.append(("chains", n))
                return [Made("chain")] * many
        raise ReadingError(f"there are no free chains “{name}”")


def begun_along(line: str, done: dict[str, Done]) -> list[Made] | None:
    """The places that a piece is begun on, in the order in which its first row comes to them; None if the
    line says nothing of that. Raises ReadingError."""
    found = BEGUN.fullmatch(line)
    if not found:
        return None
    behind = found["side"] == "wrong"
    where = WHERE.fullmatch(found["where"])
    if not where:
        raise ReadingError("where is the yarn joined?", found["where"])
    rest = where["rest"].replace("loop of", "loops of")
    first = EDGES.fullmatch(rest)
    if not first:
        raise ReadingError("on which edge?", where["rest"])
    stretches: list[list[Made]] = []
    names: list[tuple[str, str | None, str]] = []
    for part in re.split(r", then (?=along|all round)", found["along"]):
        stretches += _part(part, first, done, behind, names)
    name, end, _ = names[0]
    if name in CORNERS and (where["corner"] or where["far"]):
        near, far = CORNERS[name][::-1] if behind else CORNERS[name]
        if where["corner"] and where["corner"] != near:
            raise ReadingError(
                f"the yarn is joined at the {where['corner']} end, the edge is met at the {near}"
            )
        if where["far"] and (where["far"] != far or end != "last"):
            raise ReadingError("the yarn is joined at the wrong end")
    made, of = int(found["made"] or 1), int(found["of"] or 1)
    if found["made"]:
        stretches = _at_ratio(stretches, made, of, int(found["many"]))
    places = [place for stretch in stretches for place in stretch]
    if len(places) != int(found["many"]):
        raise ReadingError(f"there are {len(places)} places, the text says {found['many']}")
    _corners(found, places)
    _called(found["noun"], places, found[0])
    if where["noun"]:
        _called(where["noun"], places[:1], found[0])
    return places


def _called(noun: str, places: list[Made], line: str) -> None:
    """Places are called by what they are; those that are worked at a ratio are stitches."""
    others = {*NO_STITCHES} - {"place"}
    sorts = {
        "chain space" if each.is_space else each.name if each.name in others else "stitch" for each in places
    }
    if {re.sub(r"(?<=stitch)es$|s$", "", each) for each in re.split(r", | and ", noun)} != sorts:
        raise ReadingError(f"these are {' and '.join(sorted(sorts))}", line)


def called(noun: str | None, edge: str, piece: Done) -> None:
    """Some places of an edge are row ends at the sides of rows. Raises ReadingError."""
    row_ends = edge in ("left", "right") and not piece.grid
    if noun and noun.startswith("row end") != row_ends:
        raise ReadingError(f"what are the places of the {edge} edge?", noun)


def _corners(found: re.Match[str], places: list[Made]) -> None:
    """Of motifs in a grid the text says how many corners there are, and how many joins."""
    joins = sum(place.name == "join" for place in places)
    corners = sum(found["corner"] in place.marks for place in places) if found["corner"] else 0
    if (int(found["corners"] or 0), int(found["joins"] or 0)) != (corners, joins):
        raise ReadingError(f"there are {corners} corners and {joins} joins", found[0])


def _part(
    part: str,
    first: re.Match[str],
    done: dict[str, Done],
    behind: bool,
    names: list[tuple[str, str | None, str]],
) -> list[list[Made]]:
    title = (first["title"] or "").removeprefix("the ")
    if (
        round_ := re.fullmatch(r"all round (?P<it>.+?)(?:, along (?P<sides>.+))?", part)
    ) or part == "along it":
        it = title if not round_ or round_["it"] == "it" else round_["it"].removeprefix("the ")
        piece = piece_of(it, done)
        if round_ and round_["sides"]:
            sides = re.findall(r"(top|left|foundation|lower|right) edge", round_["sides"])
            if ("lower" in sides) != bool(piece.grid):
                raise ReadingError("what lies below?", part)
            sides = ["foundation" if side == "lower" else side for side in sides]
            right = ["top", "left", "foundation", "right"]
            if sides != (right[::-1] if behind else right):
                raise ReadingError("these edges do not come one after the other", part)
            names += [(side, None, it) for side in sides]
            return [piece.use(side, order(piece, side, behind)) for side in sides]
        edge = first
    elif part in ("along these loops", f"along these {'chains' if first['chains'] else 'stitches'}"):
        piece, edge = piece_of(title, done), first
    else:
        said = EDGES.fullmatch(re.sub(r"^along (?:the )?", "", part))
        if not said:
            raise ReadingError("along what?", part)
        piece, edge = piece_of((said["title"] or "").removeprefix("the "), done), said
    if edge["loop"]:
        key = (int(edge["row"]), edge["loop"])
        if key not in piece.loops:
            raise ReadingError(f"row {key[0]} has no free {key[1]} loops")
        piece.take(("loops", *key))
        places = [Made("loop")] * piece.loops[key]
        names.append(("loops", edge["end"], title))
    elif edge["chains"]:
        places = piece.other_side(edge["chains"])
        names.append((edge["chains"], edge["end"], title))
    elif edge["run"]:
        places = piece.run(edge["run"])
        places = places[::-1] if behind else places
        names.append((edge["run"], edge["end"], title))
    else:
        name = "top" if edge["round"] else edge["edge"]
        called(edge["called"], name, piece)
        names.append((name, edge["end"], title))
        at = order(piece, name, behind)
        places = piece.use(name, some(at, edge["end"], edge["count"]))
        return [places]
    return [some(places, edge["end"], edge["count"])]


def order(piece: Done, name: str, behind: bool = False) -> list[int]:
    """The places of an edge as they are met, told by where they stand with the right side facing."""
    at = list(range(len(piece.edge(name))))
    return at[::-1] if behind else at


Any = TypeVar("Any")


def some(places: list[Any], end: str | None, count: str | None) -> list[Any]:
    """The first or last of places, or all of them. Raises ReadingError if there are not so many."""
    if end is None or count is None:
        return places
    if int(count) > len(places):
        raise ReadingError(f"there are no {count} places")
    return places[: int(count)] if end == "first" else places[-int(count) :]


def piece_of(title: str, done: dict[str, Done]) -> Done:
    for name, piece in done.items():
        if name.lower().removeprefix("the ") == title:
            return piece
    raise ReadingError(f"there is no piece {title}")


def _at_ratio(stretches: list[list[Made]], made: int, of: int, many: int) -> list[list[Made]]:
    """So many places for so many row ends, rounded in the one way that gives as many as the text says."""

    def picked(way: int) -> list[list[Made]]:
        out = []
        for stretch in stretches:
            if stretch and stretch[0].name == "row end":
                exact = len(stretch) * made / of
                number = (floor(exact), ceil(exact), floor(exact + 0.5))[way]
                out.append([Made("place")] * number)
            else:
                out.append(stretch)
        return out

    for way in range(3):
        if sum(map(len, picked(way))) == many:
            return picked(way)
    return picked(2)
