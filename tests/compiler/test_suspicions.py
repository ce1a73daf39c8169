"""Warnings: what is legal, but likely not meant."""

import pytest
from turnchain.compiler.files import Included
from turnchain.compiler.pipeline import analyse, check_text
from turnchain.lang.diagnostics import Diagnostic, Severity
from turnchain.lang.source import Source

COASTER = """turnchain 1, US
pattern Coaster
{header}piece Coaster, turned rows
start 11 ch
row 1: sc to end = 10
{rows}"""


def found(rows: str = "", header: str = "") -> list[Diagnostic]:
    return list(check_text(COASTER.format(header=header, rows=rows)))


def names(rows: str = "", header: str = "") -> list[str]:
    return [one.name for one in found(rows, header)]


def marked(text: str, one: Diagnostic) -> str:
    return text[one.span.start : one.span.end]


@pytest.mark.parametrize(
    ("hook", "yarn", "warned"),
    [
        # Craft Yarn Council, Standards & Guidelines, "Standard Yarn Weight System": light 4.5-5.5 mm.
        ("4.5 mm", "DK (light)", False),
        ("5.5 mm", "DK (light)", False),
        # One size smaller or larger: common practice, no source.
        ("4 mm", "DK (light)", False),
        ("6 mm", "DK (light)", False),
        ("3.75 mm", "DK (light)", True),
        ("6.5 mm", "DK (light)", True),
        ("5 mm", "worsted", False),
        ("4.5 mm", "worsted", True),
        ("2 mm", "fingering", False),
        ("2 mm", "DK (light)", True),
        ("9 mm", "something from the stash", False),
    ],
)
def test_a_hook_outside_the_range_for_the_yarn_is_remarked_on(hook: str, yarn: str, warned: bool) -> None:
    assert names(header=f"hook {hook}\nyarn A: {yarn}, 20 g\n") == ["unusual-hook"] * warned


def test_a_hook_that_suits_one_of_the_yarns_is_usual() -> None:
    yarns = "yarn A: DK (light), 20 g\nyarn B: fingering, 5 g\n"
    assert names("row 2 with B: sc to end", header=f"hook 5 mm\n{yarns}") == []


def test_two_yarns_that_the_hook_does_not_suit_give_one_warning() -> None:
    yarns = "yarn A: DK (light), 20 g\nyarn B: fingering, 5 g\n"
    (one,) = found("row 2 with B: sc to end", header=f"hook 9 mm\n{yarns}")
    assert one.severity is Severity.WARNING
    assert "4.5 to 5.5 mm" in one.notes[0]
    assert "guidelines" in one.help


@pytest.mark.parametrize(
    "use",
    [
        "row 2: [sc, frill] to end",
        "row 2: sc to end\nnext row: [sc, FRILL] to end",
        'stitch edge: sc in st, frill "two of them"\nrow 2: [2 edge, edge] x 1, 4 sc',
    ],
)
def test_a_stitch_that_any_row_works_is_used(use: str) -> None:
    assert "unused-stitch" not in names(use, header='stitch frill: 5 dc in st "a frill"\n')


def test_a_stitch_that_no_row_works_is_shown_by_its_name() -> None:
    text = COASTER.format(header='stitch frill: 5 dc in st "a frill"\n', rows="# row 2: frill\n")
    (one,) = check_text(text)
    assert (one.name, marked(text, one)) == ("unused-stitch", "frill")


def test_a_stitch_brought_in_by_use_may_stay_unused(tmp_path) -> None:  # type: ignore[no-untyped-def]
    (tmp_path / "house.tch").write_text('turnchain 1, US\nstitch frill: 5 dc in st "a frill"\n')
    source = Source("coaster.tch", COASTER.format(header='use "house.tch"\n', rows=""))
    assert analyse(source, Included(tmp_path)).diagnostics == ()


def test_where_a_line_can_not_be_read_nothing_is_called_unused() -> None:
    assert names("row 2: sc sc frill", header='stitch frill: 5 dc in st "a frill"\n') == ["stray-word"]


