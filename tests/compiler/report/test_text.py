"""Diagnostics in full: the author's line and what is set under it."""

import re
from time import process_time

import pytest
from turnchain.compiler.report.text import rich_text, summary
from turnchain.compiler.report.width import cells
from turnchain.lang.diagnostics import Diagnostic, Fix, Label, Severity
from turnchain.lang.source import Source, Span

WARMER = Source(
    "ear-warmer.tch",
    "turnchain 1, US\n" + "\n" * 10 + "row 4: sc to middle, 3 sc in st, sc to end = 19\n",
)


def span(source: Source, words: str, after: str = "") -> Span:
    start = source.text.index(words, source.text.index(after))
    return Span(start, start + len(words))


def label(source: Source, words: str, text: str) -> Label:
    return Label(span(source, words), text)


TOTAL = Diagnostic(
    "stated-total",
    "row 4 makes 21 stitches, but the line says 19",
    span(WARMER, "19"),
    label="stated",
    tallies=(
        label(WARMER, "sc to middle", "9"),
        label(WARMER, "3 sc in st", "3"),
        label(WARMER, "sc to end", "9"),
    ),
    notes=("row 3 left 19 places; this row uses all 19 and makes 21: 2 too many",),
    help="an increase of 2 every second row gives 21 here; write `= 21`",
)


def shown(source: Source, diagnostic: Diagnostic) -> list[str]:
    """The lines of one diagnostic without the summary."""
    return rich_text([diagnostic], lambda _: source).split("\n\n")[0].splitlines()


def excerpt(source: Source, at: Span, **more: object) -> list[str]:
    """The lines of an excerpt alone."""
    return shown(source, Diagnostic("stray-word", "a word", at, **more))[2:]  # type: ignore[arg-type]


def test_a_wrong_total_shows_where_the_count_went() -> None:
    assert rich_text([TOTAL], lambda _: WARMER).splitlines() == [
        "error[stated-total]: row 4 makes 21 stitches, but the line says 19",
        "  --> ear-warmer.tch:12:46",
        "12 | row 4: sc to middle, 3 sc in st, sc to end = 19",
        "   |        9             3           9           ^^ stated",
        "   = row 3 left 19 places; this row uses all 19 and makes 21: 2 too many",
        "   = help: an increase of 2 every second row gives 21 here; write `= 21`",
        "",
        "1 error in ear-warmer.tch",
    ]


def test_nothing_to_say_is_no_text() -> None:
    assert rich_text([], lambda _: WARMER) == ""


@pytest.mark.parametrize(
    ("sizes", "line"),
    [(("adult",), "   = in size adult"), (("child", "adult"), "   = in sizes child, adult")],
)
def test_the_sizes_it_holds_in_come_last(sizes: tuple[str, ...], line: str) -> None:
    found = Diagnostic("stated-total", "wrong", TOTAL.span, help="mend it", sizes=sizes)
    assert shown(WARMER, found)[-2:] == ["   = help: mend it", line]


def test_the_title_of_a_fix_serves_where_there_is_no_help() -> None:
    found = Diagnostic("stated-total", "wrong", TOTAL.span, fix=Fix("write `= 21`", (), safe=False))
    assert shown(WARMER, found)[-1] == "   = help: write `= 21`"


def test_diagnostics_stand_in_the_order_of_their_places() -> None:
    first = Diagnostic("missing-header", "no `pattern` line", Span(0, 0), Severity.WARNING)
    text = rich_text([TOTAL, first], lambda _: WARMER)
    assert text.index("warning[missing-header]") < text.index("error[stated-total]")
    assert text.endswith("\n\n1 error, 1 warning in ear-warmer.tch")


def test_the_summary_counts_errors_and_warnings() -> None:
    warning = Diagnostic("zero-count", "0", Span(0, 0), Severity.WARNING)
    house = Source("house.tch", "")
    assert summary([TOTAL, TOTAL, warning], [WARMER]) == "2 errors, 1 warning in ear-warmer.tch"
    assert summary([warning, warning], [WARMER]) == "2 warnings in ear-warmer.tch"
    assert summary([], [WARMER]) == "no errors in ear-warmer.tch"
    assert summary([TOTAL], [WARMER, house]) == "1 error in 2 files"


