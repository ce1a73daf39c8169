"""The words of published crochet instructions, and the sentences of a row as a tree.

Nothing here comes from the compiler: the names of stitches are the trade's (US and UK), and the sentences
are taken from the published text. A word or a sentence that is not known is refused, never passed over.
"""

import re
from dataclasses import dataclass, replace


class ReadingError(Exception):
    """A sentence that a maker could not follow; `sentence` is where."""

    def __init__(self, why: str, sentence: str = "") -> None:
        super().__init__(f"{why}: {sentence!r}" if sentence else why)
        self.why = why
        self.sentence = sentence


BASES = {
    "US": {
        "slip stitch": "sl st",
        "single crochet": "sc",
        "half double crochet": "hdc",
        "double crochet": "dc",
        "treble": "tr",
        "double treble": "dtr",
        "triple treble": "trtr",
        "extended single crochet": "esc",
        "extended half double crochet": "ehdc",
        "extended double crochet": "edc",
        "extended treble": "etr",
        "linked double crochet": "ldc",
        "linked treble": "ltr",
        "linked double treble": "ldtr",
    },
    "UK": {
        "slip stitch": "ss",
        "double crochet": "dc",
        "half treble": "htr",
        "treble": "tr",
        "double treble": "dtr",
        "triple treble": "trtr",
        "quadruple treble": "qtr",
        "extended double crochet": "edc",
        "extended half treble": "ehtr",
        "extended treble": "etr",
        "extended double treble": "edtr",
        "linked treble": "ltr",
        "linked double treble": "ldtr",
        "linked triple treble": "ltrtr",
    },
}
PLAIN = {
    "sts": "stitches",
    "st": "stitch",
    "ch-sps": "chain spaces",
    "ch-sp": "chain space",
    "sps": "spaces",
    "sp": "space",
    "ch": "chain",
    "sk": "skip",
    "BLO": "back loop only",
    "FLO": "front loop only",
    "RS": "right side",
    "WS": "wrong side",
}
GATHERED = r"bobble|popcorn|cluster|puff(?: stitch)?"


def _any(names: list[str]) -> str:
    return "|".join(sorted((re.escape(name) for name in names), key=len, reverse=True))


def spelled_out(text: str, terms: str, explained: frozenset[str]) -> str:
    """Short words written in full. Each must stand in the pattern's own list of abbreviations."""
    full = {short: name for name, short in BASES[terms].items()}
    base = _any(list(full))
    tables = (
        (rf"\d+-(?:{base}) (?:{GATHERED})", "gathered"),
        (rf"(?:FP|BP)?(?:{base})\d+tog", "together"),
        (rf"(?:FP|BP|f|F)(?:{base})", "post"),
        (base, "base"),
        (r"\d+-ch picot", "picot"),
        (r"ch-\d+", "numbered"),
        (_any(list(PLAIN)), "plain"),
    )
    pattern = re.compile(
        r"(?<![\w“-])(?:"
        + "|".join(f"(?P<{kind}>{regex})" for regex, kind in tables)
        + r")(?P<more>s?)(?![\w”])",
        re.IGNORECASE,
    )

    def known(key: str) -> None:
        if key.lower() not in {word.lower() for word in explained}:
            raise ReadingError(f"“{key}” is not among the abbreviations", text)

    def name_of(short: str) -> str:
        return full[short.lower()]

    def spell(found: re.Match[str]) -> str:
        kind, key, more = next(kind for _, kind in tables if found[kind]), found[0], found["more"]
        word = found[kind]
        if kind == "plain":
            written = next(k for k in PLAIN if k.lower() == word.lower())
            known(written)
            return PLAIN[written] + more
        if kind == "numbered":
            known("ch")
            return "chain-" + word[3:]
        known(word)
        if kind == "base":
            return name_of(word) + more
        if kind == "picot":
            return word.replace("ch", "chain") + more
        if kind == "gathered":
            number, rest = word.split("-", 1)
            short = re.match(base, rest, re.IGNORECASE)
            assert short is not None
            what = rest[short.end() :].strip()
            what = "puff stitch" if what == "puff" else what
            return f"{number}-{name_of(short[0]).replace(' ', '-')} {what}{more}"
        if kind == "together":
            parts = re.fullmatch(rf"(FP|BP)?({base})(\d+)tog", word, re.IGNORECASE)
            assert parts is not None
            post = {"": "", "fp": "front post ", "bp": "back post "}[(parts[1] or "").lower()]
            return f"{post}{name_of(parts[2])} {parts[3]} together"
        for lead, said in (("fp", "front post "), ("bp", "back post "), ("f", "foundation ")):
            if word.lower().startswith(lead):
                return said + name_of(word[len(lead) :]) + more
        raise ReadingError(f"the abbreviation {key} is not known", text)

    return pattern.sub(spell, text)


