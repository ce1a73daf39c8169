"""What an editor shows, asked for without one: an analysis goes in, and a place in it."""

from __future__ import annotations

from pathlib import Path

import pytest
from turnchain.compiler.editor.complete import completions
from turnchain.compiler.editor.counts import running_counts
from turnchain.compiler.editor.fixes import offers
from turnchain.compiler.editor.hover import hover
from turnchain.compiler.editor.names import can_rename, definition, name_at, places, why_not
from turnchain.compiler.editor.outline import folds, outline
from turnchain.compiler.editor.positions import Position, Units, offset_of, position_of
from turnchain.compiler.editor.tidying import tidied
from turnchain.compiler.editor.tokens import coloured
from turnchain.compiler.pipeline import Analysis, analyse
from turnchain.lang.source import Source, Span

SHAWL = """turnchain 1, US
pattern Shawl
sizes small, large
gauge 16 st, 18 rows = 10 cm in sc
let wing = 2/4
stitch duo: 2 sc in st "two in one"

piece Wrap, turned rows
start 11/15 ch
row 1: {wing} sc, sc as peak, sc to end = 10/14
row 2: sc to peak, duo in peak, [sc] to end = 11/15
"""


def analysed(text: str) -> Analysis:
    return analyse(Source("shawl.tch", text))


def at(text: str, word: str, after: str = "") -> int:
    """Return the offset of a word, the first one behind `after`."""
    return text.index(word, text.index(after))


def counts(text: str) -> list[str]:
    return [each.text for each in running_counts(analysed(text), Span(0, len(text)))]


def told(text: str, offset: int) -> str:
    found = hover(analysed(text), offset)
    assert found is not None
    return found.markdown


def typed(text: str) -> list[str]:
    """Return what could stand where `|` is."""
    place = text.index("|")
    _, found = completions(analysed(text.replace("|", "")), place)
    return [each.text for each in found]


# ---- counts ------------------------------------------------------------------------------------------------


def test_each_row_has_its_counts_in_every_size_behind_it() -> None:
    # Counted by hand: 11 and 15 chains leave 10 and 14 places for single crochet; `duo` adds one.
    assert counts(SHAWL) == ["10/14 → 10/14", "10/14 → 11/15"]


def test_what_is_no_stitch_is_counted_by_its_name() -> None:
    # By hand: 7 double crochet with a space between each two; then one single crochet in each of both.
    lace = """turnchain 1, US
pattern Net
piece Net, turned rows
start 14 ch
row 1: sc to end = 13
row 2: dc, [1 ch, skip 1, dc] to end = 7, 6 sp
row 3: sc, [sc in sp, sc] to end = 13
"""
    assert counts(lace) == ["13 → 13", "13 → 7 + 6 sp", "7 + 6 sp → 13"]


def test_a_count_that_differs_from_the_stated_total_is_marked() -> None:
    assert counts(SHAWL.replace("= 11/15", "= 12/15"))[1] == "⚠ 10/14 → 11/15"


def test_a_count_tells_each_size_by_its_name_and_what_is_wrong() -> None:
    [_, row] = running_counts(analysed(SHAWL.replace("= 11/15", "= 12/15")), Span(0, 999))
    assert row.more.splitlines() == [
        "row 2 makes 11 stitches, but the line says 12",
        "small: 10 → 11",
        "large: 14 → 15",
    ]


def test_what_hangs_on_a_row_that_can_not_be_read_is_not_guessed() -> None:
    text = SHAWL.replace("row 1: {wing} sc, sc as peak, sc to end = 10/14", "row 1: sc sc")
    assert counts(text) == ["? → ?", "? → ?"]


def test_rows_that_a_size_does_not_have_are_no_rows() -> None:
    text = SHAWL + "next 0/2 rows: sc to end\n"
    assert counts(text)[2] == "–/15 → –/15"


# ---- the pointer -------------------------------------------------------------------------------------------


def test_a_row_tells_what_will_be_published_its_counts_and_its_width() -> None:
    said = told(SHAWL, at(SHAWL, "row 2"))
    assert "10/14 → 11/15 stitches (small, large)" in said
    assert "**Row 2:**" in said
    assert "(11 (15) stitches)" in said
    # 16 stitches to 10 cm: 11 are 6.9 cm and 15 are 9.4 cm.
    assert "6.9 (9.4) cm" in said


