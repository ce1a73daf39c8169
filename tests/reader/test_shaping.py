"""Rows that `work` writes are read back, and come to what is reckoned here row by row."""

# ruff: noqa: E501 -- the sentences stand whole, as they are published

from dataclasses import dataclass
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from turnchain.compiler.counted import Block
from turnchain.compiler.pipeline import Analysis, analyse
from turnchain.lang.diagnostics import Severity
from turnchain.lang.source import Source

from .reader import read
from .test_reader import FULL, WAYS, assert_reads_back
from .words import ReadingError

HEAD = (
    "turnchain 1, US\npattern Example\ngauge 16 st, 17 rows = 10 cm in sc\n"
    "gauge 15 st, 9 rows = 10 cm in dc\n"
)
IN_ROWS = HEAD + "piece Band, turned rows\nstart for {0}\nrow 1: sc to end\n"
IN_ROUNDS = HEAD + "piece Band, joined rounds\nstart {0} ch, joined\nround 1: sc to end\n"


@dataclass(frozen=True)
class Shaped:
    """A `work` line, and by how much each of its rows changes the count."""

    text: str
    changes: tuple[int, ...]
    start: int


@st.composite
def by_number(draw: st.DrawFn) -> Shaped:
    """Changes that the author tells row by row."""
    start = draw(st.integers(5, 60))
    rows = draw(st.integers(1, 14))
    unit = draw(st.sampled_from(["row", "round"]))
    stitch = draw(st.sampled_from(["sc", "hdc", "dc", "tr"]))
    changes = [0] * rows
    said = []
    for spot, places in draw(
        st.lists(
            st.sampled_from(
                [("at middle", 1), ("at each end", 2), ("at start", 1), ("at end", 1), ("evenly", 1)]
            ),
            min_size=1,
            max_size=2,
            unique=True,
        )
    ):
        amount = draw(st.integers(-3, 3).filter(bool))
        how = draw(st.sampled_from(["", " staggered", " keep 2"])) if spot == "evenly" else ""
        if draw(st.booleans()):
            every = draw(st.integers(1, 4))
            when = f" every {every} {unit}s"
            falls = range(0, rows, every)
        else:
            chosen = sorted(draw(st.sets(st.integers(0, rows - 1), min_size=1)))
            when = f" on {unit}s " + ", ".join(str(2 + each) for each in chosen)
            falls = chosen
        for each in falls:
            changes[each] += amount * places
        said.append(f"{amount:+} {spot}{how}{when}")
    pattern = (IN_ROWS if unit == "row" else IN_ROUNDS).format(start)
    text = f"{pattern}{unit}s 2-{1 + rows}: work {stitch}, {', '.join(said)}\n"
    return Shaped(text, tuple(changes), start)


def counts(analysis: Analysis) -> list[int]:
    return [
        row.stitches
        for part in analysis.patterns[0].pieces[0].parts
        if isinstance(part, Block)
        for row in part.rows
        for _ in range(row.times)
    ]


def sound(text: str) -> Analysis:
    analysis = analyse(Source("pattern.tch", text))
    errors = [each for each in analysis.diagnostics if each.severity is Severity.ERROR]
    # There may be too few stitches for what was drawn, or two changes may meet.
    assert all(each.name in ("too-few-places", "shaping-missed") for each in errors), (text, errors)
    assume(not errors)
    return analysis


@settings(max_examples=150)
@given(by_number(), st.sampled_from(WAYS))
def test_changes_told_row_by_row(shaped: Shaped, way: tuple[str, str]) -> None:
    analysis = sound(shaped.text)
    expected, have = [shaped.start], shaped.start
    for change in shaped.changes:
        have += change
        expected.append(have)
    assert counts(analysis) == expected
    assert_reads_back(analysis, *way)


@settings(max_examples=100)
@given(
    st.integers(4, 50),
    st.integers(-15, 15).filter(bool),
    st.integers(1, 40),
    st.sampled_from(["each end", "start", "end", "middle"]),
    st.booleans(),
    st.sampled_from(WAYS),
)
def test_ways_to_a_number(
    start: int, changes: int, rows: int, spot: str, turned: bool, way: tuple[str, str]
) -> None:
    step = 2 if spot in ("each end", "middle") else 1
    target = start + step * changes
    assume(target > 2)
    unit = "row" if turned else "round"
    pattern = (IN_ROWS if turned else IN_ROUNDS).format(start)
    analysis = sound(f"{pattern}{unit}s 2-{1 + rows}: work sc, to {target} at {spot}\n")
    found = counts(analysis)
    assert found[-1] == target
    falls = [row for row in range(1, len(found)) if found[row] != found[row - 1]]
    assert {found[row] - found[row - 1] for row in falls} == {step if changes > 0 else -step}
    gaps = [b - a for a, b in zip([0, *falls], falls, strict=False)]
    assert max(gaps) - min(gaps) <= (2 if turned else 1)
    assert gaps == sorted(gaps)
    assert not turned or len({row % 2 for row in falls}) == 1
    assert_reads_back(analysis, *way)