def singular(name: str) -> str:
    return re.sub(r"(?<=stitch)es$|s$", "", name)


@dataclass(frozen=True, slots=True)
class Stitch:
    """A stitch by its full name; `uses` places are drawn together into one stitch."""

    name: str
    uses: int = 1


@dataclass(frozen=True, slots=True)
class Places:
    """Which places a stitch goes into.

    `how` is next, last, same, each, all, named (of a special stitch: where the row says), center (of what has
    a mark), ring, made here (a ring or arch of its own), top or stem (of the stitch just made), gap (before
    the next stitch), start (of the round) or skipped; `below` is how many rows further down it is; `kind` is
    what stands there: stitch, chain, place, space (with its number of chains) or a stitch by name; `which` is
    the chain of a space: its number, middle or each.
    """

    how: str
    kind: str = "stitch"
    number: int = 1
    chains: int | None = None
    mark: str | None = None
    new_mark: str | None = None
    which: str = ""
    below: int = 0


@dataclass(frozen=True, slots=True)
class Begin:
    chains: int
    stitch: str | None
    after: int = 0
    loop: bool = False
    said: bool = True
    mark: str | None = None
    all_marked: str | None = None
    legs: int = 1
    """The places that the stitch is worked over; the chain stands on the first of them."""


@dataclass(frozen=True, slots=True)
class BeginLegs:
    """A chain and other legs that are drawn together with it into one stitch."""

    chains: int
    items: tuple["Item", ...]


@dataclass(frozen=True, slots=True)
class BeginSpecial:
    """A chain that is the first stitch of a special stitch; `where` is where all of it goes."""

    chains: int
    name: str
    where: Places | None


@dataclass(frozen=True, slots=True)
class FromHook:
    nth: int
    stitch: str | None
    after: int = 0
    loop: bool = False
    mark: str | None = None
    all_marked: str | None = None


@dataclass(frozen=True, slots=True)
class Chain:
    number: int
    mark: str | None = None


@dataclass(frozen=True, slots=True)
class Skip:
    places: tuple[Places, ...]


@dataclass(frozen=True, slots=True)
class Leave:
    places: tuple[Places, ...]
    mark: str | None = None


@dataclass(frozen=True, slots=True)
class Picot:
    """Chains closed in the stitch before; `joined` is the picot of another piece to which they are joined."""

    joined: "JoinTo | None" = None
    mark: str | None = None
    times: int = 1


@dataclass(frozen=True, slots=True)
class Work:
    """Stitches worked `times` over in a place or run of places; `what` is a stitch or a special's name."""

    what: Stitch | str
    times: int
    where: Places | None
    mark: str | None = None


@dataclass(frozen=True, slots=True)
class Group:
    items: tuple["Item", ...]
    where: Places


@dataclass(frozen=True, slots=True)
class Together:
    items: tuple["Item", ...]


@dataclass(frozen=True, slots=True)
class Words:
    """The designer's own words over some places, with what they make."""

    where: Places | None
    makes: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Squares:
    """Spaces and blocks of filet crochet, in order."""

    squares: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Underside:
    """On along the other side of the foundation chain."""


@dataclass(frozen=True, slots=True)
class OnceSkipped:
    """Of the chains come to last, `number` were skipped at the beginning, all of them where it is None, and
    then `only` one, or `several`."""

    number: int | None
    only: bool = False
    several: bool = False


@dataclass(frozen=True, slots=True)
class Spread:
    """Items over places told by their numbers from 1; those that come with no number use no place."""

    over: int
    kind: str
    leaves: bool
    parts: tuple[tuple["Item", int | None], ...]


