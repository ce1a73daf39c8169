"""Schedules and spreads against every way there is, for small numbers, and by their terms for large ones."""

import time
from itertools import combinations
from math import gcd

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from turnchain.compiler.counted import Block
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.shaping import (
    Schedule,
    even_schedule,
    every,
    most_changes,
    shares,
    spread,
    symmetrical,
)
from turnchain.lang.source import Source


def _gaps(rows: tuple[int, ...]) -> list[int]:
    return [b - a for a, b in zip((-1, *rows), rows, strict=False)]


def _best(rows: int, changes: int, *, one_side: bool) -> list[int] | None:
    """Try every choice of rows; the last change falls as late as it may, shorter gaps come first."""
    step = 2 if one_side else 1
    found = []
    for chosen in combinations(range(rows), changes):
        gaps = _gaps(chosen)
        if one_side and len({row % 2 for row in chosen}) > 1:
            continue
        if gaps[0] % step == 0 and rows - 1 - chosen[-1] < step and gaps == sorted(gaps):
            found.append((max(gaps) - min(gaps), gaps))
    if found:
        return min(found)[1]
    return [1] + [2] * (changes - 1) if one_side and rows % 2 and changes == (rows + 1) // 2 else None


@pytest.mark.parametrize("one_side", [True, False])
def test_no_choice_of_rows_is_more_even(one_side: bool) -> None:
    for rows in range(1, 15):
        for changes in range(1, rows + 1):
            schedule = even_schedule(rows, changes, one_side=one_side)
            found = None if schedule is None else _gaps(tuple(schedule.rows()))
            assert found == _best(rows, changes, one_side=one_side), (rows, changes)
            assert (schedule is None) == (changes > most_changes(rows, one_side=one_side))


def test_nine_changes_in_forty_two_turned_rows() -> None:
    assert even_schedule(42, 9, one_side=True) == Schedule(((4, 6), (6, 3)))


@given(st.integers(1, 10**6), st.data())
@settings(max_examples=2000)
def test_schedules_keep_their_terms(rows: int, data: st.DataObject) -> None:
    one_side = data.draw(st.booleans())
    changes = data.draw(st.integers(0, most_changes(rows, one_side=one_side)))
    schedule = even_schedule(rows, changes, one_side=one_side)
    assert schedule is not None
    assert schedule.changes == changes
    lengths = [gap for gap, _ in schedule.runs]
    assert lengths == sorted(lengths)
    assert sum(gap * times for gap, times in schedule.runs) <= rows
    if lengths:
        assert max(lengths) - min(lengths) <= (2 if one_side else 1)
    assert len(schedule.runs) <= 2


def test_a_million_rows_are_scheduled_at_once() -> None:
    start = time.perf_counter()
    for changes in range(1, 1000):
        even_schedule(10**6, changes, one_side=True)
    assert time.perf_counter() - start < 0.2


def test_every_so_many_rows_begins_with_the_first() -> None:
    assert list(every(7, 3).rows()) == [0, 3, 6]
    assert list(every(1, 3).rows()) == [0]
    assert list(every(0, 3).rows()) == []


@given(st.integers(1, 300), st.integers(0, 1000))
@settings(max_examples=2000)
def test_shares_differ_by_one_at_most(rows: int, total: int) -> None:
    dealt = dict(shares(rows, total))
    amounts = [dealt.get(row, 0) for row in range(rows)]
    assert sum(amounts) == total
    assert max(amounts) - min(amounts) <= 1


@given(st.integers(0, 400), st.integers(1, 120), st.booleans())
@settings(max_examples=4000)
def test_gaps_of_a_spread_differ_by_one_at_most(plain: int, changes: int, around: bool) -> None:
    layout = spread(plain, changes, around=around)
    gaps = list(layout.gaps())
    assert len(gaps) == changes
    assert sum(gaps) + layout.tail == plain
    every_gap = gaps if around else [*gaps, layout.tail]
    assert not around or layout.tail == 0
    assert max(every_gap) - min(every_gap) <= 1


def test_small_spreads_are_those_of_even_division() -> None:
    """For few changes they are as near to even places as whole stitches come, as brute force finds them."""
    for plain in range(13):
        for changes in range(1, 9):
            parts = changes
            gaps = list(spread(plain, changes, around=True).gaps())
            far = [abs(sum(gaps[: i + 1]) - (i + 1) * plain / parts) for i in range(parts)]
            assert max(far) < 1, (plain, changes, gaps)


def test_seven_on_fifty_as_the_trade_has_it() -> None:
    # Places of 7 increases on 50 stitches: gaps of 7 7 7 7 7 7 8, the increase counted in.
    gaps = [gap + 1 for gap in spread(43, 7, around=True).gaps()]
    assert sorted(gaps) == [7] * 6 + [8]


@given(st.integers(0, 400), st.integers(1, 120))
@settings(max_examples=4000)
def test_a_symmetrical_spread_reads_alike_from_both_ends(plain: int, changes: int) -> None:
    layout = symmetrical(plain, changes)
    # An odd number of changes has one in the middle, and the same number of plain units on either side.
    assert (layout is None) == (changes % 2 == 1 and plain % 2 == 1)
    if layout is not None:
        gaps = [*layout.gaps(), layout.tail]
        assert gaps == gaps[::-1]
        assert (len(gaps), sum(gaps)) == (changes + 1, plain)
        assert max(gaps) - min(gaps) <= 1


@given(st.integers(0, 400), st.integers(1, 120))
@settings(max_examples=2000)
def test_a_shifted_spread_is_the_same_round_half_a_gap_on(plain: int, changes: int) -> None:
    plain_gaps = list(spread(plain, changes, around=True).gaps())
    layout = spread(plain, changes, around=True, shifted=True)
    gaps = list(layout.gaps())
    assert len(gaps) == changes
    assert sorted([gaps[0] + layout.tail, *gaps[1:]]) == sorted(plain_gaps)
    assert abs(gaps[0] - layout.tail) <= 1


def test_a_spread_of_a_million_costs_a_line() -> None:
    assert len(spread(10**9, 10**6, around=True).groups) <= 2
    assert len(spread(10**9 + 1, 10**6 + 1, around=False).groups) <= 4
    assert gcd(10**9, 10**6) == 10**6


def test_a_million_rows_are_counted_and_merged_at_once() -> None:
    text = (
        "turnchain 1, US\npattern Example\npiece Band, turned rows\nstart 11 ch\nrow 1: sc to end = 10\n"
        "next 1000000 rows: work sc, to 90 at each end = 90\n"
    )
    began = time.perf_counter()
    analysis = analyse(Source("pattern.tch", text))
    assert time.perf_counter() - began < 1
    assert not analysis.diagnostics
    block = analysis.patterns[0].pieces[0].parts[-1]
    assert isinstance(block, Block)
    assert len(block.rows) == 80
    assert sum(row.times for row in block.rows) == 10**6
