"""Running counts as a table and as JSON."""

import json

import pytest
from turnchain.compiler.report.counts import CountLine, YarnLine, json_text, table

BAND = [
    CountLine("Band", "row 1", (17, 21), (17, 21), (("sc", (17, 21)),)),
    CountLine("Band", "rows 2-10", (17, 21), (119, None), (("sc", (117, 21)), ("貝", (2, 2)))),
]


def test_each_size_heads_its_two_columns() -> None:
    assert table(BAND, ["child", "adult"]).splitlines() == [
        "Band",
        "                     child          adult",
        "             before  after  before  after  made",
        "  row 1          17     17      21     21  17/21 sc",
        "  rows 2-10      17    119      21      ?  117/21 sc, 2 貝",
    ]


def test_without_sizes_there_is_one_pair_of_columns() -> None:
    lines = [CountLine("Hat", "round 1", (None,), (6,), (("sc", (6,)),))]
    assert table(lines).splitlines() == [
        "Hat",
        "           before  after  made",
        "  round 1       ?      6  6 sc",
    ]


def test_a_size_without_the_row_has_a_dash() -> None:
    line = CountLine("Band", "row 4", (13, None), (14, None), (("sc", (14, None)),), (True, False))
    assert table([line], ["child", "adult"]).splitlines()[-1].split() == [
        "row", "4", "13", "14", "–", "–", "14/–", "sc",
    ]  # fmt: skip
    (row,) = json.loads(json_text([line], ["child", "adult"]))["rows"]
    assert (row["before"], row["by_kind"], row["worked"]) == ([13, None], {"sc": [14, None]}, [True, False])


def test_a_long_name_of_a_size_and_large_numbers_keep_the_columns_apart() -> None:
    lines = [CountLine("Hat", "round 1", (10**12, 6), (6, 7))]
    head, second, row = table(lines, ["the first of all the sizes", "S"]).splitlines()[1:]
    assert head.index("the first") >= len("  round 1")
    assert len(head) == second.index("made") - 2 == len(row)
    assert head.index(" sizes") + len(" sizes") == second.index("after") + len("after")
    assert row.split() == ["round", "1", str(10**12), "6", "6", "7"]


def test_wide_letters_in_a_label_keep_the_columns_in_line() -> None:
    lines = [CountLine("Hat", "貝貝", (1,), (2,)), CountLine("Hat", "abcd", (1,), (2,))]
    wide, narrow = table(lines).splitlines()[-2:]
    assert wide.replace("貝貝", "abcd") == narrow


def test_each_piece_has_a_table_of_its_own_with_the_same_columns() -> None:
    hat = CountLine("Hat", "round 1", (6, 6), (12, 12))
    first, second = table([*BAND, hat], ["child", "adult"]).split("\n\n")
    assert first.splitlines()[1:3] == second.splitlines()[1:3]
    assert second.startswith("Hat\n")


def test_a_line_needs_both_counts_for_every_size() -> None:
    with pytest.raises(ValueError, match="zip"):
        table([CountLine("Hat", "round 1", (6, 6), (12,))], ["child", "adult"])


def test_no_rows_are_no_text() -> None:
    assert table([], ["child"]) == ""


def test_json_keeps_every_value() -> None:
    assert json.loads(json_text(BAND[1:], ["child", "adult"])) == {
        "version": 2,
        "sizes": ["child", "adult"],
        "rows": [
            {
                "piece": "Band",
                "label": "rows 2-10",
                "before": [17, 21],
                "after": [119, None],
                "by_kind": {"sc": [117, 21], "貝": [2, 2]},
                "worked": [True, True],
            }
        ],
        "yarns": [],
    }


def test_yarns_stand_below_the_counts() -> None:
    yarns = [
        YarnLine("A", (60, 75), (150, 190), 10, (2, 2)),
        YarnLine("貝", None, (5, 5), 35, None),
        YarnLine("", (60, 75), None, 10, None),
        YarnLine("B", (20, 25), None, 10, (1, 1)),
    ]
    assert table(BAND, ["child", "adult"], yarns).splitlines()[-6:] == [
        "",
        "Yarn, estimated",
        "  A about 60/75 g, about 150/190 m; 10 % more is 2 balls",
        "  貝 about 5 m; 35 % more",
        "  about 60/75 g; 10 % more",
        "  B about 20/25 g; 10 % more is 1 ball",
    ]
    assert json.loads(json_text(BAND, ["child", "adult"], yarns))["yarns"][1] == {
        "yarn": "貝",
        "grams": None,
        "metres": [5, 5],
        "margin": 35,
        "balls": None,
    }
