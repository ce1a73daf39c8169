"""Laws of edges and cursors, and that many turns counted as one come to the same as each turn walked."""

from __future__ import annotations

from collections import Counter

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from turnchain.compiler.counted import Block, CountedRow
from turnchain.compiler.cursor import Cursor, NotAhead
from turnchain.compiler.fabric import (
    NOTHING,
    SPACE,
    Chains,
    Made,
    Named,
    Place,
    Repeat,
    Run,
    Segments,
    edge,
    joined,
    named,
    places,
    repeated,
    reversed_parts,
    stitches,
    tally,
)
from turnchain.compiler.pipeline import Analysis, analyse
from turnchain.compiler.walk import Walk
from turnchain.lang.source import Source

HEADER = "turnchain 1, US\npattern Example\n"

# ---- edges -------------------------------------------------------------------------------------------------

single_places = st.sampled_from([Place("sc"), Place("dc"), Place(SPACE, 1), Place(SPACE, 3)])
runs = st.builds(lambda place, count: (Run(place, count),), single_places, st.integers(1, 5))


def _wider(inner: st.SearchStrategy[Segments]) -> st.SearchStrategy[Segments]:
    return st.one_of(
        st.builds(joined, inner, inner),
        st.builds(repeated, inner, st.integers(1, 6)),
        st.builds(lambda parts, label: named(label, parts, is_mark=True), inner, st.sampled_from("pq")),
        st.builds(lambda parts: named("frill", parts, is_mark=False), inner),
    )


edges = st.recursive(runs, _wider, max_leaves=8)


def each_place(parts: Segments) -> list[Place]:
    """Return the places one by one."""
    out: list[Place] = []
    for part in parts:
        match part:
            case Run(place, many):
                out += [place] * many
            case Repeat(inner, times):
                out += each_place(inner) * times
            case Named(_, inner):
                out += each_place(inner)
    return out


def labels(parts: Segments) -> list[tuple[str, tuple[Place, ...]]]:
    """Return the names on an edge, each with what it covers."""
    out: list[tuple[str, tuple[Place, ...]]] = []
    for part in parts:
        match part:
            case Repeat(inner, times):
                out += labels(inner) * times
            case Named(label, inner):
                out += [(label, tuple(each_place(inner))), *labels(inner)]
    return out


@given(edges)
def test_an_edge_counts_the_places_it_lists(parts: Segments) -> None:
    listed = each_place(parts)
    assert places(parts) == len(listed)
    assert stitches(parts, chains_count=False) == sum(not place.is_space for place in listed)
    kinds = Counter(place.kind for place in listed)
    found = tally(parts)
    assert all(found[kind] == many for kind, many in kinds.items())
    assert found["chains"] == sum(place.chains for place in listed)


@given(edges)
def test_turned_twice_an_edge_is_as_before(parts: Segments) -> None:
    assert reversed_parts(reversed_parts(parts)) == parts
    assert each_place(reversed_parts(parts)) == each_place(parts)[::-1]


@given(edges, st.integers(0, 7))
def test_a_repeat_of_an_edge_lists_it_over_and_over(parts: Segments, times: int) -> None:
    assert each_place(repeated(parts, times)) == each_place(parts) * times
    assert labels(repeated(parts, times)) == labels(parts) * times


@given(edges, edges)
def test_edges_joined_list_the_one_and_then_the_other(first: Segments, second: Segments) -> None:
    assert each_place(joined(first, second)) == each_place(first) + each_place(second)


# ---- the cursor --------------------------------------------------------------------------------------------


@given(edges, st.data())
def test_taken_places_are_gone_and_the_rest_is_left(parts: Segments, data: st.DataObject) -> None:
    ground = edge(parts)
    cursor = Cursor(ground)
    taken: list[Place] = []
    while cursor.remaining:
        many = data.draw(st.integers(1, cursor.remaining), "taken")
        before = cursor.remaining
        assert cursor.next_place() == each_place(parts)[len(taken)]
        taken += each_place(cursor.take(many, stitches_only=False))
        assert cursor.remaining == before - many
    assert taken == each_place(parts)
    assert cursor.next_place() is None


