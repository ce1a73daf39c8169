"""Works a published pattern from its English alone, stitch by stitch, as a maker would.

`read(text)` gives, for every piece and size, what each row used and made. It raises `ReadingError` where the
English is impossible (more places wanted than there are, places left without a word, a mark that is not
there, a count at the end of a row that is not what was made) or has a word it does not know.
"""

import re
from collections import Counter
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import pairwise

from .along import Done, begun_along, piece_of
from .amounts import check_amounts, yarn_in
from .grid import lay
from .hook import COUNTING, Hook, Made, chains_as_stitches, full_words, items_of
from .measured import check_measurements
from .older import Ledger, Whence, whence_of
from .page import AS_ANOTHER, GRID, ROW, SEWN, Page, page_of
from .scheduled import changes_of, check, is_schedule
from .sewing import sew
from .striped import check_stripes
from .words import (
    Begin,
    BeginLegs,
    BeginSpecial,
    Chain,
    FromHook,
    Group,
    Item,
    Leave,
    ReadingError,
    Repeat,
    Skip,
    Stitch,
    Work,
    singular,
)


@dataclass(frozen=True, slots=True)
class RowRead:
    """What one row did: the places it used of the row below, and the stitches, spaces and tips it made."""

    number: int
    used: int
    stitches: int
    spaces: int
    tips: int = 0
    chains: int = 0
    names: Counter[str] = field(default_factory=Counter, compare=False)
    """The stitches by name, and every chain of its spaces as a chain."""
    yarn: str | None = field(default=None, compare=False)
    """The yarn that all of it is worked with; None where that is not told, or there are several."""


@dataclass(frozen=True, slots=True)
class PieceRead:
    name: str
    rows: dict[str, tuple[RowRead, ...]]


SIMPLY = Whence()
"""A row that is worked into the one before it."""


@dataclass(frozen=True, slots=True)
class RowSentence:
    """A row's items, whether the work is turned after it, and where it is joined."""

    items: tuple[Item, ...]
    turn: bool
    join: str | None
    unit: str
    anew: str | None = None
    """Where the yarn is joined anew, if it is."""
    cut: bool = False
    """Whether the yarn is fastened off after it."""
    counting: bool = False
    """Whether each chain of the row below counts as a stitch."""
    loop: str | None = None
    """`front` or `back` if it is worked in these loops only."""
    side: str | None = None
    """The side that faces, if the text says so."""
    whence: Whence = SIMPLY