def test_a_stitch_tells_its_names_in_both_dialects_its_height_and_what_it_uses() -> None:
    text = SHAWL.replace("row 2: sc to peak", "row 2: 2 dc, sc to peak")
    said = told(text, at(text, "dc", "row 2"))
    assert "double crochet" in said
    # Craft Yarn Council, US and UK terms: US double crochet is UK treble; its turning chain is 3.
    assert "treble" in said
    assert "`dc` in US terms, `tr` in UK terms" in said
    assert "as high as 3 chains" in said
    assert "uses 1, makes 1" in said


def test_a_stitch_tells_what_it_is_in_a_line_that_can_not_be_read_too() -> None:
    text = SHAWL + "row 3: hdc hdc\n"
    assert "half double crochet" in told(text, at(text, "hdc"))


def test_a_repeat_tells_how_often_it_goes() -> None:
    # Turned, the peak that 2 or 4 stitches stood before has 2 or 4 behind it.
    assert told(SHAWL, at(SHAWL, "[", "row 2")) == "goes 2/4 times"


def test_a_name_tells_the_line_that_gives_it() -> None:
    assert "let wing = 2/4" in told(SHAWL, at(SHAWL, "wing", "row 1"))
    assert "line 6" in told(SHAWL, at(SHAWL, "duo", "row 2"))


# ---- fixes -------------------------------------------------------------------------------------------------

BAND = "turnchain 1, US\npattern Band\npiece Band, turned rows\nstart 11 ch\nrow 1: sc to end = 10\n"


def titles(text: str, word: str) -> list[str]:
    place = text.rindex(word)
    return [each.fix.title for each in offers(analysed(text), Span(place, place))]


def test_fixes_are_offered_on_the_whole_line() -> None:
    text = BAND + "row 2: sc to end = 11\n"
    assert titles(text, "row 2") == titles(text, "11") == ["write `10`"]
    assert titles(text, "start") == []


def mended(text: str, word: str, title: str) -> str:
    place = text.rindex(word)
    [fix] = [each.fix for each in offers(analysed(text), Span(place, place)) if each.fix.title == title]
    for edit in sorted(fix.edits, key=lambda each: each.span, reverse=True):
        text = text[: edit.span.start] + edit.text + text[edit.span.end :]
    return text


@pytest.mark.parametrize(
    ("row", "word", "title", "line"),
    [
        # 10 places and one increase make 11.
        ("inc, sc to end = 12", "12", "write `11`", "inc, sc to end = 11"),
        ("inc, sc to end = 12", "12", "write `2 inc`", "2 inc, sc to end = 12"),
        ("2 dec, sc to end = 7", "7", "write `3 dec`", "3 dec, sc to end = 7"),
        ("[2 sc, inc] x 2, sc to end = 13", "13", "write `x 3`", "[2 sc, inc] x 3, sc to end = 13"),
        ("inc, sc to end", "inc", "state the total, `= 11`", "inc, sc to end = 11"),
        ("8 sc", "8", "leave 2 unworked", "8 sc, leave 2"),
        ("8 scc, leave 2", "scc", "write `sc`", "8 sc, leave 2"),
        (
            "[2 sc, 2 sc in st] to end",
            "[2",
            "end the bracket before the last 1, and work sc there",
            "[2 sc, 2 sc in st] to last 1, sc",
        ),
    ],
)
def test_a_fix_mends_the_row(row: str, word: str, title: str, line: str) -> None:
    text = mended(f"{BAND}row 2: {row}\n", word, title)
    assert text == f"{BAND}row 2: {line}\n"
    assert not analysed(text).has_errors


def test_the_counts_to_begin_with_that_fit_a_repeat_are_offered() -> None:
    # Three places a turn, and a turning chain takes one of the chains: 9 or 12 places are 10 or 13 chains.
    text = BAND.replace("sc to end = 10", "[2 sc, 2 sc in st] to end")
    assert "start 10 ch" in mended(text, "[2", "start with 10, which leaves 9 for the bracket")
    assert "start 13 ch" in mended(text, "[2", "start with 13, which leaves 12 for the bracket")