@dataclass(frozen=True, slots=True)
class Repeat:
    items: tuple["Item", ...]
    times: int


@dataclass(frozen=True, slots=True)
class Branch:
    """A chain worked back along from its `nth` chain from the hook; it leaves a tip."""

    chains: int
    nth: int
    items: tuple["Item", ...]
    mark: str | None = None


@dataclass(frozen=True, slots=True)
class OwnPlace:
    """Work into a ring or an arch of chains made for it; an arch goes back over stitches, which it hides."""

    kind: str
    over: int
    work: "Item"


@dataclass(frozen=True, slots=True)
class JoinTo:
    """A slip stitch to a place of a piece that is done, told by a mark (empty where it bears none) or by
    what it is, and by its number (None for the last one that is free)."""

    title: str
    kind: str
    mark: str | None
    number: int | None


Item = (
    Begin
    | BeginLegs
    | BeginSpecial
    | Branch
    | FromHook
    | Chain
    | Skip
    | Leave
    | Picot
    | Work
    | Group
    | Together
    | Words
    | Squares
    | Underside
    | OnceSkipped
    | Spread
    | Repeat
    | JoinTo
    | OwnPlace
)

TIMES = {"once": 1, "twice": 2}
SPACE = r"chain(?:-\d+)? space"
ORDINALS = r"(\d+)(?:st|nd|rd|th)"
PICOT_MARK = r"(?: marked “([^”]+)”| \(mark this picot “([^”]+)”\))?"


def _numbered(items: tuple[Item, ...], start: int = 0) -> list[tuple[Item, bool, int]]:
    """Every item in order, brackets written out: whether it uses a place, and how many places come before."""
    found: list[tuple[Item, bool, int]] = []
    for item in items:
        for inner in item.items * item.times if isinstance(item, Repeat) else (item,):
            if isinstance(inner, Repeat):
                found += _numbered((inner,), start)
                start += sum(uses for _, uses, _ in _numbered((inner,)))
                continue
            uses = not isinstance(inner, Chain | Picot)
            found.append((inner, uses, start))
            start += uses
    return found


def _legs(name: str) -> int:
    """How many stitches a bobble or the like is gathered of."""
    found = re.match(r"(\d+)-", name)
    return int(found[1]) if found else 1


def _remaining(words: str) -> Places:
    """`2 stitches` or `chain-3 space`, as places that come next."""
    found = re.fullmatch(r"(?:(\d+) )?(.+)", words)
    assert found is not None
    space = re.fullmatch(r"chain(?:-(\d+))? spaces?", found[2])
    kind = "space" if space else singular(found[2])
    return Places("next", kind, int(found[1] or 1), int(space[1]) if space and space[1] else None)


def _marks_of(found: re.Match[str]) -> tuple[str | None, str | None]:
    return found["mark"], found["all"]


