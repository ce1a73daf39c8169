"""The formats one by one: what each is for, and what it leaves out."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from base64 import b64encode
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import turnchain.compiler.publish
from pyld import jsonld  # type: ignore[import-untyped]
from syrupy.assertion import SnapshotAssertion
from turnchain.compiler.document import Document, Prose, RowText, Section
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.publish import FORMATS, render
from turnchain.compiler.publish.sizes import parts
from turnchain.compiler.wording import document
from turnchain.lang.source import Source

from .hat import HAT
from .wording import html_tree, html_words

SCHEMAS = Path(turnchain.compiler.publish.__file__).parent

READ = ("html", "fragment", "markdown", "text")
"""The formats that a person reads."""


@pytest.mark.parametrize("name", [*READ, "json"])
def test_the_hat(name: str, snapshot: SnapshotAssertion) -> None:
    assert render(HAT, name) == snapshot


def test_each_format_is_known_by_its_own_name_and_suffix() -> None:
    assert {name: made.name for name, made in FORMATS.items()} == {name: name for name in FORMATS}
    assert len({made.suffix for made in FORMATS.values()}) == len(FORMATS)


@pytest.mark.parametrize("name", FORMATS)
def test_a_file_ends_in_one_line_end_and_no_line_in_spaces(name: str) -> None:
    published = render(HAT, name)
    assert published.endswith("\n")
    assert not published.endswith("\n\n")
    assert not re.search(r"[ \t]$", published, re.MULTILINE)


@pytest.mark.parametrize("name", READ)
def test_what_is_empty_has_no_heading(name: str) -> None:
    bare = replace(
        HAT, by="", by_line="", about=(), sizes=(), sizes_note="", measurements=(), materials=(), gauge=(),
        abbreviations=(), special_stitches=(), notes=(), cautions=(), sections=(), finishing=(),
    )  # fmt: skip
    shown = render(bare, name)
    if name in ("html", "fragment"):
        shown = "".join(html_tree(shown).find("body").itertext())
    assert re.findall(r"\w+", shown) == ["Harbor", "Lamp", "Hat"]


@pytest.mark.parametrize("name", READ)
def test_the_cautions_come_before_the_first_piece(name: str) -> None:
    published = render(HAT, name)
    assert published.index("Sew the tuft on") < published.index("Worked sideways")


def test_plain_text_has_each_row_on_a_line_of_its_own() -> None:
    rows = [line for line in render(HAT, "text").splitlines() if re.match("Rows? |Rounds? |Next ", line)]
    assert len(rows) == 9
    assert all(row.endswith("stitches]") for row in rows)


def test_counts_stand_in_round_brackets_where_one_size_needs_none_itself() -> None:
    row = RowText("Row 1", "band-row-1", "Work 1 single crochet in each chain, turn.", "8 stitches")
    band = replace(HAT, sections=(Section("Band", "band", (row,)),))
    assert "Row 1: Work 1 single crochet in each chain, turn. (8 stitches)\n" in render(band, "text")


def test_a_row_that_ends_with_no_count_shows_none() -> None:
    row = RowText("Row 9", "band-row-9", "Fasten off.", "")
    band = replace(HAT, sections=(Section("Band", "band", (row,)),))
    assert "\nRow 9: Fasten off.\n" in render(band, "text")
    assert "-   **Row 9:** Fasten off.\n" in render(band, "markdown")
    assert "pattern-count" not in render(band, "fragment")


@pytest.mark.parametrize("name", ["html", "fragment"])
def test_every_row_can_be_linked_to_by_its_pattern_and_anchor(name: str) -> None:
    ids = [element.get("id") for element in html_tree(render(HAT, name)).iter() if element.get("id")]
    assert "harbor-lamp-hat-crown-round-4" in ids
    assert len(ids) == len(set(ids)) == (12 if name == "fragment" else 15)
    assert all(anchor.startswith("harbor-lamp-hat") for anchor in ids)


def test_the_page_runs_nothing_and_loads_nothing() -> None:
    page = render(HAT, "html")
    data = re.findall(r"<script[^>]*>", page)
    assert data == ['<script type="application/ld+json">']
    shown = page.replace('"@context":"https://schema.org"', "")
    assert not re.search(r"<(link|img|iframe|object|form|svg)|url\(|@import|https?:|\sstyle=|\son\w+=", shown)


@pytest.mark.parametrize("title", ["Hat", "</script><b>", "<!--<script>", "a & b", '"'])
def test_machines_read_what_the_page_shows(title: str) -> None:
    page = render(replace(HAT, title=title), "html")
    script = html_tree(page).findall("head/script")
    data = jsonld.expand(json.loads(script[0].text), {"documentLoader": schema_org})[0]
    assert len(script) == 1
    assert data["@type"] == ["https://schema.org/HowTo"]
    assert values(data, "name") == [title]
    assert values(data, "yield") == [title], "two pieces make one hat"
    assert values(data, "supply", "name") == [
        "Yarn: Quayside Wool & Linen, worsted weight (4), 150 (190) yd, 137 (174) m"
    ]
    assert len(values(data, "tool", "name")) == 1
    assert values(data, "step", "name") == ["Brim", "Crown"]
    rows = values(data, "step", "itemListElement", "name")
    assert rows == ["Row 1", "Rows 2-60 (72)", "Round 1", "Rounds 2-3", "Round 4", "Next 4 (5) rounds",
                    "Round 9 (10)", "Round 10 (11)", "Round 11 (12)"]  # fmt: skip
    words = html_words(page)
    for each in ("name", "text"):
        for told in values(data, "step", "itemListElement", each):
            assert " ".join(told.split()) in " ".join(words)


@pytest.mark.parametrize(
    ("time", "told"),
    # ISO 8601, durations: from memory. `jsonld` does not look into them.
    [
        ("12 hours", ["PT12H"]),
        ("About 45 minutes.", ["PT45M"]),
        ("2 days", ["P2D"]),
        ("an evening or two", []),
    ],
)
def test_machines_are_told_the_time_that_the_page_tells(time: str, told: list[str]) -> None:
    disc = "piece Disc, spiral rounds\nstart ring\nround 1: 6 sc in ring\n"
    source = Source("disc.tch", f"turnchain 1, US\npattern Disc\ntime {time}\n{disc}")
    made = document(analyse(source), "US", "full")
    page = render(made, "html")
    data = jsonld.expand(
        json.loads(html_tree(page).find("head/script").text), {"documentLoader": schema_org}
    )[0]
    assert values(data, "totalTime") == told
    assert f"Time: {time.rstrip('.')}." in " ".join(html_words(page))


def test_the_only_piece_is_what_machines_are_told_is_made() -> None:
    page = html_tree(render(replace(HAT, sections=HAT.sections[1:]), "html"))
    data = jsonld.expand(json.loads(page.find("head/script").text), {"documentLoader": schema_org})[0]
    assert values(data, "yield") == ["Crown"]


def schema_org(url: str, _: object) -> dict[str, object]:
    """What https://schema.org hands out as its context, as far as names go: each is its own."""
    assert url.rstrip("/") == "https://schema.org"
    return {
        "contentType": "application/ld+json", "contextUrl": None, "documentUrl": url,
        "document": {"@context": {"@vocab": "https://schema.org/", "type": "@type", "url": {"@type": "@id"}}},
    }  # fmt: skip


