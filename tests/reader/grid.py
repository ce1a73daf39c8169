"""Motifs in a grid, as the English says which is joined to what: every side, every corner, none twice."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from .along import Done, piece_of
from .hook import Made
from .sewing import EXPLAINED, length
from .words import ReadingError

LAID = re.compile(
    r"(?P<motifs>\d+) motifs, (?P<across>\d+) across and (?P<high>\d+) high, with right sides up"
    r"(?P<lie>, so that .+)?; all but (?:the )?first are joined in round (?P<round>\d+), their last\."
)
COPIES = re.compile(
    r"(?P<motifs>\d+) copies of (?:the )?(?P<title>.+) make the grid: lay them with right sides up, "
    r"(?P<across>\d+) across and (?P<high>\d+) high(?P<lie>, so that .+)?\."
)
LIES = re.compile(
    r", so that (?:the )?first “(?P<corner>[^”]+)” of (?:the )?last round lies at (?:the )?upper right"
)
PLACE = r"“[^”]+”|chain-\d+ space"
WAY = re.compile(
    rf"to join at a (?P<place>{PLACE}), in place of chain (?P<all>\d+): (?:chain (?P<before>\d+), )?"
    rf"slip stitch in (?:the )?(?P<other>{PLACE}) of (?:the )?other motif that faces it"
    r"(?:, chain (?P<after>\d+))?\."
)
FIRST = re.compile(r"first motif: work (?:the )?(?P<title>.+) as it is given\.")
MOTIF = r"work (?:the )?(?P<title>.+?), and join"
ROW = re.compile(
    rf"other (?:(?P<many>\d+) motifs|motif) of (?:the )?first row: {MOTIF} (?:each|it) along one side, "
    r"to (?:the )?motif before it, at (?P<at>.+)\."
)
BELOW = re.compile(
    rf"first motif of (?:each of (?:the )?other (?P<many>\d+) rows|(?:the )?other row): "
    rf"{MOTIF} it along one side, to (?:the )?first motif of (?:the )?row before, at (?P<at>.+)\."
)
BOTH = re.compile(
    r"other (?:(?P<many>\d+) motifs|motif) of each of these rows: "
    rf"{MOTIF} (?:each|it) along two sides that meet, to (?:the )?motif before it "
    r"and to (?:the )?one that it lies against in (?:the )?row before, "
    r"at (?P<at>[^;]+)"
    r"(?:; (?:the )?“(?P<corner>[^”]+)” between these sides is joined where three others meet)?\."
)
JOINS = re.compile(r"this joins (?P<sides>\d+) sides?(?:; four motifs meet at (?P<fours>\d+) points?)?\.")
SIDE_BY_SIDE = re.compile(
    r"(?:sew|join) (?P<what>the motifs of each row side to side|the rows to one another) "
    r"(?:in|with) (?P<way>[a-z ]+): (?P<sides>\d+) (?:sides, each|side,) (?P<one>.+?) to (?P<two>.+?)"
    r"(?:, from “(?P<corner>.+)” to “(?P=corner)”)?, one to one\."
)
FOURS = re.compile(r"four motifs meet at (?P<fours>\d+) points?\.")
SIDES = ("top", "left", "foundation", "right")


@dataclass(slots=True)
class _Grid:
    across: int
    high: int
    lies: str | None = None
    """The corner that lies at the upper right, if the text says so."""
    ways: dict[str, int] = field(default_factory=dict)
    """Places at which motifs are joined, and the chains there."""
    lines: dict[str, re.Match[str]] = field(default_factory=dict)

    def said(self, line: str) -> re.Match[str]:
        if line not in self.lines:
            raise ReadingError(f"nothing is said of the {line}")
        return self.lines[line]


def lay(lines: Sequence[str], done: Mapping[str, Done], ways: set[str], last: Mapping[str, int]) -> Done:
    """Follow how motifs are joined, and return what they make; `last` has the rounds of each piece.

    Raises ReadingError.
    """
    texts = [line.lower() for line in lines if line.strip()]
    joined = next((found for text in texts if (found := LAID.fullmatch(text))), None)
    copies = next((found for text in texts if (found := COPIES.fullmatch(text))), None)
    first = joined or copies
    if not first:
        raise ReadingError("how do the motifs lie?", texts[0] if texts else "")
    grid = _Grid(int(first["across"]), int(first["high"]))
    if first["lie"]:
        lies = LIES.fullmatch(first["lie"])
        if not lies:
            raise ReadingError("how do they lie?", first["lie"])
        grid.lies = lies["corner"]
    if int(first["motifs"]) != grid.across * grid.high:
        raise ReadingError(f"{grid.across} by {grid.high} are {grid.across * grid.high} motifs", first[0])
    for text in texts:
        _line(text, grid, ways)
    if joined:
        title = grid.said("first")["title"]
        motif = piece_of(title, dict(done))
        motif.laid += int(first["motifs"])
        rounds = next(many for name, many in last.items() if done[name] is motif)
        if rounds != int(joined["round"]):
            raise ReadingError(f"the last round of the motif is round {rounds}", first[0])
        return _joined(grid, motif, title)
    assert copies is not None
    return _sewn(grid, piece_of(copies["title"], dict(done)), int(first["motifs"]))


def _line(text: str, grid: _Grid, ways: set[str]) -> None:
    patterns = {"first": FIRST, "row": ROW, "below": BELOW, "both": BOTH, "joins": JOINS, "fours": FOURS}
    if explained := EXPLAINED.match(text):
        ways.add(explained["way"])
    elif way := WAY.fullmatch(text):
        chains = int(way["before"] or 0) + 1 + int(way["after"] or 0)
        if chains != int(way["all"]) or way["place"] != way["other"]:
            raise ReadingError(f"{chains} chains stand in place of {way['all']}", way[0])
        grid.ways[way["place"]] = chains
    elif found := SIDE_BY_SIDE.fullmatch(text):
        if found["way"] not in ways:
            raise ReadingError(f"how is {found['way']} worked?", text)
        grid.lines["beside" if "side to side" in found["what"] else "between"] = found
    else:
        for name, pattern in patterns.items():
            if found := pattern.fullmatch(text):
                grid.lines[name] = found


def _parted(motif: Done, corner: str) -> tuple[list[list[Made]], list[list[Made]]]:
    """The four corners of a motif, and the places between each and the next."""
    places = motif.top
    at = [n for n, place in enumerate(places) if corner in place.marks and corner not in places[n - 1].marks]
    if len(at) != 4:
        raise ReadingError(f"the motif has {len(at)} “{corner}”")
    turned = places[at[0] :] + places[: at[0]]
    starts = [n - at[0] for n in at] + [len(places)]
    corners, between = [], []
    for begin, end in pairwise(starts):
        side = turned[begin:end]
        many = next((n for n, place in enumerate(side) if corner not in place.marks), len(side))
        corners.append(side[:many])
        between.append(side[many:])
    return corners, between


def _named(place: Made) -> set[str]:
    return {f"“{mark}”" for mark in place.marks} | (
        {f"chain-{place.chains} space"} if place.is_space else set()
    )


def _joined(grid: _Grid, motif: Done, title: str) -> Done:
    corner = _corner_of(grid, motif)
    corners, between = _parted(motif, corner)
    at_corners = f"“{corner}”" in grid.ways
    for place, chains in grid.ways.items():
        where = [each for each in motif.top if place in _named(each)]
        if not where or any(each.chains != chains for each in where):
            raise ReadingError(f"no {place} of the motif has {chains} chains")

    def told(sides: tuple[int, ...], meeting: int) -> dict[str, int]:
        counts = {f"“{corner}”": meeting} if at_corners else {}
        for place in grid.ways:
            many = sum(place in _named(each) for side in sides for each in between[side])
            if place != f"“{corner}”" and many:
                counts[place] = many
        return counts

    checks: dict[str, tuple[tuple[int, ...], tuple[int, ...], int, int]] = {
        "row": ((1,), (3,), 2, grid.across - 1),
        "below": ((0,), (2,), 2, grid.high - 1),
        "both": ((0, 1), (2, 3), 3, (grid.across - 1) if grid.high > 1 else 0),
    }
    for name, (sides, opposite, meeting, many) in checks.items():
        if not many:
            if name in grid.lines:
                raise ReadingError(f"there are no such motifs: {name}")
            continue
        line = grid.said(name)
        if line["title"] != title:
            raise ReadingError("which motif is worked?", line[0])
        counts = told(sides, meeting)
        if told(opposite, meeting) != counts:
            raise ReadingError("what faces one another differs", line[0])
        if int(line["many"] or 1) != many or _list(line["at"]) != counts:
            raise ReadingError(f"{many} motifs are joined, each at {counts}", line[0])
    if "both" in grid.lines and grid.lines["both"]["corner"] != (corner if at_corners else None):
        raise ReadingError("is the corner between the two sides joined?", grid.lines["both"][0])
    joins = grid.said("joins")
    _count(grid, int(joins["sides"]), int(joins["fours"] or 0))
    return _outline(grid, motif, corners, between, at_corners)


def _corner_of(grid: _Grid, motif: Done) -> str:
    marks = [mark for place in motif.top for mark in place.marks]
    fours = sorted({mark for mark in marks if marks.count(mark) == 4})
    named = [mark for mark in fours if f"“{mark}”" in grid.ways] or fours
    if len(named) != 1:
        raise ReadingError(f"which are the corners: {fours}?")
    return named[0]


def _list(text: str) -> dict[str, int]:
    found = {}
    for each in re.split(r", | and ", text):
        said = re.fullmatch(r"(\d+) (“[^”]+”|chain-\d+ space)s?", each)
        if not said:
            raise ReadingError("at which places?", text)
        found[said[2]] = int(said[1])
    return found


def _count(grid: _Grid, sides: int, fours: int) -> None:
    """A side between every two neighbours, and a point between every four."""
    motifs = [(x, y) for x in range(grid.across) for y in range(grid.high)]
    neighbours = sum((x + 1, y) in motifs for x, y in motifs) + sum((x, y + 1) in motifs for x, y in motifs)
    points = sum((x + 1, y + 1) in motifs for x, y in motifs)
    if (sides, fours) != (neighbours, points):
        raise ReadingError(f"{neighbours} sides are joined, and four motifs meet at {points} points")


def _sewn(grid: _Grid, motif: Done, motifs: int) -> Done:
    if motif.copies == 1:
        motif.laid += motifs
    elif motif.copies < motifs:
        raise ReadingError(f"{motif.copies} motifs are made")
    said = grid.lines.get("beside", grid.lines.get("between"))
    corner = said["corner"] if said else None
    if motif.around:
        corners, between = _parted(motif, corner or "corner")
    else:
        corners = [[], [], [], []]
        between = [motif.edge(side) for side in SIDES]
    sides = 0
    for name, (one, other), many in (
        ("beside", (1, 3), (grid.across - 1) * grid.high),
        ("between", (0, 2), (grid.high - 1) * grid.across),
    ):
        if not many:
            continue
        line = grid.said(name)
        lengths = [length(between[side]) for side in (one, other)]
        if lengths != [line["one"], line["two"]]:
            raise ReadingError(f"these sides have {lengths[0]} and {lengths[1]}", line[0])
        sides += int(line["sides"])
    _count(grid, sides, int(grid.lines["fours"]["fours"]) if "fours" in grid.lines else 0)
    return _outline(grid, motif, corners, between, bool(corner))


def _outline(
    grid: _Grid, motif: Done, corners: list[list[Made]], between: list[list[Made]], joined: bool
) -> Done:
    alike = all(_shape(side) == _shape(between[0]) for side in between)
    if motif.around and alike == bool(grid.lies):
        raise ReadingError("which way up do the motifs lie?" if not alike else "they are the same all round")
    for side in ("top",) if motif.around else SIDES:
        motif.use(side, list(range(len(motif.edge(side)))), grid.across * grid.high)
    edges: dict[str, list[Made]] = {}
    for n, (name, many) in enumerate(zip(SIDES, (grid.across, grid.high) * 2, strict=True)):
        meeting = [Made("join")] if joined else [Made(each.name, each.chains) for each in corners[n] * 2]
        edges[name] = corners[n] + between[n] + (meeting + between[n]) * (many - 1)
    return Done(grid=edges)


def _shape(side: list[Made]) -> list[tuple[str, int]]:
    return sorted((each.name if each.is_space else "stitch", each.chains or 0) for each in side)