HEADING = re.compile(
    r"(?:(?P<unit>Row|Round)s? (?P<first>\d+)(?:[–-](?P<final>\d+))?|"
    r"Next (?:(?P<some>\d+) )?(?P<next>row|round)s?)"
    r"(?: \((?P<only>[^)]* only)\))?(?: \((?P<side>right|wrong) side\))?: "
)
ONLY_SLIPS = re.compile(r": (?:Chain 1, |ch 1, )?(?:slip stitch|ss|sl st) ", re.IGNORECASE)
COUNT = re.compile(
    r" [(\[]((?:(?:, | and )?\d+ (?:stitch(?:es)?|chain spaces?|chains?|tips?))+)"
    r"(?:; (?P<kinds>[^()\[\];]+))?[)\]]$"
)
KIND = re.compile(r"(\d+) (?:(marked )?“([^”]+)”|in yarn (\w+)|([a-z ]+?))(?:, | and |$)")
AGAIN = re.compile(
    r"Work (?:row|round)s? (?P<low>\d+)"
    r"(?:(?:[–-]| and )(?P<high>\d+) in turn, ending with (?:row|round) (?P<ending>\d+)"
    r"(?:, without changing yarn at its end)?| again)?\."
)
ENDED = re.compile(
    r"(?P<slip>slip stitch in (?:the )?next stitch and )?fasten off(?:, leaving a long tail for sewing)?\.$",
    re.IGNORECASE,
)
CLOSED = re.compile(
    r"Cut (?:the )?yarn, leaving a tail of [^.]+\. Thread it through (?:the )?front loop of each of (?:the )?"
    r"(?P<stitches>\d+) stitch(?:es)?(?:, and through each of (?:the )?(?P<spaces>\d+) chain spaces?,)? of "
    r"(?:the )?last round, pull it tight to close the hole and fasten off\.$"
)
CHANGING = re.compile(
    r", changing (?P<back>back )?to yarn (?P<new>\w+) in (?:the )?(?:last stitch|joining slip stitch)(?=\.)"
)
"""A change of yarns within the sentence of the one row that it ends."""
LEFT = re.compile(
    r" (?:Cut yarn (?P<cut>\w+)|Carry yarn (?P<carried>\w+) up (?:the edge|on the wrong side))\.$"
)
CHANGE = re.compile(
    r" (?:For (?P<sizes>[^:.]+): c|C)hange (?P<back>back )?to yarn (?P<new>\w+) in "
    r"(?:the )?(?:last stitch|joining slip stitch) of "
    r"(?:(?:row|round) (?P<row>\d+)|this (?:row|round)|(?:the )?last of these (?:row|round)s)"
    r"(?:, and (?:cut yarn (?P<cut>\w+)|carry yarn (?P<carried>\w+) up (?:the edge|on the wrong side)))?\."
)
"""A change of yarns after rows, for all who work them or for some sizes alone."""
SEVERAL_YARNS = re.compile(r"\((?:with yarn|yarns:) ")
WITH = re.compile(r"With yarn (?P<yarn>\w+)[,.] ")
ANEW = re.compile(
    r"With (?:the )?right side facing, join (?:the )?yarn(?: (?P<yarn>\w+))? in (?:the )?first "
    r"(?P<place>stitch|chain space), (?P<rest>.+)"
)
JOIN = re.compile(
    r"\.? Join with (?:a )?slip stitch in (?:the )?"
    r"(first stitch|top of (?:the )?beginning chain|\d+\w\w chain of (?:the )?beginning chain|"
    r"first chain of (?:the )?round)\.$"
)
ZIGZAG = re.compile(r"(?=.*(?:together|tog\b))(?=.*(?:[Ww]ork (?:\(?\d)|\d \w+ in next|\) in next)).*\*")
"""A row of peaks and valleys, which draws in."""
RING = re.compile(
    r"chain (\d+) and join with (?:a )?slip stitch in (?:the )?first chain to form a ring"
    r"(?:, taking care not to twist it)?\."
)


def for_size(text: str, index: int, sizes: int) -> str:
    """The text with one size's numbers and yarns: `8 (10)` is 8 for the first size and 10 for the second."""
    if sizes < 2:
        return text

    def own(found: re.Match[str]) -> str:
        return str([found[1], *found[2].split(", ")][index])

    others, yarns = (r", ".join([each] * (sizes - 1)) for each in (r"\d+", r"\w+"))
    ordinals = r", ".join([r"\d+(?:st|nd|rd|th)"] * (sizes - 1))
    text = re.sub(rf"(\d+(?:st|nd|rd|th)) \(({ordinals})\)", own, text)
    text = re.sub(rf"(?<=yarn )(\w+) \(({yarns})\)(?=[, ])", own, text)
    return re.sub(rf"(\d+) \(({others})\)", own, text)


