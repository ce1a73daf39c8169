"""Published pages opened in a browser: quiet, whole, and readable on a narrow telephone."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from turnchain.compiler.document import Document
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.publish import render
from turnchain.compiler.wording import document
from turnchain.lang.source import Source

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from ..chromium import Heard

pytestmark = pytest.mark.browser

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.tch"))

NARROWEST = 320
"""CSS pixels to which a page must narrow without scrolling in two directions.

Web Content Accessibility Guidelines 2.2, success criterion 1.4.10 Reflow; it leaves out what needs two
directions to be understood, such as a chart.
"""

SCROLLING = """() => [...document.querySelectorAll("*")]
  .filter(one => one.scrollWidth > one.clientWidth && getComputedStyle(one).display !== "inline")
  .filter(one => !one.closest(".pattern-squares"))
  .map(one => `${one.tagName} ${one.className}: ${one.scrollWidth} in ${one.clientWidth}`)"""


@cache
def published(path: Path) -> Document:
    return document(analyse(Source(path.name, path.read_text(encoding="utf-8"))), "US", "full")


@pytest.fixture(params=EXAMPLES, ids=lambda path: path.stem)
def pattern(request: pytest.FixtureRequest) -> Document:
    return published(request.param)


@pytest.fixture
def address(pattern: Document, tmp_path: Path) -> str:
    file = tmp_path / "pattern.html"
    file.write_text(render(pattern, "html"), encoding="utf-8")
    return file.as_uri()


def words(text: str) -> list[str]:
    """The words of a text, without the lines under headings and the dashes before entries."""
    return [word for word in text.split() if set(word) - set("-=")]


def test_a_page_says_nothing_to_the_console_and_asks_for_nothing(
    page: Page, heard: Heard, address: str
) -> None:
    page.goto(address, wait_until="networkidle")
    assert heard.said == []
    assert heard.asked == [address]


def test_a_page_shows_the_words_of_the_text(page: Page, address: str, pattern: Document) -> None:
    page.goto(address)
    assert page.title() == pattern.title
    for control in page.locator("fieldset").all():
        control.evaluate("one => one.remove()")
    assert words(page.inner_text("body")) == words(render(pattern, "text"))


def test_every_row_shows_its_count(page: Page, address: str, pattern: Document) -> None:
    page.goto(address)
    counts = [
        entry.count
        for section in pattern.sections
        for entry in section.entries
        if getattr(entry, "count", "")
    ]
    shown = page.locator(".pattern-rows > li .pattern-count").all_inner_texts()
    assert [count.strip("()[]") for count in shown] == [count.strip("()[]") for count in counts]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_scrolls_sideways_on_the_narrowest_screen(page: Page, address: str, scheme: str) -> None:
    page.emulate_media(color_scheme=scheme)
    page.set_viewport_size({"width": NARROWEST, "height": 640})
    page.goto(address)
    assert page.evaluate("document.documentElement.scrollWidth") <= NARROWEST
    assert page.evaluate(SCROLLING) == []


def test_a_chart_that_is_too_wide_scrolls_by_itself(page: Page, tmp_path: Path) -> None:
    wide = "X" * 60
    text = (
        "turnchain 1, US\npattern Runner\nyarn A: cream, 50 g\nyarn B: blue, 50 g\n"
        f"chart Plain: . = A, X = B\n  {wide}\n"
        "piece Runner, turned rows\nstart for 60\nrow 1 with A: sc to end = 60\n"
        "row 2 in sc: chart Plain row 1\n"
    )
    found = analyse(Source("runner.tch", text))
    assert not found.has_errors
    file = tmp_path / "runner.html"
    file.write_text(render(document(found, "US", "full"), "html"), encoding="utf-8")
    page.set_viewport_size({"width": NARROWEST, "height": 640})
    page.goto(file.as_uri())
    squares = page.locator(".pattern-squares")
    assert squares.evaluate("one => one.scrollWidth > one.clientWidth")
    assert page.evaluate("document.documentElement.scrollWidth") <= NARROWEST


SIZED = next(path for path in EXAMPLES if path.stem == "harbour-hat")


@pytest.fixture
def in_sizes(page: Page, tmp_path: Path) -> Page:
    """A page of a pattern in five sizes."""
    file = tmp_path / "sizes.html"
    file.write_text(render(published(SIZED), "html"), encoding="utf-8")
    page.goto(file.as_uri())
    return page


def shown_counts(page: Page) -> list[str]:
    return page.locator(".pattern-count:visible").all_inner_texts()


def several(count: str) -> bool:
    """Tell whether a count names other sizes' numbers beside its own."""
    return re.search(r"\d \(", count) is not None


def test_a_size_is_chosen_by_mouse(in_sizes: Page) -> None:
    every = shown_counts(in_sizes)
    in_sizes.get_by_label("3 years", exact=True).click()
    one = shown_counts(in_sizes)
    assert one != every
    assert not any(several(count) for count in one), one
    in_sizes.get_by_role("radio").first.click()
    assert shown_counts(in_sizes) == every


def test_a_size_is_chosen_by_keyboard(in_sizes: Page) -> None:
    every = shown_counts(in_sizes)
    in_sizes.get_by_role("radio").first.focus()
    seen = []
    for _ in published(SIZED).sizes:
        in_sizes.keyboard.press("ArrowDown")
        seen.append(shown_counts(in_sizes))
    assert every not in seen
    assert not [count for counts in seen for count in counts if several(count)]
    in_sizes.keyboard.press("ArrowDown")
    assert shown_counts(in_sizes) == every


def test_a_row_is_ticked_by_mouse_and_by_keyboard(in_sizes: Page) -> None:
    first, second = in_sizes.get_by_role("checkbox").all()[:2]
    first.click()
    assert first.is_checked()
    in_sizes.keyboard.press("Tab")  # the link of the row
    in_sizes.keyboard.press("Tab")
    assert second.evaluate("one => one === document.activeElement")
    assert second.evaluate("one => getComputedStyle(one).outlineStyle") == "solid"
    in_sizes.keyboard.press("Space")
    assert second.is_checked()
    in_sizes.keyboard.press("Space")
    assert not second.is_checked()


def test_what_can_be_pressed_is_large_enough(in_sizes: Page) -> None:
    """Web Content Accessibility Guidelines 2.2, success criterion 2.5.8: 24 by 24 CSS pixels."""
    for control in in_sizes.locator("input").all():
        box = control.bounding_box()
        assert box is not None
        assert min(box["width"], box["height"]) >= 24


def test_all_sizes_are_printed_whatever_is_chosen(in_sizes: Page) -> None:
    every = shown_counts(in_sizes)
    in_sizes.get_by_label("3 years", exact=True).click()
    in_sizes.emulate_media(media="print")
    assert shown_counts(in_sizes) == every
