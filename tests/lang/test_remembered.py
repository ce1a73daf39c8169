"""Of texts that were worked out before, the latest are not worked out again, and old ones are forgotten."""

from __future__ import annotations

from turnchain.lang.remembered import LATELY, Remembered


def test_a_text_is_worked_out_once() -> None:
    asked: list[str] = []
    length = Remembered(lambda text: asked.append(text) or len(text))  # type: ignore[func-returns-value]
    assert [length("row 1"), length("row 2"), length("row 1")] == [5, 5, 5]
    assert asked == ["row 1", "row 2"]
    length.forget()
    length("row 1")
    assert asked[2:] == ["row 1"]


def test_a_pattern_gone_through_again_and_again_is_worked_out_once() -> None:
    asked: list[str] = []
    length = Remembered(lambda text: asked.append(text) or len(text))  # type: ignore[func-returns-value]
    lines = [f"row {number}: sc to end, turn, and so forth up to the end" for number in range(1_000)]
    for _ in range(5):
        for line in lines:
            length(line)
    assert asked == lines


def test_no_more_is_held_than_twice_what_is_remembered() -> None:
    length = Remembered(len)
    for number in range(10_000):
        length(f"{number}" * 50)
        held = sum(map(len, length._now)) + sum(map(len, length._before))
        assert held <= 2 * LATELY
