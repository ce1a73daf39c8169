"""A pattern on paper."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from turnchain.compiler.commands import CLEAN, WRONG_USE
from turnchain.compiler.commands.publish import Choices, publish

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
