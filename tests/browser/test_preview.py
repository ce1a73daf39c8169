"""The preview of a watched pattern in a browser: it follows every save, and says what is wrong."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from turnchain.compiler.commands.publish import Choices
from turnchain.compiler.watch import Preview, Watch

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from ..chromium import Heard

pytestmark = pytest.mark.browser

COASTER = """turnchain 1, US
pattern Coaster
piece Coaster, turned rows
start 11 ch
row 1: sc to end = 10
"""


@pytest.fixture
def preview() -> Iterator[Preview]:
    with Preview("coaster.tch") as opened:
        yield opened


@pytest.fixture
def pattern(tmp_path: Path) -> Path:
    return tmp_path / "coaster.tch"


def test_the_preview_follows_every_save(page: Page, heard: Heard, preview: Preview, pattern: Path) -> None:
    watched = Watch(str(pattern), Choices(), preview, lambda _: None)

    def save(text: str) -> None:
        pattern.write_text(text)
        watched.once()

    shown = page.frame_locator("iframe")
    report = page.locator("pre")
    save(COASTER)
    page.goto(preview.address)
    shown.get_by_text("Row 1:").wait_for()
    assert not report.is_visible()

    save(COASTER.replace("= 10", "= 9"))
    report.wait_for(state="visible")
    assert report.inner_text().startswith("error[stated-total]: row 1 makes 10 stitches")
    assert "Row 1:" in shown.locator("body").inner_text(), "the last good page stays"

    save(COASTER + "row 2: [2 sc, inc] x 3, sc = 13\n")
    shown.get_by_text("Row 2:").wait_for()
    report.wait_for(state="hidden")

    assert heard.said == []
    assert {address.startswith(preview.address) for address in heard.asked} == {True}


def test_the_preview_stays_where_it_was_scrolled_to(page: Page, preview: Preview, pattern: Path) -> None:
    watched = Watch(str(pattern), Choices(), preview, lambda _: None)
    rows = "".join(f"row {row}: {row % 9 + 1} sc, hdc to end = 10\n" for row in range(2, 120))

    def save(text: str) -> None:
        pattern.write_text(text)
        watched.once()

    save(COASTER + rows)
    page.set_viewport_size({"width": 800, "height": 600})
    page.goto(preview.address)
    shown = page.frame_locator("iframe")
    shown.get_by_text("Row 60:").scroll_into_view_if_needed()
    frame = page.frames[1]
    before = frame.evaluate("scrollY")
    assert before > 500

    save(COASTER + rows + "row 120: sc to end = 10\n")
    shown.get_by_text("Row 120:").wait_for(state="attached")
    page.wait_for_function("document.querySelector('iframe').contentDocument.readyState === 'complete'")
    page.wait_for_timeout(100)
    assert page.frames[1].evaluate("scrollY") == before

    save(COASTER + rows + "row 120: sc to end = 11\n")
    page.locator("pre").wait_for(state="visible")
    assert page.frames[1].evaluate("scrollY") == before
    assert "Row 120:" in shown.locator("body").inner_text()


def test_another_site_can_not_show_the_preview(page: Page, preview: Preview) -> None:
    preview.show("<p>my pattern", "")
    page.goto("data:text/html,<iframe></iframe>")
    page.evaluate("address => { document.querySelector('iframe').src = address }", preview.address + "page")
    page.wait_for_timeout(500)
    (framed,) = page.frames[1:]
    assert framed.url == "chrome-error://chromewebdata/"
    assert "my pattern" not in framed.content()
