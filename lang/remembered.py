"""What a function of a text returned lately, so that it need not be worked out again."""

from __future__ import annotations

from collections.abc import Callable
from functools import update_wrapper
from typing import Generic, TypeVar

V = TypeVar("V")

LATELY = 100_000
"""Characters: a pattern of a thousand rows. Texts that come to no more are all remembered, of others
twice as much at most. It is characters that are counted, as what comes of a text grows with them."""

_EACH = 20
"""Characters that each text counts for beside its own, as even the shortest takes memory."""


class Remembered(Generic[V]):
    """A function of a text that remembers what it returned for the texts that it was asked for lately."""

    def __init__(self, function: Callable[[str], V]) -> None:
        update_wrapper(self, function)
        self._function = function
        self._now: dict[str, V] = {}
        self._before: dict[str, V] = {}
        self._held = 0

    def __call__(self, text: str) -> V:
        """Return what the function returns, which is never None."""
        found = self._now.get(text)
        if found is None:
            older = self._before.pop(text, None)
            found = self._function(text) if older is None else older
            self._now[text] = found
            self._held += len(text) + _EACH
            if self._held > LATELY:
                self._now, self._before, self._held = {}, self._now, 0
        return found

    def forget(self) -> None:
        """Let go of all that is held."""
        self._now, self._before, self._held = {}, {}, 0
