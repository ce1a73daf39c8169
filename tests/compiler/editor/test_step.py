"""Whatever is typed, the server keeps in step with the text, and nothing that it is asked for fails."""

from __future__ import annotations

import pytest

from .typist import type_at_random


@pytest.mark.parametrize("seed", range(3), ids=["utf-8", "utf-16", "utf-32"])
def test_the_server_keeps_in_step_with_what_is_typed(seed: int) -> None:
    assert type_at_random(800, seed, compared=40, looked=10) == 20