def read(text: str) -> tuple[PieceRead, ...]:
    """Every piece of a published pattern, worked in every size (under its name; "" where there is one).

    Raises ReadingError.
    """
    page = page_of(text)
    sizes = page.sizes or ("",)
    pieces: dict[str, PieceRead] = {}
    done: dict[str, dict[str, Done]] = {size: {} for size in sizes}
    ways: set[str] = set()
    for piece in page.pieces:
        if any(map(GRID.match, piece.lines)):
            for index, size in enumerate(sizes):
                lines = [for_size(full_words(line, page), index, len(sizes)) for line in piece.lines]
                last = {name: len(each.rows[size]) for name, each in pieces.items()}
                done[size][piece.title] = lay(lines, done[size], ways, last)
            pieces[piece.title] = PieceRead(piece.title, dict.fromkeys(sizes, ()))
            continue
        if any(map(SEWN.match, piece.lines)):
            for index, size in enumerate(sizes):
                sew(
                    [for_size(full_words(line, page), index, len(sizes)) for line in piece.lines],
                    done[size],
                    ways,
                )
            continue
        as_another = [found for line in piece.lines if (found := AS_ANOTHER.match(line))]
        if as_another:
            title = as_another[0]["title"]
            if title not in pieces:
                raise ReadingError(f"there is no piece {title} above", as_another[0][0])
            pieces[piece.title] = PieceRead(piece.title, pieces[title].rows)
            for size in sizes:
                like = done[size][title]
                other = like.mirrored() if "other side" in as_another[0][0] else like.mirrored().mirrored()
                mirrored = "other side" in as_another[0][0]
                begun = None
                for line in piece.lines:
                    said = for_size(full_words(line, page), sizes.index(size), len(sizes)).lower()
                    if many := re.fullmatch(r"make (\d+)\.", said):
                        other.copies = int(many[1])
                    begun = begun_along(said, done[size]) or begun
                    if begun and other.behind is None:
                        other.behind = said.startswith(("with the wrong", "with wrong"))
                if begun != like.begun or (begun and other.behind != (like.behind != mirrored)):
                    raise ReadingError(
                        f"{piece.title} is begun on other places than {title}", as_another[0][0]
                    )
                other.begun = begun
                done[size][piece.title] = other
        else:
            rows = {}
            for size in sizes:
                maker = _Maker(page, size, done[size])
                maker.chained = any(
                    note.startswith("In ") and f"“{piece.title}”" in note and "each chain between" in note
                    for note in page.notes
                )
                rows[size] = maker.piece(piece.lines)
                done[size][piece.title] = maker.finished()
            pieces[piece.title] = PieceRead(piece.title, rows)
    check_measurements(
        text,
        {
            name: [[row.stitches for row in rows] for rows in piece.rows.values()]
            for name, piece in pieces.items()
        },
        frozenset(piece.title for piece in page.pieces if any(map(ONLY_SLIPS.search, piece.lines))),
        frozenset(piece.title for piece in page.pieces if any(map(ZIGZAG.search, piece.lines))),
    )
    check_amounts(text, len(sizes), _yarn_of(page, pieces, sizes, done))
    return tuple(pieces.values())


def _yarn_of(
    page: Page, pieces: dict[str, PieceRead], sizes: tuple[str, ...], done: dict[str, dict[str, Done]]
) -> dict[str, list[Fraction]]:
    """The yarn in all stitches of each size, by its name if there are several.

    None where some row is of several yarns, some stitches take what is not known, or motifs lie in a grid.
    """
    rows = [row for piece in pieces.values() for rows in piece.rows.values() for row in rows]
    if any(not rows for piece in pieces.values() for rows in piece.rows.values()):
        return {}
    if page.yarns and any(row.yarn is None for row in rows):
        return {}
    found: dict[str, list[Fraction]] = {}
    for yarn in page.yarns or {""}:
        in_sizes = []
        for size in sizes:
            stitches: Counter[str] = Counter()
            for piece in pieces.values():
                copies = done[size][piece.name].copies
                for row in piece.rows[size]:
                    if (row.yarn or "") == yarn:
                        stitches.update({name: many * copies for name, many in row.names.items()})
            in_sizes.append(yarn_in(stitches, page.terms))
        known = [each for each in in_sizes if each is not None]
        if len(known) == len(in_sizes):
            found[yarn] = known
    return found


