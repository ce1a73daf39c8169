"""Characters and the terminal cells they take (UAX #11 for wide ones)."""

import pytest
from turnchain.compiler.report.width import cells, measured, visible


@pytest.mark.parametrize(
    ("text", "width"),
    [
        ("", 0),
        ("6 sc", 4),
        ("é", 1),
        ("e\u0301", 1),
        ("a\u20dd", 1),
        ("貝", 2),
        ("ＡＢ", 4),
        ("🧶", 2),
        ("👩\u200d👩\u200d👧", 2),
        ("👍🏽", 2),
        ("❤", 1),
        ("❤\ufe0f", 2),
        ("\u1112\u1161\u11ab", 2),
        ("\t", 4),
        ("sc\t", 4),
        ("sc\tx", 5),
    ],
)
def test_width_in_cells(text: str, width: int) -> None:
    assert cells(text) == width


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("plain 貝 é", "plain 貝 é"),
        ("\x1b[31m", "␛[31m"),
        ("a\nb\r", "a␊b␍"),
        ("\x7f", "␡"),
        ("a\tb", "a b"),
        ("\u202e", "<U+202E>"),
        ("\u200b", "<U+200B>"),
        ("\ufeff", "<U+FEFF>"),
        ("\x85", "<U+0085>"),
        ("\u2028", "<U+2028>"),
        ("\u2029", "<U+2029>"),
        ("\ud800", "<U+D800>"),
        ("👩\u200d👧", "👩\u200d👧"),
    ],
)
def test_what_cannot_be_seen_is_spelled_out(text: str, shown: str) -> None:
    assert visible(text) == shown


def test_a_combining_mark_stands_where_its_base_does() -> None:
    line = measured("ae\u0301b")
    assert line.starts == (0, 1, 1, 2)
    assert line.ends == (1, 2, 2, 3)


def test_a_tab_reaches_to_the_next_stop_after_wide_characters() -> None:
    line = measured("貝\tx")
    assert line.starts == (0, 2, 4)
    assert "".join(line.shown) == "貝  x"