@given(edges, st.data(), st.sampled_from(["sc", "dc", SPACE]))
def test_a_look_ahead_passes_all_that_is_of_another_kind(
    parts: Segments, data: st.DataObject, kind: str
) -> None:
    listed = each_place(parts)
    cursor = Cursor(edge(parts))
    done = data.draw(st.integers(0, len(listed)))
    cursor.take(done, stitches_only=False)
    ahead = next((at for at, place in enumerate(listed[done:]) if place.kind == kind), None)
    copied = cursor.copy()
    try:
        passed = cursor.find(kind, past_marks=True)
    except NotAhead:
        assert ahead is None
        assert cursor.remaining == len(listed) - done
    else:
        assert ahead is not None
        assert each_place(passed) == listed[done : done + ahead]
        found = cursor.next_place()
        assert found is not None
        assert found.kind == kind
        assert copied.distance(kind, past_marks=True) == ahead


# ---- what is made ------------------------------------------------------------------------------------------

chains = st.builds(lambda count: Made(Chains(count)), st.integers(1, 3))
made = st.recursive(
    st.one_of(st.builds(lambda parts: Made(parts=parts), runs), chains),
    lambda inner: st.one_of(
        st.builds(Made.__add__, inner, inner), st.builds(Made.__mul__, inner, st.integers(0, 4))
    ),
    max_leaves=8,
)


def as_listed(what: Made) -> tuple[list[Place], list[Place]]:
    return each_place(what.as_row()), each_place(what.as_round())


@given(made, st.integers(0, 6))
def test_so_many_times_is_one_after_another(one: Made, times: int) -> None:
    after_another = NOTHING
    for _ in range(times):
        after_another += one
    assert as_listed(one * times) == as_listed(after_another)


@given(made, st.integers(0, 6))
def test_so_many_times_the_repeat_is_so_many_times_the_stitches(one: Made, times: int) -> None:
    assert (one * times).stitches == one.stitches * times


@given(made, made, made)
def test_what_is_made_may_be_put_together_in_any_grouping(first: Made, second: Made, third: Made) -> None:
    assert as_listed((first + second) + third) == as_listed(first + (second + third))


# ---- rows, counted at once and turn by turn ----------------------------------------------------------------

small = st.integers(1, 4)
targets = st.sampled_from(["st", "sp", "dc", "p", "q", "same", "1st ch", "2nd ch", "middle ch", "each ch"])
leaves = st.one_of(
    st.builds("{} sc".format, small),
    st.builds("{} dc".format, small),
    st.builds("{} ch".format, small),
    st.builds("{} sc in {}".format, small, targets),
    st.builds("skip {}".format, small),
    st.sampled_from(
        [
            "skip sp", "sc2tog", "sc as p", "dc as q", "2 ch as p", "(sc, 2 ch, dc) in st", "(dc, ch) in sp",
            "(dc, ch as q, dc) in p", "(sc, skip 1, sc) tog", "3 ch, ss in top", "frill", "sc to p",
            "skip to q", "frill in sp",
        ]
    ),
)  # fmt: skip


