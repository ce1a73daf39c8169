"""What a pattern says of when it increases and decreases, held against the counts of the rows that follow."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from .words import ReadingError

SAID = re.compile(r"(?:(?:Increase|Decrease) \d+ |Sizes? [^:]+: (?:increase|decrease|no shaping))")
CLAUSE = re.compile(
    r"(?P<verb>increase|decrease) (?P<amount>\d+)(?: or (?P<most>\d+))? stitch(?:es)? "
    r"(?P<where>evenly|at each end|at the beginning|at the end|in the middle|at each \w+) (?P<when>.+)",
    re.IGNORECASE,
)
NTH = r"(?:(\d+)(?:st|nd|rd|th) )?(?:row|round)"
TIMES = {"once": 1}


@dataclass(frozen=True, slots=True)
class Change:
    """`falls` holds the rows it falls in, the first that follows being 1; `choices` the gaps left open."""

    amount: int
    where: str
    falls: tuple[int, ...]
    choices: tuple[int, ...] = ()
    open_times: int = 0
    among: tuple[int, int, int] | None = None
    """Rows, the least in each, and all together."""


def is_schedule(line: str) -> bool:
    """Whether a line tells when rows change."""
    return bool(SAID.match(line))


def changes_of(line: str, size: str, done: int) -> tuple[Change, ...]:
    """What a line says for one size, `done` rows having been worked."""
    text = line.strip()
    if not text.endswith(", as follows:"):
        raise ReadingError("do the rows that follow do it?", line)
    text = text.removesuffix(", as follows:")
    if text.lower().startswith("size"):
        for part in text.split("; "):
            names, _, said = part.partition(": ")
            if size in re.split(r", | and ", re.sub(r"^sizes? ", "", names, flags=re.IGNORECASE)):
                text = said
                break
        else:
            raise ReadingError(f"nothing is said for size {size}", line)
    if text == "no shaping":
        return ()
    return tuple(_change(part, done) for part in re.split(r", and (?=increase|decrease)", text))


def _change(text: str, done: int) -> Change:
    said = CLAUSE.fullmatch(text)
    if not said:
        raise ReadingError("when does it change?", text)
    sign = 1 if said["verb"].lower() == "increase" else -1
    amount, where, when = sign * int(said["amount"]), said["where"].lower(), said["when"]
    if found := re.fullmatch(
        r"in (?:each of )?the next (?:(\d+) (?:rows|rounds)|row|round), (\d+) in all", when
    ):
        if int(said["most"] or 0) != abs(amount) + 1:
            raise ReadingError("how many in each row?", text)
        return Change(amount, where, (), among=(int(found[1] or 1), abs(amount), sign * int(found[2])))
    if found := re.fullmatch(r"in (?:row|round)s? ([\d, –and]+)", when):
        return Change(amount, where, tuple(each - done for each in _numbers(found[1])))
    falls: list[int] = []
    choices: tuple[int, ...] = ()
    times = 0
    for part in when.split(", then "):
        if choices:
            raise ReadingError("nothing may follow what is left open", text)
        if found := re.fullmatch(rf"every {NTH} (\d+) times", part):
            gap = int(found[1] or 1)
            for _ in range(int(found[2])):
                falls.append((falls[-1] if falls else 0) + gap)
        elif found := re.fullmatch(
            r"in each of the (?:next (\d+) (?:rows|rounds)|(\d+) (?:rows|rounds) after that)", part
        ):
            if bool(found[2]) != bool(falls):
                raise ReadingError("from where on?", text)
            for _ in range(int(found[1] or found[2])):
                falls.append((falls[-1] if falls else 0) + 1)
        elif re.fullmatch(r"in the next (?:row|round)", part) and not falls:
            falls.append(1)
        elif found := re.fullmatch(rf"in the {NTH} (from here|after that)", part):
            if (found[2] == "after that") != bool(falls):
                raise ReadingError("from where on?", text)
            falls.append((falls[-1] if falls else 0) + int(found[1] or 1))
        elif found := re.fullmatch(
            rf"every (?:{NTH}|(\d+)(?:st|nd|rd|th)) or (?:every )?{NTH} (once|\d+ times)", part
        ):
            choices = (int(found[1] or found[2] or 1), int(found[3] or 1))
            times = TIMES.get(found[4]) or int(found[4].split()[0])
        elif (found := re.fullmatch(rf"every {NTH} once", part)) and falls:
            falls.append(falls[-1] + int(found[1] or 1))
        else:
            raise ReadingError("when does it change?", text)
    return Change(amount, where, tuple(falls), choices, times)


def _numbers(text: str) -> Iterator[int]:
    for part in re.split(r", | and ", text):
        first, _, last = part.partition("–")
        yield from range(int(first), int(last or first) + 1)


def check(changes: tuple[Change, ...], before: int, counts: tuple[int, ...], line: str) -> None:
    """Raise ReadingError unless the counts of the rows that follow change as was said.

    Where several changes are told, none of them may be left open.
    """
    steps = [now - was for was, now in zip((before, *counts), counts, strict=False)]
    left_open = [each for each in changes if each.choices or each.among]
    if left_open:
        told = [0] * len(steps)
        for each in changes:
            if each not in left_open:
                _lay(each, told, steps, line)
        rest = [have - said for have, said in zip(steps, told, strict=True)]
        for each in left_open:
            _check_open(each, rest, line)
        return
    told = [0] * len(steps)
    for each in changes:
        _lay(each, told, steps, line)
    last = max((row for each in changes for row in each.falls), default=0)
    if told[:last] != steps[:last]:
        raise ReadingError(f"the rows change by {steps[:last]}", line)


def _lay(change: Change, told: list[int], steps: list[int], line: str) -> None:
    places = {"at each end": 2}.get(change.where, 1)
    if change.where.startswith("at each ") and change.where != "at each end" and change.falls:
        places = max(1, steps[change.falls[0] - 1] // change.amount)
    for row in change.falls:
        if not 0 < row <= len(steps):
            raise ReadingError(f"there is no row {row} after this", line)
        told[row - 1] += change.amount * places


def _check_open(change: Change, rest: list[int], line: str) -> None:
    if change.among is not None:
        rows, least, total = change.among
        part = [abs(each) for each in rest[:rows]]
        if sum(rest[:rows]) != total or set(part) - {least, least + 1}:
            raise ReadingError(f"the rows change by {rest[:rows]}", line)
        return
    places = 2 if change.where == "at each end" else 1
    at = [row for row, each in enumerate(rest, 1) if each][: len(change.falls) + change.open_times]
    if any(rest[row - 1] % (change.amount * places) for row in at):
        raise ReadingError("the rows change by something else", line)
    if tuple(at[: len(change.falls)]) != change.falls or len(at) != len(change.falls) + change.open_times:
        raise ReadingError(f"the rows change in {at}", line)
    gaps = {b - a for a, b in zip(at[len(change.falls) - 1 :], at[len(change.falls) :], strict=False)}
    if gaps - set(change.choices):
        raise ReadingError(f"the rows change in {at}", line)
