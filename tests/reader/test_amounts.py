"""Amounts of yarn: what is published comes to what was counted, and what does not is caught."""

import re
from collections.abc import Callable
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.publish import render
from turnchain.compiler.wording import document
from turnchain.lang.source import Source

from .amounts import YARN_IN, yarn_in
from .reader import read
from .words import ReadingError


def page(text: str, terms: str = "US", words: str = "full") -> str:
    analysis = analyse(Source("pattern.tch", f"turnchain 1, US\npattern Example\n{text}"))
    assert not analysis.has_errors, analysis.diagnostics
    published = render(document(analysis, terms, words), "text")
    assert isinstance(published, str)
    return published


PATTERN = (
    "sizes small, middle, large\nyarn A: DK (light), cream, 150/200/250 g, ball 50 g = 125 m\n"
    "gauge 16 st, 18 rows = 10 cm in sc\nswatch 10 x 10 cm in sc = 6 g\n"
    "piece Band, turned rows, make 2\nstart for 40/60/80\nnext 60/70/80 rows: sc to end\n"
)


@given(
    st.lists(st.tuples(st.sampled_from(["sc", "hdc", "dc"]), st.integers(1, 30)), min_size=1, max_size=4),
    st.integers(10, 60),
    st.integers(0, 40),
    st.integers(4, 12),
    st.sampled_from(["US", "UK"]),
    st.sampled_from(["full", "short"]),
)
@settings(max_examples=120)
def test_estimates_come_to_the_stitches_that_are_read(
    stretches: list[tuple[str, int]], have: int, more: int, grams: int, terms: str, words: str
) -> None:
    """288 single crochet are in the swatch; what others take is the reader's own table of it."""
    body = "".join(f"next {many} rows: {stitch} to end\n" for stitch, many in stretches)
    text = page(
        "sizes small, large\nyarn A: DK (light), cream, ball 50 g = 125 m\n"
        f"gauge 16 st, 18 rows = 10 cm in sc\nswatch 10 x 10 cm in sc = {grams} g\n"
        f"piece Band, turned rows, tch 1\nstart for {have}/{have + more}\n{body}",
        terms,
        words,
    )
    (piece,) = read(text)
    said = re.search(r"Estimate: about ([\d.]+)(?: \(([\d.]+)\))? g", text)
    assert said is not None
    for estimate, rows in zip((said[1], said[2] or said[1]), piece.rows.values(), strict=True):
        units = sum((yarn_in(row.names, terms) or Fraction(0) for row in rows), Fraction(0))
        # The foundation chain and a turning chain a row are not among the stitches of the rows.
        chains = (rows[0].stitches + 1 + len(rows)) * YARN_IN[terms]["chain"]
        exact = (units + chains) * grams / 288
        step = 1 if exact < 50 else 5 if exact < 250 else 10
        assert exact - Fraction(1, 10) <= int(estimate) < exact + step + Fraction(1, 10)


def test_the_amounts_of_a_whole_page_are_read() -> None:
    assert read(page(PATTERN))


@pytest.mark.parametrize(
    "wrong",
    [
        lambda text: re.sub(r"about (\d+) \((\d+), (\d+)\) g", r"about \3 (\2, \1) g", text),
        lambda text: re.sub(r"about (\d+) \(", lambda found: f"about {int(found[1]) * 2} (", text),
        lambda text: re.sub(r"which is (\d+) \(", lambda found: f"which is {int(found[1]) + 2} (", text),
        lambda text: re.sub(r"which is \d+ \(\d+, \d+\) balls", "which is 1 ball", text),
        lambda text: text.replace("125 m / 137 yd", "125 m / 125 yd"),
        lambda text: text.replace("50 g / 1¾ oz", "50 g / 2½ oz"),
        lambda text: text.replace("150 (200, 250) g / 5¼", "150 (200, 250) g / 6¾"),
        lambda text: re.sub(r"A ball holds [^.]+\.", "", text),
        lambda text: text.replace("buy 10% more", "buy 80% more"),
    ],
)
def test_amounts_that_are_wrong_are_caught(wrong: Callable[[str], str]) -> None:
    text = page(PATTERN)
    assert wrong(text) != text
    with pytest.raises(ReadingError):
        read(wrong(text))


STRIPED = (
    "sizes small, middle, large\nyarn A: DK (light), cream, ball 50 g = 125 m\nyarn B: DK (light), rust\n"
    "gauge 16 st, 18 rows = 10 cm in sc\nswatch 10 x 10 cm in sc = 6 g\n"
    "piece Band, turned rows, make 2\nstart for 40/60/80\nnext 60/70/80 rows with A: sc to end\n"
    "next 40 rows with B: dc to end\n"
)


def test_each_of_several_yarns_is_held_against_its_own_rows() -> None:
    text = page(STRIPED)
    (piece,) = read(text)
    assert {row.yarn for rows in piece.rows.values() for row in rows} == {"A", "B"}


BALLS = re.compile(r"^, which is [\d (),]+ balls")


@pytest.mark.parametrize("yarn", ["A", "B"])
def test_wrong_amounts_of_one_of_several_yarns_are_caught(yarn: str) -> None:
    before, told, after = page(STRIPED).partition(f"Yarn {yarn}: ")
    estimate, buy, rest = after.partition("% more")
    # In all units: the small size gets what the large one takes, and the other way round.
    wrong = re.sub(r"([\d¼½¾]+) \(([\d¼½¾]+), ([\d¼½¾]+)\)", r"\3 (\2, \1)", estimate)
    assert wrong != estimate
    with pytest.raises(ReadingError):
        read(f"{before}{told}{wrong}{buy}{re.sub(BALLS, '', rest)}")


def test_of_rows_in_several_yarns_nothing_is_known() -> None:
    text = page(STRIPED.replace("B: dc to end", "B: [dc, dc with A] to end"))
    (piece,) = read(text)
    assert {row.yarn for rows in piece.rows.values() for row in rows} == {"A", None}
