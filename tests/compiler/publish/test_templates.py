"""A publisher's own templates over the project's."""

from __future__ import annotations

from pathlib import Path

import pytest
from turnchain.compiler.publish import render
from turnchain.compiler.publish.layout import Layout
from turnchain.compiler.publish.templating import TemplateFault

from .hat import HAT


def test_one_part_is_replaced_and_the_rest_stays(tmp_path: Path) -> None:
    (tmp_path / "pattern.html").write_text(
        '{% extends "turnchain/pattern.html" %}\n'
        "{% block finishing %}\n{{ super() }}<p>Made by {{ document.by }}</p>\n{% endblock %}\n"
    )
    usual, own = render(HAT, "fragment"), render(HAT, "fragment", Layout(templates=tmp_path))
    assert own == usual.replace(
        "</section>\n</article>", "</section>\n<p>Made by Odile Marrack</p>\n</article>"
    )
    assert "<p>Made by Odile Marrack</p>" in render(HAT, "html", Layout(templates=tmp_path))


def test_a_post_of_ones_own_is_escaped_all_the_same(tmp_path: Path) -> None:
    (tmp_path / "post.md").write_text(
        "{% for row in document.sections[1].entries[3:4] %}{{ row.text }}{% endfor %}"
    )
    post = render(HAT, "markdown", Layout(templates=tmp_path))
    assert post.startswith(r"Chain 2 (not counted), \*work 1 double crochet")


@pytest.mark.parametrize(
    ("template", "line", "why"),
    [
        ("<article>\n{{ document.titel }}", 2, "no attribute 'titel'"),
        ("<article>\n\n{{ nothing }}", 3, "'nothing' is undefined"),
        ("<article>\n{% if document %}", 2, "Unexpected end of template"),
        ("{% include 'absent.html' %}", 1, "absent.html"),
        ("\n{{ document.__class__.__mro__ }}", 2, "unsafe"),
        ("{{ 1 / 0 }}", 1, "division by zero"),
    ],
)
def test_what_is_wrong_with_a_template_is_told_at_its_line(
    tmp_path: Path, template: str, line: int, why: str
) -> None:
    path = tmp_path / "pattern.html"
    path.write_text(template)
    with pytest.raises(TemplateFault, match=why) as caught:
        render(HAT, "fragment", Layout(templates=tmp_path))
    assert str(caught.value).startswith(f"{path}, line {line}: ")


def test_a_template_that_brings_itself_in_is_refused(tmp_path: Path) -> None:
    (tmp_path / "pattern.html").write_text('{% include "pattern.html" %}')
    with pytest.raises(TemplateFault, match="without end"):
        render(HAT, "fragment", Layout(templates=tmp_path))
