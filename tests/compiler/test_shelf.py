"""A folder of patterns: what changed is published, and an index leads to all."""

from __future__ import annotations

import json
import os
from pathlib import Path

import html5lib
import pytest
from turnchain.compiler.commands import CLEAN, FAULTY, WRONG_USE, shelf
from turnchain.compiler.commands.publish import Choices, publish
from turnchain.compiler.commands.record import RECORD
from turnchain.compiler.commands.shelf import publish_folder

from .test_pictures import PNG

COASTER = """\
turnchain 1, US
pattern {title}
level easy
sizes small, large
picture {name}.png: A coaster
piece Coaster, turned rows
start 11/13 ch
row 1: sc to end = 10/12
picture row.png: The first row
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shelf = tmp_path / "shelf"
    (shelf / "more").mkdir(parents=True)
    for name, title in (("round", "Round <coaster>"), ("more/square", "A square")):
        path = shelf / f"{name}.tch"
        path.write_text(COASTER.format(title=title, name=path.stem), "utf-8")
        path.with_suffix(".png").write_bytes(PNG)
        path.with_name("row.png").write_bytes(PNG)
    return shelf


def test_every_pattern_is_published_and_the_index_leads_to_it(folder: Path) -> None:
    done = publish_folder(str(folder), Choices())
    assert done.status == CLEAN
    assert done.out.splitlines()[-1] == "2 patterns, 0 unchanged"
    index = html5lib.parse((folder / "index.html").read_text("utf-8"), namespaceHTMLElements=False)
    links = [(link.get("href"), link.text) for link in index.findall(".//h2/a")]
    assert links == [("more/square.html", "A square"), ("round.html", "Round <coaster>")]
    assert all((folder / href).is_file() for href, _ in links)
    assert [each.get("src") for each in index.iter("img")] == ["more/square.png", "round.png"]
    assert "Level: easy." in "".join(index.itertext())
    assert "small, large" in "".join(index.itertext())


def test_the_index_tells_the_language_of_each_pattern(folder: Path) -> None:
    path = folder / "round.tch"
    path.write_text(path.read_text("utf-8").replace(", US", ", UK").replace("sc to", "dc to"), "utf-8")
    publish_folder(str(folder), Choices())
    index = html5lib.parse((folder / "index.html").read_text("utf-8"), namespaceHTMLElements=False)
    whole = index.get("lang")
    told = {entry.find("h2/a").text: entry.get("lang") or whole for entry in index.iter("li")}
    assert told == {"A square": "en-US", "Round <coaster>": "en-GB"}


def written(path: Path) -> tuple[int, int]:
    """Which file it is and when it was written; not when it was read, which may change at any time."""
    return path.stat().st_ino, path.stat().st_mtime_ns


def test_what_did_not_change_is_not_read_again(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    publish_folder(str(folder), Choices())
    page = written(folder / "more" / "square.html")
    index = written(folder / "index.html")
    with (folder / "round.tch").open("a", encoding="utf-8") as pattern:
        pattern.write("row 2: sc to end\n")
    read: list[str] = []
    monkeypatch.setattr(shelf, "load", lambda name, load=shelf.load: read.append(name) or load(name))
    done = publish_folder(str(folder), Choices())
    assert done.out.splitlines() == [f"wrote {folder / 'round.html'}", "2 patterns, 1 unchanged"]
    assert read == [str(folder / "round.tch")]
    assert written(folder / "more" / "square.html") == page
    assert written(folder / "index.html") == index


@pytest.mark.parametrize(
    "change",
    [
        lambda folder: (folder / "round.png").write_bytes(PNG + b"\0"),
        lambda folder: (folder / "row.png").write_bytes(PNG + b"\0"),
        lambda folder: (folder / "round.html").unlink(),
        lambda folder: (folder / RECORD).write_text("{"),
        lambda folder: (folder / RECORD).write_text('{"round.tch": {"digest": 3}}'),
    ],
    ids=["another picture", "another picture of a row", "a page gone", "no record", "a strange record"],
)
def test_what_a_page_depends_on_makes_it_new(folder: Path, change: object) -> None:
    publish_folder(str(folder), Choices())
    assert callable(change)
    change(folder)
    assert f"wrote {folder / 'round.html'}" in publish_folder(str(folder), Choices()).out
    assert publish_folder(str(folder), Choices()).out == "2 patterns, 2 unchanged"


def test_other_choices_make_it_new(folder: Path) -> None:
    publish_folder(str(folder), Choices())
    assert publish_folder(str(folder), Choices(terms="UK")).out.endswith("2 patterns, 0 unchanged")


def test_a_broken_pattern_keeps_its_last_page_and_its_place_in_the_index(folder: Path) -> None:
    publish_folder(str(folder), Choices())
    page = (folder / "round.html").read_bytes()
    good = (folder / "round.tch").read_text("utf-8")
    (folder / "round.tch").write_text(good.replace("10/12", "10/13"), "utf-8")
    done = publish_folder(str(folder), Choices())
    assert done.status == FAULTY
    assert "stated-total" in done.out
    assert (folder / "round.html").read_bytes() == page
    assert "round.html" in (folder / "index.html").read_text("utf-8")
    assert publish_folder(str(folder), Choices()).status == FAULTY
    (folder / "round.tch").write_text(good, "utf-8")
    assert publish_folder(str(folder), Choices()).status == CLEAN


PAGES = ("more/square.html", "more/square.png", "round.html")


def pictures_of_the_index(site: Path) -> list[str]:
    index = html5lib.parse((site / "index.html").read_text("utf-8"), namespaceHTMLElements=False)
    return [each.get("src") for each in index.iter("img")]


def test_it_all_goes_to_another_folder(folder: Path, tmp_path: Path) -> None:
    site = tmp_path / "site"
    assert publish_folder(str(folder), Choices(folder=str(site))).status == CLEAN
    found = sorted(str(each.relative_to(site)) for each in site.rglob("*") if each.is_file())
    assert found == [RECORD, "index.html", *sorted(map(os.path.normpath, PAGES)), "round.png"]
    assert pictures_of_the_index(site) == ["more/square.png", "round.png"]
    assert not list(folder.rglob("*.html"))
    assert set(json.loads((site / RECORD).read_text("utf-8"))) == {"round.tch", "more/square.tch"}


@pytest.mark.parametrize("site", ["https://example.org/knots", "https://example.org/knots/"])
def test_pages_name_where_they_and_their_pictures_stand(folder: Path, site: str) -> None:
    """The Open Graph protocol, ogp.me: `og:url` and `og:image` are URLs, which begin with http:// or https://."""
    assert publish_folder(str(folder), Choices(site=site)).status == CLEAN
    page = html5lib.parse((folder / "more" / "square.html").read_text("utf-8"), namespaceHTMLElements=False)
    told = {each.get("property"): each.get("content") for each in page.findall("head/meta[@property]")}
    assert told["og:url"] == "https://example.org/knots/more/square.html"
    assert told["og:image"] == "https://example.org/knots/more/square.png"
    assert told["og:image:alt"] == "A coaster"
    assert page.find("head/link[@rel='canonical']").get("href") == told["og:url"]
    data = json.loads(page.find("head/script").text)
    assert (data["url"], data["image"]) == (told["og:url"], told["og:image"])