def _in_brackets(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    bodies = st.lists(inner, min_size=1, max_size=3).map(", ".join)
    return st.builds("[{}] x {}".format, bodies, st.integers(1, 7))


items = st.recursive(leaves, _in_brackets, max_leaves=6)
endings = st.one_of(
    st.sampled_from(["leave rest", "sc to end", "[sc in sp] to end, leave rest"]),
    st.lists(leaves, min_size=1, max_size=3).map(lambda each: f"[{', '.join(each)}] to end"),
    st.lists(leaves, min_size=1, max_size=2).map(lambda each: f"[{', '.join(each)}] to last 2, leave rest"),
)
bodies = st.builds(
    lambda each, end: ", ".join([*each, end]), st.lists(items, min_size=0, max_size=3), endings
)


def counted(analysis: Analysis) -> list[CountedRow]:
    return [
        row
        for piece in analysis.patterns[0].pieces
        for part in piece.parts
        if isinstance(part, Block)
        for row in part.rows
    ]


def summary(analysis: Analysis) -> tuple[object, ...]:
    rows = [
        (row.number + turn, row.stitches, each_place(row.after.parts), labels(row.after.parts))
        for row in counted(analysis)
        for turn in range(row.times)
    ]
    return rows, [(each.name, each.span) for each in analysis.diagnostics if each.severity.value == "error"]


@settings(max_examples=400, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.sampled_from(["turned rows", "joined rounds", "turned rounds"]),
    st.integers(4, 40),
    st.lists(bodies, min_size=1, max_size=3),
)
def test_many_turns_at_once_come_to_the_same_as_each_turn_walked(
    manner: str, chains_made: int, rows: list[str]
) -> None:
    unit = "row" if manner == "turned rows" else "round"
    start = f"start {chains_made} ch" + ("" if unit == "row" else ", joined")
    # Marks are set somewhere, so that every name a row looks for is known.
    text = "\n".join(
        [
            "stitch frill: 3 dc in st",
            f"piece Band, {manner}",
            start,
            *(f"next {unit}: {row}" for row in rows),
            "piece Marks, turned rows",
            "start 3 ch",
            "row 1: sc as p, sc as q",
        ]
    )
    source = Source("example.tch", HEADER + text)
    assert summary(analyse(source)) == summary(analyse(source, accelerate=False))


fitting = st.sampled_from(
    [
        ("[3 sc, 2 ch, skip 1]", 4), ("[sc, dc as p, sc]", 3), ("[(2 dc, ch, 2 dc) in st, skip 1, 2 ch]", 2),
        ("[2 sc, 2 ch as q, 2 sc]", 4), ("[sc, [dc, ch] x 3, sc2tog, 2 ch]", 6), ("[frill, 2 sc]", 3),
        ("[ch, dc, 2 ch, dc as p]", 2), ("[sc in st, ch, dc in same, skip 2]", 3),
        ("[[sc, hdc] x 2, 3 ch]", 4),
    ]
)  # fmt: skip
looking = st.lists(
    st.sampled_from(
        [
            "sc in sp", "(dc, ch, dc) in sp", "sc in dc", "2 sc in p", "sc to p", "skip sp", "sc in each ch",
            "sc in 1st ch", "sc in 2nd ch", "(sc, 2 ch, sc) in q", "ch", "sc in same", "skip 1", "skip 2",
            "sc", "2 sc in st", "sc2tog", "frill", "sc in frill",
        ]
    ),
    min_size=1,
    max_size=4,
).map(", ".join)  # fmt: skip


@settings(max_examples=400, suppress_health_check=[HealthCheck.too_slow])
@given(
    fitting, st.integers(1, 12), st.lists(fitting, max_size=1), looking, st.integers(1, 25), st.sampled_from(
        ["{0} x {1}, leave rest", "{0} to end", "{0} to last 3, leave rest",
         "[{0} x {1}, ch] x 2, leave rest",
         "[{0} x 3, skip 1] x {1}, leave rest", "skip 2, {0} x {1}, leave rest"]
    ), st.sampled_from(["turned rows", "joined rounds"]),
)  # fmt: skip
def test_on_ground_that_repeats_many_turns_at_once_come_to_the_same(
    ground: tuple[str, int],
    times: int,
    more: list[tuple[str, int]],
    body: str,
    count: int,
    shape: str,
    manner: str,
) -> None:
    units = [ground, *more]
    first = ", ".join(f"{unit} x {times}" for unit, _ in units)
    unit = "row" if manner == "turned rows" else "round"
    source = Source(
        "example.tch",
        f"{HEADER}stitch frill: 3 dc in st\npiece Band, {manner}, tch 0\n"
        f"start {sum(uses for _, uses in units) * times} ch{', joined' if unit == 'round' else ''}\n"
        f"next {unit}: {first}\nnext {unit}: {shape.format(f'[{body}]', count)}\n"
        "piece Marks, turned rows\nstart 3 ch\nrow 1: sc as p, sc as q\n",
    )
    assert summary(analyse(source)) == summary(analyse(source, accelerate=False))


# ---- cost --------------------------------------------------------------------------------------------------


def size(parts: Segments) -> int:
    """Return how many segments an edge is kept in."""
    return sum(1 + (size(part.parts) if not isinstance(part, Run) else 0) for part in parts)


def last_row(rows: str) -> tuple[CountedRow, int]:
    """Return the last row of a piece of rounds, and how many turns of brackets it walked."""
    analysis = analyse(Source("example.tch", f"{HEADER}piece Cloth, joined rounds\n{rows}\n"))
    assert [each.message for each in analysis.diagnostics if each.severity.value == "error"] == []
    row = counted(analysis)[-1]
    ground = row.before
    walk = Walk(ground, "this round", "the last", Cursor(ground))
    walk.steps(row.plan.body)
    return row, walk.turns


def test_nested_repeats_of_plain_stitches_walk_no_turn() -> None:
    n = 1_000_000
    row, turns = last_row(
        f"start {(3 * n + 1) * n} ch, joined\n"
        f"round 1: [[2 sc, 2 sc in st] x {n}, dc] x {n} = {(4 * n + 1) * n}"
    )
    assert row.stitches == (4 * n + 1) * n
    assert turns == 0
    assert size(row.after.parts) < 20


def test_a_billion_looks_ahead_walk_few_turns() -> None:
    n = 999_999_999
    row, turns = last_row(
        f"start {n} ch, joined\n"
        "round 1: [(dc, 2 ch) in st] to end\n"
        f"round 2: [(2 dc, ch, 2 dc) in sp, ch] x {n} = {4 * n}, {2 * n} sp"
    )
    assert row.stitches == 4 * n
    assert turns < 20
    assert size(row.after.parts) < 50


def test_a_bracket_out_of_step_with_its_ground_walks_few_turns() -> None:
    n = 6_000_000
    row, turns = last_row(
        f"start {4 * n} ch, joined\n"
        "round 1: [3 sc, dc as p] to end\n"
        f"round 2: [sc to p, 2 sc in p, 3 sc, skip 1] x {n // 2} = {4 * n}"
    )
    assert row.stitches == 4 * n
    assert turns < 50
    assert size(row.after.parts) < 100


def test_a_million_even_rows_are_the_first_and_the_others() -> None:
    analysis = analyse(
        Source(
            "example.tch",
            f"{HEADER}piece Scarf, turned rows\nstart 21 ch\nnext 1000000 rows: sc to end = 20\n",
        )
    )
    assert [(row.times, row.stitches) for row in counted(analysis)] == [(1, 20), (999_999, 20)]


def test_a_chart_a_billion_times_across_stays_short_from_row_to_row() -> None:
    n = 1_000_000_000
    analysis = analyse(
        Source(
            "example.tch",
            f"{HEADER}chart Net: . = space, X = block\n  ...X\n  XX..\n  X.X.\npiece Net, turned rows\n"
            f"start for {12 * n + 1}\nrows 1-3: [chart Net] x {n} = {6 * n + 1}\nrows 4-60: repeat 1-3\n",
        )
    )
    rows = counted(analysis)
    # The third row of the chart has one block and three spaces: six stitches a turn, and the first post.
    assert [each.name for each in analysis.diagnostics] == []
    assert rows[-1].stitches == 6 * n + 1
    assert max(size(row.after.parts) for row in rows) < 20
