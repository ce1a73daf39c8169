"""Measures what Turnchain costs, as ratios within one run, and prints them beside their bars.

`python tests/bench/run.py` measures the Turnchain of the Python it is run with. That should be an installed
one, for the tables that make it start fast are made when it is built. A bar that is missed is tried twice
more. Exit status 3 if one is still missed, 4 if by more than a quarter.
"""

from __future__ import annotations

import gc
import os
import resource
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from time import perf_counter, process_time

from patterns import (
    grid_pattern,
    long_pattern,
    repeat_pattern,
    schedule_pattern,
    shaped_pattern,
    sized_pattern,
)

HERE = Path(__file__).parent
SMALL = long_pattern(20)
PROGRAM = (sys.executable, "-c", "from turnchain.compiler.cli import main; main()")
MISSED, FAR = 3, 4
"""Exit statuses: a bar was missed; it was missed by more than a busy machine can be blamed for."""

NOISE = 1.25
"""How far over its bar a ratio may come to on a machine that does other things as well."""

TRIES = 3


@dataclass(frozen=True)
class Measured:
    """One ratio and the most it may be."""

    what: str
    ratio: float
    bar: float
    detail: str

    def __str__(self) -> str:
        verdict = "ok" if self.ratio <= self.bar else "MISSED"
        return f"{self.what:<58} {self.ratio:6.2f} x   bar {self.bar:5.2f}   {verdict:<6} {self.detail}"


# ---- starting up -------------------------------------------------------------------------------------------