@pytest.mark.parametrize(
    "use",
    ["row 3: sc to peak, sc to end", "row 3: 4 sc, sc in peak, sc to end", "finish Sew a bead to the peak."],
)
def test_a_mark_that_is_worked_into_or_spoken_of_is_used(use: str) -> None:
    assert names(f"row 2: 5 sc, sc in st as peak, sc to end\n{use}\n") == []


def test_a_mark_set_in_several_rows_gives_one_warning_where_it_is_first_set() -> None:
    rows = "row 2: 5 sc, sc as peak, sc to end\nrow 3: 4 sc, sc as Peak, sc to end\n"
    text = COASTER.format(header="", rows=rows)
    (one,) = check_text(text)
    assert (one.name, marked(text, one)) == ("unused-mark", "sc as peak")


@pytest.mark.parametrize("use", ["let b = a + 1\nrow 2: {b} sc, sc to end", "row 2: {a} sc, sc to end"])
def test_a_value_that_a_row_or_another_value_needs_is_used(use: str) -> None:
    assert names(use, header="let a = 4\n") == []


def test_a_value_called_like_a_piece_is_not_used_by_it() -> None:
    assert names(header="let coaster = 4\n") == ["unused-let"]


def test_a_yarn_that_neither_rows_nor_notes_ask_for_is_shown() -> None:
    yarns = "yarn A: DK, 20 g\nyarn B: DK, 5 g\n"
    assert names("row 2: sc to end", header=yarns) == ["unused-yarn"]
    assert names("row 2: sc to end\nfinish Embroider the eyes with yarn B.", header=yarns) == []
    assert names("row 2 with B: sc to end", header=yarns) == []
    (one,) = found("row 2 with B: sc to end", header=f"{yarns}yarn C: DK, 5 g\n")
    assert (one.name, one.message) == ("unused-yarn", "no row is worked with yarn C")


def test_sizes_in_which_no_number_differs_are_named() -> None:
    (one,) = found("row 2: 2/3/2 sc, sc to end\n", header="sizes small, medium, large\n")
    assert (one.name, one.message) == ("unused-size", "sizes small and large are worked alike")


def test_sizes_that_differ_in_the_hook_alone_are_sizes() -> None:
    assert names(header="sizes small, large\n") == ["unused-size"]
    assert names(header="sizes small, large\nhook 4/5 mm\n") == []


def test_a_run_that_comes_to_nothing_is_shown_with_the_sizes_it_does_so_in() -> None:
    text = COASTER.format(header="sizes small, large\n", rows="row 2: 10/9 sc, sc to end = 10\n")
    (one,) = check_text(text)
    assert (one.name, marked(text, one), one.sizes) == ("empty-run", "sc to end", ("small",))


def test_a_bracket_that_comes_to_nothing_is_one_warning() -> None:
    assert [one.message for one in found("row 2: 10 sc, [sc, 2 sc in st] to end\n")] == [
        "`[sc, 2 sc in st] to end` comes to nothing"
    ]


def test_a_repeated_row_in_which_a_run_comes_to_nothing_is_shown_at_the_repeat() -> None:
    rows = "row 2: 2 sc, sc2tog, sc2tog, sc to end = 8\nrow 3: repeat 2 = 6\nrow 4: repeat 2 = 4\n"
    text = COASTER.format(header="", rows=rows)
    (one,) = check_text(text)
    assert (one.name, marked(text, one)) == ("empty-run", "repeat 2")
    assert "row 4" in one.message


def test_a_total_that_leave_rest_makes_right_is_mended_by_the_number_left() -> None:
    text = COASTER.format(header="sizes small, large\n", rows="row 2: 6/7 sc, leave rest = 6/7\n")
    (one,) = check_text(text)
    assert (one.name, marked(text, one)) == ("left-to-fit", "leave rest")
    assert one.fix is not None
    (edit,) = one.fix.edits
    assert edit.text == "leave 4/3"
    mended = text[: edit.span.start] + edit.text + text[edit.span.end :]
    assert check_text(mended) == ()


@pytest.mark.parametrize(
    "row",
    ["6 sc, leave 4 = 6", "6 sc, leave rest", "sc to last 4, leave rest = 6"],
)
def test_a_total_that_can_be_wrong_is_sound(row: str) -> None:
    assert names(f"row 2: {row}\n") == []
