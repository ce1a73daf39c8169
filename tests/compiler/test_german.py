"""German round the rows: what stitches are called and how they are worked, gauge, sizes, the key.

The terms of the trade are from memory: common practice, no source.
"""

from __future__ import annotations

import pytest
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.publish import render
from turnchain.compiler.wording import document
from turnchain.compiler.wording.phrases import Voice
from turnchain.lang.source import Source
from turnchain.lang.stitches import Stitch, vocabulary


def stitch(name: str) -> Stitch:
    found = vocabulary("US").find(name)
    assert found is not None
    return found


def page(text: str, words: str = "full") -> str:
    found = analyse(Source("example.tch", text))
    assert not found.has_errors, [each.message for each in found.diagnostics]
    return render(document(found, "DE", words), "text")


@pytest.mark.parametrize("name", vocabulary("US").names)
def test_every_stitch_has_a_german_name_and_is_explained(name: str) -> None:
    voice = Voice("DE", full=True)
    terms, explanation = voice.terms(stitch(name)), voice.explanation(stitch(name))
    assert all((terms.abbreviation, terms.name, terms.plural))
    assert explanation.endswith(".")
    assert not {"{", "}", "  "} & set(explanation)
    english = {"yarn", "hook", "loop", "loops", "the", "and", "stitch"}
    assert not english & set(explanation.lower().replace(",", "").split())


@pytest.mark.parametrize(
    ("name", "abbreviation", "called"),
    [
        ("sc", "fM", "feste Masche"),
        ("hdc", "hStb", "halbes Stäbchen"),
        ("dc", "Stb", "Stäbchen"),
        ("tr", "DStb", "Doppelstäbchen"),
        ("ch", "Lm", "Luftmasche"),
        ("ss", "Km", "Kettmasche"),
        ("inc", "Zun", "Zunahme"),
        ("dec", "Abn", "Abnahme"),
    ],
)
def test_what_the_trade_calls_them(name: str, abbreviation: str, called: str) -> None:
    terms = Voice("DE", full=True).terms(stitch(name))
    assert (terms.abbreviation, terms.name) == (abbreviation, called)


def test_a_form_bends_what_it_is_made_of() -> None:
    voice = Voice("DE", full=True)
    assert voice.stitches_of(stitch("sc2tog"), (1,)) == "1 Abnahme aus 2 festen Maschen"
    assert voice.stitches_of(stitch("dtr5bobble"), (3,)) == "3 Noppen aus je 5 Dreifachstäbchen"
    assert voice.terms(stitch("picot1")).name == "Pikot aus 1 Luftmasche"


def test_the_loops_before_the_last_step_are_told() -> None:
    voice = Voice("DE", full=True)
    assert "durch beide Schlingen" in voice.explanation(stitch("sc"))
    assert "durch alle 3 Schlingen" in voice.explanation(stitch("hdc"))
    assert "durch alle 4 Schlingen" in voice.explanation(stitch("dc3tog"))
    assert "um den Körper der nächsten Masche" in voice.explanation(stitch("fpdc2tog"))


def test_squares_of_a_mesh_are_explained() -> None:
    mesh = """\
turnchain 1, US
pattern Mesh
chart Net: . = space, X = block
  X.X
  .X.
piece Net, turned rows
start for 10
rows 1-2: chart Net
"""
    assert "Leerkästchen: ein offenes Kästchen des Gitters\n    2 Luftmaschen, die nächsten 2 " in page(mesh)
    assert "Füllkästchen: ein gefülltes Kästchen des Gitters\n    Je 1 Stb in die " in page(mesh, "short")


def test_a_document_in_german_is_one_of_the_schema() -> None:
    import json
    from pathlib import Path

    import jsonschema
    from turnchain.compiler import publish

    schema = Path(publish.__file__).with_name("document.schema.json").read_text("utf-8")
    found = analyse(Source("example.tch", SQUARE))
    made = json.loads(render(document(found, "DE", "full"), "json"))
    jsonschema.validate(made, json.loads(schema))
    assert made["language"] == "de"


SQUARE = """\
turnchain 1, US
pattern Square
for baby
sizes small, large
hook 4.5 mm
yarn wool: DK
gauge 15 st, 17 rows = 10 cm in sc
piece Square, turned rows
start 22/30 ch
row 1: sc to end
rows 2-20: sc to end
"""


def test_measures_have_a_decimal_comma_and_no_inches() -> None:
    shown = page(SQUARE)
    assert "Häkelnadel: 4,5 mm\n" in shown
    assert "- Breite: 14 (19,3) cm\n" in shown
    assert "15 Maschen und 17 Reihen = 10 cm × 10 cm (feste Maschen)." in shown
    assert " / " not in shown


def test_what_stands_round_the_rows_is_german() -> None:
    shown = page(SQUARE)
    headings = ("Größen", "Fertige Maße", "Material", "Maschenprobe", "Verwendete Maschen", "Hinweise")
    for heading in (*headings, "Sicherheit"):
        assert f"\n{heading}\n---" in shown
    assert "Die Zahlen gelten für Größe small, die für large stehen in Klammern: small (large)." in shown
    assert "Achtung: Das ist für ein kleines Kind." in shown


def test_short_words_have_a_key() -> None:
    shown = page(SQUARE, "short")
    assert "\nAbkürzungen\n" in shown
    assert "fM: feste Masche\n" in shown
