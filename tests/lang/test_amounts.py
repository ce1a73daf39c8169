"""What is read from the words of a yarn."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from turnchain.lang.amounts import amounts


def told(text: str) -> list[tuple[list[float], str]]:
    return [
        ([float(value) for value in each.values], "g" if each.is_weight else "m")
        for each in amounts(text).needed
    ]


@pytest.mark.parametrize(
    ("text", "words", "needed"),
    [
        ("DK (light), cream, 60 g", "DK (light), cream", [([60], "g")]),
        ("DK, 60g", "DK", [([60], "g")]),
        ("DK, 60/75 g, cream", "DK, cream", [([60, 75], "g")]),
        ("DK, 50 (60, 70) g", "DK", [([50, 60, 70], "g")]),
        ("DK, 100 g, 250 m", "DK", [([100], "g"), ([250], "m")]),
        ("DK, 100 yd", "DK", [([91.44], "m")]),
        ("DK, 2 OZ", "DK", [([56.69904625], "g")]),
        ("two strands of 20 g", "two strands of 20 g", []),
        ("lace 60 (fine", "lace 60 (fine", []),
        ("50 cm", "50 cm", []),
        ("size 10 thread, 30 g", "size 10 thread", [([30], "g")]),
        ("", "", []),
    ],
)
def test_amounts_stand_between_commas(text: str, words: str, needed: list[tuple[list[float], str]]) -> None:
    assert words == amounts(text).words
    assert needed == told(text)


@pytest.mark.parametrize(
    ("text", "grams", "metres"),
    [
        ("DK, ball 50 g = 125 m", 50, 125),
        ("DK, balls 125 m = 50 g", 50, 125),
        ("DK, ball 100g", 100, None),
        ("DK, Ball 200 m", None, 200),
        ("DK, ball 50 g = 60 g", None, None),
    ],
)
def test_a_ball_holds_a_weight_a_length_or_both(text: str, grams: int | None, metres: int | None) -> None:
    ball = amounts(text).ball
    assert ball is not None
    assert (grams, metres) == (ball.grams, ball.metres)


def test_metres_in_a_gram_are_the_balls_or_else_those_of_the_amounts() -> None:
    assert amounts("DK, 100 g, 240 m, ball 50 g = 125 m").metres_per_gram == Fraction(5, 2)
    assert amounts("DK, 100 g, 240 m, ball 50 g").metres_per_gram == Fraction(12, 5)
    assert amounts("DK, 100 g").metres_per_gram is None
    assert amounts("DK, 0 g, 240 m").metres_per_gram is None


@given(st.text("DK light(),/=.0123456789 gmydozball\n", max_size=60))
def test_any_words_are_read_and_none_is_lost(text: str) -> None:
    found = amounts(text)
    kept = [text[each.span.start : each.span.end] for each in (*found.needed, *found.balls)]
    letters = sorted("".join((*kept, found.words)).replace(",", "").replace(" ", "").replace("\n", ""))
    assert letters == sorted(text.replace(",", "").replace(" ", "").replace("\n", ""))
