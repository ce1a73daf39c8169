"""Notes that a workflow's service sets beside the lines of a change."""

from turnchain.compiler.report.annotations import annotated
from turnchain.lang.diagnostics import Diagnostic, Severity
from turnchain.lang.source import Source, Span

HAT = Source("hats, 1:2.tch", "pattern Hat\nrow 1: sc\nrow 2: dc\n")


def test_each_diagnostic_is_one_command_in_the_order_of_places() -> None:
    found = [
        Diagnostic("unworked-places", "2 places are left", Span(22, 31), Severity.WARNING, sizes=("child",)),
        Diagnostic("unknown-stitch", "100 % wrong:\nno `sc`", Span(19, 21), help="write `dc`"),
    ]
    # Workflow commands: `%`, line breaks and, in properties, `:` and `,` are written as %XX; from memory.
    assert annotated(found, lambda _: HAT).splitlines() == [
        "::error file=hats%2C 1%3A2.tch,line=2,endLine=2,col=8,endColumn=10,title=unknown-stitch"
        "::100 %25 wrong:%0Ano `sc`%0Awrite `dc`",
        "::warning file=hats%2C 1%3A2.tch,line=3,endLine=3,col=1,endColumn=10,title=unworked-places"
        "::2 places are left (in size child)",
    ]


def test_nothing_to_say_is_no_text() -> None:
    assert annotated([], lambda _: HAT) == ""
