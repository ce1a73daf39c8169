"""`turnchain resize` and `turnchain fit`: what they print, and that what they offer would work."""

import re
from pathlib import Path

import pytest
from turnchain.compiler.commands import CLEAN, FAULTY, WRONG_USE
from turnchain.compiler.commands.fit import fit
from turnchain.compiler.commands.resize import resize
from turnchain.compiler.pipeline import check_text

HEAD = "turnchain 1, US\npattern Scarf\nsizes small, large\ngauge 16 st, 18 rows = 10 cm in sc\n"
PLAIN = HEAD + "piece Scarf, turned rows\nstart 25/33 ch\nrows 1-36: sc to end = 24/32\n"
WAVES = HEAD + (
    "piece Scarf, turned rows\nstart 26/38 ch\nrow 1: sc to end = 25/37\n"
    "row 2: [5 sc, sc2tog, 4 sc, inc] to last 1, sc = 25/37\nrows 3-18: sc to end\n"
)
OTHER = "20 st, 24 rows = 10 cm"


@pytest.fixture
def pattern(tmp_path: Path):
    def written(text: str) -> str:
        path = tmp_path / "scarf.tch"
        path.write_text(text, "utf-8")
        return str(path)

    return written


def said(text: str) -> list[str]:
    return [line.strip() for line in text.splitlines()]


def test_counts_that_are_written_as_numbers(pattern) -> None:
    """24 stitches at 16 to 10 cm are 15 cm; at 20 they are 12 cm, and 15 cm are 30. 36 rows likewise."""
    found = resize(pattern(PLAIN), [OTHER])
    assert found.status == CLEAN
    assert said(found.out) == [
        "20 stitches and 24 rows in sc = 10 cm / 4 in, where the pattern has 16 stitches and 18 rows in sc "
        "= 10 cm / 4 in",
        "",
        "Scarf",
        "small",
        "as it is written: 24 stitches, 36 rows: 15 cm / 6 in wide, 20 cm / 7¾ in long",
        "the same counts here: 12 cm / 4¾ in wide, 15 cm / 6 in long",
        "to keep its size: 30 stitches and 48 rows",
        "the rows come out on 30",
        "large",
        "as it is written: 32 stitches, 36 rows: 20 cm / 7¾ in wide, 20 cm / 7¾ in long",
        "the same counts here: 16 cm / 6¼ in wide, 15 cm / 6 in long",
        "to keep its size: 40 stitches and 48 rows",
        "the rows come out on 40",
    ]


def test_a_multiple_stands_in_the_way(pattern) -> None:
    found = said(resize(pattern(WAVES), [OTHER]).out)
    at = found.index("to keep its size: 31 stitches and 24 rows")
    assert found[at + 1 : at + 3] == [
        "the rows do not come out on 31: line 8: the bracket uses 12 places at a time, and 30 is not a "
        "multiple of 12: 6 left over",
        "they come out on 25 or 37",
    ]


def test_the_numbers_that_are_offered_come_out(pattern) -> None:
    for stitches in ("11", "20", "27", "30.5"):
        gauge = f"{stitches} st, 24 rows = 10 cm"
        found = resize(pattern(WAVES), [gauge])
        numbers = re.findall(r"come out on (\d+)(?: or (\d+))?$", found.out, re.MULTILINE)
        assert numbers
        for number in {int(each) for pair in numbers for each in pair if each}:
            text = re.sub(r" = \d+/\d+$", "", WAVES, flags=re.MULTILINE).replace(
                "26/38 ch", f"{number + 1} ch"
            )
            assert not [each for each in check_text(text) if each.name != "unused-size"], number


def test_counts_that_hang_on_the_gauge(pattern) -> None:
    """A disc of 20 cm: 10 cm are 18 rounds at 18 to 10 cm, and 24 at 24; the edge is 2 pi 24 x 20 / 24."""
    text = HEAD.replace("sizes small, large\n", "") + (
        "piece Mat, spiral rounds\nstart ring\nnext rounds: work sc, disc of 20 cm, multiple 6 = 102\n"
    )
    found = said(resize(pattern(text), [OTHER]).out)
    assert found[3:] == [
        "as it is written: 102 stitches, 18 rounds: 20 cm / 7¾ in across",
        "the same counts here: 15 cm / 6 in across",
        "its measures, here: 126 stitches, 24 rounds: 20 cm / 7¾ in across",
    ]


def test_what_does_not_come_out_any_more_is_told(pattern) -> None:
    text = HEAD.replace("sizes small, large\n", "") + (
        "piece Band, turned rows\nstart for {stitches(15 cm)}\nrow 1: sc to end = 24\nrow 2: 24 sc = 24\n"
    )
    found = said(resize(pattern(text), [OTHER]).out)
    assert "its measures, here: they do not come out" in found
    assert found[-2:] == [
        "What does not come out at this gauge, and has to be changed:",
        "line 7: row 2 leaves 6 places of row 1 unworked",
    ]