class Sentence:
    """Reads one row's sentence, all in full words and lower case, into items."""

    def __init__(self, text: str, terms: str, yarns: frozenset[str]) -> None:
        self.text = text
        self.at = 0
        self.yarns = yarns
        base = "|".join(sorted(BASES[terms], key=len, reverse=True))
        hyphened = base.replace(" ", "-")
        self.stitch = (
            rf"(?:front post |back post |foundation )?(?:{base})(?:es|s)?(?: \d+ together)?"
            rf"|\d+-(?:{hyphened}) (?:bobble|popcorn|cluster|puff stitch)(?:es|s)?"
        )

    def fail(self, why: str) -> ReadingError:
        return ReadingError(why, self.text[self.at : self.at + 90])

    def take(self, regex: str) -> re.Match[str] | None:
        found = re.compile(regex).match(self.text, self.at)
        if found:
            self.at = found.end()
        return found

    def need(self, regex: str, why: str) -> re.Match[str]:
        found = self.take(regex)
        if not found:
            raise self.fail(why)
        return found

    def whole(self) -> tuple[Item, ...]:
        items = self.items(opening=True)
        if self.at != len(self.text):
            raise self.fail("these words are not known")
        return items

    def items(self, opening: bool = False) -> tuple[Item, ...]:
        found = [self.item(opening), *self.once_skipped()]
        while self.take(r", (?:then )?(?:and )?"):
            found += [self.item(False), *self.once_skipped()]
        return tuple(found)

    def once_skipped(self) -> list[Item]:
        if found := self.take(r" \((the one |one |)skipped at beginning\)"):
            return [OnceSkipped(None, found[1] == "the one ", not found[1])]
        if found := self.take(r" \(last of them was skipped at beginning\)"):
            return [OnceSkipped(1)]
        if found := self.take(r" \(last (\d+) of them were skipped at beginning\)"):
            return [OnceSkipped(int(found[1]))]
        return []

    def stitch_name(self, words: str) -> Stitch:
        together = re.search(r" (\d+) together$", words)
        return Stitch(singular(words), int(together[1]) if together else 1)

    def item(self, opening: bool) -> Item:
        if yarn := self.take(r"with (?:yarn )?(\w+), "):
            self.known(yarn[1])
        if stars := self.take(r"\*+"):
            items = self.items()
            found = self.need(
                rf"; repeat from {re.escape(stars[0])} (?:(\d+) more times?|(once|twice) more)",
                "how often is this repeated?",
            )
            return Repeat(items, 1 + (int(found[1]) if found[1] else TIMES[found[2]]))
        if opens := self.take(r"[\[{]"):
            items = self.items()
            closes = re.escape("]" if opens[0] == "[" else "}")
            found = self.need(rf"{closes} (?:(\d+) times?|(once|twice))", "how often is the bracket worked?")
            return Repeat(items, int(found[1]) if found[1] else TIMES[found[2]])
        return (
            self.beginning()
            or self.chains(opening)
            or self.joining()
            or self.skipping()
            or self.spread()
            or self.made_words()
            or self.squares()
            or self.from_hook(self.coloured(self.working()))
        )

    def from_hook(self, item: Item) -> Item:
        """What is worked in the chain that a row starts in, with what the chains passed over are."""
        where = getattr(item, "where", None)
        if where is None or where.how != "hook":
            return item
        found = self.take(
            r" \((\d+) chains? skipped (?:counts? as first "
            rf"(?P<stitch>{self.stitch})(?: marked “(?P<mark>[^”]+)”)?(?:, all marked “(?P<all>[^”]+)”)?|"
            r"(?P<nothing>do not count as a stitch)|makes? a loop)\)"
        )
        if not found:
            return item
        if int(found[1]) != where.number - 1:
            raise ReadingError("so many chains are not skipped", found[0])
        loop = not (found["stitch"] or found["nothing"])
        start = FromHook(where.number, found["stitch"], 0, loop, *_marks_of(found))
        return Repeat((start, replace(item, where=replace(where, how="next", number=1))), 1)  # type: ignore[type-var]

    def known(self, yarn: str) -> None:
        if yarn not in self.yarns:
            raise self.fail(f"there is no yarn {yarn}")

    def coloured(self, item: Item) -> Item:
        """An item, once the yarns are read that stand behind it: they must be as many as its stitches."""
        if found := self.take(r" \(with yarn (\w+)\)"):
            self.known(found[1])
        elif found := self.take(r" \(yarns: (\d+ \w+(?:, \d+ \w+)*)\)"):
            counts = [each.split() for each in found[1].split(", ")]
            for _, yarn in counts:
                self.known(yarn)
            where = item.where if isinstance(item, Work) else None
            told = sum(int(count) for count, _ in counts)
            if where is None or (where.how != "each" and where.number != told):
                raise self.fail(f"the yarns are for {told} stitches")
        return item

    def squares(self) -> Item | None:
        square = r"\d+ (?:space|block)s?"
        found = self.take(rf"(?:work )?({square}(?:(?:, {square})* and {square})?)(?![\w-])")
        if not found:
            return None
        runs = re.findall(r"(\d+) (space|block)(s?)", found[1])
        if any((int(count) > 1) != bool(many) for count, _, many in runs):
            raise self.fail("one space, two spaces")
        return Squares(tuple(name for count, name, _ in runs for _ in range(int(count))))

    def beginning(self) -> Item | None:
        stitch = self.stitch
        marked = r"(?: marked “(?P<mark>[^”]+)”)?"
        tail = (
            rf"first (?P<stitch>{stitch}){marked}(?: and chain (?P<after>\d+))?"
            r"(?:, all marked “(?P<all>[^”]+)”)?"
        )
        if found := self.take(
            rf"starting in {ORDINALS} chain from hook(?: \((\d+) chains? skipped (?:counts? as {tail}|"
            r"(do(?:es)? not count(?: as a stitch)?)|(?P<loop>makes? a loop))\))?"
        ):
            if found[2] and int(found[2]) != int(found[1]) - 1:
                raise ReadingError("so many chains are not skipped", found[0])
            return FromHook(
                int(found[1]),
                found["stitch"],
                int(found["after"] or 0),
                bool(found["loop"]),
                *_marks_of(found),
            )
        if found := self.take(rf"count first (\d+) chains? from hook as {tail}"):
            after = int(found["after"] or 0)
            return FromHook(int(found[1]) + 1, found["stitch"], after, False, *_marks_of(found))
        if found := self.take(
            rf"chain (\d+), (?:work )?({stitch}) (?:in next|over next \d+) stitch(?:es)? "
            rf"\(with this chain it counts as first ({stitch}){marked}\)"
        ):
            others, whole = self.stitch_name(found[2]), self.stitch_name(found[3])
            kinds = {re.sub(r" \d+ together$", "", each.name) for each in (others, whole)}
            if len(kinds) > 1 or whole.uses != others.uses + 1:
                raise self.fail(f"a chain and {found[2]} are no {found[3]}")
            return Begin(int(found[1]), whole.name, legs=whole.uses, mark=found["mark"])
        if found := self.take(
            rf"chain (\d+), (?:work )?(?:an? )?({stitch}) in same (?:stitch|{SPACE}) "
            rf"\(with this chain it counts as first ({stitch}){marked}\)"
        ):
            if _legs(found[3]) != _legs(found[2]) + 1:
                raise self.fail(f"a chain and {found[2]} are no {found[3]}")
            return Begin(int(found[1]), self.stitch_name(found[3]).name, mark=found["mark"])
        if found := self.take(r"chain (\d+), work \((?=(?:[^()]|\([^()]*\))*\) together with this chain)"):
            items = self.items()
            self.need(r"\) together with this chain as one stitch", "where do the legs end?")
            return BeginLegs(int(found[1]), items)
        if found := self.take(
            r"chain (\d+) \(counts as first stitch of “([^”]+)”\), work rest of “\2”"
            r"(?: over next (\d+) places?| in same (?:stitch|chain(?:-\d+)? space))?"
        ):
            where = (
                Places("next", "place", int(found[3] or 0) + 1)
                if " in same" in found[0] or found[3]
                else None
            )
            return BeginSpecial(int(found[1]), found[2], where)
        if found := self.take(rf"chain (\d+) \(counts as {tail}\)"):
            mark, all_marked = _marks_of(found)
            after = int(found["after"] or 0)
            return Begin(int(found[1]), found["stitch"], after, mark=mark, all_marked=all_marked)
        if found := self.take(r"chain (\d+) \(does not count as a stitch\)"):
            return Begin(int(found[1]), None)
        if found := self.take(r"chain (\d+)(?: marked “([^”]+)”)? \(this makes a (?:loop|chain space)\)"):
            return Begin(int(found[1]), None, loop=True, mark=found[2])
        return None

    def chains(self, opening: bool) -> Item | None:
        if found := self.take(rf"chain (\d+) and work back along it(?: from {ORDINALS} chain from hook)? \("):
            items = self.items()
            mark = self.need(r"\)(?: \(mark its tip “([^”]+)”\))?", "where does the branch end?")[1]
            return Branch(int(found[1]), int(found[2] or 1), items, mark)
        if found := self.take(rf"chain (\d+), slip stitch in {ORDINALS} chain from hook to form a ring, "):
            if found[1] != found[2]:
                raise self.fail("a ring closes in the first of its chains")
            item = self.working()
            self.need(r", slip stitch in first stitch of this ring", "where is the ring closed?")
            return OwnPlace("ring", 0, item)
        if found := self.take(
            rf"chain \d+, turn, slip stitch in {ORDINALS} stitch counted back from hook, turn, "
        ):
            return OwnPlace("arch", int(found[1]), self.working())
        if found := self.take(
            r"chain (\d+)(?: marked “([^”]+)”| \(mark it “([^”]+)”\))?(?: \(with yarn \w+\))?(?![ (\w])"
        ):
            mark = found[2] or found[3]
            if opening and not mark:
                return Begin(int(found[1]), None, said=False)
            return Chain(int(found[1]), mark)
        if found := self.take(r"(?:make )?(?:a \d+-chain picot|(\d+) \d+-chain picots)"):
            joined = self.joined_picot()
            mark = self.take(PICOT_MARK)
            return Picot(joined, mark and (mark[1] or mark[2]), int(found[1] or 1))
        return None

    def joined_picot(self) -> "JoinTo | None":
        found = self.take(
            rf" \(join with (?:a )?slip stitch in (?:the )?(?:last free|{ORDINALS}) "
            r"(?:unmarked picot|“(?P<mark>[^”]+)”) of "
            rf"(?:the )?(?P<title>[^,;\])]+) in place of its {ORDINALS} chain\)"
        )
        return found and JoinTo(
            found["title"].lower(), "picot", found["mark"], int(found[1]) if found[1] else None
        )

    def joining(self) -> Item | None:
        found = self.take(
            rf"join with (?:a )?slip stitch in (?:the )?(?:last free|{ORDINALS}) "
            r"(?:“(?P<mark>[^”]+)”|unmarked (?P<kind>chain space|stitch)) of (?:the )?(?P<title>[^,;\])]+)"
        )
        if not found:
            return None
        return JoinTo(
            found["title"].lower(), found["kind"] or "", found["mark"], int(found[1]) if found[1] else None
        )

    def skipping(self) -> Item | None:
        if self.take(r"skip "):
            places = [self.places("")]
            while self.take(r"(?:,| and) (?=next )"):
                places.append(self.places(""))
            return Skip(tuple(places))
        one = r"(?:(?:\d+ )?(?:stitch(?:es)?|places?|chain(?:-\d+)? spaces?|chains?|tips?|loops?))"
        if found := self.take(
            rf"leave remaining ({one}(?:(?:, {one})* and {one})?) unworked"
            r"(?: \(mark (?:it|them|this stitch|these stitches|these places) “([^”]+)”\))?"
        ):
            return Leave(tuple(_remaining(each) for each in re.split(r", | and ", found[1])), found[2])
        if self.take(r"continue along other side of foundation chain"):
            return Underside()
        return None

    def spread(self) -> Item | None:
        kinds = r"stitch(?:es)?|chains?|places?|row ends?|loops?"
        found = self.take(
            rf"spread evenly over (?:remaining )?(\d+) ({kinds})(, leaving those between unworked)?: "
        )
        if not found:
            return None
        over, kind = int(found[1]), singular(found[2])
        parts: list[tuple[Item, int | None]] = []
        while True:
            item = self.spread_item()
            nth = r"\d+(?:st|nd|rd|th)"
            if places := self.take(rf" in ({nth}(?:(?:, {nth})* and {nth})?) ({kinds})"):
                numbers = [int(each) for each in re.findall(r"\d+", places[1])]
                if (singular(places[2]) == places[2]) != (len(numbers) == 1):
                    raise self.fail("in one place or in several?")
                parts += [(item, each) for each in numbers]
            else:
                parts.append((item, None))
            if not self.take(", "):
                break
            if every := self.take(rf"one in (?:every {ORDINALS}|each) (?:{kinds}), starting with {ORDINALS}"):
                at, gap = int(every[2]), int(every[1] or 1)
                parts = [
                    (one, at + gap * n) if uses else (one, None)
                    for one, uses, n in _numbered(tuple(item for item, _ in parts))
                ]
                break
        return Spread(over, kind, bool(found[3]), tuple(parts))

    def spread_item(self) -> Item:
        """One of the items that are spread, or a bracket of them, without its place."""
        if self.take(r"\["):
            items = [self.spread_item()]
            while self.take(", "):
                items.append(self.spread_item())
            times = self.need(r"\] (\d+) times", "how often is the bracket worked?")
            return Repeat(tuple(items), int(times[1]))
        if item := self.chains(opening=False):
            return item
        self.take(r"work ")
        if self.take(r"\("):
            items = list(self.items())
            self.need(r"\)", "where does the group end?")
            return Group(tuple(items), Places("next"))
        number = self.take(r"(\d+) (?=[^-])")
        if not number:
            self.take(r"an? ")
        times = int(number[1]) if number else 1
        if found := self.take(rf"({self.stitch})(?![\w-])"):
            return Work(self.stitch_name(found[1]), times, None)
        return Work(self.need(r"“([^”]+)”", "these words are not known")[1], times, None)

    def made_words(self) -> Item | None:
        """Words over so many places, or over none, which then tell of no stitch by its name."""
        where = None
        if re.compile(r"over next \d* ?\w+: ").match(self.text, self.at):
            where = self.places("over ")
            self.need(r": [^()]*\(this makes ", "what does this make?")
        elif not self.take(rf"(?:(?!\b(?:{self.stitch})\b)[^()“”])+ \(this makes "):
            return None
        makes = []
        while not self.take("nothing"):
            found = self.need(rf"(\d+) (chain spaces?|stitch(?:es)?|{self.stitch})", "what does this make?")
            name = "space" if "space" in found[2] else self.stitch_name(found[2]).name
            makes.append((name, int(found[1])))
            if not self.take(r"(?:, (?!in this)| and )"):
                break
        self.need(r", in this order\)" if len(makes) > 1 else r"\)", "where do the words end?")
        return Words(where, tuple(makes))

    def working(self) -> Item:
        self.take(r"work ")
        if self.take(r"\("):
            items = self.items()
            self.need(r"\)", "where does the group end?")
            if self.take(r" together as one stitch"):
                return Together(items)
            return Group(items, Places("cord") if self.take(r" over cord alone") else self.places(" in "))
        number = self.take(r"(\d+) (?=[^-])")
        if not number:
            self.take(r"an? ")
        what: Stitch | str
        if found := self.take(rf"({self.stitch})(?![\w-])"):
            what = self.stitch_name(found[1])
        else:
            what = self.need(r"“([^”]+)”", "these words are not known")[1]
        times = int(number[1]) if number else 1
        if yarn := self.take(r" with yarn (\w+)(?= marked |[,)])"):
            self.known(yarn[1])
        if isinstance(what, str) and (again := self.take(r" (?:(\d+) times|twice)(?=[,;)\]}]|$)")):
            return Work(what, int(again[1] or 2), None)
        if self.at == len(self.text) or self.text[self.at] in ",;)]}":
            return Work(what, times, None)
        if found := self.take(r" marked “([^”]+)”(?=[,)])"):
            return Work(what, times, None, found[1])
        if isinstance(what, Stitch) and what.uses > 1:
            repeats = self.take(r" (?:(\d+) times|(twice))")
            times = int(repeats[1]) if repeats and repeats[1] else 2 if repeats else 1
            where = self.places(" over ")
            if where.number != times * what.uses:
                raise self.fail(f"{times} times {what.name} is not over {where.number} places")
            return Work(what, times, where)
        if self.take(r" over cord alone"):
            return Work(what, times, Places("cord"))
        around = isinstance(what, Stitch) and " post " in f" {what.name} "
        if self.more_runs():
            runs = [self.places(" in ")]
            while self.take(r" and(?= in (?:each of )?(?:next|last) )"):
                runs.append(self.places(" in "))
            return Repeat(tuple(Work(what, times, where) for where in runs), 1)
        if isinstance(what, str) and self.text.startswith(" over ", self.at):
            return Work(what, times, self.places(" over "))
        return Work(what, times, self.places(" around " if around else " in "))

    def more_runs(self) -> bool:
        """Whether what comes is worked in several runs of places, each told by itself."""
        return (
            re.compile(r" in [^,;\]})]*? and in (?:each of )?(?:next|last) ").match(self.text, self.at)
            is not None
        )

    def places(self, lead: str) -> Places:
        self.need(re.escape(lead), f"“{lead.strip()}” what place?")
        if found := self.take(r"ring(?: \(mark (?:this stitch|these stitches) “([^”]+)”\))?(?=[,;)\]}]|$)"):
            return Places("ring", new_mark=found[1])
        if found := self.take(rf"{ORDINALS} chain from hook to close a picot{PICOT_MARK}"):
            return Places("top", "chain", int(found[1]), new_mark=found[2] or found[3])
        if found := self.take(rf"{ORDINALS} chain from hook"):
            return Places("hook", "chain", int(found[1]))
        if found := self.take(rf"top of stitch just made{PICOT_MARK}"):
            return Places("top", new_mark=found[1] or found[2])
        if found := self.take(r"this (ring|arch)(?: \(mark (?:this stitch|these stitches) “([^”]+)”\))?"):
            return Places("made here", found[1], new_mark=found[2])
        if found := self.take(r"row end (\d+) rows below this row"):
            return Places("edge", below=int(found[1]) - 1)
        if self.take(r"middle of post of last stitch made"):
            return Places("stem")
        if self.take(r"gap before next stitch"):
            return Places("gap")
        if self.take(r"place where round began"):
            return Places("start")
        if self.take(r"skipped (?:stitch|chain(?: space)?)"):
            return Places("skipped")
        if found := self.take(
            rf"(?:{ORDINALS}|(each)) of (\d+) skipped (?:stitches|chains|chain spaces|places)"
        ):
            return Places("skipped", "place", int(found[3]), which=found[1] or "each")
        self.take(r"(?:back|front) loop only of ")
        if found := self.take(r"(stitch or space|stitch|space) named"):
            return Places("named", found[1])
        if found := self.take(r"(?:stitch|place) (\d+) (?:row|round)s? below (?=\w)"):
            return replace(self.places(""), below=int(found[1]))
        space = r"chain(?:-(\d+))? space"
        new = r"(?: \(mark (?:this stitch|these stitches) “([^”]+)”\))?"
        if found := self.take(rf"(?:center|centre) (?:{space}|stitch) of next “([^”]+)”{new}"):
            kind = "space" if "space" in found[0] else "stitch"
            return Places("center", kind, 1, int(found[1]) if found[1] else None, found[2], found[3])
        if found := self.take(
            rf"(?:{ORDINALS} chain|(center|centre|middle) chain|each chain) of (first|next|same) "
        ):
            which = found[1] or ("middle" if found[2] else "each")
            short = "(?:chain(?:-(\\d+))? )?space" if found[3] == "same" else space
            said = self.need(rf"{short}(?: marked “([^”]+)”)?", "in which space?")
            chains = int(said[1]) if said[1] else None
            return Places(found[3], "space", 1, chains, said[2], None, which)
        if found := self.take(rf"each of (\d+) chains? of (first|next|same) {space}(?: marked “([^”]+)”)?"):
            if found[3] and found[3] != found[1]:
                raise self.fail("so many chains has this space not")
            return Places(found[2], "space", 1, int(found[1]), found[4], None, "each")
        if found := self.take(r"each chain(?:-(\d+))? space (across|around)"):
            return Places("each", "space", 1, int(found[1]) if found[1] else None, which=found[2])
        if found := self.take(
            r"each (chain and stitch|stitch and chain|stitch|chain|row end|loop|place) (across|around)"
        ):
            return Places("each", found[1], which=found[2])
        kinds = (
            rf"chains? and stitch(?:es)?|stitch(?:es)? and chains?|stitch(?:es)?|"
            rf"{space}s?|space|chains?|places?|tips?|row ends?|"
            rf"loops?|joins?|{self.stitch}"
        )
        found = self.need(
            rf"(?:each of )?(first |next |last |same |(?=\d))(?:(\d+) )?({kinds})"
            r"(?!\w)(?: marked “([^”]+)”)?(?: \(mark (?:it|them|this stitch|these stitches) “([^”]+)”\))?",
            "in which place?",
        )
        kind = "space" if "space" in found[3] else self.stitch_name(found[3]).name
        chains = int(found[4]) if found[4] else None
        return Places(found[1].strip() or "all", kind, int(found[2] or 1), chains, found[5], found[6])
