"""So many stitches over so many places: which of them get one more than the others."""

from __future__ import annotations

from dataclasses import replace

from .steps import BracketStep, Steps, StitchStep, Target


def laid_over(step: StitchStep, places: int) -> Steps:
    """Return steps that lay the stitches of `step` over `places` places, at least one in each.

    The places that get one more lie as evenly as can be. How long the steps are does not depend on how many
    stitches there are, but on how often the one number goes into the other.
    """
    assert step.count is not None
    few, more = divmod(step.count, places)
    return _evenly(_each(step, few), _each(step, few + 1), places, more, step)


def _each(step: StitchStep, count: int) -> Steps:
    return (replace(step, count=count, target=Target("st", "st", span=step.span)),)


def _evenly(small: Steps, large: Steps, total: int, large_ones: int, step: StitchStep) -> Steps:
    """Return `total` turns in all, so many of them `large`, with the small ones spread between those."""
    if not large_ones:
        return _times(small, total, step)
    around, rest = divmod(total - large_ones, large_ones)
    return _evenly(
        _among(small, large, around, step), _among(small, large, around + 1, step), large_ones, rest, step
    )


def _among(small: Steps, large: Steps, around: int, step: StitchStep) -> Steps:
    before = around // 2
    return (*_times(small, before, step), *large, *_times(small, around - before, step))


def _times(steps: Steps, times: int, step: StitchStep) -> Steps:
    if times == 0:
        return ()
    only = steps[0]
    if len(steps) == 1 and isinstance(only, StitchStep) and only.count == 1:
        return (replace(only, count=times, target=None),)
    if times == 1:
        return steps
    return (BracketStep(steps, times, span=step.span, over=True),)
