"""What is said at the end of a piece, and of the side that its first row shows."""

# ruff: noqa: E501 -- the sentences stand whole, as they are published

import pytest
from turnchain.compiler.document import Document, Prose, RowText
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.wording import document
from turnchain.lang.source import Source

FLAT = "piece Band, turned rows\nstart 11 ch\nrows 1-4: sc to end = 10\n"
TUBE = "piece Tube, {} rounds\nstart ring\nround 1: 6 sc in ring\nround 2: sc to end\n"
OTHER = FLAT.replace("Band", "Other")


def shown(text: str, words: str = "full") -> Document:
    analysis = analyse(Source("p.tch", f"turnchain 1, US\npattern Ends\n{text}"))
    assert not analysis.has_errors
    return document(analysis, "US", words)


def ends(text: str, words: str = "full") -> list[str]:
    return [
        each.text
        for section in shown(text, words).sections
        for each in section.entries
        if isinstance(each, Prose) and each.kind == "close"
    ]


def labels(text: str) -> list[str]:
    return [
        each.label
        for section in shown(text).sections
        for each in section.entries
        if isinstance(each, RowText)
    ]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (FLAT, ["Fasten off."]),
        (TUBE.format("joined"), ["Fasten off."]),
        # A spiral has a step at its end, which a slip stitch levels: common practice, no source.
        (TUBE.format("spiral"), ["Slip stitch in the next stitch and fasten off."]),
        (FLAT + "note Fasten off, and leave a long end.\n", []),
        (FLAT + "finish Cut the yarn and draw it through.\n", []),
        (FLAT + OTHER + "finish Fasten off.\n", ["Fasten off."]),
        (FLAT + "note Press it.\n", ["Fasten off."]),
        (FLAT + OTHER + "seam left of Band, right of Other, in whip stitch\n", ["Fasten off, leaving a long tail for sewing.", "Fasten off."]),
        (FLAT + OTHER + "seam left of Band, right of Other, in sc\n", ["Fasten off.", "Fasten off."]),
    ],
)  # fmt: skip
def test_a_piece_is_fastened_off_once(text: str, said: list[str]) -> None:
    assert ends(text) == said


def test_the_short_form_slips_without_articles() -> None:
    assert ends(TUBE.format("spiral"), "short") == ["Sl st in next st and fasten off."]


def test_a_round_that_is_drawn_together_is_fastened_off_there() -> None:
    (said,) = ends(TUBE.format("spiral") + "close\n")
    assert said.endswith("pull it tight to close the hole and fasten off.")


@pytest.mark.parametrize(
    ("text", "first"),
    [
        (FLAT, "Row 1"),
        (FLAT + OTHER + "seam left of Band, right of Other, in whip stitch\n", "Row 1 (right side)"),
        (FLAT + "piece Edge, turned rows\nstart along left of Band\nrow 1: sc to end\n", "Row 1 (right side)"),
        (FLAT + "piece Other, as Band, mirrored\n", "Row 1 (right side)"),
        ("yarn A: DK, 50 g\nyarn B: DK, 50 g\n" + FLAT.replace("rows 1-4", "rows 1-2 with A") + "row 3 with B: sc to end\n", "Row 1 (right side)"),
        (FLAT.replace("rows 1-4", "row 1 ws") + "row 2 rs: sc to end\npiece Edge, turned rows\nstart along left of Band\nrow 1: sc to end\n", "Row 1 (wrong side)"),
    ],
)  # fmt: skip
def test_the_first_row_says_that_it_shows_the_right_side_where_edges_or_colours_need_it(
    text: str, first: str
) -> None:
    assert labels(text)[0] == first


def test_like_rows_stand_apart_from_the_first_where_it_says_its_side() -> None:
    like = "piece Band, turned rows\nstart 10 fsc\nrows 1-4: sc to end\npiece Edge, turned rows\nstart along left of Band\nrow 1: sc to end\n"
    assert labels(like) == ["Row 1 (right side)", "Rows 2–4", "Row 1"]