def start_up(what: str, environment: dict[str, str], times: int = 21) -> Measured:
    """Check a small file in a whole process, and start the empty program, in turn."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "small.tch")
        path.write_text(SMALL, "utf-8")
        ours = [*PROGRAM, "check", str(path)]
        peer = [sys.executable, "-c", "from peer import app; app()", "check", str(path)]
        ratios, walls = interleaved(
            lambda: _process(ours, environment), lambda: _process(peer, environment), times
        )
    return Measured(what, ratios, 1.5, _walls(walls, "check", "peer"))


def _process(command: Sequence[str], environment: dict[str, str]) -> float:
    start = perf_counter()
    subprocess.run(command, check=True, capture_output=True, cwd=HERE, env={**os.environ, **environment})
    return perf_counter() - start


# ---- checking ----------------------------------------------------------------------------------------------


def checked(text: str) -> float:
    """Return the seconds of computing that a check takes where the text was not seen before."""
    from turnchain.compiler.pipeline import analyse
    from turnchain.lang import parser
    from turnchain.lang.source import Source

    parser._remembered.forget()
    gc.collect()
    start = process_time()
    found = analyse(Source("long.tch", text))
    took = process_time() - start
    assert not found.diagnostics, found.diagnostics[:3]
    return took


def parsed_by_lark(text: str) -> float:
    """Return the seconds of computing that lark takes for their plain trees, the collector off."""
    from turnchain import grammar
    from turnchain.grammar.tables import lark_parser

    lark = lark_parser(grammar.text())
    statements = text.splitlines()
    gc.collect()
    gc.disable()
    try:
        start = process_time()
        trees = [lark.parse(statement) for statement in statements]
        took = process_time() - start
    finally:
        gc.enable()
    assert len(trees) == len(statements)
    return took


def against_lark(rows: int, times: int) -> Measured:
    text = long_pattern(rows)
    bodies = {line.partition(":")[2] for line in text.splitlines() if line.startswith("row ")}
    assert len(bodies) == rows, "rows are alike"
    checked(long_pattern(100))
    ratio, walls = interleaved(lambda: checked(text), lambda: parsed_by_lark(text), times)
    return Measured(
        f"{rows:,} distinct rows: check / lark's plain parse", ratio, 2, _walls(walls, "check", "lark")
    )


def growth(few: int, many: int) -> Measured:
    ratio, walls = interleaved(_check_of(long_pattern(many)), _check_of(long_pattern(few)), 2)
    return Measured(f"{many:,} rows / {few:,} rows", ratio, 12, _walls(walls, "many", "few"))


def repeats(*, nested: bool) -> Measured:
    many, few = repeat_pattern(10**9, nested=nested), repeat_pattern(10, nested=nested)
    ratio, walls = interleaved(_check_of(many), _check_of(few), 101)
    what = f"{'a nested' if nested else 'a'} repeat of 10^9 / of 10"
    return Measured(what, ratio, 1.15, _walls(walls, "10^9", "10"))


def grids() -> Measured:
    many, few = grid_pattern(1000, 1000), grid_pattern(2, 2)
    ratio, walls = interleaved(_check_of(many), _check_of(few), 101)
    return Measured("a grid of 1,000 x 1,000 motifs / of 2 x 2", ratio, 1.15, _walls(walls, "many", "few"))


def sizes(rows: int, times: int) -> Measured:
    ratio, walls = interleaved(_check_of(sized_pattern(rows, 8)), _check_of(sized_pattern(rows, 1)), times)
    return Measured(
        f"eight sizes / one, every row varying ({rows:,} rows)", ratio, 3, _walls(walls, "eight", "one")
    )


def ten_sizes(rows: int, times: int) -> Measured:
    ratio, walls = interleaved(_check_of(sized_pattern(rows, 10)), _check_of(sized_pattern(rows, 1)), times)
    return Measured(
        f"ten sizes / one, every row varying ({rows:,} rows)", ratio, 4, _walls(walls, "ten", "one")
    )


def shaped_sizes(times: int) -> Measured:
    """Compare by the rows that are written: each size has schedules, and so rows, of its own."""
    many, few = shaped_pattern(10), shaped_pattern(1)
    rows = rows_written(many) / rows_written(few)
    ratio, walls = interleaved(_check_of(many), _check_of(few), times)
    return Measured(
        "a shaped row of ten sizes / of one", ratio / rows, 1.15, _walls(walls, "ten sizes", "one")
    )


def rows_written(text: str) -> int:
    """Return how many entries the rows of a pattern have, all sizes together."""
    from turnchain.compiler.pipeline import analyse
    from turnchain.lang.source import Source

    found = analyse(Source("long.tch", text))
    return sum(
        len(getattr(part, "rows", ()))
        for pattern in found.patterns
        for piece in pattern.pieces
        for part in piece.parts
    )


def schedules() -> Measured:
    many, few = schedule_pattern(10**6), schedule_pattern(10**3)
    ratio, walls = interleaved(_check_of(many), _check_of(few), 21)
    return Measured("a schedule over 10^6 rows / 10^3", ratio, 1.15, _walls(walls, "10^6", "10^3"))


def _check_of(text: str) -> Callable[[], float]:
    return lambda: checked(text)


# ---- publishing --------------------------------------------------------------------------------------------


def against_pandoc(rows: int, times: int) -> Measured:
    """Publish a page in a whole process, and let pandoc make HTML of the Markdown of the same pattern."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "long.tch")
        path.write_text(long_pattern(rows), "utf-8")
        ours = [*PROGRAM, "publish", "--to", "html", str(path)]
        _computed([*PROGRAM, "publish", "--to", "markdown", str(path)])
        peer = ["pandoc", str(path.with_suffix(".md")), "--output", str(path.with_suffix(".pandoc.html"))]
        ratio, walls = interleaved(lambda: _computed(ours), lambda: _computed(peer), times)
    return Measured(
        f"a page of {rows:,} rows / pandoc's of its Markdown", ratio, 1, _walls(walls, "publish", "pandoc")
    )


def folders(many: int, times: int) -> Measured:
    """Publish a folder in which one pattern has changed, and that pattern alone."""
    with tempfile.TemporaryDirectory() as folder:
        patterns = [Path(folder, f"pattern-{number}.tch") for number in range(many)]
        for number, path in enumerate(patterns):
            path.write_text(
                long_pattern(100).replace("pattern ", f"pattern Number {number} of the "), "utf-8"
            )
        whole, alone = ([*PROGRAM, "publish", each] for each in (folder, str(patterns[0])))
        _computed(whole)

        def changed() -> float:
            with patterns[0].open("a", encoding="utf-8") as file:
                file.write("note One more.\n")
            return _computed(whole)

        ratio, walls = interleaved(changed, lambda: _computed(alone), times)
    return Measured(
        f"a folder of {many} patterns, one changed / that one", ratio, 1.5, _walls(walls, "folder", "one")
    )


