"""Stripes whose yarns differ from size to size: what is said of them, and read back."""

# ruff: noqa: E501 -- the sentences stand whole, as they are published

import pytest
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.publish import render
from turnchain.compiler.wording import document
from turnchain.lang.source import Source

from .reader import read
from .test_reader import assert_reads_back
from .words import ReadingError

HEADER = "turnchain 1, US\npattern Stripes\nsizes {}\nyarn Blue: DK, 50 g\nyarn Red: DK, 50 g\npiece Band, turned rows\nstart 10 fsc\n"
STRIPES = "row 1 with Blue: sc to end\nrow 2 with Red: sc to end\n"


def published(rows: str, sizes: str = "small, large") -> str:
    analysis = analyse(Source("band.tch", HEADER.format(sizes) + rows))
    assert analysis.diagnostics == ()
    assert_reads_back(analysis, "US", "full")
    return render(document(analysis, "US", "full"), "text")


def lines(text: str) -> list[str]:
    """Return the rows without what is worked in them."""
    found = [line for line in text.splitlines() if line.endswith("(10 stitches)")]
    return [
        line.replace("chain 1, single crochet in each stitch across", "...")
        .replace(" Turn.", "")
        .removesuffix(" (10 stitches)")
        for line in found
    ]


def test_rows_after_a_repeat_that_ends_in_another_yarn_go_on_with_it_in_each_size() -> None:
    text = published(STRIPES + "next 3/4 rows: repeat 1-2\nnext row: sc to end\n")
    assert "The first number or yarn is for size small, those in parentheses are for large: " in text
    assert lines(text)[-1] == "Next row: With yarn Blue (Red), ...."


def test_yarns_that_are_alike_are_said_once() -> None:
    text = published(STRIPES + "next 2/4 rows: repeat 1-2\nnext row: sc to end\n")
    assert "The first number is for size small" in text
    assert lines(text)[-1] == "Next row: With yarn Red, ...."


def test_a_change_of_yarn_in_one_size_is_told_where_that_size_ends() -> None:
    assert lines(published(STRIPES + "next 3/4 rows: repeat 1-2\nnext row with Red: sc to end\n"))[2:] == [
        "Rows 3–5: Work rows 1 and 2 in turn, ending with row 1. For small: change to yarn Red in the last stitch of row 5, and cut yarn Blue.",
        "Row 6 (large only): With yarn Red, ....",
        "Next row: With yarn Red, ....",
    ]


def test_rows_that_a_size_lacks_leave_no_yarn_in_it() -> None:
    text = published(
        "next 0/1 rows with Red: sc to end\nnext row: sc to end\nnext row with Blue: sc to end\n",
        "small, large",
    )
    assert "With yarn Blue (Red), work 10 foundation single crochet." in text
    assert lines(text) == [
        "Row 1 (large only): With yarn Red, ....",
        "Next row: With yarn Blue (Red), .... For large: change to yarn Blue in the last stitch of row 2, and cut yarn Red.",
        "Next row: With yarn Blue, ....",
    ]


def test_rows_of_several_sizes_with_numbers_of_their_own_change_after_this_row() -> None:
    text = published(
        "next 1/2/3 rows with Blue: hdc to end\nnext row: sc to end\nnext row with Red: sc to end\n",
        "S, M, L",
    )
    assert lines(text)[-2:] == [
        "Next row: With yarn Blue, ..., changing to yarn Red in the last stitch. Cut yarn Blue.",
        "Next row: With yarn Red, ....",
    ]


def test_rows_after_a_repeat_up_to_a_count_go_on_with_the_yarn_that_it_ended_with() -> None:
    growing = (
        "row 1 with Blue: inc, sc to end\nrow 2 with Red: inc, sc to end\nnext rows: repeat 1-2 until {} st\n"
    )
    text = published(f"{growing.format('15/16')}next row: hdc to end\nnext row with Blue: sc to end\n")
    rows = [line.split(", chain")[0] for line in text.splitlines() if line.startswith("Next")]
    assert rows == ["Next row: With yarn Blue (Red)", "Next row: With yarn Blue"]
    assert (
        "Turn. For large: change back to yarn Blue in the last stitch of row 7, and cut yarn Red. [15 (16) stitches]"
        in text
    )
    alike = published(f"{growing.format('14/16')}next row: hdc to end\nnext row with Blue: sc to end\n")
    assert "\nNext row: With yarn Red, chain 2" in alike


