"""The key of a published pattern explains every word that the pattern uses, and none that it doesn't."""

import re
from collections.abc import Iterable
from itertools import product
from pathlib import Path

import pytest
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.publish import render
from turnchain.compiler.wording import document
from turnchain.lang.source import Source

from .words import BASES, PLAIN

PATTERNS = sorted(
    (
        *(Path(__file__).parents[2] / "examples").glob("*.tch"),
        *(Path(__file__).parents[1] / "handbooks").glob("*.tch"),
    )
)
WAYS = list(product(("US", "UK"), ("full", "short")))
BAND = "turnchain 1, US\npattern Band\npiece Band, turned rows\nstart 11 ch\n"
KEYS = ("Stitches used", "Abbreviations")
ROW = re.compile(r"(?:Next )?(?:\d+ )?(?:Row|Round|row|round)s?\b.*: |.* and fasten off\.$")


def parts(text: str) -> tuple[list[str], str]:
    """The names and abbreviations that the key explains, and all that is published beside it."""
    entries: list[str] = []
    beside: list[str] = []
    in_key = False
    lines = text.splitlines()
    for line, after in zip(lines, [*lines[1:], ""], strict=True):
        if line.strip() and re.fullmatch(r"-+|=+", after):
            in_key = line in KEYS
        if not in_key:
            beside.append(line)
        elif line and not line.startswith((" ", "-")) and line not in KEYS:
            entries.append(line.split(":")[0])
    return entries, "\n".join(beside)


def unused(text: str) -> list[str]:
    """What the key explains although the pattern never says it, in the singular or in the plural."""
    entries, beside = parts(text)
    return [
        each
        for each in entries
        if not re.search(rf"(?<![\w-]){re.escape(each)}(?:e?s)?(?!\w|-\w)", beside, re.IGNORECASE)
    ]


def unexplained(text: str, terms: str, words: str) -> list[str]:
    """The stitches and short words that the rows say and that the key does not explain."""
    entries, beside = parts(text)
    rows = "\n".join(filter(ROW.match, re.sub(r"“[^”]*”", "", beside).splitlines()))
    stitches = BASES[terms] if words == "full" else BASES[terms].values()
    base = any_of(stitches)
    hyphened = any_of([each.replace(" ", "-") for each in stitches])
    gathered = rf"\d+-(?:{hyphened}) (?:bobble|popcorn|cluster|puff(?: stitch)?)"
    if words == "full":
        said = rf"{gathered}|(?:front post |back post |foundation )?(?:{base})(?: \d+ together)?"
    else:
        said = rf"{gathered}|(?:FP|BP|f)?(?:{base})(?:\d+tog)?|{any_of(PLAIN)}"
    found = re.findall(rf"(?<![\w-])(?:{said})(?=(?:e?s)?(?!\w|-\w))", rows, re.IGNORECASE)
    known = {each.casefold() for each in entries}
    return sorted({each.casefold() for each in found} - known)


def any_of(names: Iterable[str]) -> str:
    return "|".join(sorted(map(re.escape, names), key=len, reverse=True))


@pytest.mark.parametrize("path", PATTERNS, ids=lambda path: path.stem)
def test_the_key_has_all_that_is_used_and_nothing_else(path: Path) -> None:
    analysis = analyse(Source(path.name, path.read_text("utf-8")))
    for terms, words in WAYS:
        text = render(document(analysis, terms, words), "text")
        assert unused(text) == [], (terms, words)
        assert unexplained(text, terms, words) == [], (terms, words)


@pytest.mark.parametrize(
    ("right", "wrong", "what"),
    [
        ("sc: single crochet", "hdc: half double crochet", "sc"),
        ("sts: stitches\n", "", "sts"),
        ("Fasten off.", "Sl st in next st and fasten off.", "sl st"),
        ("sc in each st across. Turn.", "ch 2, sc in next ch-2 sp.", "sp"),
    ],
)
def test_what_is_not_in_the_key_is_found(right: str, wrong: str, what: str) -> None:
    rows = f"{BAND}rows 1-2: sc to end = 10\nrow 3: sc, hdc, 8 sc = 10\n"
    text = render(document(analyse(Source("band.tch", rows)), "US", "short"), "text")
    assert unexplained(text, "US", "short") == unused(text) == []
    assert right in text
    assert what in unexplained(text.replace(right, wrong), "US", "short")


def test_what_is_in_the_key_and_not_used_is_found() -> None:
    rows = f"{BAND}row 1: sc to end = 10\n"
    text = render(document(analyse(Source("band.tch", rows)), "US", "short"), "text")
    assert unused(text.replace("sc: single", "hdc: half double crochet\nsc: single")) == ["hdc"]
