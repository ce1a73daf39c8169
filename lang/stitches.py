"""The stitches of the language in both dialects, read from `stitches.toml`.

The parser's names go in; what a stitch uses and makes, how high it is and what it is called come out. `sc`
in US terms and `dc` in UK terms are one and the same `Stitch`. Everything is immutable and made once.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

DIALECTS = ("US", "UK")
NUMBERED = re.compile(r"([^\W\d]+)([1-9][0-9]?)([^\W\d]*)")
"""A name with a number from 1 to 99 in it."""
SENTENCE_START = re.compile(r"(?:^|\. )\W?\w")


@dataclass(frozen=True, slots=True)
class Terms:
    """What a stitch is called in one dialect."""

    abbreviation: str
    """As printed: `sc`, `sl st`, `FPdc`."""
    name: str
    plural: str


@dataclass(frozen=True, slots=True)
class Stitch:
    """A stitch of the trade."""

    key: str
    """The US word typed for it; the same in both dialects."""
    family: str
    """`chain`, `slip`, `plain`, `post`, `together`, `cluster`, `bobble`, `puff`, `popcorn`, `picot`,
    `foundation`, `increase` or `shell`."""
    base: str
    """Key of the plain stitch it is made of; its own for a plain stitch."""
    form: str
    """The kind of stitch made from others, such as `together`; empty for one that stands by itself."""
    made_of: str
    """Key of the stitch that the form is made of; its own for one that stands by itself."""
    open_of: str
    """Key of the plain stitch that it is worked like but for the last step."""
    loops: int
    """On the hook before the last step."""
    legs: int
    """How many of them: the number in its name, 2 for `inc` and `dec`, 1 for the others."""
    height: int
    """In chains, of the stitch it is made of."""
    uses: int
    """Places of the row below."""
    makes: int
    """Places for the row above."""
    counts_as: str
    """Key of the kind that it is counted by in totals."""
    turning_chain: int
    """Chains of the turning chain where the pattern says nothing else."""
    turning_chain_counts: bool
    yarn: int
    """The yarn it takes by a rule of thumb, in tenths of what single crochet takes."""
    us: Terms
    uk: Terms
    us_source: str
    """The word an author types for it."""
    uk_source: str
    us_explanation: str
    """How it is worked, in sentences."""
    uk_explanation: str

    def terms(self, dialect: str) -> Terms:
        """Return what it is called in `US` or `UK`."""
        return self.us if dialect == "US" else self.uk

    def source_name(self, dialect: str) -> str:
        """Return the word typed for it in `US` or `UK`."""
        return self.us_source if dialect == "US" else self.uk_source

    def explanation(self, dialect: str) -> str:
        """Return how it is worked, in the terms of `US` or `UK`."""
        return self.us_explanation if dialect == "US" else self.uk_explanation


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """The stitches as one dialect names them."""

    dialect: str
    names: tuple[str, ...]
    """Every word without a number, and one example of each kind with a number."""
    _singles: Mapping[str, Stitch]
    _shapes: Mapping[str, tuple[str, str]]

    def find(self, name: str) -> Stitch | None:
        """Return the stitch typed as `name`, in capitals or not; None if the dialect has none."""
        single = self._singles.get(name.lower())
        if single:
            return single
        shape, legs = _split(name)
        form, base = self._shapes.get(shape, ("", ""))
        return _numbered(form, base, legs) if form and legs >= _form(form)["least"] else None

    def near(self, name: str, also: Iterable[str] = ()) -> tuple[str, ...]:
        """Return at most 4 names that `name` may be a slip for, best first; `also` are the author's own."""
        from difflib import get_close_matches

        meant = dict(self._words(name))
        meant.update({word.lower(): word for word in also})
        if name.lower() in meant:
            return (meant[name.lower()],)
        # Of two letters one is half the word.
        found = get_close_matches(name.lower(), meant, n=8, cutoff=0.5 if len(name) < 3 else 0.6)
        return tuple(dict.fromkeys(meant[word] for word in found))[:4]

    def _words(self, name: str) -> Iterator[tuple[str, str]]:
        """Yield what an author may have in mind, spelt as one word, with the name to type for it."""
        for word, stitch in self._singles.items():
            terms = stitch.terms(self.dialect)
            for meant in (terms.abbreviation, terms.name, terms.plural):
                yield meant.lower().replace(" ", ""), word
        _, legs = _split(name)
        if legs:
            numbered = (shape.replace("#", str(legs)) for shape in self._shapes)
            yield from ((word, word) for word in numbered if self.find(word))
        else:
            for form in _numbered_forms():
                yield _form(form)["family"], _example(form).source_name(self.dialect)
        yield from ((word, word) for word in self.names)