CHANGED = published(STRIPES + "next 3/4 rows: repeat 1-2\nnext row with Red: sc to end\n")


@pytest.mark.parametrize(
    ("said", "wrong", "why"),
    [
        ("the last stitch of row 5", "the last stitch of row 6", "the last row is 5"),
        ("changing to yarn Red in the last stitch. Turn. Cut yarn Blue", "changing to yarn Green in the last stitch. Turn. Cut yarn Blue", "no such yarn"),
        ("changing to yarn Red in the last stitch. Turn. Cut yarn Blue", "changing to yarn Red in the last stitch. Turn. Cut yarn Red", "no such yarn"),
        ("changing to yarn Red", "changing back to yarn Red", "does not wait anywhere"),
        ("across, changing to yarn Red in the last stitch. Turn. Cut yarn Blue.", "across. Turn. Cut yarn Blue.", "not known"),
        ("For small: change", "For tiny: change", "no such size"),
        ("For small: change to yarn Red", "For small: change to yarn Red in the last stitch of row 5. Change to yarn Red", "two yarns"),
        ("Next row: With yarn Red", "Next row: With yarn Blue", "Red was taken up"),
    ],
)  # fmt: skip
def test_wrong_changes_of_yarn_are_seen(said: str, wrong: str, why: str) -> None:
    assert said in CHANGED
    with pytest.raises(ReadingError, match=why):
        read(CHANGED.replace(said, wrong))


IN_TURN = """turnchain 1, US
pattern Cap
yarn Blue: DK, 50 g
yarn Red: DK, 50 g
piece Cap, turned rows
start for 21
row 1 with Red: sc to end = 21
rows 2-9 with 2 Blue, 2 Red: work sc, -1 at each end every 2 rows = 13
rows 10-21 with 2 Blue, 2 Red: sc to end = 13
row 22 with Red: sc to end = 13
rows 23-26 with 1 Blue, 1 Red: sc to end = 13
"""


def in_turn(terms: str, words: str, text: str = IN_TURN) -> str:
    analysis = analyse(Source("cap.tch", text))
    assert analysis.diagnostics == ()
    assert_reads_back(analysis, terms, words)
    return render(document(analysis, terms, words), "text")


@pytest.mark.parametrize("terms", ["US", "UK"])
@pytest.mark.parametrize("words", ["full", "short"])
def test_stripes_are_told_before_their_rows_and_read_back(terms: str, words: str) -> None:
    text = in_turn(terms, words)
    assert (
        "Work the next 8 rows in stripes, over and over: 2 rows with yarn Blue and 2 rows with yarn Red. Leave the yarn "
        "not in use at the edge, and take it up again for its next stripe." in text
    )
    assert "Rows 14–21: Work rows 10–13 in turn, ending with row 13." in text
    assert (
        "Work the next 4 rows in stripes, over and over: 1 row with yarn Blue and 1 row with yarn Red. Cut the yarn at "
        "the end of each stripe, and join it again for its next one." in text
    )


def test_stripes_differ_from_size_to_size() -> None:
    text = published("next 4/6 rows with 2/3 Red, 1 Blue: sc to end = 10\n")
    assert (
        "Work the next 4 (6) rows in stripes, over and over: 2 (3) rows with yarn Red and 1 row with yarn Blue."
        in text
    )


@pytest.mark.parametrize(
    ("said", "wrong"),
    [
        ("the next 8 rows in stripes", "the next 9 rows in stripes"),
        ("2 rows with yarn Blue and 2 rows with yarn Red", "2 rows with yarn Red and 2 rows with yarn Blue"),
        ("2 rows with yarn Blue and 2 rows with yarn Red", "3 rows with yarn Blue and 2 rows with yarn Red"),
        ("1 row with yarn Blue and 1 row with yarn Red", "2 rows with yarn Blue and 1 row with yarn Red"),
        ("and 1 row with yarn Red", "and 1 row with yarn Green"),
        ("Row 5: With yarn Red", "Row 5: With yarn Blue"),
        ("Rows 12–13: With yarn Red", "Rows 12–13: With yarn Blue"),
        ("Work rows 10–13 in turn, ending with row 13", "Work rows 9–12 in turn, ending with row 12"),
        ("Leave the yarn not in use at the edge", "Leave both yarns at the edge"),
    ],
)  # fmt: skip
def test_wrong_stripes_are_seen(said: str, wrong: str) -> None:
    text = in_turn("US", "full")
    assert said in text
    with pytest.raises(ReadingError):
        read(text.replace(said, wrong))
