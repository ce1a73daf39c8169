"""The catalogues of words: what the code asks for is there, with the fields that it is given."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from string import Formatter

import pytest
from turnchain.compiler.wording.catalogue import LANGUAGES, LENGTHS, NotWorded, catalogue
from turnchain.compiler.wording.phrases import Voice
from turnchain.lang.seams import methods

WORDING = Path(__file__).parents[2] / "compiler" / "wording"
ASKED_BY_NUMBER = re.compile(r"(?:times|ordinal)\.\w+|decimal|lengths|list|quoted|piece\.[\w-]+|marking\.\w+")
"""What `phrases` itself asks for."""
ANY = "**"
"""The fields of a mapping."""


def _asked() -> Iterator[tuple[str, frozenset[str], str]]:
    """Yield the pattern of each name that the code asks for, the fields it gives, and where."""
    for path in sorted(WORDING.glob("*.py")):
        for call in ast.walk(ast.parse(path.read_text("utf-8"))):
            if not isinstance(call, ast.Call) or not isinstance(call.func, ast.Attribute) or not call.args:
                continue
            if call.func.attr not in ("say", "say_many"):
                continue
            many = call.func.attr == "say_many"
            fields = frozenset(each.arg or ANY for each in call.keywords) | ({"count"} if many else set())
            for name in _patterns(call.args[0]):
                yield name + (r"(?:\.(?:one|many))?" if many else ""), fields, f"{path.name}:{call.lineno}"


def _patterns(node: ast.expr) -> Iterator[str]:
    match node:
        case ast.Constant(value=str() as name):
            yield re.escape(name)
        case ast.JoinedStr(values=parts):
            yield "".join(
                re.escape(str(part.value)) if isinstance(part, ast.Constant) else r"[\w -]+" for part in parts
            )
        case ast.IfExp(body=one, orelse=other):
            yield from _patterns(one)
            yield from _patterns(other)


ASKED = [each for each in _asked() if not each[2].startswith("phrases.py")]


def _without_form(name: str) -> str:
    """Return the name of a text that may depend on a number in one language and not in another."""
    return name.removesuffix(".one").removesuffix(".many")


def _fields(text: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(text) if name}


@pytest.mark.parametrize("length", LENGTHS)
@pytest.mark.parametrize("terms", [terms for terms, language in LANGUAGES.items() if language == "english"])
def test_english_has_every_text_that_is_asked_for_and_no_other(terms: str, length: str) -> None:
    templates = catalogue(terms, length).templates
    lacking = [(name, at) for name, _, at in ASKED if not any(re.fullmatch(name, key) for key in templates)]
    assert not lacking
    patterns = [name for name, _, _ in ASKED]
    others = [key for key in templates if not any(re.fullmatch(name, key) for name in patterns)]
    assert [key for key in others if not ASKED_BY_NUMBER.fullmatch(key)] == []


@pytest.mark.parametrize("length", LENGTHS)
@pytest.mark.parametrize("terms", LANGUAGES)
def test_a_text_has_no_field_that_it_is_not_given(terms: str, length: str) -> None:
    wrong = [
        (key, at, _fields(template.text) - given)
        for name, given, at in ASKED
        for key, template in catalogue(terms, length).templates.items()
        if re.fullmatch(name, key) and ANY not in given and not _fields(template.text) <= given
    ]
    assert not wrong


@pytest.mark.parametrize("terms", LANGUAGES)
def test_other_languages_say_nothing_that_english_does_not(terms: str) -> None:
    english, other = catalogue("US", "full"), catalogue(terms, "full")
    known = set(map(_without_form, english.templates))
    assert set(map(_without_form, other.templates)) <= known
    assert other.nouns.keys() == english.nouns.keys()


def test_every_way_to_join_two_edges_is_worded() -> None:
    templates = catalogue("US", "full").templates
    for method in methods():
        assert {f"seams.by.{method.key}", f"seams.way.{method.key}"} <= templates.keys()


def test_what_a_language_lacks_is_told_in_english() -> None:
    with pytest.raises(NotWorded, match="no-such-text"):
        Voice("US", full=True).say("no-such-text")


def test_words_agree_with_their_nouns() -> None:
    voice = Voice("US", full=True)
    for text, article in (
        ("8-dc shell", "an"),
        ("5-dc bobble", "a"),
        ("11-ch arch", "an"),
        ("111-ch arch", "a"),
    ):
        assert f"{catalogue('US', 'full').noun(text):a}" == f"{article} "
    assert voice.listed(["a", "b", "c"]) == "a, b and c"
    assert [voice.ordinal(number) for number in (1, 2, 3, 4, 11, 12, 21, 111)] == [
        *("1st", "2nd", "3rd", "4th", "11th", "12th", "21st", "111th")
    ]


def test_abbreviations_are_noted_with_what_they_mean() -> None:
    voice = Voice("UK", full=False)
    voice.noun("stitch", (3,))
    voice.say("joints.kind.sp")
    assert voice.short_words == {"sts": "stitches", "ch": "chain", "sp": "space"}
