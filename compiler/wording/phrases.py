"""The voice that words a pattern: a language's catalogue, and what has been named in it so far."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from ...lang.measures import Exact, centimetres, convert, in_quarters
from ...lang.stitches import DIALECTS, Stitch, Terms
from .catalogue import Catalogue, NotWorded, Noun, catalogue, in_english, like

Numbers = tuple[int, ...]
"""One number a size."""


@dataclass(slots=True)
class Voice:
    """How a pattern is worded: the reader's terms, words written out or short, and what has been named."""

    dialect: str
    full: bool
    stitches: dict[str, Stitch] = field(default_factory=dict)
    """The stitches named so far, by key."""
    squares: dict[str, Stitch] = field(default_factory=dict)
    """The squares of a mesh named so far, and what they are made of."""
    short_words: dict[str, str] = field(default_factory=dict)
    """The other abbreviations used so far, and their meanings."""
    _catalogue: Catalogue = field(init=False)
    _names: dict[tuple[str, bool], Noun] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._catalogue = catalogue(self.dialect, "full" if self.full else "short")

    @property
    def language(self) -> str:
        """The language tag of what is worded: `en-US`."""
        return self._catalogue.tag

    # ---- texts -------------------------------------------------------------------------------------------

    def say(self, name: str, /, **fields: object) -> str:
        """Return a text of the catalogue, its fields filled in. Raises NotWorded where there is none."""
        template = self._catalogue.templates.get(name)
        if template is None:
            raise in_english(name)
        for short, meaning in template.shorts:
            self.short_words.setdefault(short, meaning)
        for name_given in template.quoted:
            fields[name_given] = str(fields[name_given]).replace("_", " ")
        return template.text.format(**fields)

    def say_many(self, name: str, count: Numbers, /, **fields: object) -> str:
        """Return the text for one or for any other number, `{count}` being that number in all sizes."""
        formed = f"{name}.{form(count)}"
        name = formed if formed in self._catalogue.templates else name
        return self.say(name, count=sized(count), **fields)

    # ---- nouns -------------------------------------------------------------------------------------------

    def stitch(self, stitch: Stitch, *, many: bool = False) -> Noun:
        """Return the name that an instruction uses."""
        name = self._names.get((stitch.key, many))
        if name is None:
            self.stitches.setdefault(stitch.key, stitch)
            terms = self.terms(stitch)
            text = (terms.plural if many else terms.name) if self.full else terms.abbreviation
            name = self._catalogue.noun(text, self._catalogue.class_of(stitch), many=many)
            self._names[stitch.key, many] = name
        return name

    def terms(self, stitch: Stitch) -> Terms:
        """Return what a stitch is called, which needs no key."""
        if self.dialect in DIALECTS:
            return stitch.terms(self.dialect)
        called = self._catalogue.called(stitch)
        if called is None:
            raise NotWorded(stitch.us.name)
        return called

    def explanation(self, stitch: Stitch) -> str:
        """Return how a stitch is worked, in sentences."""
        if self.dialect in DIALECTS:
            return stitch.explanation(self.dialect)
        return self._catalogue.explained(stitch)

    def stitches_of(self, stitch: Stitch, count: Numbers) -> str:
        """Return `3 single crochet`, `2 trebles`."""
        return f"{sized(count)} {self.stitch(stitch, many=set(count) != {1})}"

    def noun(self, name: str, count: Numbers) -> Noun:
        """Return `stitch` or `stitches`, or their short forms."""
        noun = self._catalogue.nouns[name][set(count) != {1}]
        if noun in self._catalogue.meanings:
            self.short_words.setdefault(noun, self._catalogue.meanings[noun])
        return noun

    def noun_for(self, name: str, count: Numbers, text: str) -> Noun:
        """Return a text that stands for a noun, and that other words agree with as with that one."""
        return like(text, self._catalogue.nouns[name][set(count) != {1}])

    def counted(self, name: str, count: Numbers) -> str:
        """Return `3 stitches`, `2 (3) stitches`."""
        return f"{sized(count)} {self.noun(name, count)}"

    # ---- numbers -----------------------------------------------------------------------------------------

    def times(self, count: Numbers) -> str:
        """Return how often something is worked: `once`, `twice`, `6 (8) times`."""
        few = f"times.{count[0]}"
        alike = len(set(count)) == 1 and few in self._catalogue.templates
        return self.say(few if alike else "times.other", count=sized(count))

    def ordinal(self, number: int) -> str:
        """Return `1st`, `2nd`, `11th`."""
        ending = "other" if 10 <= number % 100 <= 20 else str(number % 10)
        name = f"ordinal.{ending}"
        return self.say(name if name in self._catalogue.templates else "ordinal.other", number=number)

    def ordinals(self, numbers: Numbers) -> str:
        """Return an ordinal, or `4th (6th)` where sizes differ."""
        return sized([self.ordinal(number) for number in numbers])

    def number(self, written: str) -> str:
        """Return a number with the decimal mark of the language."""
        return written.replace(".", self.say("decimal"))

    def lengths(self, cm: Sequence[Exact]) -> str:
        """Return centimetres, one length a size: `46.7 (51.1) cm / 18½ (20) in`."""
        inches = [in_quarters(convert(each, "cm", "inch")) for each in cm]
        metric = [self.number(centimetres(each)) for each in cm]
        return self.say("lengths", cm=sized(metric), inches=sized(inches))

    def about_lengths(self, cm: Sequence[Exact]) -> str:
        """Return centimetres that are told as about so many, to whole ones: `213 cm / 84 in`."""
        inches = [round(convert(each, "cm", "inch")) for each in cm]
        return self.say("lengths", cm=sized([round(each) for each in cm]), inches=sized(inches))

    # ---- sentences ---------------------------------------------------------------------------------------

    def listed(self, parts: Sequence[str]) -> str:
        """Return `a`, `a and b`, `a, b and c`."""
        if len(parts) == 1:
            return parts[0]
        return self.say("list", others=", ".join(parts[:-1]), last=parts[-1])

    def piece(self, title: str) -> str:
        """Return a piece with its article, which its title may have already."""
        name = "piece.with-article" if title.casefold().startswith("the ") else "piece.alone"
        return self.say(name, title=title, lower=title[:1].lower() + title[1:])

    def marking(self, mark: str | None, what: str, *, inside: bool = False) -> str:
        """Return the words that set a marker; `inside` parentheses they stand without their own."""
        if mark is None:
            return ""
        known = what if what in ("stitch", "picot") else "many"
        return self.say("marking.inside" if inside or what == "space" else f"marking.{known}", mark=mark)


def form(count: Numbers) -> str:
    """Return which form of a text a number calls for: `one` or `many`."""
    return "one" if set(count) == {1} else "many"


def sized(count: Sequence[int | str]) -> str:
    """Return one number or word, or `8 (10, 12)` where sizes differ."""
    if len(set(count)) == 1:
        return str(count[0])
    return f"{count[0]} ({', '.join(map(str, count[1:]))})"


def sentence(words: str) -> str:
    """Return words as a sentence of their own; what opens it may be a bracket or a star."""
    first = next((index for index, letter in enumerate(words) if letter.isalnum()), 0)
    return (
        words[: first + 1].upper()
        + words[first + 1 :]
        + ("" if words.endswith((".", "!", "?", ":")) else ".")
    )
