"""A pattern on paper."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from turnchain.compiler.commands import CLEAN, WRONG_USE
from turnchain.compiler.commands.publish import Choices, publish

from .test_pictures import PNG
from .test_shelf import COASTER

EXAMPLES = Path(__file__).parents[2] / "examples"
POINTS = {"A4": (210 / 25.4 * 72, 297 / 25.4 * 72), "Letter": (8.5 * 72, 11 * 72)}
"""Width and height: ISO 216 and ANSI/ASME Y14.1, in points of a 72nd of an inch."""


def test_without_its_library_the_maker_is_told_how_to_get_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    done = publish([str(EXAMPLES / "orchard-ball.tch")], Choices(("pdf",), str(tmp_path)))
    assert done.status == WRONG_USE
    assert done.err == (
        "turnchain: a PDF needs WeasyPrint, which is not installed: `pip install 'turnchain[pdf]'`; "
        "or print the page from your browser"
    )
    assert list(tmp_path.iterdir()) == []


@pytest.mark.paper
def test_pictures_are_printed_and_tell_what_they_show(tmp_path: Path) -> None:
    """PDF/UA-1, ISO 14289-1, 7.3: a figure has alternative text."""
    from pypdf import PdfReader

    pattern = tmp_path / "coaster.tch"
    pattern.write_text(COASTER.format(title="Coaster", name="coaster"), "utf-8")
    (tmp_path / "coaster.png").write_bytes(PNG)
    (tmp_path / "row.png").write_bytes(PNG)
    assert publish([str(pattern)], Choices(("pdf",))).status == CLEAN
    reader = PdfReader(pattern.with_suffix(".pdf"))
    assert any(page.images for page in reader.pages)
    assert list(alternatives(reader.trailer["/Root"]["/StructTreeRoot"])) == ["A coaster", "The first row"]


def alternatives(element: Any) -> Iterator[str]:
    """What the figures among the tags of a PDF show, in reading order."""
    from pypdf.generic import ArrayObject, DictionaryObject

    element = element.get_object()
    if isinstance(element, ArrayObject):
        for each in element:
            yield from alternatives(each)
    elif isinstance(element, DictionaryObject):
        if "/Alt" in element:
            yield str(element["/Alt"])
        if "/K" in element:
            yield from alternatives(element["/K"])


@pytest.mark.paper
@pytest.mark.parametrize(
    ("choices", "paper"),
    [
        (Choices(("pdf",)), "Letter"),
        (Choices(("pdf",), terms="UK"), "A4"),
        (Choices(("pdf",), terms="UK", paper="Letter"), "Letter"),
    ],
)
def test_a_pattern_is_printed_tagged_and_whole(tmp_path: Path, choices: Choices, paper: str) -> None:
    from pypdf import PdfReader

    source = tmp_path / "lantern-hat.tch"
    source.write_bytes((EXAMPLES / source.name).read_bytes())
    assert publish([str(source)], choices).status == CLEAN
    reader = PdfReader(source.with_suffix(".pdf"))
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"].value is True
    assert reader.trailer["/Root"]["/Lang"] == ("en-US" if choices.terms is None else "en-GB")
    for number, page in enumerate(reader.pages, 1):
        assert [float(page.mediabox.width), float(page.mediabox.height)] == pytest.approx(
            POINTS[paper], abs=1
        )
        words = page.extract_text()
        assert "Marit Ashdown" in words
        assert f"{number} / {len(reader.pages)}" in words
    whole = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
    for label in (*(f"Round {number}:" for number in range(1, 8)), "Finishing"):
        assert label in whole
    assert "Show the numbers" not in whole
