"""Cautions that the pattern's own facts call for: which, where, and what an author answers."""

from __future__ import annotations

import pytest
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.publish import render
from turnchain.compiler.wording import document
from turnchain.compiler.wording.catalogue import LANGUAGES, catalogue
from turnchain.lang.cautions import caution_rules
from turnchain.lang.source import Source


def page(text: str) -> str:
    found = analyse(Source("example.tch", f"turnchain 1, US\n{text}"))
    assert not found.has_errors, [each.message for each in found.diagnostics]
    made = render(document(found, "US", "full"), "text")
    assert isinstance(made, str)
    return made


def kinds(source: str) -> list[str]:
    shown = page(source)
    return [kind for kind in caution_rules() if f"Caution: {text(kind)}" in shown]


def text(kind: str, terms: str = "US") -> str:
    return catalogue(terms, "full").templates[f"front.caution.text.{kind}"].text


CLOTH = "piece Cloth, turned rows\nstart 21 ch\nrows 1-20: sc to end = 20\n"


@pytest.mark.parametrize(
    ("header", "called"),
    [
        ("pattern Scarf\n", []),
        ("pattern Scarf\nfor adult\n", []),
        ("pattern Scarf\nfor child\n", ["child"]),
        ("pattern Cardigan\nfor toddler\nnotions 5 buttons, darning needle\n", ["child", "parts"]),
        ("pattern Cardigan\nfor adult\nnotions 5 buttons\n", []),
        ("pattern Cot blanket\nfor babies\n", ["child", "sleep"]),
        ("pattern Hat\nfor child\n", ["child"]),
        ("pattern Oven mitt\n", ["heat"]),
        ("pattern Potholder\nfor adult\n", ["heat"]),
        ("pattern Panama hat\n", []),
    ],
)
def test_what_the_header_calls_for(header: str, called: list[str]) -> None:
    assert called == kinds(header + CLOTH)


# ASTM F1816 by 16 CFR 1120 leaves 3 in (75 mm) of a cord free, seen. At 16 stitches to 10 cm a chain is
# 6.25 mm long, so 12 chains are 7.5 cm.
@pytest.mark.parametrize(
    ("piece", "is_cord"),
    [
        ("piece Tie, turned rows\nstart 12 ch\nrow 1: ss to end\n", False),
        ("piece Tie, turned rows\nstart 13 ch\nrow 1: ss to end\n", True),
        ("piece Band, turned rows\nstart 80 ch\nrows 1-5: sc to end\n", False),
        ("piece Loop, turned rows\nstart 20 ch\nrow 1: sc to end\nrow 2: 9 sc, 13 ch, sc to end\n", True),
        ("piece Loop, turned rows\nstart 20 ch\nrow 1: sc to end\nrow 2: 9 sc, 12 ch, sc to end\n", False),
        ("piece Neck, joined rounds\nstart 80 ch, joined\nround 1: sc to end\n", False),
    ],
)
def test_cords_by_the_gauge(piece: str, is_cord: bool) -> None:
    header = "pattern Vest\nfor child\ngauge 16 st, 18 rows = 10 cm in sc\n"
    assert (["child", "cords"] if is_cord else ["child"]) == kinds(header + piece)


def test_a_caution_on_cords_stands_before_the_work_that_it_concerns() -> None:
    shown = page(f"pattern Vest\nfor child\n{CLOTH}piece Tie, turned rows\nstart 80 ch\nrow 1: ss to end\n")
    assert shown.index("Chain 21") < shown.index("makes a cord") < shown.index("Chain 80")


def test_an_answer_is_printed_in_place_of_the_caution() -> None:
    shown = page(f"pattern Oven mitt\nanswer heat: it is lined with a felted wool.\n{CLOTH}")
    assert "Caution, on heat: it is lined with a felted wool." in shown
    assert "near heat" not in shown


def test_each_caution_defers_to_local_rules_and_names_its_source() -> None:
    import tomllib
    from pathlib import Path

    from turnchain.lang import cautions

    table = tomllib.loads(Path(cautions.__file__).with_name("cautions.toml").read_text("utf-8"))["caution"]
    for kind, rule in table.items():
        assert "your own country" in text(kind)
        assert "seen" in rule["source"] or "no source" in rule["source"]


@pytest.mark.parametrize("terms", LANGUAGES)
def test_each_caution_defers_to_local_rules_in_every_language(terms: str) -> None:
    for kind in caution_rules():
        assert {"en": "your own country", "de": "eigenen Landes"}[catalogue(terms, "full").tag[:2]] in text(
            kind, terms
        )
        assert "{reason}" in catalogue(terms, "full").templates[f"front.caution.answered.{kind}"].text
