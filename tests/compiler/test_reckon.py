"""Rows on plain ground are reckoned: their sums have to be those of the walk, which goes place by place."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from turnchain.compiler.counted import Block, CountedRow
from turnchain.compiler.fabric import Place, Repeat, Run, Segments, tally
from turnchain.compiler.pipeline import Analysis, analyse
from turnchain.compiler.reckon import NeedsWalk, is_plain, reckoned
from turnchain.lang.source import Source

HEADER = (
    "turnchain 1, US\npattern Cloth\nyarn main: DK, 50 g\nyarn other: DK, 50 g\n"
    'stitch frill: 3 dc in st\nstitch pair: dc, ch, dc\nstitch fan: "a fan" over 3 makes 5 dc, 2 ch\n'
)


def analysed(manner: str, places: int, rows: list[str], *, accelerate: bool = True) -> Analysis:
    unit = "row" if manner.endswith("rows") else "round"
    start = f"start {places} fsc" + ("" if unit == "row" else ", joined")
    lines = [f"piece Cloth, {manner}", start, *(f"next {unit}: {row}" for row in rows)]
    # Marks are set somewhere, so that every name a row looks for is known.
    marks = ["piece Marks, turned rows", "start 3 ch", "row 1: sc as p, sc as q"]
    return analyse(Source("cloth.tch", HEADER + "\n".join([*lines, *marks]) + "\n"), accelerate=accelerate)


def cloth(analysis: Analysis) -> list[CountedRow]:
    return [
        row for part in analysis.patterns[0].pieces[0].parts if isinstance(part, Block) for row in part.rows
    ]


def one_by_one(parts: Segments) -> list[Place]:
    """Return every single place, in order."""
    places: list[Place] = []
    for part in parts:
        places += (
            [part.place] * part.count
            if isinstance(part, Run)
            else one_by_one(part.parts) * (part.times if isinstance(part, Repeat) else 1)
        )
    return places


def found(analysis: Analysis) -> list[tuple[object, ...]]:
    return [(each.name, each.span, each.message) for each in analysis.diagnostics]


plain = st.sampled_from(
    [
        "sc", "2 sc", "7 hdc", "ch", "3 ch", "inc", "dec", "dc3tog", "3 dc in st", "2 sc in same", "skip 1",
        "skip 3", "fpdc", "(dc, ch, dc) in st", "(sc, skip 1, sc) tog", "3 ch, ss in top", "picot3", "frill",
        "2 frill", "pair", "2 pair", "fan", "2 dc crossed", "sc as p", "dec as q", "(2 dc, ch) in st as p",
        "2 sc with other", '"as shown" over 2 makes 3 st', "sc in sp", "sc in p", "fsc",
    ]
)  # fmt: skip
brackets = st.recursive(
    plain,
    lambda inner: st.builds(
        "[{}] x {}".format, st.lists(inner, min_size=1, max_size=3).map(", ".join), st.integers(1, 5)
    ),
    max_leaves=5,
)
stops = st.sampled_from(["end", "end", "last 1", "last 2", "last 5", "middle", "p", "2 before p"])
to_stops = st.one_of(
    st.builds("{} to {}".format, st.sampled_from(["sc", "dec", "skip", "frill", "hdc", "sc crossed"]), stops),
    st.builds("[{}] to {}".format, st.lists(plain, min_size=1, max_size=3).map(", ".join), stops),
)
bodies = st.lists(st.one_of(brackets, to_stops), min_size=1, max_size=4).map(", ".join)
endings = st.sampled_from(["", ", sc to end", ", leave rest", ", [sc, inc] to end", ", leave 2"])


@settings(max_examples=400, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.sampled_from(["turned rows", "right-side rows", "joined rounds", "turned rounds", "spiral rounds"]),
    st.integers(1, 40),
    st.lists(st.builds("{}{}".format, bodies, endings), min_size=1, max_size=3),
)
def test_a_row_that_is_reckoned_comes_to_what_its_walk_comes_to(
    manner: str, places: int, rows: list[str]
) -> None:
    fast, slow = (analysed(manner, places, rows, accelerate=each) for each in (True, False))
    assert found(fast) == found(slow)
    for row, walked in zip(cloth(fast), cloth(slow), strict=True):
        assert one_by_one(row.after.parts) == one_by_one(walked.after.parts)
        assert tally(row.after.parts) == tally(walked.after.parts)
        assert (row.stitches, row.opening, row.foundation) == (
            walked.stitches,
            walked.opening,
            walked.foundation,
        )
        assert (row.slip_to, row.idle) == (walked.slip_to, walked.idle)
        assert [each.count for each in row.worked] == [each.count for each in walked.worked]
        used = [sum(part.places for part in (*each.passed, *each.used)) for each in row.worked]
        assert used == [sum(part.places for part in (*each.passed, *each.used)) for each in walked.worked]


@pytest.mark.parametrize(
    "row",
    [
        "sc to end",
        "sc to last 2, 2 dc",
        "inc, 8 sc, dec, sc to end",
        "sc to middle, 3 sc in st, sc to end",
        "[sc, skip 1, 2 hdc in st] x 2, [hdc, (dc, ch, dc) in st, dc2tog] x 3, sc to end",
        "[[2 sc, ch] x 2, inc] to last 1, sc",
        "frill, 2 pair, fan, [sc, 3 ch, ss in top] to end",
        "sc as p, skip 2, sc to end",
    ],
)
def test_most_rows_are_reckoned(row: str) -> None:
    (counted,) = cloth(analysed("turned rows", 21, [row]))
    assert is_plain(counted.before)
    assert reckoned(counted.plan.body, 21, {}).places == counted.after.places


@pytest.mark.parametrize(
    "row",
    [
        "sc to end, sc to end",
        "leave rest",
        "sc to p",
        "sc in sp",
        "20 sc",
        "22 sc",
        "[2 sc] to end",
        "picot3",
    ],
)
def test_what_needs_more_than_sums_is_left_to_the_walk(row: str) -> None:
    analysis = analysed("turned rows", 21, [row, "sc to end"])
    body = analysis.patterns[0].pieces[0].plan.parts[0].rows[0].body
    with pytest.raises(NeedsWalk):
        reckoned(body, 21, {})


def test_chains_and_spaces_are_no_plain_ground() -> None:
    rows = cloth(analysed("turned rows", 6, ["sc, [ch, skip 1, sc] x 2, sc", "sc to end"]))
    assert is_plain(rows[0].before)
    assert not is_plain(rows[0].after)