class _Maker:
    """Works one piece in one size."""

    def __init__(self, page: Page, size: str, done: dict[str, Done]) -> None:
        self.page = page
        self.done = done
        self.edges = Done()
        self.right_side = True
        self.sides: list[bool] = []
        self.leavers: list[bool] = []
        self.size = size
        self.fabric: list[Made] = []
        self.chain: int | None = None
        self.ring = False
        self.spiral = False
        self.cut = False
        self.last: RowSentence | None = None
        self.rows: list[RowRead] = []
        self.sentences: dict[int, RowSentence] = {}
        self.specials: list[str] = []
        self.ledger = Ledger()
        self.chained = False
        self.closed = False
        self.taken_up: str | None = None
        self.yarn_of: dict[int, str] = {}
        """The yarn that each row is worked with, as far as it is told."""
        self.of_several: set[int] = set()
        """The rows that are worked with other yarns as well."""
        self.worked_with: set[str] = set()

    def sized(self, text: str, sizes: tuple[str, ...]) -> str:
        return for_size(text, sizes.index(self.size) if sizes else 0, len(sizes))

    def piece(self, lines: tuple[str, ...]) -> tuple[RowRead, ...]:
        schedules: list[tuple[int, str]] = []
        stripes: list[tuple[int, str]] = []
        for line in lines:
            try:
                if self.closed and (ROW.match(line) or ENDED.match(full_words(line, self.page))):
                    raise ReadingError("the piece has come to its end")
                if self.rows and (ended := ENDED.match(full_words(line, self.page))):
                    self.end(ended)
                    continue
                if closed := CLOSED.match(self.sized(full_words(line, self.page), self.page.sizes)):
                    self.close(closed)
                elif ROW.match(line):
                    self.row(full_words(line, self.page))
                elif is_schedule(line):
                    schedules.append((len(self.rows), full_words(line, self.page)))
                elif line.startswith("Work the next") and " in stripes" in line:
                    stripes.append((len(self.rows), self.sized(line, self.page.sizes)))
                elif not self.rows and line.strip():
                    self.start(self.sized(full_words(line, self.page), self.page.sizes).lower())
            except ReadingError as wrong:
                raise ReadingError(f"{wrong.why} ({wrong.sentence})", line) from wrong
        counts = tuple(row.stitches for row in self.rows)
        for done, line in schedules:
            before = counts[done - 1] if done else self.rows[0].used
            check(changes_of(line, self.size, done), before, counts[done:], line)
        ends = (*(done for done, _ in stripes[1:]), len(self.rows))
        for (done, line), end in zip(stripes, ends, strict=False):
            check_stripes(line, done, self.yarn_of, end)
        return tuple(self.rows)

    def end(self, said: re.Match[str]) -> None:
        """Fasten off: a spiral, whose last round is not joined, with a slip stitch."""
        if self.spiral != (said["slip"] is not None) or self.cut:
            raise ReadingError("is the last round joined?")
        self.closed = True

    def close(self, said: re.Match[str]) -> None:
        """Draw the last round together: every place of it is named."""
        spaces = sum(made.is_space for made in self.fabric)
        if (int(said["stitches"]), int(said["spaces"] or 0)) != (len(self.fabric) - spaces, spaces):
            raise ReadingError(f"the last round has {len(self.fabric)} places")
        if not self.rows or not self.edges.around:
            raise ReadingError("there is no last round")
        self.closed, self.fabric = True, []

    def start(self, line: str) -> None:
        line = re.sub(r"^with yarn \w+, ", "", line)
        if found := re.fullmatch(r"chain (\d+)\.", line):
            self.chain = int(found[1])
        elif found := RING.fullmatch(line):
            self.fabric, self.ring = [Made("chain")] * int(found[1]), True
        elif re.fullmatch(
            r"make an adjustable ring\.|join the yarn to “[^”]+”, which is the ring that is worked over\.",
            line,
        ):
            self.ring = True
        elif found := re.fullmatch(r"work (\d+) (foundation [a-z ]+)\.", line):
            self.fabric = [Made(found[2])] * int(found[1])
        elif re.match(r"work in a continuous spiral: do not join the rounds\.", line):
            self.spiral = True
        elif found := re.fullmatch(r"make (\d+)\.", line):
            self.edges.copies = int(found[1])
        elif (along := begun_along(line, self.done)) is not None:
            self.fabric = self.edges.begun = along
            self.edges.behind = line.startswith(("with the wrong", "with wrong"))
        elif line == "fasten off.":
            self.cut = True
        elif re.match(r"chain \d|work \d|with (?:the )?(?:right|wrong) side", line):
            raise ReadingError("the beginning is not understood", line)

    def row(self, line: str) -> None:
        only = re.match(r"[^:]*\(([^)]*) only\)", line)
        names = tuple(re.split(r", | and ", only[1])) if only else self.page.sizes
        if set(names) - set(self.page.sizes):
            raise ReadingError("there is no such size", line)
        if only and self.size not in names:
            return
        line = self.sized(line, names)
        heading = HEADING.match(line)
        counts = COUNT.search(line)
        if not heading:
            raise ReadingError("the heading is not understood", line)
        if not counts:
            raise ReadingError("the row gives no count at its end", line)
        first = int(heading["first"] or len(self.rows) + 1)
        final = int(heading["final"] or first + int(heading["some"] or 1) - 1)
        if first != len(self.rows) + 1:
            raise ReadingError(f"row {first} follows row {len(self.rows)}", line)
        body = line[heading.end() : counts.start()]
        yarn = WITH.match(body) or ANEW.match(body)
        body = self.yarns(body, final, names)
        again = AGAIN.fullmatch(body)
        of_several = SEVERAL_YARNS.search(body)
        for number in range(first, final + 1):
            low = (
                int(again["low"])
                + (number - first) % (int(again["high"] or again["low"]) - int(again["low"]) + 1)
                if again
                else number
            )
            told_yarn = yarn and yarn["yarn"] if not again else self.yarn_of.get(low)
            if told_yarn:
                self.yarn_of[number] = told_yarn
            if low in self.of_several if again else of_several:
                self.of_several.add(number)
        for number in range(first, final + 1):
            if again:
                self.work(self.earlier(again, number - first, final - first))
            else:
                sentence = self.sentence(body, (heading["unit"] or heading["next"]).lower())
                self.work(replace(sentence, side=heading["side"]))
        told = {
            word: int(number)
            for number, word in re.findall(r"(\d+) (stitch|chain space|chain|tip)", counts[1])
        }
        last = self.rows[-1]
        made = {"stitch": last.stitches, "chain space": last.spaces, "tip": last.tips, "chain": last.chains}
        if any(made[word] != told.get(word, 0) for word in made):
            raise ReadingError(f"{made} are made, the text says {told}", line)
        if counts["kinds"]:
            self.kinds(counts["kinds"], line)

    def yarns(self, body: str, final: int, names: tuple[str, ...]) -> str:
        """Follow what a row says of its yarns; return the rest of it."""
        row = WITH.match(body)
        if row and self.taken_up not in (None, row[1]):
            raise ReadingError(f"yarn {self.taken_up} was taken up, the row is worked with {row[1]}", body)
        self.worked_with |= self.page.yarns & set(
            re.findall(r"\w+", re.sub(r"(?i)chang(?:e|ing) .*", "", body))
        )
        if inline := CHANGING.search(body):
            left = LEFT.search(body)
            told = [(inline, left and (left["cut"] or left["carried"]))]
            body = CHANGING.sub("", LEFT.sub("", body) if left else body)
        else:
            told = []
            for found in CHANGE.finditer(body):
                sizes = re.split(r", | and ", found["sizes"]) if found["sizes"] else names
                if set(sizes) - set(names):
                    raise ReadingError("there is no such size", found[0])
                if found["row"] and (not found["sizes"] or self.size in sizes) and int(found["row"]) != final:
                    raise ReadingError(f"the last row is {final}", found[0])
                if not found["sizes"] or self.size in sizes:
                    told.append((found, found["cut"] or found["carried"]))
            body = CHANGE.sub("", body)
        if len(told) > 1:
            raise ReadingError("two yarns are taken up", body)
        self.taken_up = None
        for change, old in told:
            new = change["new"]
            if {old or new, new} - self.page.yarns or old == new:
                raise ReadingError("there is no such yarn", change[0])
            if row and old not in (None, row[1]):
                raise ReadingError(f"the row is worked with {row[1]}", change[0])
            if change["back"] and new not in self.worked_with:
                raise ReadingError(f"yarn {new} does not wait anywhere", change[0])
            self.taken_up = new
        return body

    def kinds(self, said: str, line: str) -> None:
        """The kinds that are told beside the stitches: marks, special stitches, stitches by name."""
        read = list(KIND.finditer(said))
        if "".join(found[0] for found in read) != said:
            raise ReadingError("these kinds are not understood", line)
        for found in read:
            number, marked, name, yarn, stitch = found.groups()
            if yarn is not None:
                if yarn not in self.page.yarns:
                    raise ReadingError(f"there is no yarn {yarn}", line)
                continue
            if marked:
                has = [name in made.marks for made in self.fabric]
                runs = sum(now and not before for before, now in pairwise([False, *has]))
                fits = runs <= int(number) <= sum(has)
            elif name:
                fits = self.specials.count(name) == int(number)
            else:
                kind = re.compile(rf"{re.escape(singular(stitch))}(?: \d+ together)?")
                fits = sum(bool(kind.fullmatch(made.name)) for made in self.fabric) == int(number)
            if not fits:
                raise ReadingError(f"not {number} {marked or ''}{name or stitch} are made", line)

    def earlier(self, again: re.Match[str], step: int, final: int) -> RowSentence:
        low, high = int(again["low"]), int(again["high"] or again["low"])
        if again["ending"] and int(again["ending"]) != low + final % (high - low + 1):
            raise ReadingError("the rows do not end with that row", again[0])
        which = low + step % (high - low + 1)
        if which not in self.sentences:
            raise ReadingError(f"there is no row {which}", again[0])
        return self.sentences[which]

    def sentence(self, body: str, unit: str) -> RowSentence:
        anew = ANEW.match(body)
        if anew:
            if anew["yarn"] and anew["yarn"] not in self.page.yarns:
                raise ReadingError(f"there is no yarn {anew['yarn']}", body)
            body = anew["rest"]
        whence, body = whence_of(body)
        uncut = body.removesuffix(" Fasten off.")
        text = uncut.removesuffix(" Turn.")
        join = JOIN.search(text)
        items = items_of(text[: join.start()] + "." if join else text, self.page)
        joined = re.sub(r"the |(?<=\d)(?:st|nd|rd|th)\b", "", join[1]) if join else None
        loop = re.search(r"working in (front|back) loops? only", text, re.IGNORECASE)
        cut = uncut != body
        return RowSentence(
            items,
            text != uncut,
            joined,
            unit,
            anew and anew["place"],
            cut,
            re.search(COUNTING, text, re.IGNORECASE) is not None,
            loop and loop[1],
            whence=whence,
        )

    def work(self, sentence: RowSentence) -> None:
        if self.cut != (sentence.anew is not None):
            raise ReadingError("where does the yarn come from?" if self.cut else "the yarn is joined already")
        places = self.below(sentence)
        if sentence.whence.into or sentence.whence.steps or sentence.whence.back:
            ground = self.ledger.ground(sentence.whence, places)
            places, base = ground, len(places) if sentence.whence.steps else len(ground)
        else:
            base = len(places)
        hook = Hook(self.page, places, self.into_ring(sentence), around=sentence.unit == "round")
        hook.rows = len(self.rows)
        hook.work(self.moved_to_start(sentence, hook))
        hook.finish()
        for join in hook.joined:
            piece_of(join.title, self.done).join(join, self.edges.copies)
        if sentence.unit == "round" and not sentence.join and not self.spiral:
            raise ReadingError("the round is not joined")
        if sentence.join and sentence.join != _first_made(hook):
            raise ReadingError(f"joined in the {sentence.join}, which is not the first stitch")
        self.keep(sentence, hook)
        if sentence.unit == "row" and _ends_in_chains(sentence.items):
            # Chains at the very end of a row have no stitch behind them: each is a place of its own.
            hook.made[-1:] = [Made("chain", None, last.marks) for last in hook.made[-1:]] * (
                hook.made[-1].chains or 1
            )
        made = chains_as_stitches(hook.made) if self.chained else hook.made
        chains = 0 if self.chained else sum(each.name == "chain" for each in made)
        spaces = sum(each.is_space for each in made)
        tips = sum(each.name == "tip" for each in made)
        self.ledger.keep(sentence.whence, hook, sentence.turn, sentence.loop, base)
        self.cut = sentence.cut
        self.specials = hook.specials
        self.fabric, self.last, self.chain = made, sentence, None
        self.rows.append(
            RowRead(
                len(self.rows) + 1,
                hook.at,
                len(made) - chains - spaces - tips,
                spaces,
                tips,
                chains,
                Counter(each.name for each in made if not each.is_space)
                + Counter({"chain": sum(each.chains or 0 for each in made if each.is_space)}),
                None if len(self.rows) + 1 in self.of_several else self.yarn_of.get(len(self.rows) + 1),
            )
        )
        self.sentences[len(self.rows)] = sentence

    def keep(self, sentence: RowSentence, hook: Hook) -> None:
        """What later pieces may be begun on."""
        edges = self.edges
        faces = self.right_side if not self.sides or self.last is None else self.sides[-1] != self.last.turn
        if sentence.side and (sentence.side == "right") != faces:
            # The first row that names its side tells that of those before it.
            self.sides = [not side for side in self.sides]
            faces = not faces
        self.sides.append(faces)
        self.leavers.append(hook.left)
        edges.around = sentence.unit == "round"
        if not self.rows:
            chain = next((each for each in _flat(sentence.items) if _from_hook(each)), None)
            if isinstance(chain, FromHook):
                edges.foundation = hook.at - (chain.nth - 1) + (chain.stitch is not None)
            elif isinstance(chain, Work | Group) and chain.where:
                edges.foundation = hook.at - (chain.where.number - 1)
            elif self.fabric and all(place.name.startswith(("chain", "foundation")) for place in self.fabric):
                edges.foundation = hook.at
            if hook.beyond:
                edges.taken += [("foundation",)] * edges.copies
        edges.runs += [(name, places if faces else places[::-1]) for name, places in hook.kept]
        edges.picots = hook.picots
        edges.chains += [
            (mark, place.chains) for place in hook.made if place.chains for mark in sorted(place.marks)
        ]
        if sentence.loop:
            other = "front" if sentence.loop == "back" else "back"
            edges.loops[len(self.rows), other] = hook.looped

    def finished(self) -> Done:
        """The edges of the piece."""
        edges = self.edges
        if self.sides:
            edges.top = self.fabric if self.sides[-1] else self.fabric[::-1]
            edges.faces = self.sides[-1]
        for name in ("left", "right"):
            stops = [
                n
                for n, (faces, leaves) in enumerate(zip(self.sides, self.leavers, strict=True))
                if leaves and faces == (name == "left")
            ]
            setattr(edges, name, stops[0] if stops else len(self.sides))
        return edges

    def below(self, sentence: RowSentence) -> list[Made]:
        """The places of the row below, in the order in which this row comes to them."""
        if self.chain is not None:
            if not any(_from_hook(item) for item in _flat(sentence.items)):
                raise ReadingError("in which chain does the row start?")
            return [Made("chain")] * self.chain
        if self.last is None:
            if not self.ring and not self.fabric:
                raise ReadingError("the piece has no beginning")
            return self._joined_to(sentence, self.fabric)
        if sentence.unit == "row" and not self.last.turn and not self.last.cut:
            raise ReadingError("the work is not turned before this row")
        places = self.fabric[::-1] if self.last.turn else self.fabric
        if sentence.counting:
            if not any(place.is_space for place in places):
                raise ReadingError("there are no chains to count")
            places = chains_as_stitches(places)
        return self._joined_to(sentence, places)

    def _joined_to(self, sentence: RowSentence, places: list[Made]) -> list[Made]:
        """The places, if the yarn is joined in the first of them, where it is joined at all."""
        if sentence.anew and places and places[0].is_space != (sentence.anew == "chain space"):
            raise ReadingError(f"the row begins with no {sentence.anew}")
        return places

    def into_ring(self, sentence: RowSentence) -> bool:
        """Whether the round is worked into the ring, not into the chains that it is made of."""
        wheres = [getattr(item, "where", None) for item in _flat(sentence.items)]
        into = not self.fabric or any(where is not None and where.how == "ring" for where in wheres)
        return self.ring and not self.rows and into

    def moved_to_start(self, sentence: RowSentence, hook: Hook) -> tuple[Item, ...]:
        """Slip stitches that bring the hook to where a round begins are no stitches of the round. After a
        joining slip stitch the hook stands in the first stitch, so that the next one is the second."""
        items = sentence.items
        steps = next((n for n, item in enumerate(items) if not _is_slip(item)), len(items))
        chain = items[steps] if steps < len(items) else None
        starts = isinstance(chain, Begin | BeginSpecial | BeginLegs) or (
            sentence.unit == "round" and chain == Chain(1)
        )
        if not steps or not starts:
            if sentence.whence.moved or sentence.whence.starts_same:
                raise ReadingError("to where is it slip stitched?")
            return items
        joined = self.last is not None and self.last.join is not None and not self.last.turn
        hook.at = int(joined and not sentence.whence.into)
        hook.work(items[:steps])
        hook.made.clear()
        # The first place of the round is the one that the last slip stitch came to.
        if sentence.whence.moved:
            hook.places = hook.places[hook.at - 1 :] + hook.places[: hook.at - 1]
            hook.at, hook.same = 1, 0
        hook.touched = {hook.at - 1}
        if sentence.whence.starts_same:
            hook.at, hook.touched = hook.at - 1, set()
        if isinstance(chain, Begin):
            hook.begin(chain)
        elif isinstance(chain, BeginSpecial | BeginLegs):
            hook.at -= 1
            hook.item(chain)
        return items[steps + 1 :]


def _from_hook(item: Item) -> bool:
    return isinstance(item, FromHook) or (
        isinstance(item, Work | Group) and item.where is not None and item.where.how == "hook"
    )


def _first_made(hook: Hook) -> str:
    """What a round is joined in."""
    if hook.tall:
        return f"{hook.tall} chain of beginning chain"
    if hook.stands:
        return "top of beginning chain"
    return "first chain of round" if hook.made and hook.made[0].is_space else "first stitch"


def _ends_in_chains(items: tuple[Item, ...]) -> bool:
    last = next((item for item in reversed(_flat(items)) if not isinstance(item, Skip | Leave)), None)
    if isinstance(last, Work) and last.where is not None and last.where.how == "top":
        # A picot closed in its own first chain stands behind other chains.
        return last.where.kind == "chain"
    return isinstance(last, Chain)


def _is_slip(item: Item) -> bool:
    return isinstance(item, Work) and item.what == Stitch("slip stitch")


def _flat(items: tuple[Item, ...]) -> list[Item]:
    return [inner for item in items for inner in (_flat(item.items) if isinstance(item, Repeat) else [item])]
