"""What the README shows is what the compiler does now."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from turnchain.compiler.pipeline import Analysis, analyse
from turnchain.compiler.publish import render
from turnchain.compiler.report.text import rich_text
from turnchain.compiler.wording import document
from turnchain.lang.diagnostics import Diagnostic
from turnchain.lang.parser import parsed_statement
from turnchain.lang.source import Source

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text("utf-8")
BLOCKS = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
PATTERNS = [text for language, text in BLOCKS.findall(README) if language == "tch"]
PUBLISHED, ERROR = (text for language, text in BLOCKS.findall(README) if language == "text")
NAME = "ear-warmer.tch"


def analysed(text: str) -> Analysis:
    return analyse(Source(NAME, text))


@pytest.mark.parametrize("pattern", PATTERNS)
def test_every_pattern_shown_has_neither_errors_nor_warnings(pattern: str) -> None:
    assert [found.message for found in analysed(pattern).diagnostics] == []


def test_the_rows_are_published_as_shown() -> None:
    text = render(document(analysed(PATTERNS[0]), "US", "full"), "text")
    assert isinstance(text, str)
    assert text[text.index("Band\n----\n") :] == PUBLISHED


def test_the_mistake_is_told_as_shown() -> None:
    assert PATTERNS[0].count("= 33/39") == 1
    source = Source(NAME, PATTERNS[0].replace("= 33/39", "= 33/38"))
    found = analyse(source).diagnostics
    told = rich_text(found, lambda _: source)
    assert told.strip() + "\n" == ERROR


TABLE = re.search(r"^\| write \| it means \|\n(.*?)\n\n", README, re.MULTILINE | re.DOTALL)
assert TABLE is not None
SNIPPETS = [
    snippet for line in TABLE[1].splitlines()[1:] for snippet in re.findall("`([^`]+)`", line.split(" | ")[0])
]
FRAMES = (
    *("{}", "row 1: {}", "{} sc to end", "row 1: sc to end {}"),
    *("{} Words", "{} 4 mm", "{} 16 st, 18 rows = 10 cm in sc", "{} head"),
)
"""Where what the table has may stand: a statement, items, a label, a total, or the first word of a line."""


@pytest.mark.parametrize("snippet", SNIPPETS)
def test_what_the_language_table_has_can_be_written(snippet: str) -> None:
    read = [parsed_statement(frame.format(snippet)) for frame in FRAMES]
    assert any(not isinstance(found, Diagnostic) for found in read)


@pytest.mark.parametrize("marker", ["publish-an-example", "run-the-tests"])
def test_each_command_is_one_line_that_can_be_taken_out(marker: str) -> None:
    (command,) = re.findall(rf"^<!-- {marker} -->\n```sh\n(.*)\n```$", README, re.MULTILINE)
    assert command.startswith("python3 -m venv .venv && .venv/bin/pip install ")


def test_the_example_that_is_published_is_there() -> None:
    (example,) = re.findall(r"turnchain publish .*(examples/\S+)", README)
    assert (ROOT / example).is_file()


def test_every_command_has_its_line() -> None:
    from turnchain.compiler.cli import app

    named = set(re.findall(r"^\| `turnchain (\w+)", README, re.MULTILINE))
    assert named == {command.callback.__name__ for command in app.registered_commands if command.callback}


@pytest.mark.parametrize("target", re.findall(r"\]\(([^)#]+)", README))
def test_links_lead_somewhere(target: str) -> None:
    assert (ROOT / target).exists()
