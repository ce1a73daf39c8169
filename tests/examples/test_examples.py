"""The patterns in `examples/`: each compiles clean, and what is published of it is kept as a golden file."""

from __future__ import annotations

import json
import re
from pathlib import Path

import jsonschema
import pytest
import turnchain.compiler.publish
from syrupy.assertion import SnapshotAssertion
from syrupy.extensions.single_file import SingleFileSnapshotExtension, WriteMode
from turnchain.compiler.publish import FORMATS, render
from turnchain.compiler.wording import document
from turnchain.lang.parser import parse
from turnchain.lang.printer import printed
from turnchain.lang.source import Source

from ..analysed import analysed
from ..compiler.publish.test_same_words import assert_same_words

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.tch"))
SCHEMA = jsonschema.Draft202012Validator(
    json.loads(
        Path(turnchain.compiler.publish.__file__)
        .with_name("document.schema.json")
        .read_text(encoding="utf-8")
    )
)


class Page(SingleFileSnapshotExtension):
    """One file a pattern, named and readable as what it is."""

    _write_mode = WriteMode.TEXT
    file_extension = "html"


class Post(Page):
    file_extension = "md"


def test_there_are_examples() -> None:
    assert len(EXAMPLES) >= 6


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
class TestExample:
    def test_checks_clean(self, path: Path) -> None:
        assert analysed(path).diagnostics == ()

    def test_is_written_in_the_canonical_form(self, path: Path) -> None:
        text = path.read_text(encoding="utf-8")

        tree, _ = parse(Source(path.name, text))

        assert printed(tree) == text

    def test_page(self, path: Path, snapshot: SnapshotAssertion) -> None:
        page = render(document(analysed(path), "US", "full"), "html")

        # The style is the same for all, and kept with the page of the layouts' own tests.
        page = re.sub(r"<style>.*</style>|sha256-[^']*", "", page, flags=re.DOTALL)
        assert page == snapshot(extension_class=Page, name=path.stem)

    def test_post(self, path: Path, snapshot: SnapshotAssertion) -> None:
        post = render(document(analysed(path), "UK", "short"), "markdown")

        assert post == snapshot(extension_class=Post, name=path.stem)

    @pytest.mark.parametrize("name", FORMATS)
    @pytest.mark.parametrize("dialect", ["US", "UK"])
    @pytest.mark.parametrize("words", ["full", "short"])
    def test_every_count_is_published(self, path: Path, name: str, dialect: str, words: str) -> None:
        shown = document(analysed(path), dialect, words)

        out = render(shown, name)

        counts = [
            entry.count for section in shown.sections for entry in section.entries if hasattr(entry, "count")
        ]
        assert counts
        for count in counts:
            assert count.split(" ")[0] in out

    def test_programs_read_it_by_the_published_schema(self, path: Path) -> None:
        told = json.loads(render(document(analysed(path), "US", "full"), "json"))

        SCHEMA.validate(told)

    @pytest.mark.parametrize("words", ["full", "short"])
    def test_every_format_says_the_same_words(self, path: Path, words: str) -> None:
        assert_same_words(document(analysed(path), "US", words))