def values(data: dict[str, Any], *path: str) -> list[str]:
    """The values at the end of a path of schema.org's names, in expanded JSON-LD."""
    at = [data]
    for name in path:
        at = [inner for each in at for inner in each.get(f"https://schema.org/{name}", [])]
    return [each["@value"] for each in at]


def test_the_json_holds_to_its_schema() -> None:
    schema = json.loads((SCHEMAS / "document.schema.json").read_text("utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    validator.validate(json.loads(render(HAT, "json")))
    told = json.loads(render(HAT, "json"))
    assert set(told) == set(schema["properties"])
    del told["sections"][0]["entries"][1]["label"]
    assert not validator.is_valid(told)


def test_each_row_of_the_page_can_be_ticked_and_linked_to() -> None:
    page = html_tree(render(HAT, "html"))
    rows = page.findall(".//ol/li")
    assert len(rows) == 9
    for row in rows:
        box, link = row.find("input"), row.find("a")
        assert box.get("type") == "checkbox"
        assert box.get("aria-label") == f"{''.join(link.itertext()).rstrip(':')}: done"
        assert link.get("href") == f"#{row.get('id')}"


def test_a_reader_can_choose_her_size() -> None:
    """Where nothing is hidden every size is there; each choice leaves one number of each."""
    page = html_tree(render(HAT, "html"))
    choices = page.findall(".//fieldset//input")
    assert [choice.get("id") for choice in choices] == [f"harbor-lamp-hat-size-{size}" for size in range(3)]
    assert choices[0].get("checked") is not None
    row = next(each for each in page.iter("li") if each.get("id") == "harbor-lamp-hat-crown-round-5")
    assert (
        shown(row, 0)
        .strip()
        .endswith("each of the 60 (72) stitches, join with a slip stitch. [60 (72) stitches]")
    )
    assert shown(row, 1).startswith(" Next 4 rounds: ")
    assert shown(row, 1).strip().endswith("each of the 60 stitches, join with a slip stitch. [60 stitches]")
    assert shown(row, 2).startswith(" Next 5 rounds: ")
    assert shown(row, 2).strip().endswith("each of the 72 stitches, join with a slip stitch. [72 stitches]")


def test_a_row_for_some_sizes_goes_with_the_others_sizes() -> None:
    row = RowText("Row 1 (Adult only)", "band-row-1", "Chain 1.", "", (2,))
    page = html_tree(render(replace(HAT, sections=(Section("Band", "band", (row,)),)), "html"))
    assert page.find(".//ol/li").get("class") == "of of-2"


def test_numbers_of_a_row_for_some_sizes_are_those_of_these_sizes() -> None:
    row = RowText("Row 1 (M and L only)", "band-row-1", "Chain 1.", "8 (10) stitches", (2, 3))
    document = replace(HAT, sizes=("S", "M", "L"), sections=(Section("Band", "band", (row,)),))
    item = html_tree(render(document, "html")).find(".//ol/li")
    assert shown(item, 2).strip().endswith("[8 stitches]")
    assert shown(item, 3).strip().endswith("[10 stitches]")


def test_the_style_hides_the_numbers_of_other_sizes_on_the_screen() -> None:
    page = render(HAT, "html")
    rules = re.findall(r'\.pattern:has\(\[id\$="-size-(\d)"\]:checked\) \.of:not\(\.of-(\d)\)', page)
    assert rules == [("1", "1"), ("2", "2")]
    assert "fieldset" not in render(replace(HAT, sizes=()), "html")


def shown(element: object, size: int) -> str:
    """The words that the page's style leaves when a size is chosen; 0 is all of them."""
    classes = (element.get("class") or "").split()  # type: ignore[attr-defined]
    if size and "of" in classes and f"of-{size}" not in classes:
        return element.tail or ""  # type: ignore[attr-defined]
    inside = "".join(shown(child, size) for child in element)  # type: ignore[attr-defined]
    return (element.text or "") + inside + (element.tail or "")  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("text", "sizes", "cut"),
    [
        ("7 (9) sc", 2, [("7", "9"), " sc"]),
        ("the 4th (6th) chain", 2, ["the ", ("4th", "6th"), " chain"]),
        ("46.7 (51.1) cm / 18½ (20) in", 2, [("46.7", "51.1"), " cm / ", ("18½", "20"), " in"]),
        ("46,7 (51,1) cm", 2, [("46,7", "51,1"), " cm"]),
        ("46,7 (51,1, 60) cm", 3, [("46,7", "51,1", "60"), " cm"]),
        ("die 4. (6.) Masche", 2, ["die ", ("4.", "6."), " Masche"]),
        ("7 (9, 11) sc", 2, ["7 (9, 11) sc"]),
        ("7 (9, 11) sc", 3, [("7", "9", "11"), " sc"]),
        ("Chain 3 (counts as 1)", 2, ["Chain 3 (counts as 1)"]),
        ("B2 (3) and 1.5 (3", 2, ["B2 (3) and 1.5 (3"]),
        ("7 (9) sc", 1, ["7 (9) sc"]),
        ("", 2, []),
    ],
)
def test_numbers_of_sizes_are_told_from_other_words(text: str, sizes: int, cut: list[object]) -> None:
    assert list(parts(text, sizes)) == cut


@pytest.mark.parametrize("by", ['A "quoted" name', "</style><b>", "\\", "線\n", "a}b{c;"])
def test_the_makers_name_stands_at_the_foot_of_each_sheet(by: str) -> None:
    """CSS Syntax 3, 4.3.7: a backslash and six hexadecimal digits are one character."""
    page = render(replace(HAT, by=by), "html")
    found = re.search(r'@bottom-left \{ content: "((?:[a-zA-Z0-9]|\\[0-9a-f]{6})*)"; ', page)
    assert found
    unescaped = re.sub(r"\\([0-9a-f]{6})", lambda code: chr(int(code[1], 16)), found[1])
    assert unescaped == " ".join(by.split())


def test_the_page_allows_its_own_style_sheet_alone() -> None:
    page = render(HAT, "html")
    style = re.search("<style>(.*)</style>", page, re.DOTALL)
    policy = re.search('Content-Security-Policy" content="([^"]*)"', page)
    assert style
    assert policy
    digest = b64encode(sha256(style[1].encode()).digest()).decode()
    assert policy[1].split("; ") == [
        "default-src 'none'",
        "img-src data:",
        f"style-src 'sha256-{digest}'",
        "base-uri 'none'",
        "form-action 'none'",
    ]


def test_the_page_names_its_language_and_title() -> None:
    page = html_tree(render(replace(HAT, language="en-GB", title="Scarf </title><b>"), "html"))
    assert page.get("lang") == "en-GB"
    assert page.find("head/title").text == "Scarf </title><b>"


def contrast(one: str, other: str) -> float:
    """WCAG 2.2, definitions of contrast ratio and relative luminance."""

    def luminance(colour: str) -> float:
        channels = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
        red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("theme", [0, 1, 2], ids=["light", "dark", "print"])
def test_every_text_colour_is_readable_on_every_ground(theme: int) -> None:
    """WCAG 2.2, success criterion 1.4.3: 4.5 to 1."""
    root = re.findall(r":root \{(.*?)\}", render(HAT, "html"), re.DOTALL)[theme]
    colours = {
        name: value if len(value) == 7 else "#" + "".join(digit * 2 for digit in value[1:])
        for name, value in re.findall(r"--([\w-]+): (#\w+);", root)
    }
    for text in ("ink", "quiet", "accent"):
        for ground in ("paper", "warning-paper", "target-paper"):
            assert contrast(colours[text], colours[ground]) >= 4.5, (text, ground)


def test_the_fragment_has_no_blank_line_for_a_blog_to_make_a_paragraph_of() -> None:
    assert "\n\n" not in render(HAT, "fragment")


def test_the_fragment_leaves_the_first_heading_and_the_numbers_of_lists_to_the_post() -> None:
    fragment = render(HAT, "fragment")
    assert fragment.startswith("<article ")
    assert "<h1" not in fragment
    assert "<ol" not in fragment


def test_markdown_numbers_no_row_by_list() -> None:
    assert not re.search(r"^\s*\d+[.)] ", render(HAT, "markdown"), re.MULTILINE)


@pytest.mark.parametrize(
    ("text", "published"),
    [
        ("*work 2 sc; repeat from *", r"\*work 2 sc; repeat from \*"),
        ("[sc, inc](18)", r"\[sc, inc\](18)"),
        ("{{ 2 }}", "&#123;&#123; 2 &#125;&#125;"),
        ("12. round", r"12\. round"),
        ("2 -- 3 ... 4", r"2 \-\- 3 \.\.\. 4"),
        ("$5 or $6", "&#36;5 or &#36;6"),
        ("18 (20) in", "18 (20) in"),
        ("#4 yarn", r"\#4 yarn"),
        ("+ 1 more", r"\+ 1 more"),
        ("a - b + c!", "a - b + c!"),
        ("<b> | ~", r"&lt;b&gt; &#124; &#126;"),
        (r"\*", r"\\\*"),
    ],
)
def test_markdown_is_escaped_where_it_must_be_and_left_readable_elsewhere(text: str, published: str) -> None:
    note = replace(HAT, sections=(Section("Band", "band", (Prose("note", text),)),))
    assert f"## Band\n\n{published}\n" in render(note, "markdown")


@pytest.mark.parametrize("name", FORMATS)
@pytest.mark.parametrize(
    ("written", "printed"),
    [
        ("knot\nit\r\n\tinside", "knot it inside"),
        ("bell\a and \x1b[2Jescape", "bell and [2Jescape"),
        ("turned \u202etxet\u202c back", "turned txet back"),
        ("half \ud83e of a pair", "half of a pair"),
        ("line\u2028break", "line break"),
    ],
)
def test_what_cannot_be_printed_is_left_out_everywhere(name: str, written: str, printed: str) -> None:
    published = render(replace(HAT, finishing=(f"Then {written}, done",)), name)
    assert f"Then {printed}, done" in published.replace("\\[", "[")
    published.encode()


@pytest.mark.parametrize("name", FORMATS)
def test_a_note_of_nothing_printable_is_no_note(name: str) -> None:
    assert render(replace(HAT, notes=("\0\n",)), name) == render(replace(HAT, notes=()), name)


def test_plain_text_needs_no_template_engine() -> None:
    program = (
        "import sys; from turnchain.compiler.publish import FORMATS; "
        "FORMATS['text']; sys.exit('jinja2' in sys.modules or 'markupsafe' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", program], check=False).returncode == 0


def test_two_renderings_are_equal() -> None:
    def renderings(document: Document) -> list[str]:
        return [render(document, name) for name in FORMATS]

    assert renderings(HAT) == renderings(HAT)