def test_tallies_that_would_run_together_spill_to_a_further_line() -> None:
    row = Source("a.tch", "row 1: sc, dc, tr, sc")
    tallies = (
        label(row, "sc", "1 of 12"),
        label(row, "dc", "2"),
        label(row, "tr", "3"),
        Label(Span(19, 21), "4"),
    )
    assert excerpt(row, Span(19, 21), tallies=tallies) == [
        "1 | row 1: sc, dc, tr, sc",
        "  |        1 of 12 3   ^^",
        "  |            2       4",
    ]


@pytest.mark.parametrize(
    ("line", "first", "under"),
    [
        ("sc,dc,  tr", "111", ["111     ^^", "   222"]),
        ("sc,dc,tr", "1", ["1     ^^", "   222"]),
        ("sc, dc, tr", "111", ["111 222 ^^"]),
    ],
)
def test_a_blank_stands_between_a_tally_and_what_is_beside_it(
    line: str, first: str, under: list[str]
) -> None:
    row = Source("a.tch", line)
    tallies = (label(row, "sc", first), label(row, "dc", "222"))
    lines = excerpt(row, span(row, "tr"), tallies=tallies)
    assert [one.removeprefix("  | ") for one in lines[1:]] == under


def test_words_beside_the_carets_go_below_if_a_tally_stands_there() -> None:
    row = Source("a.tch", "row 1: sc, dc, tr")
    tallies = (label(row, "dc", "2"), label(row, "tr", "3"))
    assert excerpt(row, Span(7, 9), label="no such stitch", tallies=tallies) == [
        "1 | row 1: sc, dc, tr",
        "  |        ^^  2   3",
        "  |        no such stitch",
    ]


def test_nothing_under_a_line_ever_overlaps() -> None:
    row = Source("a.tch", "row 1: " + ", ".join(["sc"] * 12))
    places = [found.start() for found in re.finditer("sc", row.text)]
    tallies = tuple(Label(Span(at, at + 2), f"tally{number}") for number, at in enumerate(places))
    under = excerpt(row, Span(11, 13), label="here", tallies=tallies)[1:]
    words = [word for line in under for word in line.removeprefix("  | ").split()]
    assert sorted(words) == sorted(["^^", "here", *(one.text for one in tallies)])
    for number, at in enumerate(places):
        assert any(re.match(rf"tally{number}(?!\d)", line[4 + at :]) for line in under)


def test_an_empty_span_has_one_caret_even_at_the_end_of_the_text() -> None:
    row = Source("a.tch", "row 1: sc")
    assert excerpt(row, Span(3, 3))[1] == "  |    ^"
    assert excerpt(row, Span(9, 9), label="ends here")[1] == "  |          ^ ends here"
    assert excerpt(row, Span(50, 60))[1] == "  |          ^"
    assert excerpt(Source("a.tch", ""), Span(0, 0)) == ["1 |", "  | ^"]


def test_a_span_over_several_lines_shows_each_of_them() -> None:
    row = Source("a.tch", "row 1: [sc,  \n  2 dc,\n\n\ttr\nrow 2: sc\n")
    assert excerpt(row, Span(7, row.text.index("\nrow 2")), label="not closed") == [
        "1 | row 1: [sc,",
        "  |        ^^^^",
        "2 |   2 dc,",
        "  |   ^^^^^",
        "3 |",
        "4 |     tr",
        "  |     ^^ not closed",
    ]


def test_a_long_span_shows_its_beginning_and_end() -> None:
    text = "row 1: sc,\n" + "".join(f"  {number} sc,\n" for number in range(2, 20)) + "  dc"
    lines = excerpt(Source("a.tch", text), Span(0, len(text)))
    assert [line.split("|")[0].strip() for line in lines if "^" not in line] == [
        "1",
        "2",
        "3",
        "...",
        "19",
        "20",
    ]