def _computed(command: Sequence[str]) -> float:
    """Return the seconds of computing that a process takes."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, check=True, capture_output=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


# ---- memory ------------------------------------------------------------------------------------------------

# Linux tells the peak of a process in kB; what `resource` tells may be that of the process that started it.
_PEAK = """
import re, sys
from pathlib import Path
def peak(): return int(re.search("VmHWM:\\\\s*([0-9]+)", Path("/proc/self/status").read_text())[1])
sys.path.insert(0, {here!r})
from patterns import long_pattern
from turnchain.compiler.pipeline import analyse
from turnchain.lang.source import Source
text = long_pattern({rows})
analyse(Source("first.tch", long_pattern(5)))
before = peak()
found = analyse(Source("long.tch", text))
print(peak() - before)
"""


def memory(few: int, many: int) -> Measured:
    """Compare how far the peak of resident memory rises."""
    small, large = (_peak(rows) for rows in (few, many))
    return Measured(
        f"memory of {many:,} rows / {few:,} rows", large / small, 12, f"{large:.0f} and {small:.0f} MB"
    )


def _peak(rows: int) -> float:
    script = _PEAK.format(here=str(HERE), rows=rows)
    out = subprocess.run([sys.executable, "-c", script], check=True, capture_output=True, text=True).stdout
    return int(out) / 1024


# ---- measuring ---------------------------------------------------------------------------------------------


def interleaved(
    first: Callable[[], float], second: Callable[[], float], times: int
) -> tuple[float, tuple[float, float]]:
    """Measure two things in turn; return the median of the paired ratios and both medians in seconds."""
    first(), second()
    pairs = []
    for turn in range(times):
        if turn % 2:
            after, before = second(), first()
            pairs.append((before, after))
        else:
            pairs.append((first(), second()))
    ratio = statistics.median(one / other for one, other in pairs)
    ours, theirs = zip(*pairs, strict=True)
    return ratio, (statistics.median(ours), statistics.median(theirs))


def _walls(walls: tuple[float, float], first: str, second: str) -> str:
    def said(seconds: float) -> str:
        return f"{seconds:.2f} s" if seconds >= 1 else f"{seconds * 1000:.1f} ms"

    return f"{first} {said(walls[0])}, {second} {said(walls[1])}"


# ---- typing ------------------------------------------------------------------------------------------------


def typing(rows: int, edits: int) -> list[Callable[[], Measured]]:
    """Return what measures a keystroke in an editor; nothing where the part for editors is not installed."""
    if find_spec("pygls") is None:
        print("keystrokes are left out: pip install 'turnchain[editor]'")
        return []
    from editor import keystrokes

    def of_opening() -> Measured:
        found = keystrokes(rows, edits)
        told = f"median {found.median * 1000:.1f} ms, 99 % within {found.slowest_of_100 * 1000:.1f} ms"
        what = f"a keystroke in {rows:,} rows / opening them"
        return Measured(what, found.median / found.cold, 0.1, f"{told}, opened in {found.cold * 1000:.0f} ms")

    return [of_opening]


def main() -> int:
    """Measure everything; `--quick` leaves out what takes minutes."""
    quick = "--quick" in sys.argv[1:]
    with tempfile.NamedTemporaryFile() as no_folder:
        # A file where a folder is wanted can't be written into, not even by an administrator.
        no_home = dict.fromkeys(("HOME", "XDG_CACHE_HOME", "TMPDIR"), no_folder.name)
        no_home["PYTHONDONTWRITEBYTECODE"] = "1"
        results = [
            lambda: start_up("check of a small file / an empty Typer program", {}),
            lambda: start_up("the same where no cache can be written", no_home),
            lambda: repeats(nested=False),
            lambda: repeats(nested=True),
            grids,
            lambda: sizes(1_000, 5),
            lambda: ten_sizes(1_000, 5),
            lambda: shaped_sizes(5),
            schedules,
            lambda: against_lark(10_000, 1 if quick else 5),
            *typing(1_000, 1_000),
            lambda: against_pandoc(10_000, 1 if quick else 5),
            lambda: folders(200, 3 if quick else 9),
            *([] if quick else [lambda: growth(10_000, 100_000), lambda: memory(10_000, 100_000)]),
        ]
        worst = max(over(measure) for measure in results)
    return FAR if worst > NOISE else MISSED if worst > 1 else 0


def over(measure: Callable[[], Measured]) -> float:
    """Measure and print a ratio, and one that misses its bar again; return the least by the bar."""
    tries = [measure()]
    print(tries[0], flush=True)
    while tries[-1].ratio > tries[-1].bar and len(tries) < TRIES:
        tries.append(measure())
        print(f"once more: {tries[-1]}", flush=True)
    return min(each.ratio / each.bar for each in tries)


if __name__ == "__main__":
    sys.exit(main())