def test_gauges_that_are_not_given_anew_change_in_proportion(pattern) -> None:
    text = PLAIN.replace("in sc\n", "in sc\ngauge 14 st, 9 rows = 10 cm in dc\n")
    found = resize(pattern(text), [OTHER]).out
    assert "17.5 stitches and 12 rows in dc = 10 cm / 4 in, where the pattern has 14 stitches" in found
    both = resize(pattern(text), [OTHER, "15 st, 9 rows = 10 cm in dc"]).out
    assert "15 stitches and 9 rows in dc = 10 cm / 4 in, where the pattern has 14 stitches" in both


SHELLS = (
    "turnchain 1, US\npattern Stole\nsizes small, large\ngauge 5/6 shell, 8 rows = 10 cm in shell\n"
    'stitch shell: 5 dc in st "five in one"\npiece Band, turned rows\n'
    "start for {6*stitches(40/60 cm in shell) + 1}\nrow 1: sc to end\n"
    "row 2: sc, [skip 2, shell, skip 2, sc] to end\n"
)


def test_a_gauge_in_each_size_that_counts_shells(pattern) -> None:
    """40 cm are 20 shells at 5 to 10 cm and 16 at 4; 60 cm 36 at 6 and 24 at 4. 20 shells at 4 are 50 cm."""
    found = said(resize(pattern(SHELLS), ["4 shell, 8 rows = 10 cm in shell"]).out)
    at = found.index("small")
    assert found[at + 1 : at + 4] == [
        "as it is written: 121 stitches, 2 rows: 40 cm / 15¾ in wide, 2.5 cm / 1 in long",
        "the same counts here: 50 cm / 19¾ in wide, 2.5 cm / 1 in long",
        "its measures, here: 97 stitches, 2 rows: 40 cm / 15¾ in wide, 2.5 cm / 1 in long",
    ]
    assert "its measures, here: 145 stitches, 2 rows: 60 cm / 23½ in wide, 2.5 cm / 1 in long" in found


@pytest.mark.parametrize(
    ("text", "gauge", "status", "words"),
    [
        (PLAIN, "narrow", WRONG_USE, "`narrow` is no gauge"),
        (SHELLS, "20 st, 24 rows = 10 cm", WRONG_USE, "the gauge in shell counts shell"),
        (PLAIN, "20/21/22 st, 24 rows = 10 cm", WRONG_USE, "one for each of 2 sizes"),
        (PLAIN, "0 st, 24 rows = 10 cm", WRONG_USE, "measures nothing"),
        (PLAIN, "20 st, 24 rows = 10 cm in dc", WRONG_USE, "has no gauge in dc; it has gauges in sc"),
        (PLAIN.replace("gauge", "# gauge"), OTHER, WRONG_USE, "has no gauge to be resized from"),
        (PLAIN.replace("24/32", "25/32"), OTHER, FAULTY, ""),
    ],
)
def test_what_it_cannot_do(pattern, text: str, gauge: str, status: int, words: str) -> None:
    found = resize(pattern(text), [gauge])
    assert found.status == status
    assert words in found.err


def test_a_file_that_is_not_there() -> None:
    assert resize("nowhere.tch", [OTHER]).status == WRONG_USE
    assert fit("nowhere.tch", "head 47 cm").status == WRONG_USE


HAT = (
    "turnchain 1, US\npattern Hat\nsizes 12 months, 3 years, adult\ngauge 16 st, 17 rows = 10 cm in sc\n"
    "fit head, ease -2 cm\npiece Hat, spiral rounds\nstart ring\n"
    "next rounds: work sc, crown of {head}, depth 16/18/21 cm, multiple 6\n"
)


@pytest.mark.parametrize(
    ("measure", "lines"),
    [
        (
            "head 47 cm",
            [
                "head 47 cm / 18½ in falls in size 12 months, made for 45.5 cm / 18 in",
                "which is nearest up to 47.3 cm / 18½ in",
                "of the tables it is nearest to 18 months",
            ],
        ),
        (
            "Head 50 cm",
            [
                "head 50 cm / 19¾ in falls in size 3 years, made for 49 cm / 19¼ in",
                "which is nearest from 47.3 cm / 18½ in to 53 cm / 20¾ in",
                "of the tables it is nearest to 4 years",
            ],
        ),
        (
            "24 inch",
            [
                "head 61 cm / 24 in falls in size adult, made for 57 cm / 22½ in",
                "which is nearest from 53 cm / 20¾ in",
                "it is 4 cm / 1½ in more than the largest size is made for",
                "of the tables it is nearest to man",
            ],
        ),
    ],
)
def test_a_measurement_falls_in_a_size(pattern, measure: str, lines: list[str]) -> None:
    found = fit(pattern(HAT), measure)
    assert (found.status, found.out.splitlines()) == (CLEAN, lines)


@pytest.mark.parametrize(
    ("text", "measure", "words"),
    [
        (HAT, "foot 25 cm", "does not say what foot it fits; it fits the head"),
        (HAT, "head", "is no measurement: write it as `head 47 cm`"),
        (HAT, "head 47 g", "is no measurement"),
        (HAT, "elbow 20 cm", "is no measurement"),
        (PLAIN, "head 47 cm", "does not say what head it fits; add a line such as `fit head, ease -2 cm`"),
    ],
)
def test_what_falls_in_no_size(pattern, text: str, measure: str, words: str) -> None:
    found = fit(pattern(text), measure)
    assert found.status == WRONG_USE
    assert words in found.err