def test_a_tally_on_a_continued_line_shows_that_line() -> None:
    row = Source("a.tch", "row 1: sc,\n  dc,\n  tr = 5\n")
    tallies = (label(row, "sc", "1"), label(row, "tr", "1"))
    assert excerpt(row, span(row, "5"), label="stated", tallies=tallies) == [
        "1 | row 1: sc,",
        "  |        1",
        "2 |   dc,",
        "3 |   tr = 5",
        "  |   1    ^ stated",
    ]


def test_a_tally_of_an_item_over_several_lines_stands_under_its_start() -> None:
    row = Source("a.tch", "row 1: [sc,\n  dc] x 3 = 7")
    tallies = (Label(Span(7, row.text.index(" =")), "6"),)
    assert excerpt(row, span(row, "7"), tallies=tallies) == [
        "1 | row 1: [sc,",
        "  |        6",
        "2 |   dc] x 3 = 7",
        "  |             ^",
    ]


def test_carriage_returns_end_lines_as_well() -> None:
    row = Source("a.tch", "let a = 1\r\nrow 1: sc\rrow 2: dc")
    assert excerpt(row, span(row, "dc")) == ["3 | row 2: dc", "  |        ^^"]
    assert excerpt(row, Span(9, 11)) == ["1 | let a = 1", "  |          ^"]


def test_a_related_place_nearby_is_shown_in_the_same_excerpt() -> None:
    row = Source("a.tch", "start 11 ch\nrow 1: sc to end\nstart ring\n")
    again = span(row, "start", after="end")
    assert excerpt(row, again, label="again", related=(label(row, "start 11 ch", "first here"),)) == [
        "1 | start 11 ch",
        "  | ----------- first here",
        "2 | row 1: sc to end",
        "3 | start ring",
        "  | ^^^^^ again",
    ]


def test_a_related_place_on_the_line_itself() -> None:
    row = Source("a.tch", "row 2 tch 3 counts: sc to end")
    related = (label(row, "tch 3 counts", "stands for a stitch"),)
    assert excerpt(row, span(row, "sc"), label="too low", related=related) == [
        "1 | row 2 tch 3 counts: sc to end",
        "  |       ------------  ^^ too low",
        "  |       stands for a stitch",
    ]


def test_a_related_place_far_away_has_an_excerpt_of_its_own() -> None:
    text = "let edge = 3\n" + "note\n" * 120 + "let edge = 4\n"
    row = Source("a.tch", text)
    again = Span(text.rindex("edge"), text.rindex("edge") + 4)
    found = Diagnostic(
        "used-twice", "`edge` is given twice", again, related=(Label(Span(4, 8), "first here"),)
    )
    assert shown(row, found) == [
        "error[used-twice]: `edge` is given twice",
        "   --> a.tch:122:5",
        "122 | let edge = 4",
        "    |     ^^^^",
        "   --> a.tch:1:5",
        "  1 | let edge = 3",
        "    |     ---- first here",
    ]


@pytest.mark.parametrize("lines_between", [2, 3])
def test_a_related_place_may_come_after_the_fault(lines_between: int) -> None:
    row = Source("a.tch", "row 1: sc" + "\n" * (lines_between + 1) + "row 3: sc")
    last = Span(len(row.text) - 9, len(row.text) - 4)
    found = Diagnostic("row-number", "2 is missing", Span(0, 5), related=(Label(last, "next"),))
    assert len([line for line in shown(row, found) if "-->" in line]) == lines_between - 1
    assert shown(row, found)[-1] == "  | ----- next"


@pytest.mark.parametrize("lines_between", [2, 3])
def test_three_lines_away_is_near_and_four_is_far(lines_between: int) -> None:
    row = Source("a.tch", "let a = 1\n" + "\n" * lines_between + "let a = 2")
    found = Diagnostic(
        "used-twice", "twice", Span(len(row.text) - 5, len(row.text)), related=(Label(Span(4, 5), "1"),)
    )
    arrows = [line for line in shown(row, found) if "-->" in line]
    assert len(arrows) == (1 if lines_between == 2 else 2)


