"""Words that hold a number for every size, told apart: 8 (10, 12) is three numbers, one a size."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

_NUMBER = r"(\d+(?:[.,]\d+)?[¼½¾]?(?:st|nd|rd|th|\.)?|[¼½¾])"
"""With the decimal mark and the ordinals of any language that patterns are worded in."""


def parts(text: str, sizes: int) -> Iterator[str | tuple[str, ...]]:
    """Yield the text in order: words as they stand, and where sizes differ the number of each.

    What has more numbers or fewer than there are sizes is words like any others.
    """
    end = 0
    if sizes > 1 and "(" in text:
        for found in _numbers(sizes).finditer(text):
            if found.start() > end:
                yield text[end : found.start()]
            yield found.groups()
            end = found.end()
    if end < len(text):
        yield text[end:]


@cache
def _numbers(sizes: int) -> re.Pattern[str]:
    return re.compile(rf"(?<![\w.,]){_NUMBER} \({', '.join([_NUMBER] * (sizes - 1))}\)")