@settings(max_examples=150)
@given(
    st.integers(6, 40),
    st.integers(2, 50),
    st.sampled_from(
        [
            "to {} at each end over {} cm",
            "to {} at start over {} cm",
            "to {} at end over {} cm",
            "to {} at middle over {} cm",
        ]
    ),
    st.integers(3, 70),
    st.sampled_from(["turned rows", "joined rounds", "right-side rows"]),
    st.sampled_from(WAYS),
)
def test_measured_edges(
    start: int, length: int, change: str, width: int, manner: str, way: tuple[str, str]
) -> None:
    unit = "round" if manner == "joined rounds" else "row"
    pattern = (IN_ROUNDS if unit == "round" else IN_ROWS).format(start).replace("turned rows", manner)
    analysis = sound(f"{pattern}next {unit}s: work sc, {change.format(f'{width} cm', length)}\n")
    found = counts(analysis)
    places = 2 if "each" in change or "middle" in change else 1
    assert abs(found[-1] - 1.6 * width) <= places / 2 + 0.01
    assert_reads_back(analysis, *way)


@settings(max_examples=80)
@given(
    st.integers(12, 40),
    st.integers(1, 9),
    st.sampled_from(["-1 at start every 2 {u}s", "+1 at start every 3 {u}s", "-1 at start on {u} 2"]),
    st.integers(-6, 6),
    st.sampled_from(["end", "middle"]),
    st.sampled_from(["row", "round"]),
    st.sampled_from(WAYS),
)
def test_all_that_changes_beside_a_schedule_is_told(
    start: int, rows: int, beside: str, steps: int, spot: str, unit: str, way: tuple[str, str]
) -> None:
    last = 1 + rows
    falls = {"2": -(-rows // 2), "3": -(-rows // 3)}.get(beside.split()[4] if "every" in beside else "", 1)
    own = (1 if beside.startswith("+") else -1) * falls
    step = 2 if spot == "middle" else 1
    pattern = (IN_ROWS if unit == "row" else IN_ROUNDS).format(start)
    target = start + own + step * steps
    assume(target > 4)
    analysis = sound(f"{pattern}{unit}s 2-{last}: work sc, {beside.format(u=unit)}, to {target} at {spot}\n")
    assert counts(analysis)[-1] == target
    assert_reads_back(analysis, *way)


@settings(max_examples=80)
@given(st.integers(4, 60), st.integers(1, 12), st.integers(4, 160), st.booleans(), st.sampled_from(WAYS))
def test_evenly_to_a_number(start: int, rows: int, target: int, turned: bool, way: tuple[str, str]) -> None:
    unit = "row" if turned else "round"
    pattern = (IN_ROWS if turned else IN_ROUNDS).format(start)
    analysis = sound(f"{pattern}{unit}s 2-{1 + rows}: work sc, to {target} evenly\n")
    found = counts(analysis)
    assert found[-1] == target
    steps = [b - a for a, b in pairwise(found)]
    assert max(steps) - min(steps) <= 1
    assert_reads_back(analysis, *way)


@settings(max_examples=60)
@given(st.integers(3, 9), st.integers(1, 5), st.integers(1, 4), st.sampled_from(["+2", "+1", "-2", "+4"]))
def test_marks_renew_themselves(marks: int, between: int, rows: int, change: str) -> None:
    text = (
        f"{HEAD}piece Star, joined rounds\nstart ring\nround 1: {marks} sc in ring\n"
        f"round 2: [{between + 4} sc in st as arm] to end\n"
        f"round 3: [{between + 3} sc, sc as arm] to end\n"
        f"rounds 4-{3 + rows}: work sc, {change} at each arm\n"
        f"round {4 + rows}: [sc to arm, sc in arm] x {marks}, leave rest\n"
    ).replace(" in st as arm]", " in st]")
    analysis = sound(text)
    first = marks * (between + 4)
    assert counts(analysis)[2:-1] == [first + marks * int(change) * row for row in range(rows + 1)]
    for way in WAYS:
        assert_reads_back(analysis, *way)


@pytest.mark.parametrize(("terms", "words"), WAYS)
@pytest.mark.parametrize(
    "shape",
    [
        "work sc, disc of 20 cm",
        "work sc, disc of 20 cm, multiple 6",
        "work dc, disc of 24 cm, multiple 12",
        "work sc, square of 12 cm",
        "work sc, triangle of 9 cm",
        "work hdc, hexagon of 20 cm",
        "work sc, octagon of 13 cm",
        "work sc, ball of 8 cm",
        "work sc, cone of 8 cm, height 15 cm",
        "work sc, crown of 50 cm, depth 18 cm",
        "work dc, crown of 50 cm, depth 18 cm, multiple 6",
    ],
)
def test_shapes(shape: str, terms: str, words: str) -> None:
    start = "start ring\nnext rounds: "
    for manner in ("spiral rounds", "joined rounds"):
        analysis = analyse(Source("pattern.tch", f"{HEAD}piece Toy, {manner}\n{start}{shape}\n"))
        assert not analysis.has_errors, analysis.diagnostics
        assert_reads_back(analysis, terms, words)


def test_a_chevron() -> None:
    analysis = analyse(Source("pattern.tch", IN_ROWS.format(49) + "rows 2-9: work sc, chevron of 10 cm\n"))
    assert counts(analysis) == [49] * 9
    for way in WAYS:
        assert_reads_back(analysis, *way)


ROWS_TO_14 = """Chain 11.

Row 1: Starting in the 2nd chain from the hook, single crochet in each chain across. Turn. (10 stitches)
{}
Rows 2–3: Chain 1, single crochet in each stitch across. Turn. (10 stitches)
Row 4: Chain 1, work 2 single crochet in the next stitch, single crochet in each of the next 8 stitches, work \
2 single crochet in the last stitch. Turn. (12 stitches)
Row 5: Chain 1, work 2 single crochet in the next stitch, single crochet in each of the next 10 stitches, work \
2 single crochet in the last stitch. (14 stitches)"""


@pytest.mark.parametrize(
    ("said", "wrong"),
    [
        ("Increase 1 stitch at each end in the 3rd row from here, then in the next row after that, as follows:", True),
        ("Increase 1 stitch at each end in the 3rd row from here, then in the 1st row after that, as follows:", False),
        ("Increase 1 stitch at each end in rows 4 and 5, as follows:", False),
        ("Increase 1 stitch at each end in rows 4–5, as follows:", False),
        ("Increase 1 stitch at each end in row 4, as follows:", False),
        ("Increase 1 stitch at each end in row 5, as follows:", True),
        ("Increase 2 stitches at each end in rows 4 and 5, as follows:", True),
        ("Increase 1 stitch at the end in rows 4 and 5, as follows:", True),
        ("Decrease 1 stitch at each end in rows 4 and 5, as follows:", True),
        ("Increase 1 stitch at each end every 2nd row 2 times, as follows:", True),
        ("Increase 1 stitch at each end in the 3rd row from here, then every row or every 2nd row once, as follows:", False),
        ("Increase 1 stitch at each end in the 3rd row from here, then every 2nd or 3rd row once, as follows:", True),
        ("Increase 1 stitch at the beginning in rows 4 and 5, and increase 1 stitch at the end in rows 4–5, as follows:", False),
        ("Increase 1 stitch at the beginning in rows 4 and 5, and increase 1 stitch at the end in row 4, as follows:", True),
        ("Increase 1 stitch at each end every so often, as follows:", True),
        ("Increase 1 or 2 stitches evenly in each of the next 4 rows, 4 in all, as follows:", True),
    ],
)  # fmt: skip
def test_what_is_said_before_the_rows_is_held_against_them(said: str, wrong: bool) -> None:
    text = FULL.format(ROWS_TO_14.format(said))
    if wrong:
        with pytest.raises(ReadingError):
            read(text)
    else:
        read(text)


MEASURED = """
Sampler
=======

Written in US terms.

Finished measurements
---------------------

- {}

Gauge
-----

10 stitches and 10 rows in single crochet = 10 cm / 4 in.

Notes
-----

- The chain 1 at the beginning of a row or round does not count as a stitch: work into the first stitch or space.

Sampler
-------

""" + ROWS_TO_14.replace("{}", "")


@pytest.mark.parametrize(
    ("said", "wrong"),
    [
        ("Finished length: 5 cm / 2 in", False),
        ("Finished length: 5 cm / 2½ in", True),
        ("Finished length: 4 cm / 1½ in", True),
        ("Finished width: 10 cm / 4 in at the beginning, 14 cm / 5½ in at the end", False),
        ("Finished width: 10 cm / 4 in at the beginning, 15 cm / 6 in at the end", True),
        ("Finished width: 14 cm / 5½ in at the beginning, 12 cm / 4¾ in at the widest, 10 cm / 4 in at the end", True),
        ("Finished width: wide", True),
    ],
)  # fmt: skip
def test_what_is_said_to_be_measured_is_held_against_the_rows(said: str, wrong: bool) -> None:
    text = MEASURED.format(said)
    if wrong:
        with pytest.raises(ReadingError):
            read(text)
    else:
        read(text)