def test_a_row_that_is_wrong_is_offered_no_total() -> None:
    assert titles(f"{BAND}row 2: 12 sc\n", "12 sc") == []


# ---- what could be typed -----------------------------------------------------------------------------------


def test_a_line_can_begin_with_the_words_of_the_language() -> None:
    assert {"piece", "row", "let", "yarn", "note"} <= set(typed(f"{BAND}|"))
    assert "sc" not in typed(f"{BAND}|")


def test_in_a_row_stitches_can_stand_with_the_author_s_own_first() -> None:
    found = typed(SHAWL + "row 3: |")
    assert found.index("duo") < found.index("sc")
    assert {"repeat", "skip", "hdc"} <= set(found)
    assert "gauge" not in found


def test_after_to_the_marks_of_the_row_before_are_offered() -> None:
    assert "peak" in typed(SHAWL.replace("row 2: sc to peak", "row 2: sc to |"))
    # Row 2 leaves no mark on its edge.
    assert "peak" not in typed(SHAWL + "row 3: sc to |")


def test_names_are_offered_where_they_can_stand() -> None:
    assert typed(SHAWL + "row 3: {|") == ["wing", "row", "round", "rows", "rounds", "stitches"]
    assert "Wrap" in typed(SHAWL + "seam left of |")
    assert "sc" not in typed(SHAWL + "seam left of |")
    assert {"turned rows", "joined rounds"} <= set(typed("turnchain 1, US\npiece Hat, |"))
    assert {"small", "large"} <= set(typed(SHAWL + "weighed Wrap in size |"))
    assert "head" in typed("turnchain 1, US\nfit |")


@pytest.mark.parametrize("text", ["# row |", "note sc |", "row 1: sc # |"])
def test_nothing_is_offered_in_words_and_comments(text: str) -> None:
    assert typed(f"turnchain 1, US\n{text}") == []


def test_a_word_that_was_begun_is_put_in_place_of() -> None:
    text = SHAWL + "row 3: 2 hd"
    place, found = completions(analysed(text), len(text))
    assert text[place.start : place.end] == "hd"
    assert "hdc" in [each.text for each in found]


# ---- names -------------------------------------------------------------------------------------------------


def renamed(text: str, offset: int, new: str) -> str:
    analysis = analysed(text)
    name = name_at(analysis, offset)
    assert name is not None
    assert can_rename(analysis, name)
    assert why_not(analysis, name, new) == ""
    for each in reversed(list(places(analysis, name))):
        text = text[: each.span.start] + new + text[each.span.end :]
    return text


@pytest.mark.parametrize("name", ["wing", "duo", "peak", "Wrap"])
def test_a_renamed_pattern_is_as_right_as_before(name: str) -> None:
    text = SHAWL + "seam left of Wrap, right of Wrap\n" * (name == "Wrap")
    after = renamed(text, at(text, name), "fresh")
    assert after == text.replace(name, "fresh")
    assert [each.name for each in analysed(after).diagnostics] == [
        each.name for each in analysed(text).diagnostics
    ]


def test_a_mark_and_a_piece_of_one_name_are_two_names() -> None:
    text = BAND.replace("piece Band", "piece peak").replace("sc to end", "sc as peak, sc to end")
    assert renamed(text, at(text, "peak"), "Brim").count("peak") == 1


def test_words_in_prose_are_not_names() -> None:
    text = SHAWL + "note Mind the peak.\n"
    assert "Mind the peak." in renamed(text, at(text, "peak"), "top_of_it")


@pytest.mark.parametrize("new", ["sc", "st", "to", "two words", "9lives", "", "duo", "a, b", "x6"])
def test_a_name_that_means_something_else_is_refused(new: str) -> None:
    analysis = analysed(SHAWL)
    name = name_at(analysis, at(SHAWL, "peak"))
    assert name is not None
    assert why_not(analysis, name, new)


def test_nothing_is_renamed_while_a_line_with_the_name_can_not_be_read() -> None:
    text = SHAWL + "row 3: sc sc to peak\n"
    analysis = analysed(text)
    name = name_at(analysis, at(text, "peak"))
    assert name is not None
    assert not can_rename(analysis, name)


