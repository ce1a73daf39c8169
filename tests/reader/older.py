"""Where the English says that a row is worked: in an older row, over steps, from elsewhere in a round on."""

import re
from dataclasses import dataclass, field

from .hook import Hook, Made
from .words import ReadingError, singular

UNIT = r"(?:row|round)"
INTO = re.compile(
    rf"working into (?:the )?(?P<what>places|front loops|back loops) of {UNIT} (?P<into>\d+) "
    rf"that are still free, behind (?:{UNIT} (?P<since>\d+)|the {UNIT}s since then), ",
    re.IGNORECASE,
)
STEPS = re.compile(rf"working over (?:the )?steps \({UNIT} (?P<last>\d+)(?P<steps>[^()]+)\), ", re.IGNORECASE)
STEP = re.compile(
    rf", then (?:the )?(?:(\d+) )?([a-z ]+?) left of "
    rf"(?:{UNIT} (\d+)|(?:the )?edge that {UNIT} 1 was worked into)"
)
BACK = re.compile(
    r"begin in (?:the )?(?:(?P<joined>stitch that was joined to)"
    r"|last (?P<last>stitch|chain(?:-\d+)? space) before (?:the )?join"
    r"|(?P<place>\d+)(?:st|nd|rd|th) place before (?:the )?join"
    r"|(?P<turned>\d+)(?:st|nd|rd|th) place back, counting (?:the )?stitch that was joined to), ",
    re.IGNORECASE,
)
MOVED = re.compile(r" \((?:the )?stitches passed over are worked at (?:the )?end of (?:the )?round\)")
SAME = re.compile(r", starting in (?:the )?same (?:stitch|loop|chain(?:-\d+)? space)(?=, )")


Left = list[tuple[int, list[Made]]]


@dataclass(frozen=True, slots=True)
class Whence:
    """What is said of where a row is worked."""

    into: re.Match[str] | None = None
    steps: re.Match[str] | None = None
    back: re.Match[str] | None = None
    moved: bool = False
    """Whether what is slip stitched over is worked at the end of the round."""
    starts_same: bool = False
    """Whether the first stitch goes where the last slip stitch went."""


def whence_of(body: str) -> tuple[Whence, str]:
    """What a row says of where it is worked, and the rest of its sentence."""
    yarn = re.match(r"With yarn \w+, ", body)
    lead, rest = (yarn[0], body[yarn.end() :]) if yarn else ("", body)
    found: list[re.Match[str] | None] = []
    for pattern in (INTO, STEPS, BACK):
        match = pattern.match(rest)
        rest = rest[match.end() :] if match else rest
        found.append(match)
    moved, same = MOVED.search(rest), SAME.search(rest)
    rest = SAME.sub("", MOVED.sub("", rest, count=1), count=1)
    return Whence(*found, moved is not None, same is not None), lead + rest


@dataclass(slots=True)
class Ledger:
    """What rows have left free, each row's places in the order in which it made them."""

    free: dict[int, list[Made]] = field(default_factory=dict)
    loops: dict[int, str] = field(default_factory=dict)
    left: tuple[Left, Left] = field(default_factory=lambda: ([], []))
    turns: list[bool] = field(default_factory=list)
    """Whether the work is turned after each row."""

    def _turned(self, first: int, last: int) -> bool:
        return sum(self.turns[first - 1 : last - 1]) % 2 == 1

    def ground(self, whence: Whence, places: list[Made]) -> list[Made]:
        """The places that row is worked into that would go on into `places`."""
        number = len(self.turns) + 1
        if whence.into:
            into, since = int(whence.into["into"]), whence.into["since"]
            if not 0 < into < number - 1 or (since is not None) != (into + 2 == number):
                raise ReadingError(f"there is no row {into} behind the last one")
            if since is not None and int(since) != number - 1:
                raise ReadingError(f"row {since} is not the last one")
            free = self.free[into]
            what = whence.into["what"].split()[0].lower()
            if what != "places" and (
                self.loops.get(into) != what or any(each.name != "loop" for each in free)
            ):
                raise ReadingError(f"these are no {what} loops")
            places = free[::-1] if self._turned(into, number) else free
        if whence.steps:
            places = places + self._steps(whence.steps, number)
        if whence.back:
            places = self._gone_back(whence.back, places)
        return places

    def _steps(self, said: re.Match[str], number: int) -> list[Made]:
        told = list(STEP.finditer(said["steps"]))
        there = self.left[number % 2 if any(self.turns) else 0]
        if int(said["last"]) != number - 1 or "".join(each[0] for each in told) != said["steps"]:
            raise ReadingError("these steps are not understood")
        if [int(each[3] or 0) for each in told] != [row for row, _ in there]:
            raise ReadingError(f"the steps are those of rows {[row for row, _ in there]}")
        found: list[Made] = []
        for each, (_, places) in zip(told, there, strict=True):
            if int(each[1] or 1) != len(places):
                raise ReadingError(f"{len(places)} places were left there")
            if singular(each[2]) == "stitch" and any(
                place.is_space or place.name == "chain" for place in places
            ):
                raise ReadingError("not only stitches were left there")
            found += places
        there.clear()
        return found

    def _gone_back(self, said: re.Match[str], places: list[Made]) -> list[Made]:
        count = int(said["place"] or said["turned"] or 1)
        if not 0 < count < len(places):
            raise ReadingError("there are not so many places to go back")
        if (said["joined"] is not None or said["turned"] is not None) != self.turns[-1]:
            raise ReadingError("is the round turned?")
        if said["last"]:
            last = places[-1]
            wanted = re.search(r"\d+", said["last"])
            if last.is_space != ("space" in said["last"]) or (wanted and int(wanted[0]) != last.chains):
                raise ReadingError(f"the last place is a {last}")
        return places[-count:] + places[:-count]

    def keep(self, whence: Whence, hook: Hook, turn: bool, loop: str | None, base: int) -> None:
        """Note what a row that is done leaves: `base` places of it were those of one row."""
        number = len(self.turns) + 1
        into = int(whence.into["into"]) if whence.into else number - 1
        left: list[Made] = []
        for index, place in enumerate(hook.places[:base]):
            if index not in hook.touched:
                left.append(place)
            elif loop and not place.is_space and place.name != "loop":
                left.append(Made("loop"))
                self.loops[into] = "front" if loop == "back" else "back"
        if into:
            self.free[into] = left[::-1] if self._turned(into, number) else left
        self.turns.append(turn)
        self.free[number] = list(hook.made)
        there = self.left[number % 2 if any(self.turns) else 0]
        if hook.left:
            there.insert(0, (number - 1, hook.places[hook.at :]))
