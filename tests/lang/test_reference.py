"""The language reference: every example does what the page says, and its table of stitches is the language's.

A block is a whole pattern (`tch`) or rows that go on from a row of ten single crochet (`rows`). It must be
clean, or give the one `error=` or `warning=` that stands beside its tag. `file=` keeps it for `use`. A `text`
block is part of what the block above it publishes.

Run as a program, this file writes the tables of stitches and of body measurements into the reference.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from turnchain import grammar
from turnchain.compiler.pipeline import Analysis, analyse
from turnchain.compiler.publish import render
from turnchain.compiler.wording import document
from turnchain.lang.bodies import body_parts
from turnchain.lang.diagnostics import Severity
from turnchain.lang.source import Source
from turnchain.lang.stitches import Stitch, vocabulary

PAGE = Path(__file__).parents[2] / "lang" / "reference.md"
REFERENCE = PAGE.read_text("utf-8")
BLOCK = re.compile(r"^```(?P<tag>.*)\n(?P<text>(?s:.*?))^```$", re.MULTILINE)
TABLE = re.compile(r"(?<=<!-- stitches -->\n).*?(?=<!-- end of stitches -->)", re.DOTALL)
BODIES = re.compile(r"(?<=<!-- bodies -->\n).*?(?=<!-- end of bodies -->)", re.DOTALL)
HEADER = "turnchain 1, US\npattern Example\n"
PIECE = "piece Band, turned rows\nstart 11 ch\nrow 1: sc to end = 10\n"


@dataclass(frozen=True)
class Example:
    """A block of the page and what is said of it."""

    line: int
    text: str
    expected: tuple[str, ...]
    """Its diagnostics: `error=too-few-places`."""
    published: str = ""


def _whole(kind: str, text: str) -> str:
    if kind == "tch":
        return text
    if re.search("^piece ", text, re.MULTILINE):
        return HEADER + text
    yarns, rows = "", text
    while rows.startswith("yarn "):
        line, _, rows = rows.partition("\n")
        yarns += f"{line}\n"
    return HEADER + yarns + PIECE + rows


def _blocks() -> Iterator[tuple[int, str, list[str], str]]:
    for found in BLOCK.finditer(REFERENCE):
        kind, *said = found["tag"].split()
        yield REFERENCE.count("\n", 0, found.start()) + 1, kind, said, found["text"]


def _examples() -> list[Example]:
    examples: list[Example] = []
    for line, kind, said, text in _blocks():
        if kind == "text":
            above = examples.pop()
            examples.append(Example(above.line, above.text, above.expected, text.strip()))
        elif not any(word.startswith("file=") for word in said):
            examples.append(Example(line, _whole(kind, text), tuple(said)))
    return examples


FILES = {
    said[0].removeprefix("file="): text for _, _, said, text in _blocks() if said and said[0][:5] == "file="
}


def _analysed(example: Example) -> Analysis:
    return analyse(Source("example.tch", example.text), lambda name: Source(name, FILES[name]))


@pytest.mark.parametrize("example", _examples(), ids=lambda example: f"line {example.line}")
def test_an_example_gives_what_stands_beside_it(example: Example) -> None:
    analysis = _analysed(example)
    found = [*analysis.diagnostics, *(each for _, more in analysis.included for each in more)]
    # A mistake may leave something unused; only errors are counted where one is shown.
    if any(word.startswith("error=") for word in example.expected):
        found = [each for each in found if each.severity is Severity.ERROR]
    assert [f"{each.severity.value}={each.name}" for each in found] == list(example.expected)


@pytest.mark.parametrize(
    "example", [each for each in _examples() if each.published], ids=lambda example: f"line {example.line}"
)
def test_an_example_is_published_as_shown(example: Example) -> None:
    text = render(document(_analysed(example), "US", "full"), "text")
    assert isinstance(text, str)
    assert example.published in text


def test_every_block_is_of_a_known_kind() -> None:
    assert {kind for _, kind, _, _ in _blocks()} == {"tch", "rows", "text"}


def test_links_within_the_page_lead_to_a_heading() -> None:
    headings = re.findall(r"^#+ (.+)$", BLOCK.sub("", REFERENCE), re.MULTILINE)
    anchors = {re.sub(r"[^\w -]", "", heading.lower()).replace(" ", "-") for heading in headings}
    assert set(re.findall(r"\]\(#([\w-]+)\)", REFERENCE)) <= anchors


def test_the_words_that_are_never_names_are_those_of_the_grammar() -> None:
    (words,) = re.findall(r"^These words are never names: ([^.]*)\.", REFERENCE, re.MULTILINE)
    assert set(re.findall(r"`(\w+)`", words)) == grammar.reserved_words()


def test_the_table_of_stitches_is_that_of_the_language() -> None:
    (table,) = TABLE.findall(REFERENCE)
    assert table == stitch_tables()


def test_the_body_measurements_are_those_of_the_language() -> None:
    (tables,) = BODIES.findall(REFERENCE)
    assert tables == body_tables()


def body_tables() -> str:
    """Return the body measurements as Markdown, each table with its source."""
    lines: list[str] = []
    for part in body_parts().values():
        lines += ["", f"**`{part.name}`**: the {part.said}, {part.how}."]
        for table in part.tables:
            memory = "; from memory" if table.memory else ""
            lines += [
                "",
                f"Source: {table.source}{memory}.",
                "",
                "| size | cm | also |",
                "| --- | --- | --- |",
            ]
            lines += [
                f"| {size.name} | {float(size.cm):g} | {', '.join(size.also)} |" for size in table.sizes
            ]
    return "\n".join((*lines, "", ""))


# ---- the table ---------------------------------------------------------------------------------------------


def stitch_tables() -> str:
    """Return the built-in stitches as Markdown: those without a number in their name, then the others."""
    us = vocabulary("US")
    stitches = [stitch for name in us.names if (stitch := us.find(name))]
    singles = [stitch for stitch in stitches if not _numbered(stitch)]
    head = "| US word | UK word | US name | UK name | height | uses | makes | turning chain |"
    rule = "| --- | --- | --- | --- | --- | --- | --- | --- |"
    numbered = [
        f"| `{each.us_source}` | `{each.uk_source}` | {each.us.name} | {each.uk.name} | {each.uses} "
        f"| {each.makes} | {_made_of(each, singles)} |"
        for each in stitches
        if _numbered(each)
    ]
    return "\n".join(
        (
            "",
            head,
            rule,
            *map(_row, singles),
            "",
            "Of the following one example each is shown, with what else it can be made of, in US terms. "
            "The number is yours, to 99.",
            "",
            "| US word | UK word | US name | UK name | uses | makes | also of |",
            "| --- | --- | --- | --- | --- | --- | --- |",
            *numbered,
            "",
            "",
        )
    )


def _row(stitch: Stitch) -> str:
    counts = "counts" if stitch.turning_chain_counts else "not counted"
    chain = f"{stitch.turning_chain}, {counts}" if stitch.turning_chain else "none"
    return (
        f"| `{stitch.us_source}` | `{stitch.uk_source}` | {stitch.us.name} | {stitch.uk.name} "
        f"| {stitch.height} | {stitch.uses} | {stitch.makes} | {chain} |"
    )


def _numbered(stitch: Stitch) -> bool:
    return any(character.isdigit() for character in stitch.us_source)


def _made_of(example: Stitch, singles: list[Stitch]) -> str:
    """Return the words that can stand in place of the stitch that `example` is made of."""
    rest = example.us_source.removeprefix(example.base)
    if rest == example.us_source:
        return ""
    found = vocabulary("US").find
    return " ".join(
        f"`{each.us_source}`"
        for each in singles
        if each.us_source != example.base and found(each.us_source + rest)
    )


if __name__ == "__main__":
    with_stitches = TABLE.sub(lambda _: stitch_tables(), REFERENCE)
    PAGE.write_text(BODIES.sub(lambda _: body_tables(), with_stitches), "utf-8")
