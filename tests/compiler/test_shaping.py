"""Schedules and spreads against every way there is, for small numbers, and by their terms for large ones."""

import re
from collections.abc import Iterable, Iterator
from itertools import combinations, pairwise
from math import gcd

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from turnchain.compiler.counted import Block, Worked
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.shaping import (
    Schedule,
    Slope,
    even_schedule,
    every,
    most_changes,
    shares,
    spread,
    straight,
    symmetrical,
)
from turnchain.compiler.steps import BracketStep, StitchStep
from turnchain.lang.diagnostics import Diagnostic, Severity
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


@pytest.mark.parametrize("one_side", [True, False])
def test_schedules_are_those_of_an_independent_division(one_side: bool) -> None:
    """numpy deals the rows, on one side pairs of them, out to the changes; shorter gaps come first."""
    step = 2 if one_side else 1
    for rows in range(1, 120):
        for changes in range(1, rows // step + 1):
            schedule = even_schedule(rows, changes, one_side=one_side)
            assert schedule is not None
            dealt = sorted(map(len, np.array_split(np.zeros(rows // step), changes)))
            assert _gaps(tuple(schedule.rows())) == [step * each for each in dealt], (rows, changes)


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


@pytest.mark.parametrize("one_side", [True, False])
def test_a_straight_edge_is_kept_to_half_a_change(one_side: bool) -> None:
    """The edge is a line from corner to corner, drawn here with numpy."""
    step = 2 if one_side else 1
    for rows in range(1, 90):
        for changes in range(1, rows // step + 1):
            slope = straight(rows, changes, one_side=one_side)
            assert slope is not None
            falls = np.array(list(slope.rows())) + 1
            assert len(np.unique(falls)) == changes
            assert not one_side or (falls % 2 == 0).all()
            working = np.arange(step, rows + 1, step)
            done = np.searchsorted(falls, working, side="right")
            assert np.abs(done - working * changes / rows).max() <= 0.5 + 1e-9, (rows, changes)
            if isinstance(slope, Slope) and changes > 1:
                assert set(np.diff(falls)) == set(slope.gaps)
                assert slope.gaps[-1] - slope.gaps[0] <= step


def test_no_edge_is_nearer_to_the_line() -> None:
    """Every choice of rows is tried."""
    for rows in range(1, 12):
        for changes in range(1, rows + 1):
            slope = straight(rows, changes, one_side=False)
            assert slope is not None

            def off(chosen: Iterable[int], rows: int = rows, changes: int = changes) -> float:
                falls = np.array(sorted(chosen)) + 1
                every_row = np.arange(1, rows + 1)
                done = np.searchsorted(falls, every_row, side="right")
                return float(np.abs(done - every_row * changes / rows).max())

            assert off(slope.rows()) <= min(map(off, combinations(range(rows), changes))) + 1e-9


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


def test_spreads_are_those_of_an_independent_division() -> None:
    """numpy divides a row into parts as alike as whole stitches come."""
    for plain in range(0, 160, 3):
        for changes in range(1, 60):
            around = spread(plain, changes, around=True)
            assert sorted(around.gaps()) == sorted(map(len, np.array_split(np.zeros(plain), changes)))
            flat = spread(plain, changes, around=False)
            parts = np.array_split(np.zeros(plain), changes + 1)
            assert sorted([*flat.gaps(), flat.tail]) == sorted(map(len, parts))


def _compositions(total: int, parts: int) -> Iterator[tuple[int, ...]]:
    if parts == 1:
        yield (total,)
        return
    for first in range(total + 1):
        for rest in _compositions(total - first, parts - 1):
            yield (first, *rest)


def test_no_spread_is_more_even() -> None:
    """Of all ways there are, none has a smaller sum of squares, the usual measure of evenness."""

    def unevenness(gaps: tuple[int, ...]) -> int:
        return sum(gap * gap for gap in gaps)

    for plain in range(11):
        for changes in range(1, 6):
            ways = list(_compositions(plain, changes))
            gaps = tuple(spread(plain, changes, around=True).gaps())
            assert unevenness(gaps) == min(map(unevenness, ways))
            flat = spread(plain, changes, around=False)
            ways = list(_compositions(plain, changes + 1))
            assert unevenness((*flat.gaps(), flat.tail)) == min(map(unevenness, ways))
            alike = [way for way in ways if way == way[::-1] and max(way) - min(way) <= 1]
            layout = symmetrical(plain, changes)
            assert (layout is None) == (not alike)
            assert layout is None or (*layout.gaps(), layout.tail) in alike


def test_few_changes_lie_as_near_to_even_places_as_whole_stitches_come() -> None:
    for plain in range(13):
        for changes in range(1, 9):
            gaps = list(spread(plain, changes, around=True).gaps())
            far = [abs(sum(gaps[: i + 1]) - (i + 1) * plain / changes) for i in range(changes)]
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


def rows_of(body: str, have: int, *, around: bool = False) -> list[list[tuple[int, int]]]:
    """Return what each place of each row of a `work` uses and makes."""
    piece = (
        f"piece Tube, joined rounds\nstart {have} ch, joined\nround 1: sc to end\nround 2: {body}\n"
        if around
        else f"piece Band, turned rows\nstart for {have}\nrow 1: sc to end\nrow 2: {body}\n"
    )
    analysis = analyse(Source("pattern.tch", f"turnchain 1, US\npattern Example\n{piece}"))
    assert not analysis.has_errors, analysis.diagnostics
    block = analysis.patterns[0].pieces[0].parts[-1]
    assert isinstance(block, Block)
    return [list(_worked(row.worked)) for row in block.rows]


def _worked(items: Iterable[Worked]) -> Iterator[tuple[int, int]]:
    for item in items:
        step = item.step
        if isinstance(step, BracketStep):
            for turns in item.turns:
                for _ in range(turns.times):
                    for body in turns.bodies:
                        yield from _worked(body)
        else:
            assert isinstance(step, StitchStep)
            if step.target is not None:
                yield (1, item.count)
            else:
                yield from [(step.stitch.uses, 1)] * item.count


@given(
    st.integers(4, 90),
    st.integers(-40, 40).filter(bool),
    st.sampled_from(["", " symmetrical", " staggered"]),
    st.integers(0, 3),
    st.booleans(),
)
@settings(max_examples=600)
def test_rows_are_written_as_evenly_as_they_are_spread(
    have: int, amount: int, how: str, keep: int, around: bool
) -> None:
    inner = have - 2 * keep
    assume(inner > 1 and inner + amount > 0)
    try:
        (row,) = rows_of(f"work sc, {amount:+} evenly{how} keep {keep}", have, around=around)
    except AssertionError as refused:
        if "symmetrical" not in how or "shaping-missed" not in str(refused):
            raise
        return
    assert sum(uses for uses, _ in row) == have
    assert sum(makes for _, makes in row) == have + amount
    ends = row[:keep] + row[len(row) - keep :]
    assert ends == [(1, 1)] * (2 * keep)
    middle = row[keep : len(row) - keep]
    assert " symmetrical" not in how or middle == middle[::-1]
    sizes = [max(uses, makes) for uses, makes in middle]
    assert max(sizes) - min(sizes) <= 1
    larger = [at for at, size in enumerate(sizes) if size > min(sizes)]
    if larger:
        gaps = [b - a - 1 for a, b in pairwise(larger)]
        first, last = larger[0], len(sizes) - 1 - larger[-1]
        gaps += [first + last] if around and not keep and "symm" not in how else [first, last]
        assert max(gaps) - min(gaps) <= 1


@pytest.mark.parametrize("symmetry", ["", " symmetrical"])
def test_the_numbers_that_are_offered_would_work(symmetry: str) -> None:
    for have in range(3, 16):
        for amount in (*range(-have, 0), *range(1, 12)):
            text = (
                f"turnchain 1, US\npattern Example\npiece Band, turned rows\nstart for {have}\n"
                "row 1: sc to end\n"
                f"row 2: work sc, {amount:+} evenly{symmetry}\n"
            )
            for found in analyse(Source("pattern.tch", text)).diagnostics:
                offered = re.findall(r"`([+-]\d+ evenly[^`]*)`", found.help or "")
                assert offered, found
                for change in offered:
                    rows_of(f"work sc, {change}", have)


def impossible(work: str, rows: int = 0, have: int = 20) -> Diagnostic | None:
    """Return what is said of a shaping that can't be met; None if it can. No rows are as many as it takes."""
    middle = "sc to middle, sc as tip, sc to end" if have % 2 else "sc to end"
    text = (
        "turnchain 1, US\npattern Example\ngauge 16 st, 18 rows = 10 cm in sc\n"
        f"piece Band, turned rows\nstart for {have}\nrow 1: {middle}\n"
        f"next {f'{rows} ' if rows else ''}rows: work sc, {work}\n"
    )
    diagnostics = analyse(Source("pattern.tch", text)).diagnostics
    found = [each for each in diagnostics if each.severity is Severity.ERROR]
    assert len(found) <= 1, found
    return found[0] if found else None


def is_met(found: Diagnostic | None) -> bool:
    """Tell whether a schedule is found: that the stitches then meet or run out is another matter."""
    return found is None or found.name == "too-few-places" or "meet" in found.message


@given(
    st.integers(1, 90),
    st.sampled_from(["at each end", "at start", "at middle", "at tip"]),
    st.integers(1, 12),
    st.sampled_from(
        ["", "+1 at middle every 3 rows, ", "-1 at start every 4 rows, ", "+1 at end on rows 2, "]
    ),
    st.integers(4, 15).map(lambda half: 2 * half + 1),
)
@settings(max_examples=1500)
def test_every_number_that_is_offered_for_an_impossible_shaping_works(
    target: int, spot: str, rows: int, beside: str, have: int
) -> None:
    found = impossible(f"{beside}to {target} {spot}", rows, have)
    if found is None or found.name != "shaping-missed" or "meet" in found.message:
        return
    assert found.help is not None
    numbers = re.findall(r"`to (\d+)`", found.help)
    assert numbers
    room_is_missing = "can be reached" in found.help
    for number in numbers:
        again = impossible(f"{beside}to {number} {spot}", rows, have)
        assert is_met(again) or (not room_is_missing and again and "room" in again.message), (found, again)
    if not room_is_missing:
        return
    if (enough := re.search(r"give it (\d+) rows?", found.help)) is not None:
        assert is_met(impossible(f"{beside}to {target} {spot}", int(enough[1]), have)), found
        assert not is_met(impossible(f"{beside}to {target} {spot}", int(enough[1]) - 1, have)), found
    if (ending := re.search(r"end the line with `(.+?)`", found.help)) is not None:
        assert is_met(impossible(f"{beside}to {target} {spot}{ending[1]}", rows, have)), found


@given(st.integers(1, 60), st.integers(1, 20), st.sampled_from(["at each end", "at end"]))
@settings(max_examples=600)
def test_every_measure_that_is_offered_for_an_impossible_edge_works(wide: int, long: int, spot: str) -> None:
    found = impossible(f"to {wide} cm {spot} over {long} cm")
    if found is None or is_met(found):
        return
    assert found.help is not None
    to = re.findall(r"`to ([\d.]+ cm)`", found.help)[0]
    over = re.findall(r"`over ([\d.]+ cm)`", found.help)[0]
    for work in (f"to {to} {spot} over {long} cm", f"to {wide} cm {spot} over {over}"):
        assert is_met(impossible(work)), (found, work)


@pytest.mark.parametrize(
    ("work", "offered"),
    [
        # 20 stitches with one fewer at each end in each row have 2 after nine rows.
        ("-1 at each end", "stop it with row 10, which has 2 stitches"),
        ("+2 evenly keep 10", "write `keep 9` at most"),
        # 20 stitches that change two at a time have 2 at the least, and one at a time 1.
        ("to 0 at each end", "write `to 2` at least"),
        ("to 0 at end", "write `to 1` at least"),
        ("to 0 evenly", "write `to 1` at least"),
        ("+1 at each end every 0 rows", "write `every row`"),
        ("+1 at each end on rows 1", "name rows from 2 to 31"),
    ],
)
def test_what_is_offered_for_what_no_row_can_have(work: str, offered: str) -> None:
    found = impossible(work, 30)
    assert found is not None
    assert offered in (found.help or "")


def test_a_million_rows_are_counted_and_merged_in_as_many_entries_as_there_are_changes() -> None:
    text = (
        "turnchain 1, US\npattern Example\npiece Band, turned rows\nstart 11 ch\nrow 1: sc to end = 10\n"
        "next 1000000 rows: work sc, to 90 at each end = 90\n"
    )
    analysis = analyse(Source("pattern.tch", text))
    assert not analysis.diagnostics
    block = analysis.patterns[0].pieces[0].parts[-1]
    assert isinstance(block, Block)
    assert len(block.rows) == 80
    assert sum(row.times for row in block.rows) == 10**6


@given(st.integers(1, 40), st.integers(2, 12), st.integers(0, 4), st.sampled_from(["", " every 2 rows"]))
@settings(max_examples=600)
def test_the_most_that_is_offered_for_several_rows_is_the_most_that_they_have_room_for(
    amount: int, rows: int, keep: int, how: str
) -> None:
    found = impossible(f"-{amount} evenly keep {keep}{how}", rows)
    offered = re.search(r"write `-(\d+) evenly`", (found and found.help) or "")
    if found is None or offered is None:
        assert found is None or (20 - 2 * keep - 1) // (-(-rows // 2) if how else rows) == 0
        return
    most = int(offered[1])
    assert impossible(f"-{most} evenly keep {keep}{how}", rows) is None
    assert impossible(f"-{most + 1} evenly keep {keep}{how}", rows) is not None


@pytest.mark.parametrize(
    ("manner", "start", "work", "offered"),
    [
        ("turned rows", "start ring", "disc of 10 cm", "`joined rounds` or `spiral rounds`"),
        ("joined rounds", "start 25 ch, joined", "chevron of 10 cm", "`turned rows`"),
    ],
)
def test_shapes_for_rounds_and_for_rows(manner: str, start: str, work: str, offered: str) -> None:
    header = "turnchain 1, US\npattern Example\ngauge 16 st, 18 rows = 10 cm in sc\n"
    text = f"{header}piece Bit, {manner}\n{start}\n"
    unit = "round" if "round" in manner else "row"
    first = "" if "ring" in start else f"{unit} 1: sc to end\n"
    number = "next 4 rounds" if first else "next rows"
    (found,) = analyse(Source("pattern.tch", f"{text}{first}{number}: work sc, {work}\n")).diagnostics
    assert found.name == "out-of-order"
    assert offered in (found.help or "")