@cache
def vocabulary(dialect: str) -> Vocabulary:
    """Return the stitches as `US` or `UK` names them."""
    singles = {making.stitch.source_name(dialect): making.stitch for making in _singles().values()}
    examples = (_example(form).source_name(dialect) for form in _numbered_forms())
    return Vocabulary(dialect, (*singles, *examples), singles, _shapes(dialect))


def numbered_words() -> Mapping[str, int]:
    """Return the stitches with a number in their names, in both dialects: `dc#tog`, and the least number."""
    return {
        shape: _form(form)["least"] for dialect in DIALECTS for shape, (form, _) in _shapes(dialect).items()
    }


@cache
def words_for_names() -> Mapping[str, str]:
    """Return the word to type for each full name of more than one word, such as `single crochet`.

    Where both dialects have a name, it is short for the same word in both.
    """
    words: dict[str, str] = {}
    for dialect in DIALECTS:
        for word, stitch in vocabulary(dialect)._singles.items():
            terms = stitch.terms(dialect)
            for name in (terms.name, terms.plural):
                for ending in ("", "s", " crochet"):
                    words.setdefault(name.lower() + ending, word)
    return {name: word for name, word in words.items() if " " in name}


def is_built_in(name: str) -> bool:
    """Tell whether `name` is a stitch in either dialect, and so not free for an author's own."""
    return any(vocabulary(dialect).find(name) for dialect in DIALECTS)


def other_dialect(name: str, dialect: str) -> Stitch | None:
    """Return the stitch that only the other dialect calls `name`; None if `dialect` has one too."""
    if vocabulary(dialect).find(name):
        return None
    return vocabulary("UK" if dialect == "US" else "US").find(name)


# ---- how the table becomes stitches ------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Making:
    """A stitch, and what others that are made of it need to know."""

    stitch: Stitch
    open: str
    """How it is worked but for the last step; empty if nothing can be made of it."""
    loops: int
    """The loops this leaves on the hook beside the first."""
    where: str


@cache
def _tables() -> dict[str, Any]:
    return tomllib.loads(Path(__file__).with_name("stitches.toml").read_text(encoding="utf-8"))


def _form(name: str) -> dict[str, Any]:
    table: dict[str, Any] = _tables()["form"][name]
    return table


def _numbered_forms() -> list[str]:
    return [name for name, form in _tables()["form"].items() if "least" in form]


@cache
def _singles() -> dict[str, _Making]:
    """Return the stitches without a number in their names, by key."""
    made = {key: _plain(key, table) for key, table in _tables()["stitch"].items()}
    for name, form in _tables()["form"].items():
        if "least" not in form:
            derived = [_derived(name, base, form.get("legs", 1), made) for base in _bases(name, made)]
            made.update({making.stitch.key: making for making in derived})
    return made


@lru_cache(maxsize=256)
def _numbered(form: str, base: str, legs: int) -> Stitch:
    return _derived(form, _singles()[base], legs, _singles()).stitch


@cache
def _shapes(dialect: str) -> dict[str, tuple[str, str]]:
    """Return `dc#tog` and the like, each with its form and the key of the stitch it is made of."""
    return {
        _written(_form(form), base.stitch.source_name(dialect), "#"): (form, base.stitch.key)
        for form in _numbered_forms()
        for base in _bases(form, _singles())
    }


def _split(name: str) -> tuple[str, int]:
    """Return the shape of a name and its number, such as `dc#tog` and 3; no shape and 0 if it has none."""
    found = NUMBERED.fullmatch(name.lower())
    return (f"{found[1]}#{found[3]}", int(found[2])) if found else ("", 0)


def _example(form: str) -> Stitch:
    """Return the stitch that stands for a form in a list of names."""
    shape, legs = _split(_form(form)["example"])
    _, base = _shapes("US")[shape]
    return _numbered(form, base, legs)


