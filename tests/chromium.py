"""A Chromium of this machine, driven by playwright, with a profile of its own that is thrown away."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Page

SWITCHES = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[BrowserContext]:
    from playwright.sync_api import sync_playwright

    program = shutil.which("chromium") or shutil.which("chromium-browser")
    assert program, "these tests need Chromium"
    profile = tmp_path_factory.mktemp("profile")
    with sync_playwright() as driver:
        opened = driver.chromium.launch_persistent_context(
            profile, executable_path=program, headless=True, args=SWITCHES
        )
        yield opened
        opened.close()


class Heard:
    """What a page says and asks for while it is open."""

    def __init__(self, page: Page) -> None:
        self.said: list[str] = []
        self.asked: list[str] = []
        page.on("console", lambda message: self.said.append(message.text))
        page.on("pageerror", lambda error: self.said.append(str(error)))
        page.on("request", lambda request: self.asked.append(request.url))


@pytest.fixture
def page(browser: BrowserContext) -> Iterator[Page]:
    opened = browser.new_page()
    yield opened
    opened.close()


@pytest.fixture
def heard(page: Page) -> Heard:
    return Heard(page)
