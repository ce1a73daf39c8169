"""What a pattern says of rows in stripes, held against the yarns that the rows are told to be worked with."""

import re
from collections.abc import Mapping
from itertools import chain, cycle, islice, repeat

from .words import ReadingError

SAID = re.compile(
    r"Work the next (?P<rows>\d+) (?:row|round)s in stripes, over and over: (?P<stripes>.+?)\."
    r"(?P<edge> (?:Leave the yarn not in use at the edge, and take it up again for its next stripe"
    r"|Cut the yarn at the end of each stripe, and join it again for its next one)\.)?"
)
STRIPE = re.compile(r"(\d+) (?:row|round)s? with yarn (\w+)")


def check_stripes(line: str, done: int, yarns: Mapping[int, str], rows: int) -> None:
    """Raise ReadingError unless rows after the first `done`, up to `rows` at most, are in these stripes."""
    said = SAID.fullmatch(line)
    if not said:
        raise ReadingError("how do the stripes go?", line)
    stripes = [STRIPE.fullmatch(part) for part in re.split(r", | and ", said["stripes"])]
    if None in stripes or len(stripes) < 2:
        raise ReadingError("these stripes are not understood", line)
    many = int(said["rows"])
    turn = chain.from_iterable(repeat(each[2], int(each[1])) for each in stripes if each)
    told = [yarns.get(number) for number in range(done + 1, done + many + 1)]
    if done + many > rows or told != list(islice(cycle(turn), many)):
        raise ReadingError(f"the rows are worked with {told}", line)