def test_where_the_site_is_not_known_no_picture_is_named(folder: Path) -> None:
    publish_folder(str(folder), Choices())
    page = (folder / "round.html").read_text("utf-8")
    assert not any(word in page for word in ("og:image", "og:url", "canonical", '"image"'))


@pytest.mark.parametrize(
    "site",
    ["patterns/", "//example.org/", "javascript:alert(1)", "https://", "https://example.org/?a=b",
     "https://example.org/#top", 'https://example.org/"><b>', "https://example.org/a b/", "file:///etc/",
     "https://[/", ""],
)  # fmt: skip
def test_what_is_no_address_of_a_site_is_told(folder: Path, site: str) -> None:
    done = publish_folder(str(folder), Choices(site=site))
    assert done.status == WRONG_USE
    assert "write it as https://example.org/patterns/" in done.err
    assert not (folder / "round.html").exists()


def test_progress_is_told_once_it_takes_long(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    told: list[tuple[int, int, str]] = []
    publish_folder(str(folder), Choices(), tell=lambda *what: told.append(what))
    assert told == []
    monkeypatch.setattr(shelf, "QUIET", -1.0)
    publish_folder(str(folder), Choices(), tell=lambda *what: told.append(what))
    assert told == [
        (0, 2, str(folder / "more" / "square.tch")),
        (1, 2, str(folder / "round.tch")),
        (2, 2, ""),
    ]


def test_a_folder_without_patterns_is_told(tmp_path: Path) -> None:
    done = publish_folder(str(tmp_path), Choices())
    assert (done.status, done.err) == (WRONG_USE, f"turnchain: there is no pattern in {tmp_path}")


def test_a_folder_looked_at_from_elsewhere_is_the_same(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    publish_folder(str(folder), Choices(folder=str(tmp_path / "site")))
    monkeypatch.chdir(folder)
    assert publish_folder(".", Choices(folder="../site")).out == "2 patterns, 2 unchanged"
    folder.rename(tmp_path / "moved")
    monkeypatch.chdir(tmp_path)
    assert publish_folder("moved", Choices(folder="site")).out.endswith("2 patterns, 2 unchanged")


def test_posts_take_every_picture_along_and_have_no_index(folder: Path, tmp_path: Path) -> None:
    """An index.html among a site's posts would be a page of that site's, and hide what lies beside it."""
    site = tmp_path / "site"
    assert publish_folder(str(folder), Choices(("markdown",), str(site))).status == CLEAN
    assert {each.name for each in site.iterdir()} == {RECORD, "more", "round.md", "round.png", "row.png"}
    assert publish_folder(str(folder), Choices(("markdown",), str(site))).out == "2 patterns, 2 unchanged"


def test_the_index_leads_to_pages_and_not_to_posts(folder: Path) -> None:
    publish_folder(str(folder), Choices(("markdown", "html")))
    index = html5lib.parse((folder / "index.html").read_text("utf-8"), namespaceHTMLElements=False)
    assert [link.get("href") for link in index.findall(".//h2/a")] == ["more/square.html", "round.html"]


def test_a_picture_of_anothers_is_left_as_it_is(folder: Path, tmp_path: Path) -> None:
    site = tmp_path / "site"
    site.mkdir()
    (site / "round.png").write_bytes(b"mine")
    done = publish_folder(str(folder), Choices(folder=str(site)))
    assert done.status == WRONG_USE
    assert f"{site / 'round.png'} is another picture than {folder / 'round.png'}" in done.err
    assert (site / "round.png").read_bytes() == b"mine"
    assert done.out.endswith("2 patterns, 0 unchanged, 1 not published")


def test_a_picture_that_changed_takes_the_place_of_the_one_put_there(folder: Path, tmp_path: Path) -> None:
    site = tmp_path / "site"
    publish_folder(str(folder), Choices(folder=str(site)))
    (folder / "round.png").write_bytes(PNG + b"\0")
    assert publish_folder(str(folder), Choices(folder=str(site))).status == CLEAN
    assert (site / "round.png").read_bytes() == PNG + b"\0"


def test_what_a_pattern_leaves_behind_is_told_once(folder: Path) -> None:
    publish_folder(str(folder), Choices())
    (folder / "round.tch").unlink()
    done = publish_folder(str(folder), Choices())
    assert f"{folder / 'round.html'} stays, though round.tch is gone" in done.out.splitlines()
    assert "round.html" not in (folder / "index.html").read_text("utf-8")
    assert publish_folder(str(folder), Choices()).out == "1 pattern, 1 unchanged"


@pytest.mark.parametrize(
    "choices",
    [
        Choices(site="patterns/"),
        Choices(date="2026"),
        Choices(front_matter="mysite"),
        Choices(front_matter="mysite.toml"),
        Choices(templates="nowhere"),
    ],
    ids=["site", "date", "front matter", "own front matter", "templates"],
)
def test_a_wrong_choice_is_told_once(folder: Path, choices: Choices) -> None:
    patterns = [str(folder / "round.tch"), str(folder / "more" / "square.tch")]
    for done in (publish_folder(str(folder), choices), publish(patterns, choices)):
        assert done.status == WRONG_USE
        assert len(done.err.splitlines()) == 1
        assert not (folder / "round.html").exists()
        assert not (folder / RECORD).exists()


def test_what_is_wrong_with_a_template_is_told_once(folder: Path, tmp_path: Path) -> None:
    own = tmp_path / "own"
    own.mkdir()
    (own / "page.html").write_text("{% if %}")
    patterns = [str(folder / "round.tch"), str(folder / "more" / "square.tch")]
    choices = Choices(templates=str(own))
    for done in (publish_folder(str(folder), choices), publish(patterns, choices)):
        assert done.status == WRONG_USE
        assert len(done.err.splitlines()) == 1
        assert done.err.startswith(f"turnchain: {own / 'page.html'}, line 1: ")


def test_no_pattern_takes_the_place_of_the_index(folder: Path) -> None:
    (folder / "round.tch").rename(folder / "index.tch")
    done = publish_folder(str(folder), Choices())
    assert done.status == WRONG_USE
    assert f"{folder / 'index.tch'} would be written where the index of the folder stands" in done.err
    assert "A square" in (folder / "index.html").read_text("utf-8")
