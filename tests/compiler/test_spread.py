"""Where spread stitches go, held against every way in which they could be laid."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
from turnchain.compiler.spread import even_gap, even_lengths, place_of

SMALL = [(many, over) for over in range(1, 12) for many in range(1, over + 1)]


def laid(many: int, over: int, *, in_round: bool) -> tuple[int, ...]:
    return tuple(place_of(index, many, over, in_round=in_round) for index in range(many))


def gaps(places: tuple[int, ...], over: int, *, in_round: bool) -> list[int]:
    ends = (*places, places[0] + over) if in_round else places
    return [second - first for first, second in pairwise(ends)]


def unevenness(places: tuple[int, ...], over: int, *, in_round: bool) -> int:
    found = gaps(places, over, in_round=in_round)
    return max(found) - min(found) if found else 0


def mirrored(places: tuple[int, ...], over: int) -> tuple[int, ...]:
    return tuple(over - 1 - place for place in reversed(places))


@pytest.mark.parametrize(("many", "over"), [each for each in SMALL if each[0] > 1])
def test_no_way_to_lay_them_from_end_to_end_is_more_even(many: int, over: int) -> None:
    ways = [each for each in combinations(range(over), many) if each[0] == 0 and each[-1] == over - 1]
    least = min(unevenness(each, over, in_round=False) for each in ways)

    assert laid(many, over, in_round=False) in ways
    assert unevenness(laid(many, over, in_round=False), over, in_round=False) == least <= 1


@pytest.mark.parametrize(("many", "over"), SMALL)
def test_they_lie_alike_from_either_end_wherever_that_can_be(many: int, over: int) -> None:
    ways = [
        each
        for each in combinations(range(over), many)
        if each == mirrored(each, over) and (many == 1 or each[0] == 0)
    ]
    places = laid(many, over, in_round=False)

    assert bool(ways) == (places == mirrored(places, over))


@pytest.mark.parametrize(("many", "over"), SMALL)
def test_no_way_to_lay_them_in_a_round_is_more_even(many: int, over: int) -> None:
    ways = [each for each in combinations(range(over), many) if each[0] == 0]
    least = min(unevenness(each, over, in_round=True) for each in ways)

    assert laid(many, over, in_round=True) in ways
    assert unevenness(laid(many, over, in_round=True), over, in_round=True) == least <= 1


@pytest.mark.parametrize("in_round", [False, True])
@pytest.mark.parametrize(("many", "over"), [each for each in SMALL if each[0] > 1])
def test_an_even_gap_is_told_just_where_all_gaps_are_the_same(many: int, over: int, in_round: bool) -> None:
    found = set(gaps(laid(many, over, in_round=in_round), over, in_round=in_round))

    assert even_gap(many, over, in_round=in_round) == (found.pop() if len(found) == 1 else None)


def test_the_nearest_lengths_with_even_gaps() -> None:
    assert even_lengths(300, 900, in_round=False) == (898, 1197)
    assert even_lengths(300, 950, in_round=True) == (900, 1200)


def test_places_are_told_without_walking_there() -> None:
    assert place_of(10**8, 10**9, 10**15, in_round=True) == 10**14
