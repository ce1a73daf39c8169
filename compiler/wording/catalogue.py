"""The words of a language: templates, nouns and what agrees with them, from `catalogues/*.toml`."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from string import Formatter
from typing import Any

from ...lang.stitches import SENTENCE_START, Stitch, Terms, vocabulary

LANGUAGES = {"US": "english", "UK": "english", "DE": "german"}
"""The terms that a pattern can be read in, and the catalogue that they are in."""
LENGTHS = ("full", "short")
QUOTED = re.compile(r"[“„]\{(\w+)\}[”“]")
NUMBERS = {"one", "many"}
"""The forms of what depends on a number: for one alone, for any other."""


class NotWorded(Exception):  # noqa: N818 - says what is missing
    """A language has no words yet for what the message says, in English."""


class Noun(str):
    """A noun, or the name of a stitch; `{noun:a}` in a template is the form of `a` that agrees with it."""

    __slots__ = ("agreeing",)
    agreeing: Mapping[str, str]

    def __format__(self, word: str) -> str:
        """Return the noun, or the form of `word` that agrees with it."""
        return self.agreeing[word] if word else str(self)


def like(text: str, noun: Noun) -> Noun:
    """Return a text that other words agree with as with `noun`."""
    other = Noun(text)
    other.agreeing = noun.agreeing
    return other


@dataclass(frozen=True, slots=True)
class Template:
    """A text with fields, and the abbreviations in it with their meanings."""

    text: str
    shorts: tuple[tuple[str, str], ...] = ()
    quoted: tuple[str, ...] = ()
    """The fields in quotes: names that authors gave, whose underscores are printed as blanks."""


@dataclass(frozen=True, slots=True)
class Agreeing:
    """The forms of words that agree with nouns of one class."""

    when: re.Pattern[str] | None
    """How the nouns begin that are of the class, where nothing else says so."""
    forms: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Catalogue:
    """What a language says in the terms of one dialect, its words written out or short."""

    tag: str
    """The language tag of what is published: `en-US`."""
    templates: Mapping[str, Template]
    """By topic and name: `closing.turn`. One that depends on a number stands twice: `.one`, `.many`."""
    nouns: Mapping[str, tuple[Noun, Noun]]
    """For one, and for any other number."""
    meanings: Mapping[str, str]
    """The abbreviations among the nouns, and what they mean."""
    agreeing: Mapping[str, Agreeing]
    """By class: a gender, or a sound. `many` is that of all nouns for several."""
    stitches: Mapping[str, Mapping[str, Any]]
    """What stitches are called, by key, where their vocabulary does not tell; and their class."""
    forms: Mapping[str, Mapping[str, Any]]
    """The same of forms, with fields for what they are made of."""
    worked: Mapping[str, Any]
    """How stitches are worked of which `stitches` and `forms` say nothing else."""

    def noun(self, text: str, of: str = "", *, many: bool = False) -> Noun:
        """Return a noun of a class; of none stated, its sound tells."""
        if not of and not many:
            begins = ((name, each.when) for name, each in self.agreeing.items())
            of = next((name for name, when in begins if when is not None and when.match(text)), "")
        noun = Noun(text)
        noun.agreeing = {
            **(self.agreeing[of].forms if of else {}),
            **(self.agreeing["many"].forms if many else {}),
        }
        return noun

    def called(self, stitch: Stitch) -> Terms | None:
        """Return what a stitch is called; None if the language has no name for it."""
        if stitch.key in self.stitches:
            return Terms(*self.stitches[stitch.key]["called"])
        if "called" not in self.forms.get(stitch.form, {}):
            return None
        if self.called(_of_the_trade(stitch.made_of)) is None:
            return None
        return Terms(*(each.format(**self._facts(stitch)) for each in self.forms[stitch.form]["called"]))

    def explained(self, stitch: Stitch) -> str:
        """Return in sentences how a stitch is worked that has a name."""
        entry = {**self.worked, **self.forms.get(stitch.form, {}), **self.stitches.get(stitch.key, {})}
        opening = self.stitches.get(stitch.open_of, {}).get("open", "")
        loops = self.worked["both" if stitch.loops == 2 else "all"].format(count=stitch.loops)
        text = entry["explanation"].format(
            **self._facts(stitch), open=opening.format(where=self._where(stitch)), loops=loops
        )
        return SENTENCE_START.sub(lambda start: start[0].upper(), text)

    def _where(self, stitch: Stitch) -> str:
        """Return where the hook goes in: where it does for what a form is made of, if that tells."""
        if not stitch.form:
            return str(self.worked["where"])
        of = _of_the_trade(stitch.made_of)
        return self._where(of) if of.form else str(self.forms[stitch.form].get("where", ""))

    def _facts(self, stitch: Stitch) -> dict[str, object]:
        """Return what can stand in the name of a stitch and in how it is worked."""
        of = _of_the_trade(stitch.made_of)
        own = self.stitches.get(of.key, {})
        called = self.called(of) if of is not stitch else Terms(*own["called"])
        assert called is not None
        return {
            "legs": stitch.legs,
            "base": called.abbreviation,
            "name": called.name,
            "plural": called.plural,
            "dative": own.get("dative", called.plural),
            "counted": f"{stitch.legs} {called.name if stitch.legs == 1 else called.plural}",
            "chains": stitch.height + 1,
        }

    def class_of(self, stitch: Stitch) -> str:
        """Return the class that a stitch's name is of; empty if its sound tells."""
        entry = self.stitches.get(stitch.key) or self.forms.get(stitch.form) or {}
        if "class" in entry or not entry:
            return str(entry.get("class", ""))
        return self.class_of(_of_the_trade(stitch.made_of))


