"""Explanation pages: their shape, and how they are printed."""

import pytest
from turnchain.compiler.explain import Explanation, explanation, names, printed, read

PAGE = """# no-hook: no hook is named

A hook is wanted.

Name one.

## Wrong

```
pattern Hat

row 1: sc
```

## Right

```
hook 4 mm
```
"""


def test_every_page_can_be_read_and_bears_the_name_of_its_file() -> None:
    pages = [explanation(name) for name in names()]
    assert [page.name for page in pages if page] == list(names())


def test_the_examples_of_every_page_are_whole_patterns_that_differ() -> None:
    for name in names():
        page = explanation(name)
        assert page is not None
        assert page.wrong != page.right
        assert page.right.startswith("turnchain 1, ")
        assert "\npattern " in page.right


def test_names_are_in_alphabetical_order() -> None:
    assert "stated-total" in names()
    assert list(names()) == sorted(names())


def test_a_page_falls_into_its_parts() -> None:
    assert read(PAGE) == Explanation(
        name="no-hook",
        title="no hook is named",
        text="A hook is wanted.\n\nName one.",
        wrong="pattern Hat\n\nrow 1: sc\n",
        right="hook 4 mm\n",
    )


@pytest.mark.parametrize("name", ["no-such-thing", "", "../reference", "stated-total.md", "STATED-TOTAL"])
def test_there_is_no_explanation_of_anything_else(name: str) -> None:
    assert explanation(name) is None


@pytest.mark.parametrize("cut", ["## Wrong", "## Right", "# no-hook: no hook is named"])
def test_a_page_that_lacks_a_part_is_refused(cut: str) -> None:
    with pytest.raises(ValueError, match="a page has"):
        read(PAGE.replace(cut, ""))


def test_it_is_printed_as_plain_text_with_indented_examples() -> None:
    assert printed(read(PAGE)) == "\n".join(
        [
            "no-hook: no hook is named",
            "",
            "A hook is wanted.",
            "",
            "Name one.",
            "",
            "Wrong:",
            "",
            "    pattern Hat",
            "",
            "    row 1: sc",
            "",
            "Right:",
            "",
            "    hook 4 mm",
        ]
    )
