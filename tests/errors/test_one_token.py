"""A slip of one token gives at most one error: the rest of the pattern is read and counted as it was meant.

In every pattern of the examples and of the handbooks a word, number or sign is left out, doubled, misspelt,
made another by one, or swapped with the one after it in its line; some slips of each, the same every time.
`python tests/errors/test_one_token.py 5000` tries so many slips of all, and prints those that give more.

Left out are slips that are more than one mistake: a number in a `let` or a stitch of one's own, which is
wrong wherever the name stands, and signs swapped so that the words beside them run together.
"""

from __future__ import annotations

import random
import re
import sys
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import pytest
from turnchain.compiler.pipeline import analyse
from turnchain.lang.diagnostics import Diagnostic, Severity
from turnchain.lang.source import Source

ROOT = Path(__file__).parents[2]
PATTERNS = [*sorted((ROOT / "examples").glob("*.tch")), *sorted((ROOT / "tests/handbooks").glob("*.tch"))]
SOME = 30
"""How many slips of each pattern are tried in a test."""
TOKEN = re.compile(r"[^\W\d_]\w*|[0-9]+(?:\.[0-9]+)?|[^\w\s]")
DEFINES = re.compile(r"(?:let|stitch|fit)\b", re.IGNORECASE)
SIGNS = ",:=()[]{}/+-"


@dataclass(frozen=True)
class Slip:
    """A pattern with one token spoilt."""

    what: str
    line: int
    text: str


def slip(text: str, chance: random.Random) -> Slip | None:
    """Return a pattern after one slip; None where this one would be none, or more than one."""
    tokens = [found.span() for found in TOKEN.finditer(text)]
    index = chance.randrange(len(tokens) - 1)
    start, end = tokens[index]
    word, (after, after_end) = text[start:end], tokens[index + 1]
    line = text[text.rfind("\n", 0, start) + 1 : text.find("\n", start)]
    match chance.choice(("left out", "doubled", "changed", "swapped")):
        case "left out":
            new = ""
        case "doubled":
            new = f"{word} {word}"
        case "changed":
            new = changed(word, chance)
        case _:
            between = text[end:after]
            new, end = text[after:after_end] + between + word, after_end
            around = text[start - 1 : start] + new + text[end : end + 1]
            if "\n" in between or len(TOKEN.findall(around)) < len(TOKEN.findall(text[start - 1 : end + 1])):
                return None
    if new == text[start:end] or (DEFINES.match(line) and re.search("[0-9]", text[start:end])):
        return None
    said = f"`{text[start:end]}` -> `{new}`"
    return Slip(said, text.count("\n", 0, start) + 1, text[:start] + new + text[end:])


def changed(word: str, chance: random.Random) -> str:
    """Return a number one off, a word with two letters swapped or one left out, another sign for a sign."""
    if word.isdigit():
        return str(max(0, int(word) + chance.choice((-1, 1))))
    if not word[0].isalpha() or len(word) < 2:
        return chance.choice(SIGNS)
    at = chance.randrange(len(word) - 1)
    return word[:at] + (word[at + 1] + word[at] if chance.random() < 0.5 else word[at]) + word[at + 2 :]


def errors(text: str, path: Path) -> list[Diagnostic]:
    found = analyse(
        Source(path.name, text), lambda name: Source(name, (path.parent / name).read_text("utf-8"))
    )
    return [each for each in found.diagnostics if each.severity is Severity.ERROR]


def tried(path: Path, chance: random.Random, times: int) -> list[tuple[Slip, list[str]]]:
    """Return so many slips of a pattern, each with the errors it gives."""
    text = path.read_text("utf-8")
    slips = [made for _ in range(times) if (made := slip(text, chance)) is not None]
    return [
        (
            made,
            [
                f"{made.text.count(chr(10), 0, each.span.start) + 1}: {each.message}"
                for each in errors(made.text, path)
            ],
        )
        for made in slips
    ]


@pytest.mark.parametrize("path", PATTERNS, ids=lambda path: path.stem)
def test_a_slip_gives_at_most_one_error(path: Path) -> None:
    slips = tried(path, random.Random(path.stem), SOME)
    assert any(found for _, found in slips)
    assert [each for each in slips if len(each[1]) > 1] == []


def main(times: int, seed: str) -> None:
    """Print how many slips give how many errors, and those that give more than one."""
    chance = random.Random(seed)
    counts: Counter[int] = Counter()
    for _ in range(times):
        path = chance.choice(PATTERNS)
        for made, found in tried(path, chance, 1):
            counts[len(found)] += 1
            if len(found) > 1:
                print(f"{path.name}:{made.line}: {made.what}", *found, sep="\n    ")
    print(*(f"{count} errors: {many} slips" for count, many in sorted(counts.items())), sep="\n")


if __name__ == "__main__":
    main(int(sys.argv[1]), sys.argv[2] if len(sys.argv) > 2 else "")
