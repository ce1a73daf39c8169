"""One row in hand: the places of the row below, how far along them the hook is, and what it has made."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from itertools import pairwise

from .page import Page
from .words import (
    Begin,
    BeginLegs,
    BeginSpecial,
    Branch,
    Chain,
    FromHook,
    Group,
    Item,
    JoinTo,
    Leave,
    OnceSkipped,
    OwnPlace,
    Picot,
    Places,
    ReadingError,
    Repeat,
    Sentence,
    Skip,
    Spread,
    Squares,
    Stitch,
    Together,
    Underside,
    Words,
    Work,
    singular,
    spelled_out,
)


@dataclass(frozen=True, slots=True)
class Made:
    """One stitch, foundation chain or chain space; `chains` is None where the English does not say."""

    name: str
    chains: int | None = None
    marks: frozenset[str] = frozenset()

    @property
    def is_space(self) -> bool:
        return self.name == "space"

    def __str__(self) -> str:
        return f"chain-{self.chains} space" if self.is_space else self.name


LOOPS = "working in (?:back|front) loops? only"
COUNTING = "counting each chain as a stitch"
MANNERS = (f"{LOOPS} and {COUNTING}", LOOPS, COUNTING)
"""How all of a row is worked, said before its items."""


NO_STITCHES = ("chain", "tip", "row end", "loop", "place", "join")


def full_words(text: str, page: Page) -> str:
    """The text with its short words written in full, and with one word for skip and miss."""
    if page.abbreviations is not None:
        text = spelled_out(text, page.terms, page.abbreviations)
    return re.sub(r"(?i)\bmiss(ed)?\b", lambda found: "skipped" if found[1] else "skip", text)


def items_of(body: str, page: Page) -> tuple[Item, ...]:
    """A row's sentence, or a special stitch's, as items. Raises ReadingError at a word it does not know."""
    if not body.endswith("."):
        raise ReadingError("the sentence does not end", body)
    text = re.sub(r"\bthe (?!“|one skipped)", "", body[:-1])
    text = re.sub(r"(?:(?<=^)|(?<=[*(\[])|(?<=, ))([A-Z])", lambda found: found[1].lower(), text)
    for manner in MANNERS:
        text = re.sub(rf"\. {manner}, ", ", ", text, flags=re.IGNORECASE)
        text = re.sub(rf"^{manner}, ", "", text)
    return Sentence(text, page.terms, page.yarns).whole()


@dataclass(slots=True)
class Hook:
    """Works items into `places`. `same` is the place last worked in, None where nothing is;
    `stands` tells whether the row begins with a chain that counts."""

    page: Page
    places: list[Made]
    ring: bool = False
    around: bool = False
    at: int = 0
    made: list[Made] = field(default_factory=list)
    same: int | None = None
    left: bool = False
    stands: bool = False
    tall: int = 0
    """How many chains at the beginning stand for the first stitch, where more follow them; else none."""
    rows: int = 0
    """How many rows there are below."""
    skipped: tuple[int, ...] = ()
    """The places of the last skip, to which stitches may go back."""
    gone_back: set[int] = field(default_factory=set)
    """Those of them that have been gone back to."""
    looped: int = 0
    """The places that stitches use in one loop, where the whole row does."""
    beyond: bool = False
    """Whether the row has gone on along the other side of the chain."""
    begun: int = 0
    """The chains skipped at the beginning."""
    before: int = 0
    """How far the hook was before the last item."""
    come_to: int = 0
    """The chains skipped at the beginning of which the text has told that they are come to."""
    touched: set[int] = field(default_factory=set)
    """The places that are worked into."""
    specials: list[str] = field(default_factory=list)
    """The special stitches worked."""
    joined: list[JoinTo] = field(default_factory=list)
    """The joins to pieces that are done, in order."""
    picots: list[str | None] = field(default_factory=list)
    """The marks of the picots made, in order."""
    pending: int = 0
    """Joins since the last stitch: each is as long as a chain if chains follow, and nothing if none do."""
    kept: list[tuple[str, list[Made]]] = field(default_factory=list)
    """Places that are passed over under a name."""

    def work(self, items: tuple[Item, ...]) -> None:
        for item in items:
            if isinstance(item, OnceSkipped):
                self.once_skipped(item)
                continue
            if self.left:
                raise ReadingError("there is more after the places left unworked")
            before = self.at
            self.item(item)
            self.before = before

    def once_skipped(self, item: OnceSkipped) -> None:
        """Of what was worked or left last, so many chains were skipped at the beginning."""
        at = len(self.places) if self.left else self.at
        begun = len(self.places) - self.begun
        number = at - max(self.before, begun)
        if not self.beyond or number < 1:
            raise ReadingError("these chains were not skipped at the beginning")
        wanted = item.number or at - self.before
        if number != wanted or (item.number is None and item.several != (number > 1)):
            raise ReadingError(f"{number} of these chains were skipped at the beginning")
        if item.number and number == at - self.before:
            raise ReadingError("all of these chains were skipped at the beginning")
        if item.only and self.begun != 1:
            raise ReadingError(f"{self.begun} chains were skipped at the beginning")
        self.come_to += number

    def finish(self) -> None:
        if self.at != len(self.places) and not self.left:
            raise ReadingError(f"{len(self.places) - self.at} places are left, and the text does not say so")
        if self.beyond and self.come_to != self.begun:
            raise ReadingError("are the chains skipped at the beginning worked into?")

    def begin(self, item: Begin | FromHook) -> None:
        """A chain that counts as a stitch, and as a chain space after it."""
        if item.stitch:
            self.made.append(Made(singular(item.stitch), None, _marks(item.mark) | _marks(item.all_marked)))
            self.stands = True
        if item.after:
            self.tall = item.chains - item.after if isinstance(item, Begin) else 0
            self.made.append(Made("space", item.after, _marks(item.all_marked)))

    def item(self, item: Item) -> None:
        match item:
            case FromHook():
                self.at = self.begun = item.nth - 1
                if item.loop:
                    self.made.append(Made("space", item.nth - 1))
                self.begin(item)
            case Begin():
                self.beginning(item)
            case BeginLegs():
                self.begin_legs(item)
            case BeginSpecial():
                if self.made:
                    raise ReadingError("a beginning chain in the middle of a row")
                self.special(item.name, item.where)
                self.stands = True
            case Chain():
                self.add(Made("space", item.number + self.pending, _marks(item.mark)))
                self.pending = 0
            case JoinTo():
                self.joined.append(item)
                if self.made and self.made[-1].is_space:
                    self.add(Made("space", 1))
                else:
                    self.pending += 1
            case Skip():
                before, looped, touched = self.at, self.looped, set(self.touched)
                for where in item.places:
                    found = self.find(where)
                    if where.new_mark:
                        self.kept.append((where.new_mark, found))
                self.skipped, self.gone_back = tuple(range(before, self.at)), set()
                self.same, self.looped = None, looped
                if not any(where.new_mark for where in item.places):
                    self.touched = touched
            case Branch():
                self.branch(item)
            case OwnPlace():
                self.own_place(item)
            case Underside():
                self.underside()
            case Spread():
                self.spread(item)
            case Leave():
                self.leave(item)
            case Picot():
                if not self.made:
                    raise ReadingError("a picot on no stitch")
                self.picots += [item.mark] * item.times
                if item.joined:
                    self.joined.append(item.joined)
            case Repeat():
                for _ in range(item.times):
                    self.work(item.items)
            case Together():
                self.together(item)
            case Words():
                if item.where:
                    self.find(item.where)
                self.made += _makes(item)
            case Squares():
                for name in item.squares:
                    self.square(name)
            case Group():
                self.in_places(item.where, lambda: self.group(item.items, item.where.new_mark))
            case Work():
                self.working(item)

    def own_place(self, item: OwnPlace) -> None:
        """Work in a ring or arch made for it; what an arch goes back over lies behind it."""
        hidden = self.made[len(self.made) - item.over :] if item.over <= len(self.made) else []
        if len(hidden) < item.over or any(made.is_space for made in hidden):
            raise ReadingError(f"there are no {item.over} stitches to go back over")
        del self.made[len(self.made) - item.over :]
        where = item.work.where if isinstance(item.work, Work | Group) else None
        if where is None or (where.how, where.kind) != ("made here", item.kind):
            raise ReadingError(f"nothing is worked in this {item.kind}")
        self.item(item.work)

    def underside(self) -> None:
        """Go on along the other side of the chain: all chains but the one worked into last."""
        chains = [place for place in self.places if place.name == "chain"]
        if self.at != len(self.places) or len(chains) != len(self.places) or self.rows or self.beyond:
            raise ReadingError("there is no other side of a chain to go on along")
        self.beyond = True
        self.places = self.places + chains[1:]

    def spread(self, item: Spread) -> None:
        """Work items in the places that are named, as evenly as places can be."""
        base = len(self.places) - item.over
        if base not in (self.at, self.at - self.stands):
            raise ReadingError(f"{len(self.places) - self.at} places are there to be spread over")
        told = [place for _, place in item.parts if place is not None]
        first = [1] if base < self.at else []
        gaps = [b - a for a, b in pairwise([*first, *told])]
        if gaps and (min(gaps) < 1 or max(gaps) - min(gaps) > 1):
            raise ReadingError("these places are not even")
        if not self.around and ([*first, *told][0] != 1 or told[-1] != item.over) and len(told) > 1:
            raise ReadingError("the first and the last place are not used")
        if item.leaves == (len(told) + len(first) == item.over):
            raise ReadingError("are places left between them?")
        for part, place in item.parts:
            if place is None:
                self.item(part)
                continue
            self.at = base + place - 1
            self.pass_over(1, Places("next", item.kind))
            self.group(part.items if isinstance(part, Group) else (part,))
        self.at = len(self.places)

    def beginning(self, item: Begin) -> None:
        if self.made:
            raise ReadingError("a beginning chain in the middle of a row")
        if not item.said and item.chains > 1:
            raise ReadingError(f"does the chain of {item.chains} count?")
        if not item.said and not any("chain 1 at the beginning of a" in note for note in self.page.notes):
            raise ReadingError("does the chain of 1 count?")
        if item.loop:
            self.made.append(Made("space", item.chains, _marks(item.mark)))
        if item.stitch and not self.ring:
            self.pass_over(item.legs, Places("next", "place"))
        self.begin(item)

    def begin_legs(self, item: BeginLegs) -> None:
        """The chain stands on the first place; the other legs are drawn together with it."""
        if self.made:
            raise ReadingError("a beginning chain in the middle of a row")
        self.pass_over(1, Places("next", "place"))
        self.together(Together(item.items))
        self.stands = True

    def leave(self, item: Leave) -> None:
        remaining = self.places[self.at :]
        number = sum(where.number for where in item.places)
        if not remaining or number != len(remaining):
            raise ReadingError(f"{len(remaining)} places remain, not {number}")
        for where in item.places:
            for place in remaining[: where.number]:
                _fits(place, where)
            remaining = remaining[where.number :]
        if item.mark:
            self.kept.append((item.mark, self.places[self.at :]))
        self.left = True

    def square(self, name: str) -> None:
        """A square as the pattern explains it: two stitches or a space, and the post after them."""
        post = re.escape(self.post(name))
        pair = "each of next 2 stitches"
        told = {
            "space": rf"chain 2, skip next 2 stitches or next chain-2 space, {post} in next stitch\.",
            "block": rf"{post} in {pair}, or work 2 {post}s? in next chain-2 space; {post} in next stitch\.",
        }
        if not re.fullmatch(told[name].replace("each of ", "(?:each of )?"), self.told(name)):
            raise ReadingError(f"how is a {name} worked?", self.told(name))
        if self.at == len(self.places):
            raise ReadingError("2 places are wanted, 0 are left")
        if self.places[self.at].is_space:
            self.find(Places("next", "space", 1, 2))
        else:
            self.find(Places("next", "place" if self.places[self.at].name == "chain" else "stitch", 2))
        if name == "space":
            self.add(Made("space", 2))
        else:
            self.made += [Made(self.post(name))] * 2
        self.find(Places("next", "place" if self.places[self.at].name == "chain" else "stitch"))
        self.made.append(Made(self.post(name)))

    def told(self, square: str) -> str:
        text = full_words(self.page.specials.get(square.capitalize(), ""), self.page)
        text = re.sub(r"\bthe ", "", text)
        return re.sub(r"; work |(?<=or )(?=2)", lambda found: "; " if found[0] else "work ", text).lower()

    def post(self, square: str) -> str:
        found = re.search(r"([a-z ]+) in next stitch\.$", self.told(square))
        if not found:
            raise ReadingError(f"a {square} is not explained")
        return found[1].strip()

    def branch(self, item: Branch) -> None:
        """Back along a chain; the row below is not touched, and the tip is one place."""
        along = Hook(self.page, [Made("chain")] * item.chains, at=item.nth - 1)
        along.work(item.items)
        along.finish()
        self.add(Made("tip", None, _marks(item.mark)))

    def together(self, item: Together) -> None:
        legs: list[Made] = []
        for leg in item.items:
            before = len(self.made)
            self.item(leg)
            if len(self.made) != before + (not isinstance(leg, Skip)):
                raise ReadingError("each leg is one stitch")
            legs += self.made[before:]
            del self.made[before:]
        self.add(Made(legs[0].name))

    def working(self, item: Work) -> None:
        where, what = item.where, item.what
        if where is None and isinstance(what, str):
            self.without_place(what, item.times)
            return
        if where is None:
            raise ReadingError(f"in which place is “{what}” worked?")
        if where.how == "top":
            if what != Stitch("slip stitch") or not self.made or not self.made[-1].is_space:
                raise ReadingError("only a picot is closed in the top of a stitch")
            space = self.made.pop()
            self.picots.append(where.new_mark)
            if where.kind == "chain":
                if (space.chains or 0) <= where.number:
                    raise ReadingError("so many chains are not made")
                self.add(Made("space", (space.chains or 0) - where.number, space.marks))
        elif isinstance(what, str):
            for _ in range(item.times):
                self.special(what, where)
        elif what.uses > 1:
            self.find(where)
            for _ in range(item.times):
                self.add(Made(what.name))
        else:
            self.in_places(where, lambda: self.group((replace(item, where=None),), where.new_mark))

    def group(self, items: tuple[Item, ...], mark: str | None = None) -> None:
        """Items that all go into the place in hand."""
        before = len(self.made)
        for item in items:
            match item:
                case Work(what=Stitch(name=name, uses=1), where=None):
                    for _ in range(item.times):
                        self.add(Made(name, None, _marks(item.mark)))
                case Work(what=str() as name, where=None):
                    self.special(name, None)
                case Chain() | Picot() | Branch() | JoinTo():
                    self.item(item)
                case Work(where=Places(how="top")):
                    self.working(item)
                case Repeat():
                    for _ in range(item.times):
                        self.group(item.items)
                case _:
                    raise ReadingError(f"this can't be worked in one place: {item}")
        if mark:
            self.made[before:] = [replace(made, marks=made.marks | {mark}) for made in self.made[before:]]

    def without_place(self, name: str, times: int) -> None:
        """A special stitch that is told to no place: it uses none, or its own words say which."""
        items = items_of(self.explanation(name), self.page)
        before = self.at
        for _ in range(times):
            self.specials.append(name)
            self.work(items)
        if self.at != before and len(items) == 1:
            raise ReadingError(f"in which place is “{name}” worked?")

    def explanation(self, name: str) -> str:
        if name not in self.page.specials:
            raise ReadingError(f"“{name}” is not among the special stitches")
        return full_words(self.page.specials[name], self.page)

    def special(self, name: str, where: Places | None) -> None:
        """A special stitch, by its explanation, in the place in hand or in `where`."""
        text = self.explanation(name)
        if makes := re.search(r"\(this makes [^)]*\)", text):
            [said] = items_of(f"over next 1 stitches: as told {makes[0]}.", self.page)
            assert isinstance(said, Words)
            if where:
                self.find(where)
            self.specials.append(name)
            self.made += _makes(said)
            return
        try:
            items = items_of(text, self.page)
        except ReadingError as wrong:
            raise ReadingError(f"what “{name}” makes is not told: {wrong.why}", text) from wrong
        only = items[0]
        if len(items) == 1 and isinstance(only, Group | Work) and only.where and only.where.number == 1:
            inner = only.items if isinstance(only, Group) else (replace(only, where=None),)
            mark = where.new_mark if where else None

            def make() -> None:
                if only.where and only.where.how == "named" and self.same is not None:
                    place = self.places[self.same]
                    if ("space" if place.is_space else "stitch") not in only.where.kind.split(" or "):
                        raise ReadingError(f"“{name}” is not told to be worked in a {place}")
                self.specials.append(name)
                self.group(inner, mark)

            if where:
                self.in_places(where, make)
            else:
                make()
            return
        if where is None or where.how not in ("next", "last"):
            raise ReadingError(f"“{name}” is over several places, and its place is not said")
        before = self.at
        self.specials.append(name)
        self.work(items)
        if self.at != before + where.number:
            raise ReadingError(f"“{name}” goes over {self.at - before} places, not {where.number}")

    def add(self, made: Made) -> None:
        """A chain that goes on from a chain is one longer chain space."""
        if not made.is_space:
            self.pending = 0
        last = self.made[-1] if self.made else None
        if made.is_space and last and last.is_space and last.chains is not None and made.chains is not None:
            self.made[-1] = Made("space", last.chains + made.chains, last.marks | made.marks)
        else:
            self.made.append(made)

    def in_places(self, where: Places, make: Callable[[], None]) -> None:
        """Work `make` once in every place that `where` names."""
        if where.how in ("made here", "cord"):
            make()
            return
        if where.how == "ring":
            if not self.ring:
                raise ReadingError("there is no ring here")
            self.at, self.same = len(self.places), None
            make()
            return
        if where.kind == "space" and (where.number > 1 or where.how == "each"):
            if where.how == "first" and self.at:
                raise ReadingError(f"not the first: {self.at} places come before it")
            self.in_spaces(where, make)
            return
        for place in self.find(where):
            for _ in range(_chains_worked(place, where.which) if where.how not in ("each", "skipped") else 1):
                make()

    def in_spaces(self, where: Places, make: Callable[[], None]) -> None:
        """Work `make` in each of several spaces, past the stitches between them."""
        ahead = sum(place.is_space for place in self.places[self.at :])
        if where.how == "each" and ((where.which == "around") != self.around or not ahead):
            raise ReadingError("rows are worked across, rounds around, and in spaces that are there")
        one = replace(where, how="next", number=1)
        for _ in range(ahead if where.how == "each" else where.number):
            while self.at < len(self.places) and not self.places[self.at].is_space:
                _fits(self.places[self.at], Places("next"))
                self.at += 1
            self.pass_over(1, one)
            make()
        if where.how == "each" and self.around:
            for place in self.places[self.at :]:
                _fits(place, Places("next"))
            self.at = len(self.places)

    def find(self, where: Places) -> list[Made]:
        """The places that `where` names, used up."""
        if where.below and self.rows <= where.below:
            raise ReadingError(f"there are no {where.below} rows below that one")
        if where.how == "gap":
            if not 0 < self.at < len(self.places) + self.around:
                raise ReadingError("a gap is between two stitches")
            _fits(self.places[self.at % len(self.places)], Places("next"))
            return [Made("gap")]
        if where.how == "edge":
            if self.around or self.at not in (0, len(self.places)):
                raise ReadingError("the hook is not at an edge")
            return [Made("edge")]
        if where.how == "stem":
            if all(made.is_space for made in self.made):
                raise ReadingError("no stitch has been made yet")
            return [Made("stem")]
        if where.how == "start":
            if not self.around or not self.made:
                raise ReadingError("no round has begun")
            return [Made("start")]
        if where.how == "skipped":
            return self.go_back(where)
        if where.how == "same":
            if self.same is None:
                raise ReadingError("the same place as what?")
            _fits(self.places[self.same], where)
            return [self.places[self.same]]
        if where.how == "hook":
            if self.at >= where.number:
                raise ReadingError("this chain lies behind")
            if not self.at:
                self.begun = where.number - 1
            self.at = where.number - 1
            return self.pass_over(1, where)
        if where.how == "first" and self.at:
            raise ReadingError(f"not the first: {self.at} places come before it")
        if where.how == "center":
            run = _run(self.places[self.at :], where.mark)
            if not run % 2:
                raise ReadingError(f"“{where.mark}” is not what comes, or it has no center")
            self.at += run // 2
            return self.pass_over(1, where)
        number = where.number
        if where.how == "all" and (self.at or number != len(self.places)):
            raise ReadingError(f"all are {len(self.places)} places, and {self.at} of them are used")
        if where.how == "each":
            if (where.which == "around") != self.around:
                raise ReadingError("rows are worked across, rounds around")
            number = len(self.places) - self.at
            if not number:
                raise ReadingError(f"no {where.kind} is left")
        found = self.pass_over(number, where)
        if where.how == "last" and self.at != len(self.places):
            raise ReadingError(f"not the last: {len(self.places) - self.at} places come after it")
        return found

    def go_back(self, where: Places) -> list[Made]:
        """To places that were skipped; each of them once."""
        if len(self.skipped) != where.number:
            raise ReadingError(f"{len(self.skipped)} places were skipped")
        which = self.skipped
        if where.which != "each":
            number = int(where.which or 1)
            if number > len(which):
                raise ReadingError("so many were not skipped")
            which = (which[number - 1],)
        if self.gone_back & set(which):
            raise ReadingError("this place has been gone back to already")
        self.gone_back |= set(which)
        self.touched |= set(which)
        self.same = which[-1]
        return [self.places[index] for index in which]

    def pass_over(self, number: int, where: Places) -> list[Made]:
        left = len(self.places) - self.at
        if number > left:
            raise ReadingError(f"{number} places are wanted, {left} are left")
        found = self.places[self.at : self.at + number]
        for place in found:
            _fits(place, where)
        self.looped += sum(not place.is_space for place in found)
        self.touched |= set(range(self.at, self.at + number))
        self.at += number
        if number:
            self.same = self.at - 1
        return found


def chains_as_stitches(places: list[Made]) -> list[Made]:
    """The places as they are met where each chain counts as a stitch."""
    return [
        each
        for place in places
        for each in ([Made("stitch", None, place.marks)] * (place.chains or 0) if place.is_space else [place])
    ]


def _marks(mark: str | None) -> frozenset[str]:
    return frozenset({mark} if mark else ())


def _makes(words: Words) -> list[Made]:
    return [Made(name) for name, number in words.makes for _ in range(number)]


def _run(places: list[Made], mark: str | None) -> int:
    """How many of the next places have the mark."""
    return next((n for n, place in enumerate(places) if mark not in place.marks), len(places))


def _chains_worked(space: Made, which: str) -> int:
    """How many chains of a space are worked in: `which` is each, middle, a number, or empty."""
    if not which:
        return 1
    if space.chains is None:
        raise ReadingError("how many chains has this space?")
    if (which == "middle" and space.chains % 2 == 0) or (which.isdigit() and int(which) > space.chains):
        raise ReadingError(f"a {space} has no such chain")
    return space.chains if which == "each" else 1


def _fits(place: Made, where: Places) -> None:
    """The place is of the kind that the text names."""
    match where.kind:
        case "place":
            fits = True
        case "space":
            fits = place.is_space and (None in (where.chains, place.chains) or where.chains == place.chains)
        case "chain and stitch" | "chains and stitch" | "stitch and chain" | "stitches and chain":
            fits = not place.is_space and place.name not in ("tip", "row end", "loop", "place")
        case "stitch":
            fits = not place.is_space and place.name not in (
                "chain",
                "tip",
                "row end",
                "loop",
                "place",
                "join",
            )
        case _:
            fits = place.name == where.kind
    if not fits:
        wanted = f"chain-{where.chains} space" if where.chains else where.kind
        raise ReadingError(f"the text wants a {wanted}, but what comes is a {place}")
    if where.mark and where.mark not in place.marks:
        raise ReadingError(f"the place is not marked “{where.mark}”")
