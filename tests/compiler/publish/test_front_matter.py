"""What site generators read above a post. `tests/sites` builds real sites of it."""

from __future__ import annotations

import tomllib
from dataclasses import replace

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from turnchain.compiler.document import Document
from turnchain.compiler.publish import render
from turnchain.compiler.publish.front_matter import FrontMatter, generators, own
from turnchain.compiler.publish.layout import Layout
from turnchain.compiler.publish.plain import plain

from .hat import HAT


def test_a_post_for_a_site_generator() -> None:
    layout = Layout(front_matter=generators()["hugo"], date="2026-01-05")
    assert render(HAT, "markdown", layout).startswith(
        '---\ntitle: "Harbor Lamp Hat"\ndate: 2026-01-05\n'
        'description: "Skill level: easy. Written in US terms."\nslug: "harbor-lamp-hat"\n---\n\n'
        "by Odile Marrack\n"
    )


def test_a_generator_whose_themes_print_no_title_keeps_the_heading() -> None:
    layout = Layout(front_matter=generators()["mkdocs"], date="2026-01-05")
    assert "---\n\n# Harbor Lamp Hat\n" in render(HAT, "markdown", layout)


def test_a_post_for_pelican_has_lines_that_can_stand_in_a_page() -> None:
    layout = Layout(front_matter=generators()["pelican"], date="2026-01-05")
    post = render(replace(HAT, title="<b>Lamp & hat</b>: new"), "markdown", layout)
    assert post.startswith("Title: &lt;b&gt;Lamp &amp; hat&lt;/b&gt;: new\nDate: 2026-01-05\n")


def test_the_post_is_named_as_its_generator_wants_it() -> None:
    assert generators()["jekyll"].file_name("hat", "2026-01-05") == "2026-01-05-hat.md"
    assert generators()["hugo"].file_name("hat", "2026-01-05") == "hat.md"


@given(st.text(max_size=40), st.sampled_from(["yaml", "toml"]))
def test_any_title_is_read_as_it_stands(title: str, form: str) -> None:
    """YAML 1.2 by PyYAML, TOML 1.0 by Python's tomllib."""
    made: Document = plain(replace(HAT, title=f"a{title}"))
    above = FrontMatter(form, False, "{name}.md", {"title": "headline", "date": "day"})
    written = above.written(made, "2026-01-05")
    assert "{{" not in written
    inside = written.split("\n", 1)[1].rsplit("\n", 3)[0]
    read = yaml.safe_load(inside) if form == "yaml" else tomllib.loads(inside)
    assert read["headline"] == made.title
    assert str(read["day"]) == "2026-01-05"


def test_a_table_of_the_publishers_own() -> None:
    table = (
        '[mysite]\nform = "toml"\nfile = "{date}_{name}.md"\nkeys = { title = "headline", by = "maker" }\n'
    )
    above = own(table)
    assert above.written(HAT, "2026-01-05") == (
        '+++\nheadline = "Harbor Lamp Hat"\nmaker = "Odile Marrack"\n+++\n\n'
    )
    assert above.file_name("hat", "2026-01-05") == "2026-01-05_hat.md"


@pytest.mark.parametrize(
    ("table", "why"),
    [
        ("", "it has 0 tables"),
        ("[a]\n[b]\n", "it has 2 tables"),
        ('form = "yaml"', "`form` stands outside a table"),
        ('[a]\nform = "xml"', "its form is `xml`, and can be yaml, toml, lines"),
        ('[a]\ncharts = "drawn"', "its charts are `drawn`, and can be indented, fenced"),
        ('[a]\nkeys = { maker = "x" }', "it asks for `maker`; there are title, by,"),
        ("[a]\nkeys = { title = 3 }", "its keys are words"),
        ('[a]\nfile = "../{name}.md"', "its file is a name with {name} in it, and no folder"),
        ('[a]\nfile = "post.md"', "its file is a name with {name} in it, and no folder"),
        ("[a", "Expected"),
    ],
)
def test_what_is_wrong_with_a_table_is_told(table: str, why: str) -> None:
    with pytest.raises(ValueError, match=why.replace("{", r"\{").replace("[", r"\[")):
        own(table)


def test_every_generator_gets_a_title() -> None:
    assert {*generators()} == {"hugo", "jekyll", "eleventy", "pelican", "mkdocs"}
    assert all("title" in each.keys for each in generators().values())
