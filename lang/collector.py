"""Python's garbage collector, held off while much is made of which nothing is thrown away."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager

MUCH = 50_000
"""Objects, beyond which looking through them once takes longer than a maker at the keyboard should wait."""


@contextmanager
def collector_held_off() -> Iterator[None]:
    """Keep the collector from running inside the block.

    Trees and counts hold no cycles, and a collector that looks through them again and again costs as much as
    making them does.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            if gc.get_count()[0] > MUCH and not gc.get_freeze_count():
                # Counts what is new among what has lasted; else the collector would look through it at once.
                # Done after every little, the collector would never look at anything.
                gc.freeze()
                gc.unfreeze()
            gc.enable()
