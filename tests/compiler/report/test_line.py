"""One line a diagnostic."""

from turnchain.compiler.report.line import lines
from turnchain.lang.diagnostics import Diagnostic, Severity
from turnchain.lang.source import Source, Span

HAT = Source("hat.tch", "pattern Hat\nrow 1: sc\r\nrow 2: dc\n")


def test_each_diagnostic_is_one_line_in_the_order_of_places() -> None:
    found = [
        Diagnostic("unworked-places", "2 places are left", Span(23, 32), Severity.WARNING),
        Diagnostic("unknown-stitch", "there is no stitch `sc`", Span(19, 21)),
    ]
    assert lines(found, lambda _: HAT).splitlines() == [
        "hat.tch:2:8: error[unknown-stitch]: there is no stitch `sc`",
        "hat.tch:3:1: warning[unworked-places]: 2 places are left",
    ]


def test_nothing_to_say_is_no_text() -> None:
    assert lines([], lambda _: HAT) == ""


def test_a_line_break_in_a_message_or_name_does_not_break_the_line() -> None:
    odd = Source("a\nb.tch", "row")
    text = lines([Diagnostic("stray-word", "`x\ny`\x1b", Span(0, 1))], lambda _: odd)
    assert text == "a␊b.tch:1:1: error[stray-word]: `x␊y`␛"


def test_diagnostics_of_several_files_stand_file_by_file() -> None:
    house = Source("house.tch", "let a = 1\n")
    found = [
        Diagnostic("used-twice", "in the house", Span(4, 5)),
        Diagnostic("row-number", "in the hat", Span(12, 17)),
        Diagnostic("used-twice", "in the house too", Span(0, 3)),
    ]
    text = lines(found, lambda one: HAT if one.name == "row-number" else house)
    assert [line.split(":")[0] for line in text.splitlines()] == ["house.tch", "house.tch", "hat.tch"]
    assert "house.tch:1:1:" in text.splitlines()[0]