def _of_the_trade(key: str) -> Stitch:
    """Return the stitch of a key."""
    stitch = vocabulary("US").find(key)
    assert stitch is not None
    return stitch


@cache
def catalogue(terms: str, length: str) -> Catalogue:
    """Return the words of `US` or `UK`, and so on, `full` or `short`."""
    table = _table(LANGUAGES[terms])
    words = {name: _chosen(value, terms, length) for name, value in table["words"].items()}
    meant = {name: _chosen(value, terms, "full") for name, value in table["words"].items()}
    agreeing = {
        name: Agreeing(
            re.compile(forms["when"], re.IGNORECASE) if "when" in forms else None,
            {word: _chosen(form, terms, length) for word, form in forms.items() if word != "when"},
        )
        for name, forms in table["agreeing"].items()
    }
    texts = {
        name: _template(_chosen(value, terms, length), words, meant) for name, value in _named(table["say"])
    }
    nouns: dict[str, tuple[Noun, Noun]] = {}
    meanings: dict[str, str] = {}
    found = Catalogue(
        _chosen(table["language"], terms, length),
        texts,
        nouns,
        meanings,
        agreeing,
        table.get("stitch", {}),
        table.get("form", {}),
        table.get("worked", {}),
    )
    for name, entry in table["nouns"].items():
        one, many = _chosen(entry, terms, length)
        of = str(entry.get("class", "")) if isinstance(entry, Mapping) else ""
        nouns[name] = found.noun(one, of), found.noun(many, of, many=True)
        for short, meaning in _abbreviated((one, many), _chosen(entry, terms, "full")).items():
            meanings.setdefault(short, meaning)
    return found


@cache
def _table(language: str) -> dict[str, Any]:
    path = Path(__file__).parent / "catalogues" / f"{language}.toml"
    return tomllib.loads(path.read_text(encoding="utf-8"))


def _chosen(value: Any, terms: str, length: str) -> Any:
    """Return what stands for these terms and this length, of a value that may have several."""
    while isinstance(value, Mapping):
        value = value[terms] if terms in value else value[length]
    return value


def _named(table: Mapping[str, Any], above: str = "") -> Iterator[tuple[str, Any]]:
    """Yield the templates of a table and the tables in it, by their full names."""
    for name, value in table.items():
        varies = isinstance(value, Mapping) and value.keys() <= {*LANGUAGES, *LENGTHS}
        if isinstance(value, Mapping) and not varies:
            yield from _named(value, f"{above}{name}.")
        else:
            yield f"{above}{name}", value


def _template(text: str, words: Mapping[str, str], meant: Mapping[str, str]) -> Template:
    """Return a template with the language's own words filled in."""
    parts: list[str] = []
    used: list[str] = []
    for literal, name, spec, _ in Formatter().parse(text):
        parts.append(literal.replace("{", "{{").replace("}", "}}"))
        if name is not None and name in words and not spec:
            parts.append(words[name])
            used.append(name)
        elif name is not None:
            parts.append(f"{{{name}:{spec}}}" if spec else f"{{{name}}}")
    shorts = _abbreviated([words[name] for name in used], [meant[name] for name in used])
    return Template("".join(parts), tuple(shorts.items()), tuple(QUOTED.findall(text)))


def _abbreviated(said: Iterable[str], meant: Iterable[str]) -> dict[str, str]:
    """Return what is said with fewer letters, and what that means where it is said first."""
    pairs = list(zip(said, meant, strict=True))
    return {short: full for short, full in reversed(pairs) if short and short != full}


def in_english(name: str) -> NotWorded:
    """Return what to raise where a language lacks a text."""
    found = catalogue("US", "full").templates.get(name)
    return NotWorded(found.text if found is not None else name)
