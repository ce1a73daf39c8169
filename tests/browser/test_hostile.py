"""Patterns whose words are markup, script, template code or endless: in the browser they are words."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.publish import render
from turnchain.compiler.publish.plain import clean_text
from turnchain.compiler.wording import document
from turnchain.lang.source import Source

from ..compiler.publish.test_same_words import everywhere
from ..compiler.publish.wording import MARKDOWN_ENGINES

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from ..chromium import Heard

pytestmark = pytest.mark.browser

SCRIPT = "fetch(&#39;//x.example&#39;);alert(1)"
WORDS = {
    "script": f"<script>{SCRIPT}</script><img src=x onerror={SCRIPT}><svg onload={SCRIPT}>",
    "broken out": "--></style></title></script></textarea><iframe srcdoc=x></iframe>"
    f"<a href=javascript:{SCRIPT}>x</a>",
    "templates": "{{ 7*7 }} {% raw %} {# x #} {{< nope >}} ${7*7} <%= 7*7 %> {:.row} [[7*7]] @{7*7}",
    "directions": "abc \u202edcba\u202c \u2066x\u2069 \u200fy",
    "endless word": "x" * 100_000,
    "endless words": "a b " * 25_000,
}

PATTERN = """turnchain 1, US
pattern {words}
by {words}
level {words}
for {words}
notions {words}
yarn A: {words}
yarn B: DK (light), {words}
sizes {size} 1, {size} 2
picture picture.png: {words}
note {words}
caution {words}
stitch frill: 3 dc in st "{words}"

piece Band "{words}", turned rows
start 6/7 ch
row 1: sc to end
note {words}
row 2: sc, frill, sc to end
row 3: "{words}" over 7/8 makes 5 sc
finish {words}
"""

ALIVE = """() => [...document.querySelectorAll("script, iframe, svg, img, base, [onerror], [onload], a")]
  .filter(one => one.type !== "application/ld+json" && !(one.getAttribute("href") || "").startsWith("#"))
  .filter(one => one.getAttribute("src") !== "picture.png")
  .map(one => one.outerHTML)"""


@pytest.mark.parametrize("words", WORDS.values(), ids=WORDS)
@pytest.mark.parametrize("kind", ["html", "fragment"])
def test_words_are_only_words(page: Page, heard: Heard, tmp_path: Path, kind: str, words: str) -> None:
    size = words[:100].replace(",", " ")
    analysis = analyse(Source("hostile.tch", PATTERN.format(words=words.replace('"', ""), size=size)))
    assert not analysis.has_errors
    published = document(analysis, "US", "full")
    file = tmp_path / "pattern.html"
    file.write_text(render(published, kind), encoding="utf-8")
    asked = []
    page.on("dialog", lambda dialog: asked.append(dialog.message))
    page.goto(file.as_uri(), wait_until="networkidle")
    assert asked == []
    assert page.evaluate(ALIVE) == []
    assert {address for address in heard.asked if not address.startswith("file:")} == set()
    for control in page.locator("fieldset").all():
        control.evaluate("one => one.remove()")
    shown = "".join(page.inner_text("body").split())
    assert shown.count("".join(clean_text(published.title).split())) >= 10
    if kind == "html":
        assert page.evaluate("() => document.documentElement.scrollWidth <= innerWidth")


POST = "<!DOCTYPE html><html lang=en><meta charset=utf-8><title>A post</title><main>{}</main></html>"

MARKDOWN = {
    **WORDS,
    "links": f"![x](javascript:{SCRIPT}) [x](javascript:{SCRIPT}) <javascript:{SCRIPT}>",
    "null bytes": "\0<\0script\0>\0",
}


@pytest.mark.parametrize("words", MARKDOWN.values(), ids=MARKDOWN)
@pytest.mark.parametrize("engine", MARKDOWN_ENGINES)
def test_a_post_of_words_has_the_elements_of_a_post(
    page: Page, heard: Heard, tmp_path: Path, engine: str, words: str
) -> None:
    """Whatever stands in every field, each engine makes the page of it that it makes of one harmless word."""
    asked = []
    page.on("dialog", lambda dialog: asked.append(dialog.message))
    file = tmp_path / "post.html"
    made = []
    for each in ("wool", words):
        post = render(everywhere(each), "markdown")
        file.write_text(POST.format(MARKDOWN_ENGINES[engine](post)), encoding="utf-8")
        page.goto(file.as_uri())
        made.append(page.evaluate("[...document.querySelectorAll('body *')].map(one => one.tagName)"))
    assert made[0] == made[1]
    assert asked == []
    assert all(address.startswith(tmp_path.as_uri()) for address in heard.asked)
