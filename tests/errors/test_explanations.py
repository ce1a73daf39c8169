"""Every explanation's wrong example raises its diagnostic alone, and its right example nothing."""

import pytest
from turnchain.compiler.explain import Explanation, explanation, names
from turnchain.compiler.pipeline import check_text


def page(name: str) -> Explanation:
    found = explanation(name)
    assert found is not None
    return found


@pytest.mark.parametrize("name", names())
def test_the_wrong_example_raises_its_diagnostic_and_no_other(name: str) -> None:
    assert [one.name for one in check_text(page(name).wrong)] == [name]


@pytest.mark.parametrize("name", names())
def test_the_right_example_is_clean(name: str) -> None:
    assert [(one.name, one.message) for one in check_text(page(name).right)] == []
