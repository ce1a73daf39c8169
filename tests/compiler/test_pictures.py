"""Pictures beside the pattern: in the page itself, or linked from a post."""

from __future__ import annotations

import os
import re
from base64 import b64decode
from pathlib import Path

import pytest
from turnchain.compiler.commands import CLEAN, WRONG_USE
from turnchain.compiler.commands.publish import Choices, publish

# The smallest picture of its kind: PNG (Portable Network Graphics), W3C Recommendation, third edition, 5.
PNG = b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNkYPhfDwAChwGA60e6kgAAAABJRU5ErkJggg=="
)

COASTER = """\
turnchain 1, US
pattern Coaster
picture {file}: A square coaster under a cup
piece Coaster, turned rows
start 11 ch
row 1: sc to end = 10
picture row 1.png: The first row
  from the right side
row 2: sc to end = 10
"""


@pytest.fixture
def pattern(tmp_path: Path) -> Path:
    path = tmp_path / "coaster.tch"
    path.write_text(COASTER.format(file="cup.png"), "utf-8")
    (tmp_path / "cup.png").write_bytes(PNG)
    (tmp_path / "row 1.png").write_bytes(PNG)
    return path


def test_the_page_has_its_pictures_in_it(pattern: Path) -> None:
    assert publish([str(pattern)], Choices()).status == CLEAN
    page = pattern.with_suffix(".html").read_text("utf-8")
    pictures = re.findall(r'<img src="data:image/png;base64,([^"]*)" alt="([^"]*)">', page)
    assert [(b64decode(data), words) for data, words in pictures] == [
        (PNG, "A square coaster under a cup"),
        (PNG, "The first row from the right side"),
    ]
    assert page.index(pictures[0][1]) < page.index("<h2>")
    rows = [page.index(f'id="coaster-coaster-row-{number}"') for number in (1, 2)]
    assert rows[0] < page.index(pictures[1][1]) < rows[1]


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("markdown", "\n![The first row from the right side](row%201.png)\n"),
        ("fragment", '<img src="row%201.png" alt="The first row from the right side">'),
        ("text", "\n[The first row from the right side]\n"),
    ],
)
def test_a_post_links_to_its_pictures(pattern: Path, name: str, shown: str) -> None:
    done = publish([str(pattern)], Choices(formats=(name,), folder="-"))
    assert done.status == CLEAN
    assert shown in done.data.decode()


@pytest.mark.parametrize(
    ("file", "why"),
    [
        ("absent.png", "there is no such file"),
        ("../cup.png", "it lies outside the pattern's folder"),
        ("coaster.tch", "it is no JPEG, PNG, GIF, WebP or AVIF picture"),
        (".", "it is a folder"),
        ("https://example.org/cup.png", "there is no such file"),
    ],
)
def test_what_is_no_picture_leaves_the_last_page_as_it_is(pattern: Path, file: str, why: str) -> None:
    page = pattern.with_suffix(".html")
    page.write_text("the last page")
    pattern.write_text(COASTER.format(file=file), "utf-8")
    for choices in (Choices(), Choices(folder="-")):
        done = publish([str(pattern)], choices)
        assert done.status == WRONG_USE
        assert done.err == f"turnchain: {file}, a picture, can't be put into the page: {why}"
    assert page.read_text() == "the last page"
    assert sorted(os.listdir(pattern.parent)) == ["coaster.html", "coaster.tch", "cup.png", "row 1.png"]


@pytest.mark.parametrize(
    ("file", "address"),
    [
        ("javascript:alert(1)", "javascript%3Aalert%281%29"),
        ("//example.org/x.png", "example.org/x.png"),
        ("a b&c.png", "a%20b%26c.png"),
        ('"><script>.png', "%22%3E%3Cscript%3E.png"),
    ],
)
def test_no_address_leads_to_another_host_or_is_a_script(pattern: Path, file: str, address: str) -> None:
    pattern.write_text(COASTER.format(file=file), "utf-8")
    post = publish([str(pattern)], Choices(formats=("fragment",), folder="-")).data.decode()
    assert f'<img src="{address}" alt="A square coaster' in post