def test_a_name_leads_to_where_it_is_given() -> None:
    found = definition(analysed(SHAWL), at(SHAWL, "peak", "row 2"))
    assert found is not None
    assert found.span.start == at(SHAWL, "peak", "row 1")


def test_a_stitch_of_the_trade_is_given_nowhere() -> None:
    assert definition(analysed(SHAWL), at(SHAWL, "sc", "row 1")) is None


# ---- outline, colours, tidying -----------------------------------------------------------------------------


def test_the_outline_has_the_pieces_with_their_rows() -> None:
    entries = outline(analysed(SHAWL).tree)
    assert [(each.kind, each.name) for each in entries] == [
        ("pattern", "Shawl"),
        ("let", "wing"),
        ("stitch", "duo"),
        ("piece", "Wrap"),
    ]
    assert [each.name for each in entries[-1].inner] == ["row 1", "row 2"]


def test_the_header_and_each_piece_can_be_folded() -> None:
    found = [SHAWL[each.start : each.end].splitlines()[0] for each in folds(analysed(SHAWL).tree)]
    assert found == ["turnchain 1, US", "piece Wrap, turned rows"]


def test_words_are_coloured_by_what_they_mean() -> None:
    text = SHAWL + "# done\n"
    found = {
        (text[each.span.start : each.span.end], each.kind, *each.marks)
        for each in coloured(analysed(text), Span(0, len(text)))
    }
    assert {
        ("peak", "property", "declaration"),
        ("peak", "property"),
        ("wing", "variable"),
        ("duo", "function"),
        ("Wrap", "class", "declaration"),
        ("10/14", "number", "total"),
        ("row", "keyword"),
        ("# done", "comment"),
        ('"two in one"', "string"),
    } <= found
    assert ("dec", "function", "decrease") in {
        (name, *rest)
        for name, *rest in (
            ("dec", each.kind, *each.marks)
            for each in coloured(analysed(f"{BAND}row 2: dec, sc to end\n"), Span(0, 999))
            if each.marks == ("decrease",)
        )
    }


def test_each_colour_stands_in_one_line() -> None:
    text = "turnchain 1, US\npattern Two\n  lines\nrow 1: sc,\n  sc\n"
    for each in coloured(analysed(text), Span(0, len(text))):
        assert "\n" not in text[each.span.start : each.span.end]


def test_a_pattern_is_tidied_and_one_that_can_not_be_read_is_left_alone() -> None:
    assert tidied(analysed(SHAWL.replace("sc to end", "sc   to  end"))) == SHAWL
    assert tidied(analysed(SHAWL)) is None
    assert tidied(analysed(SHAWL + "row 3: sc sc\n")) is None


# ---- places ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("units", "column"),
    # The Unicode Standard, chapter 3: U+1F60B is four UTF-8 units, two UTF-16 units, one UTF-32 unit.
    [(Units.UTF8, 5), (Units.UTF16, 3), (Units.UTF32, 2)],
)
def test_columns_behind_an_emoji_are_counted_in_the_units_agreed_on(units: Units, column: int) -> None:
    source = Source("emoji.tch", "one\n😋 two\n")
    assert position_of(source, 6, units) == Position(1, column)
    assert offset_of(source, Position(1, column), units) == 6


def test_a_place_that_is_not_there_is_the_nearest_that_is() -> None:
    source = Source("short.tch", "one\r\ntwo")
    assert offset_of(source, Position(0, 99), Units.UTF16) == 3
    assert offset_of(source, Position(9, 0), Units.UTF16) == 8
    assert offset_of(Source("emoji.tch", "😋"), Position(0, 1), Units.UTF16) == 0


def test_lines_are_broken_as_the_protocol_breaks_them() -> None:
    # Language Server Protocol 3.17, text documents: \n, \r\n and \r end a line, and nothing else does.
    source = Source("breaks.tch", "a\u2028b\x0cc\rd")
    assert position_of(source, 6, Units.UTF16) == Position(1, 0)


def test_every_example_has_a_count_behind_each_of_its_rows() -> None:
    for path in sorted((Path(__file__).parents[3] / "examples").glob("*.tch")):
        text = path.read_text("utf-8")
        assert not [each for each in counts(text) if "?" in each or "⚠" in each], path.name