def _bases(form: str, made: Mapping[str, _Making]) -> list[_Making]:
    """Return what a form is made from; of a family in its `of`, only stitches that can be left open."""
    of = _form(form)["of"].split()
    return [
        making for key, making in made.items() if key in of or (making.stitch.family in of and making.open)
    ]


def _written(form: Mapping[str, Any], base: str, legs: int | str) -> str:
    """Return the word typed for a form of `base`."""
    written: str = form.get("write", form["abbreviation"])
    return written.format(base=base, legs=legs).lower()


def _plain(key: str, table: Mapping[str, Any]) -> _Making:
    us, uk = Terms(*table["us"]), Terms(*table["uk"])
    height = table.get("height", 0)
    opening, loops = table.get("open", ""), table.get("loops", 0)
    default = _tables()["plain"]
    explanation = table.get("explanation", default["explanation"])
    stitch = Stitch(
        key=key,
        family=table["family"],
        base=key,
        form="",
        made_of=key,
        open_of=key,
        loops=loops + 1,
        legs=1,
        height=height,
        uses=table.get("uses", 1),
        makes=table.get("makes", 1),
        counts_as=key,
        turning_chain=height,
        turning_chain_counts=height >= _tables()["turning_chain"]["counts_from"],
        yarn=table.get("yarn", default["yarn"]),
        us=us,
        uk=uk,
        us_source=table.get("us_source", us.abbreviation.lower()),
        uk_source=table.get("uk_source", uk.abbreviation.lower()),
        us_explanation=_explained(explanation, "US", opening, loops, default["where"]),
        uk_explanation=_explained(explanation, "UK", opening, loops, default["where"]),
    )
    return _Making(stitch, opening, loops, "")


def _derived(kind: str, base: _Making, legs: int, made: Mapping[str, _Making]) -> _Making:
    form, stitch = _form(kind), base.stitch
    opened = made[form["open_of"].format(base=stitch.key)] if "open_of" in form else base
    where = base.where or form.get("where", "")
    key = _written(form, stitch.us_source, legs)

    def explained(dialect: str) -> str:
        terms = stitch.terms(dialect)
        return _explained(
            form["explanation"],
            dialect,
            opened.open,
            opened.loops * legs,
            where,
            legs=legs,
            times="twice" if legs == 2 else f"{legs} times",
            chains=stitch.height + 1,
            foot=f"{stitch.height + 1}{ {1: 'nd', 2: 'rd'}.get(stitch.height, 'th') }",
            chain_count="1 chain" if legs == 1 else f"{legs} chains",
            name=terms.name,
            plural=terms.plural,
        )

    def called(terms: Terms) -> Terms:
        facts = {"legs": legs, "base": terms.abbreviation, "name": terms.name, "plural": terms.plural}
        facts["hyphened"] = terms.name.replace(" ", "-")
        return Terms(*(form[word].format(**facts) for word in ("abbreviation", "name", "plural")))

    return _Making(
        Stitch(
            key=key,
            family=form["family"],
            base=stitch.base,
            form=kind,
            made_of=stitch.key,
            open_of=opened.stitch.open_of,
            loops=opened.loops * legs + 1,
            legs=legs,
            height=stitch.height,
            uses=legs if form.get("uses") == "legs" else form.get("uses", 1),
            makes=legs if form.get("makes") == "legs" else form.get("makes", 1),
            counts_as=stitch.counts_as if form.get("counts_as") == "base" else key,
            turning_chain=stitch.turning_chain,
            turning_chain_counts=stitch.turning_chain_counts,
            yarn=legs * stitch.yarn + (made[form["beside"]].stitch.yarn if "beside" in form else 0),
            us=called(stitch.us),
            uk=called(stitch.uk),
            us_source=key,
            uk_source=_written(form, stitch.uk_source, legs),
            us_explanation=explained("US"),
            uk_explanation=explained("UK"),
        ),
        base.open,
        base.loops,
        where,
    )


def _explained(template: str, dialect: str, opening: str, loops: int, where: str, **facts: int | str) -> str:
    """Return the sentences of `template`; `loops` lie on the hook beside the first before the last step."""
    words = _tables()["words"][dialect]
    text = template.format(
        **words,
        **facts,
        open=opening.format(**words, where=where.format(**words)),
        loops="both loops" if loops == 1 else f"all {loops + 1} loops",
    )
    return SENTENCE_START.sub(lambda start: start[0].upper(), text)
