"""German of pieces: how they are begun, shaped, striped, worked along, sewn and joined in a grid.

The terms of the trade are from memory: common practice, no source.
"""

from __future__ import annotations

import pytest
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.publish import render
from turnchain.compiler.wording import document
from turnchain.lang.source import Source

BAND = """\
turnchain 1, US
pattern Band
"""


def page(text: str, words: str = "full") -> str:
    found = analyse(Source("example.tch", f"{BAND}{text}"))
    assert not found.has_errors, [each.message for each in found.diagnostics]
    return render(document(found, "DE", words), "text")


FLAT = """\
piece Band, turned rows
start 11 ch
row 1: sc to end
rows 2-8: sc to end
"""


@pytest.mark.parametrize(
    ("start", "row", "said"),
    [
        ("ring", "round 1: 6 sc in ring", "Einen Fadenring legen."),
        (
            "24 ch, joined",
            "round 1: sc to end",
            "24 Luftmaschen anschlagen und mit 1 Kettmasche in die erste Luftmasche zum Ring schließen, "
            "ohne die Kette zu verdrehen.",
        ),
    ],
)
def test_a_round_is_begun(start: str, row: str, said: str) -> None:
    shown = page(f"piece Tube, joined rounds\nstart {start}\n{row}\n")
    assert said in shown
    assert "\nRunde 1: " in shown


def test_short_rows_have_short_labels() -> None:
    shown = page(FLAT, "short")
    assert "\n11 Lm anschlagen.\n" in shown
    assert "\nR 1: " in shown
    assert "\nR 2–8: 1 Lm, 1 fM in jede M der R" in shown


def test_how_often_a_shaping_changes_stands_behind_its_rows() -> None:
    shown = page(f"{FLAT}rows 9-50: work sc, to 28 at each end\n")
    changes = "In jeder 4. Reihe (6-mal), dann in jeder 6. Reihe (3-mal) beidseitig je 1 Masche zunehmen"
    assert f"{changes}, und zwar so:" in shown


def test_an_edge_is_named_in_the_case_that_it_stands_in() -> None:
    shown = page(f"{FLAT}piece Edging, turned rows\nstart along left of Band\nrow 1: sc to end\n")
    assert (
        "das Garn mit 1 Kettmasche am oberen Ende der linken Kante von „Band“ anschlingen und daran entlang "
        "häkeln (insgesamt 8 Reihenenden)."
    ) in shown


def test_a_seam_tells_which_ends_meet() -> None:
    other = FLAT.replace("Band", "Side")
    shown = page(f"{FLAT}{other}seam left of Band, right of Side, in whip stitch\n")
    assert "Überwendliche Naht: die Teile rechts auf rechts legen, die Kanten bündig;" in shown
    assert (
        "Die linke Kante von „Band“ an die rechte Kante von „Side“ nähen (überwendlich), dabei trifft das "
        "obere Ende der ersten Kante auf das obere Ende der zweiten: 8 Reihenenden auf 8 Reihenenden, "
        "Stelle auf Stelle."
    ) in shown


def test_motifs_in_a_grid_agree_with_their_number() -> None:
    motif = """\
piece Square, joined rounds
start 4 ch, joined
round 1: [3 dc in ring, 2 ch as corner] x 4
piece Cloth, 2 x 3 of Square, joined at corner
"""
    shown = page(motif)
    assert "6 Motive, 2 nebeneinander und 3 übereinander, mit der Vorderseite nach oben;" in shown
    assert "Das andere Motiv der ersten Reihe: „Square“ häkeln," in shown
    assert "Erstes Motiv jeder der anderen 2 Reihen:" in shown
    assert "So werden 7 Seiten verbunden; an 2 Punkten treffen vier Motive zusammen." in shown
