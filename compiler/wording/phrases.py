"""The small change of English: numbers for several sizes, ordinals, lists, plurals, each dialect's words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from ...lang.stitches import Stitch

Numbers = tuple[int, ...]
"""One number a size."""

NOUNS = {
    "stitch": ("stitch", "stitches", "st", "sts"),
    "chain": ("chain", "chains", "ch", "ch"),
    "space": ("chain space", "chain spaces", "ch-sp", "ch-sps"),
    "place": ("place", "places", "place", "places"),
    "row end": ("row end", "row ends", "row end", "row ends"),
    "loop": ("loop", "loops", "loop", "loops"),
    "join": ("join", "joins", "join", "joins"),
    "tip": ("tip", "tips", "tip", "tips"),
}
"""Singular and plural, written out and short."""


@dataclass(slots=True)
class Voice:
    """How a pattern is worded: the reader's dialect, words written out or short, and what has been named."""

    dialect: str
    full: bool
    stitches: dict[str, Stitch] = field(default_factory=dict)
    """The stitches named so far, by key."""
    squares: dict[str, Stitch] = field(default_factory=dict)
    """The squares of a mesh named so far, and what they are made of."""
    short_words: dict[str, str] = field(default_factory=dict)
    """The other abbreviations used so far, and their meanings."""

    def stitch(self, stitch: Stitch) -> str:
        """Return the name that an instruction uses."""
        self.stitches.setdefault(stitch.key, stitch)
        terms = stitch.terms(self.dialect)
        return terms.name if self.full else terms.abbreviation

    def stitches_of(self, stitch: Stitch, count: Numbers) -> str:
        """Return `3 single crochet`, `2 trebles`."""
        self.stitches.setdefault(stitch.key, stitch)
        terms = stitch.terms(self.dialect)
        name = (terms.name if set(count) == {1} else terms.plural) if self.full else terms.abbreviation
        return f"{sized(count)} {name}"

    def noun(self, name: str, count: Numbers) -> str:
        """Return `stitch` or `stitches`, or their short forms."""
        one, many, short_one, short_many = NOUNS[name]
        if self.full or one == short_one:
            return one if set(count) == {1} else many
        short = short_one if set(count) == {1} else short_many
        self.short_words.setdefault(short, one if set(count) == {1} else many)
        return short

    def counted(self, name: str, count: Numbers) -> str:
        """Return `3 stitches`, `the 2 (3) stitches` without its article."""
        return f"{sized(count)} {self.noun(name, count)}"

    def the(self, words: str) -> str:
        """Return words with their article, which the short form leaves out."""
        return f"the {words}" if self.full else words

    def word(self, full: str, short: str) -> str:
        """Return a word in the form at hand, and keep the short one for the key."""
        if self.full or full == short:
            return full
        self.short_words.setdefault(short, full)
        return short

    @property
    def work(self) -> str:
        """The verb before what is no verb itself, and a blank; the short form does without."""
        return "work " if self.full else ""

    @property
    def chain(self) -> str:
        """The word for making a chain, and for a chain."""
        return self.word("chain", "ch")

    @property
    def skip(self) -> str:
        """The word for passing over."""
        return self.word("skip", "sk") if self.dialect == "US" else "miss"

    def loop(self, setting: str, *, row: bool) -> str:
        """Return how a loop is named, for a whole row or for one stitch."""
        which = "back" if setting == "blo" else "front"
        if self.full:
            return f"in {which} loops only" if row else f"in the {which} loop only of"
        short = self.word(f"{which} loop only", setting.upper())
        return f"in {short}" if row else f"in {short} of"


def sized(count: Sequence[int | str]) -> str:
    """Return one number, or `8 (10, 12)` where sizes differ."""
    if len(set(count)) == 1:
        return str(count[0])
    return f"{count[0]} ({', '.join(map(str, count[1:]))})"


def times_words(count: Numbers) -> str:
    """Return how often something is worked: `once`, `twice`, `6 (8) times`."""
    few = {1: "once", 2: "twice"}
    return few.get(count[0], f"{count[0]} times") if len(set(count)) == 1 else f"{sized(count)} times"


def sized_words(words: Sequence[str]) -> str:
    """Return one word for all sizes, or `child (adult, adult)` where sizes differ."""
    first, *others = words
    return first if set(words) == {first} else f"{first} ({', '.join(others)})"


def ordinal(number: int) -> str:
    """Return `1st`, `2nd`, `11th`."""
    if 10 <= number % 100 <= 20:
        return f"{number}th"
    return f"{number}" + {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")


def ordinals(numbers: Numbers) -> str:
    """Return an ordinal, or `4th (6th)` where sizes differ."""
    if len(set(numbers)) == 1:
        return ordinal(numbers[0])
    return f"{ordinal(numbers[0])} ({', '.join(map(ordinal, numbers[1:]))})"


def listed(parts: Sequence[str]) -> str:
    """Return `a`, `a and b`, `a, b and c`."""
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def article(words: str) -> str:
    """Return `a` or `an`, by the sound that the words begin with."""
    first = words[:1].casefold()
    number = words.split("-")[0].split(" ")[0]
    if number.isdigit():
        return "an" if number in ("8", "11", "18") or number.startswith("8") else "a"
    return "an" if first in "aeiou" else "a"


def sentence(words: str) -> str:
    """Return words as a sentence of their own; what opens it may be a bracket or a star."""
    first = next((index for index, letter in enumerate(words) if letter.isalnum()), 0)
    return (
        words[: first + 1].upper()
        + words[first + 1 :]
        + ("" if words.endswith((".", "!", "?", ":")) else ".")
    )


def less(count: Numbers, by: int) -> Numbers:
    """Return each number lowered, never below nothing."""
    return tuple(max(0, number - by) for number in count)


def piece_name(voice: Voice, title: str) -> str:
    """Return a piece with its article, which its title may have already."""
    return title[:1].lower() + title[1:] if title.casefold().startswith("the ") else voice.the(title)


def marking(mark: str | None, what: str, *, inside: bool = False) -> str:
    """Return the words that set a marker; `inside` parentheses they stand without their own."""
    if mark is None:
        return ""
    if inside or what == "space":
        return f" marked “{mark}”"
    marked = f"this {what}" if what in ("stitch", "picot") else "these stitches"
    return f" (mark {marked} “{mark}”)"