@pytest.mark.parametrize(
    "before",
    [
        "",
        "abc",
        "\t",
        "a\tb",
        "貝 ",
        "e\u0301 ",
        "🧶",
        "👩\u200d👩\u200d👧 ",
        "❤\ufe0f ",
        "\x1b[31m",
        "\u202e",
        "\u200b\t",
        "\x00",
    ],
)
def test_carets_stand_under_their_words_after(before: str) -> None:
    row = Source("a.tch", f"{before}dc, sc")
    at = span(row, "dc")
    line, under = excerpt(row, at, tallies=(label(row, "sc", "1"),))
    assert cells(under[: under.index("^")]) == cells(line[: line.index("dc")])
    assert under.count("^") == 2
    assert cells(under[: under.index("1")]) == cells(line[: line.index("sc")])
    assert "\x1b" not in line
    assert "\t" not in line


def test_carets_are_as_wide_as_the_words() -> None:
    row = Source("a.tch", "row 1: 3 貝貝 in st")
    assert excerpt(row, span(row, "貝貝"))[1] == "  |          ^^^^"


def test_a_combining_mark_alone_has_its_caret_under_its_base() -> None:
    assert excerpt(Source("a.tch", "ae\u0301"), Span(2, 3))[1] == "  |  ^"


def test_columns_count_characters() -> None:
    row = Source("a.tch", "\t貝e\u0301 dc")
    assert shown(row, Diagnostic("stray-word", "a word", span(row, "dc")))[1] == " --> a.tch:1:6"


LONG = Source("long.tch", "row 1: " + ", ".join(f"{number} sc" for number in range(2000)) + " # end")


@pytest.mark.parametrize("words", ["row 1", "0 sc", "1234 sc", "1999 sc", "# end"])
def test_a_very_long_line_is_cut_around_the_fault(words: str) -> None:
    line, under = excerpt(LONG, span(LONG, words), label="here")
    assert cells(line) <= len("1 | ") + 102
    carets = re.search(r"\^+", under)
    assert carets is not None
    assert line[carets.start() : carets.end()] == words
    assert under.endswith("^ here")
    assert ("| …" in line) == (words not in ("row 1", "0 sc"))
    assert line.endswith("…") == (words not in ("1999 sc", "# end"))


def test_a_span_longer_than_the_cut_line_begins_in_sight() -> None:
    start = LONG.text.index("100 sc")
    line, under = excerpt(LONG, Span(start, start + 5000))
    assert line[under.index("^") :].startswith("100 sc")
    assert len(under) <= len(line)


def test_marks_that_were_cut_away_do_not_stray() -> None:
    tallies = (label(LONG, "3 sc", "3"), label(LONG, "1235 sc", "1235"), label(LONG, "1999 sc", "1999"))
    line, under = excerpt(LONG, span(LONG, "1234 sc"), tallies=tallies)
    assert under.split("|")[1].split() == ["^" * 7, "1235"]
    assert line[under.index("1235") :].startswith("1235 sc")


def test_a_line_of_millions_of_characters_is_no_burden() -> None:
    huge = Source("huge.tch", "row 1: " + "sc, " * 500_000 + "\x00" + ", e" + "\u0301" * 100_000)
    faults = [
        Diagnostic("wrong-character", "a null", Span(at, at + 1)) for at in range(0, 2_000_000, 100_000)
    ]
    begun = process_time()
    text = rich_text(faults, lambda _: huge)
    assert process_time() - begun < 3
    assert max(map(len, text.splitlines())) < 200


def test_control_characters_in_messages_are_made_visible() -> None:
    source = Source("a\x1b.tch", "x\x07")
    found = Diagnostic(
        "wrong-character",
        "`\x07`\n",
        Span(1, 2),
        label="\x1b]",
        notes=("a\nb",),
        help="\u202e",
        sizes=("\r",),
    )
    text = rich_text([found], lambda _: source)
    assert [char for char in text if ord(char) < 32 and char != "\n"] == []
    assert len(shown(source, found)) == 7


def test_colour_only_adds_codes_to_the_same_text() -> None:
    plain, coloured = (rich_text([TOTAL], lambda _: WARMER, colour) for colour in (False, True))
    assert "\x1b" not in plain
    assert "\x1b[1;31m^^\x1b[0m" in coloured
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == plain
