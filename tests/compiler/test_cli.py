"""The commands as a maker types them."""

import errno
import json
import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from turnchain.compiler.cli import LAYOUTS, app
from turnchain.compiler.publish import FORMATS
from typer.testing import CliRunner, Result

COASTER = """turnchain 1, US
pattern Coaster
piece Coaster, turned rows
start 11 ch
row 1: sc to end = 10
rows 2-5: sc to end
"""
WRONG = COASTER + "row 6: [2 sc, 2 sc in st] to end = 13\n"
SLIP = COASTER.replace("= 10", "= 9")
DOUBTFUL = COASTER + "row 6: 10 sc, sc to end\n"


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def save(name: str, text: str = COASTER) -> Path:
    path = Path(name)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text.encode())
    return path


def turnchain(*words: str, stdin: str | None = None) -> Result:
    return CliRunner().invoke(app, words, input=stdin, prog_name="turnchain")


def process(*words: str, **more: object) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-c", "from turnchain.compiler.cli import main; main()", *words]
    return subprocess.run(command, capture_output=True, text=True, check=False, **more)  # type: ignore[call-overload, no-any-return]


def unchanged(path: Path, before: str) -> bool:
    return path.read_bytes() == before.encode() and not list(path.parent.glob(".*.part"))


# ---- editor ------------------------------------------------------------------------------------------------


def test_an_editor_is_told_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in [name for name in sys.modules if name.startswith("turnchain.compiler.editor")]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, "pygls", None)
    monkeypatch.setitem(sys.modules, "pygls.lsp.server", None)
    monkeypatch.setitem(sys.modules, "lsprotocol", None)
    done = turnchain("editor", "--stdio")
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr == (
        "turnchain: editors need a part that is not installed: pip install 'turnchain[editor]'\n"
    )


# ---- check -------------------------------------------------------------------------------------------------


def test_a_sound_pattern_is_said_to_be_so_with_its_rows() -> None:
    save("hat.tch")
    done = turnchain("check", "hat.tch")
    assert (done.exit_code, done.output) == (0, "no errors in hat.tch, 5 rows\n")


def test_rounds_are_called_rounds_and_differ_by_size() -> None:
    save(
        "hat.tch",
        "turnchain 1, US\npattern Hat\nsizes child, adult\npiece Hat, joined rounds\nstart ring\n"
        "round 1: 6 sc in ring = 6\nnext 2/4 rounds: sc to end = 6\n",
    )
    assert turnchain("check", "hat.tch").output == "no errors in hat.tch, 3/5 rounds\n"


def test_a_slip_is_shown_and_the_status_is_1() -> None:
    save("hat.tch", SLIP)
    done = turnchain("check", "hat.tch")
    assert done.exit_code == 1
    assert "hat.tch:5:" in done.stdout
    assert done.stdout.endswith("\n1 error in hat.tch\n")
    assert "\x1b" not in done.stdout


def test_several_files_are_checked_together() -> None:
    save("a.tch")
    save("b.tch", SLIP)
    done = turnchain("check", "a.tch", "b.tch", "a.tch")
    assert (done.exit_code, done.stdout.splitlines()[-1]) == (1, "1 error in b.tch")
    save("b.tch")
    assert turnchain("check", "a.tch", "b.tch").stdout == "no errors in 2 files, 10 rows\n"


def test_a_file_that_can_not_be_read_is_named_and_the_others_are_checked() -> None:
    save("b.tch", SLIP)
    done = turnchain("check", "gone.tch", "b.tch")
    assert done.exit_code == 2
    assert done.stderr == "turnchain: gone.tch can't be read: there is no such file\n"
    assert "1 error in b.tch" in done.stdout


@pytest.mark.parametrize(
    ("make", "why"),
    [
        (lambda path: path.mkdir(), "it is a folder"),
        (
            lambda path: path.write_bytes(b"turnchain 1, US\npattern Caf\xe9\n"),
            "byte 0xE9 in line 2, 27 bytes",
        ),
        (lambda path: path.write_bytes(b"#" * (16 * 1024 * 1024 + 1)), "it is longer than 16 MiB"),
        (lambda path: path.symlink_to(path), "symbolic link"),
    ],
)
def test_what_can_not_be_read_is_said_in_one_line(make, why: str) -> None:  # type: ignore[no-untyped-def]
    make(Path("hat.tch"))
    done = turnchain("check", "hat.tch")
    assert done.exit_code == 2
    assert done.stderr.startswith("turnchain: hat.tch can't be read: ")
    assert why in done.stderr
    assert done.stderr.count("\n") == 1


def test_a_file_without_permission_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    save("hat.tch").chmod(0)

    def refused(*_: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    # An administrator may read everything, and tests are run by such too.
    monkeypatch.setattr(Path, "open", refused)
    assert "permission is denied" in turnchain("check", "hat.tch").stderr


@pytest.mark.skipif(sys.platform != "linux", reason="only there may a name be no Unicode")
def test_a_file_whose_name_is_no_unicode_is_checked() -> None:
    name = os.fsdecode(b"h\xe4t.tch")
    save(name)
    assert process("check", name).stdout == "no errors in h\ufffdt.tch, 5 rows\n"


def test_a_pattern_comes_from_standard_input() -> None:
    done = turnchain("check", "-", stdin=SLIP)
    assert done.exit_code == 1
    assert done.stdout.endswith("1 error in standard input\n")


def test_json_lists_sound_files_too() -> None:
    save("hat.tch")
    save("scarf.tch", SLIP)
    done = turnchain("check", "hat.tch", "scarf.tch", "--format", "json")
    said = json.loads(done.stdout)
    assert [(file["file"], len(file["diagnostics"])) for file in said["files"]] == [
        ("hat.tch", 0),
        ("scarf.tch", 1),
    ]


def test_one_line_each_for_editors() -> None:
    save("hat.tch", SLIP)
    said = turnchain("check", "hat.tch", "--format", "LINE").stdout
    assert said.startswith("hat.tch:5:20: error[stated-total]: row 1 makes 10 stitches")
    assert said.count("\n") == 1


def test_strict_takes_warnings_for_errors() -> None:
    save("hat.tch", DOUBTFUL)
    mild, strict = turnchain("check", "hat.tch"), turnchain("check", "hat.tch", "--strict")
    assert (mild.exit_code, strict.exit_code) == (0, 1)
    assert mild.stdout.endswith("1 warning in hat.tch\n")
    assert strict.stdout.endswith("1 error in hat.tch\n")


@pytest.mark.parametrize("words", [("check",), ("check", "hat.tch", "--format", "xml"), ("chek", "hat.tch")])
def test_wrong_use_is_status_2_without_a_traceback(words: tuple[str, ...]) -> None:
    done = process(*words)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert done.stderr.startswith("Usage: ")


# ---- use ---------------------------------------------------------------------------------------------------


HOUSE = 'turnchain 1, US\nstitch frill: 5 dc in st "a frill"\n'


def using(path: str) -> str:
    return COASTER.replace("piece", f'use "{path}"\npiece') + "next row: [sc, frill] to end\n"


@pytest.mark.parametrize("place", ["house.tch", "stitches/house.tch"])
def test_a_stitch_comes_from_a_file_beside_or_below_the_pattern(place: str) -> None:
    save(f"work/{place}", HOUSE)
    save("work/hat.tch", using(place))
    assert turnchain("check", "work/hat.tch").output == "no errors in work/hat.tch, 6 rows\n"


@pytest.mark.parametrize(
    ("path", "why"),
    [
        ("../house.tch", "it lies outside the pattern's folder"),
        ("below/../../house.tch", "it lies outside the pattern's folder"),
        ("below/../own.tch", "it lies outside the pattern's folder"),
        ("/etc/passwd", "it lies outside the pattern's folder"),
        ("C:/house.tch", "it lies outside the pattern's folder"),
        ("link.tch", "it lies outside the pattern's folder"),
        ("linked/house.tch", "it lies outside the pattern's folder"),
        ("below", "it is a folder"),
        ("pipe", "it is no file"),
        ("gone.tch", "there is no such file"),
        ("nested.tch", "it has a `use` of its own, in line 2"),
    ],
)
def test_nothing_else_is_brought_in(path: str, why: str) -> None:
    save("house.tch", HOUSE)
    save("work/own.tch", HOUSE)
    save("work/nested.tch", 'turnchain 1, US\nuse "house.tch"\n')
    Path("work/below").mkdir()
    Path("work/link.tch").symlink_to(Path("house.tch").resolve())
    Path("work/linked").symlink_to(Path().resolve())
    os.mkfifo("work/pipe")
    save("work/hat.tch", using(path))
    done = turnchain("check", "work/hat.tch", "--format", "line")
    assert done.exit_code == 1
    assert f"error[unread-file]: `{path}` can't be used: {why}" in done.stdout


def test_a_pattern_brings_in_32_files_at_most() -> None:
    save("house.tch", HOUSE)
    uses = 'use "house.tch"\n'
    save("hat.tch", using("house.tch").replace("piece", uses * 31 + "piece"))
    assert turnchain("check", "hat.tch").exit_code == 0
    save("hat.tch", using("house.tch").replace("piece", uses * 32 + "piece"))
    done = turnchain("check", "hat.tch")
    assert "can bring in 32 files at most" in done.stdout
    assert done.exit_code == 1


def test_what_is_wrong_in_a_file_brought_in_is_shown_there() -> None:
    save("work/house.tch", HOUSE + "stitch fan: sc sc\n")
    save("work/hat.tch", using("house.tch"))
    done = turnchain("check", "work/hat.tch", "--format", "line")
    assert done.exit_code == 1
    assert done.stdout.startswith("work/house.tch:3:")


# ---- publish -----------------------------------------------------------------------------------------------


def test_the_page_stands_beside_the_pattern() -> None:
    save("work/hat.tch")
    done = turnchain("publish", "work/hat.tch")
    assert (done.exit_code, done.output) == (0, "wrote work/hat.html\n")
    assert "<h1>Coaster</h1>" in Path("work/hat.html").read_text()


def test_every_format_at_once_into_another_folder() -> None:
    save("hat.tch")
    made = [each for each in FORMATS.values() if each.name != "pdf"]  # which needs more than Python
    words = [word for each in made for word in ("--to", each.name)]
    assert turnchain("publish", "hat.tch", *words, "--out", "site/patterns").exit_code == 0
    assert {path.name for path in Path("site/patterns").iterdir()} == {f"hat{each.suffix}" for each in made}


def test_the_command_line_offers_every_format() -> None:
    assert tuple(FORMATS) == LAYOUTS


def test_terms_and_words_are_chosen() -> None:
    save("hat.tch")
    full, short = (
        turnchain(
            "publish", "hat.tch", "--to", "text", "--out", "-", "--terms", "uk", "--words", words
        ).stdout
        for words in ("full", "short")
    )
    assert "double crochet" in full
    assert "single crochet" not in full
    assert len(short) < len(full)


def test_standard_input_is_published_to_standard_output() -> None:
    done = turnchain("publish", "-", "--out", "-", "--to", "markdown", stdin=DOUBTFUL)
    assert done.exit_code == 0
    assert "Coaster" in done.stdout
    assert "warning[" not in done.stdout
    assert "warning[empty-run]" in done.stderr


def test_a_pattern_with_errors_leaves_what_was_published_and_the_others_are_published() -> None:
    save("hat.tch", SLIP)
    old = save("hat.html", "the old page")
    save("scarf.tch")
    done = turnchain("publish", "hat.tch", "scarf.tch")
    assert done.exit_code == 1
    assert "error[stated-total]" in done.stdout
    assert unchanged(old, "the old page")
    assert Path("scarf.html").exists()


@pytest.mark.parametrize(
    ("names", "options", "why"),
    [
        (("a/hat.tch", "b/hat.tch"), ("--out", "site"), "would both be written to site/hat.html"),
        (("hat.tch", "hat.txt"), ("--to", "html"), "would both be written to hat.html"),
        (("hat.txt",), ("--to", "text"), "would be written over hat.txt"),
        (("linked.txt",), ("--to", "text"), "would be written over linked.txt"),
        (("twin.txt",), ("--to", "text", "--out", "a"), "would be written over twin.txt"),
        (("-",), (), "add `--out -`"),
        (("hat.tch", "hat.txt"), ("--out", "-"), "one pattern at a time"),
    ],
)
def test_what_would_be_lost_is_refused_before_anything_is_written(
    names: tuple[str, ...], options: tuple[str, ...], why: str
) -> None:
    for name in ("a/hat.tch", "b/hat.tch", "hat.tch", "hat.txt"):
        save(name)
    Path("linked.txt").symlink_to("hat.txt")
    save("twin.txt")
    os.link("twin.txt", "a/twin.txt")
    before = sorted(Path().rglob("*"))
    done = turnchain("publish", *names, *options)
    assert done.exit_code == 2
    assert why in done.stderr
    assert sorted(Path().rglob("*")) == before
    assert unchanged(Path("hat.txt"), COASTER)


def test_a_file_that_the_pattern_brings_in_is_not_written_over() -> None:
    house = save("hat.html", HOUSE)
    save("hat.tch", using("hat.html"))
    done = turnchain("publish", "hat.tch")
    assert (done.exit_code, unchanged(house, HOUSE)) == (2, True)


def test_a_folder_that_can_not_be_written_to_is_one_line() -> None:
    save("hat.tch")
    save("site", "a file")
    done = turnchain("publish", "hat.tch", "--out", "site")
    assert done.exit_code == 2
    assert done.stderr.startswith("turnchain: site/hat.html can't be written: ")
    assert done.stderr.count("\n") == 1


# ---- tidy --------------------------------------------------------------------------------------------------

UNTIDY = (
    "Turnchain 1, us\r\npattern  Coaster # mine\r\n\r\npiece Coaster, turned rows\r\n"
    "start  11 ch\r\nrow 1:sc to end=10 # all\r\n"
)
TIDY = (
    "turnchain 1, US\npattern Coaster  # mine\n\npiece Coaster, turned rows\n"
    "start 11 ch\nrow 1: sc to end = 10  # all\n"
)


def test_an_untidy_file_is_written_in_the_one_form_with_its_comments() -> None:
    path = save("hat.tch", UNTIDY)
    done = turnchain("tidy", "hat.tch")
    assert (done.exit_code, done.output) == (0, "tidied hat.tch\n")
    assert [comment in path.read_text() for comment in ("# mine", "# all")] == [True, True]
    assert b"\r" not in path.read_bytes()
    assert turnchain("tidy", "hat.tch", "--check").exit_code == 0
    before = path.stat().st_mtime_ns
    assert turnchain("tidy", "hat.tch").output == ""
    assert path.stat().st_mtime_ns == before


def test_check_changes_nothing() -> None:
    path = save("hat.tch", UNTIDY)
    done = turnchain("tidy", "--check", "hat.tch")
    assert (done.exit_code, done.output) == (1, "hat.tch is not tidy\n")
    assert unchanged(path, UNTIDY)


def test_standard_input_is_tidied_to_standard_output() -> None:
    done = turnchain("tidy", "-", stdin=UNTIDY)
    assert (done.exit_code, done.stdout_bytes) == (0, TIDY.encode())


def test_a_file_with_a_line_that_can_not_be_read_is_left_as_it_is() -> None:
    text = UNTIDY + "row 2: sc sc\r\n"
    path = save("hat.tch", text)
    done = turnchain("tidy", "hat.tch")
    assert done.exit_code == 1
    assert "hat.tch:7:" in done.stderr
    assert unchanged(path, text)


def test_wrong_counts_are_no_matter_of_form() -> None:
    save("hat.tch", SLIP)
    assert turnchain("tidy", "--check", "hat.tch").exit_code == 0


@pytest.mark.parametrize("lost", ["  # mine", "row 1: sc to end = 10"])
def test_a_form_that_says_something_else_is_never_written(lost: str, monkeypatch: pytest.MonkeyPatch) -> None:
    path = save("hat.tch", UNTIDY)
    monkeypatch.setattr("turnchain.lang.printer.printed", lambda _: TIDY.replace(lost, ""))
    done = turnchain("tidy", "hat.tch")
    assert done.exit_code == 1
    assert "was left as it is" in done.stderr
    assert unchanged(path, UNTIDY)


# ---- counts ------------------------------------------------------------------------------------------------

SIZED = """turnchain 1, UK
pattern Band
sizes child, adult
piece Band, turned rows
start 8/10 ch
row 1: dc to end = 7/9
row 2: 2 dc in st, dc to end = 8/10
next 2/0 rows: dc to end
next row: dc to last 1, (dc, 2 ch, dc) in st
"""


def test_counts_stand_side_by_side_for_the_sizes() -> None:
    save("band.tch", SIZED)
    assert turnchain("counts", "band.tch").output.splitlines() == [
        "Band",
        "                    child          adult",
        "            before  after  before  after  made",
        "  row 1          7      7       9      9  7/9 dc",
        "  row 2          7      8       9     10  8/10 dc",
        "  rows 3-4       8      8       –      –  8/– dc",
        "  row 5/3        8      9      10     11  9/11 dc, 1 sp",
    ]


WEIGHED = SIZED.replace(
    "piece",
    "yarn A: DK, ball 10 g = 25 m\ngauge 10 st, 10 rows = 10 cm in dc\nswatch 10 x 10 cm in dc = 25 g\npiece",
)


def test_the_yarn_that_is_needed_stands_below_the_counts() -> None:
    save("band.tch", WEIGHED)
    # UK double crochet takes 0.25 g: 7 + 8 + 8 + 8 + 9 = 40 and 9 + 10 + 11 = 30. Chains take 0.1 g:
    # 8 + 4 + 2 and 10 + 2 + 2. They are up to 16 % of it, and were not weighed: 15 % more, 13.1 g and 10.2 g.
    assert turnchain("counts", "band.tch").output.splitlines()[-3:] == [
        "",
        "Yarn, estimated",
        "  A about 12/9 g, about 29/23 m; 15 % more is 2 balls",
    ]
    said = json.loads(turnchain("counts", "band.tch", "--format", "json").stdout)
    assert said["yarns"] == [
        {"yarn": "A", "grams": [12, 9], "metres": [29, 23], "margin": 15, "balls": [2, 2]}
    ]


def test_sizes_that_part_within_a_statement_are_counted_row_by_row() -> None:
    save("band.tch", SIZED.replace("next 2/0 rows: dc to end", "next 1/3 rows: 2 dc in st, dc to end"))
    said = json.loads(turnchain("counts", "band.tch", "--format", "json").stdout)
    assert [(row["label"], row["before"], row["after"]) for row in said["rows"]][2:] == [
        ("row 3", [8, 10], [9, 11]),
        ("row 4", [None, 11], [None, 12]),
        ("row 5", [None, 12], [None, 13]),
        ("row 4/6", [9, 13], [10, 14]),
    ]


def test_where_a_row_has_a_fault_the_counts_go_on_as_stated_and_the_fault_is_told_aside() -> None:
    save("hat.tch", WRONG + "row 7: sc to end\n")
    done = turnchain("counts", "hat.tch")
    assert done.exit_code == 1
    assert "error[uneven-repeat]" in done.stderr
    assert done.stdout.splitlines()[-1].split() == ["row", "7", "13", "13", "13", "sc"]


# ---- start, explain, help ----------------------------------------------------------------------------------


def test_a_new_pattern_checks_clean_is_tidy_and_can_be_published() -> None:
    done = turnchain("start", "Sea hat, no. 2")
    assert done.stdout.startswith("wrote sea-hat-no-2.tch\n")
    for words in (("check", "--strict"), ("tidy", "--check"), ("publish",)):
        assert turnchain(*words, "sea-hat-no-2.tch").exit_code == 0
    assert "<h1>Sea hat, no. 2</h1>" in Path("sea-hat-no-2.html").read_text()


def test_start_never_writes_over_a_file() -> None:
    path = save("hat.tch", "mine")
    done = turnchain("start", "Hat")
    assert (done.exit_code, unchanged(path, "mine")) == (2, True)
    assert "is there already" in done.stderr


@pytest.mark.parametrize(
    ("name", "file"),
    [
        ("Ärmel", "armel.tch"),
        ("../../etc/hat", "etc-hat.tch"),
        ("帽子", "pattern.tch"),
        ("hat.tch", "hat.tch"),
    ],
)
def test_any_name_gives_a_file_in_this_folder(name: str, file: str) -> None:
    assert turnchain("start", name).exit_code == 0
    assert [str(path) for path in Path().iterdir()] == [file]
    assert turnchain("check", file).exit_code == 0


@pytest.mark.parametrize("name", ["", "  ", "#", "a\x07b"])
def test_a_name_that_is_none_is_refused(name: str) -> None:
    assert turnchain("start", name).exit_code == 2
    assert list(Path().iterdir()) == []


def test_explain_prints_a_page() -> None:
    assert turnchain("explain", "Stated-Total").stdout.startswith("stated-total: the row does not make")


def test_explain_lists_all_names_with_their_titles() -> None:
    lines = turnchain("explain").stdout.splitlines()
    assert any(line.startswith("unusual-hook") and line.endswith("for the yarn") for line in lines)
    assert lines == sorted(lines)


def test_explain_offers_near_names() -> None:
    done = turnchain("explain", "stated-totl")
    assert (done.exit_code, done.stdout) == (2, "")
    assert "did you mean stated-total?" in done.stderr


@pytest.mark.parametrize("name", [each.name or each.callback.__name__ for each in app.registered_commands])  # type: ignore[union-attr]
def test_each_command_has_help(name: str) -> None:
    said = turnchain("--help").stdout
    assert f"\n  {name} " in said
    assert "..." not in said.split(f"\n  {name} ")[1].split("\n")[0]
    told = turnchain(name, "--help").stdout
    assert told.startswith(f"Usage: turnchain {name} [OPTIONS]")
    assert not re.search(r"[{}]|<[a-z]", told), "types of Python mean nothing to a designer"
    for argument in re.findall(r"\b[A-Z]{2,}\b", told.splitlines()[0].replace("[OPTIONS]", "")):
        assert re.search(rf"^  {argument}  +[A-Z]", told, re.MULTILINE), "an argument is not explained"


def test_the_version_is_the_package_s() -> None:
    from importlib.metadata import version

    assert turnchain("--version").stdout == f"turnchain {version('turnchain')}\n"


def test_options_are_completed() -> None:
    environment = {
        **os.environ,
        "_TURNCHAIN_COMPLETE": "complete_bash",
        "COMP_WORDS": "turnchain publish --to ma",
        "COMP_CWORD": "3",
    }
    program = "import sys; sys.argv[0] = 'turnchain'; from turnchain.compiler.cli import main; main()"
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, env=environment, check=False
    )
    assert done.stdout.split() == ["markdown"]


# ---- the program -------------------------------------------------------------------------------------------

HEAVY = ("pydantic", "jinja2", "rich", "http.server", "importlib.metadata", "turnchain.compiler.publish")


def loaded(program: str, *words: str) -> str:
    """Run a program and return what it says last: the modules of interest that it has loaded."""
    asked = f"import sys\nprint([name for name in {(*HEAVY, 'difflib')!r} if name in sys.modules])"
    done = subprocess.run(
        [sys.executable, "-c", f"try:\n    {program}\nfinally:\n    exec({asked!r})", *words],
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout.splitlines()[-1]


@pytest.mark.parametrize("text", [COASTER, DOUBTFUL], ids=["sound", "with a warning"])
def test_check_loads_nothing_that_it_does_not_need(text: str) -> None:
    save("hat.tch", text)
    # Typer itself has difflib.
    program = "import turnchain.compiler.cli as cli; cli.main()"
    assert loaded(program, "check", "hat.tch") in ("[]", "['difflib']")
    program = "import turnchain.compiler.commands.check as it; assert not it.check(['hat.tch']).status"
    assert loaded(program) == "[]"


def test_what_publishing_needs_would_be_seen() -> None:
    save("hat.tch")
    program = "import turnchain.compiler.cli as cli; cli.main()"
    assert "jinja2" in loaded(program, "publish", "hat.tch")


def test_a_reader_that_goes_away_is_no_fault() -> None:
    save("hat.tch", COASTER + "next row: sc sc\n" * 3000)
    command = (
        f'"{sys.executable}" -c "from turnchain.compiler.cli import main; main()" check hat.tch | head -n 1'
    )
    done = subprocess.run(command, shell=True, capture_output=True, text=True, check=False)
    assert done.stdout.count("\n") == 1
    assert done.stderr == ""


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a disk that is always full")
def test_a_full_disk_is_said_in_one_line() -> None:
    save("hat.tch")
    with open("/dev/full", "w") as full:
        program = "from turnchain.compiler.cli import main; main()"
        command = [sys.executable, "-c", program, "check", "hat.tch"]
        done = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert done.returncode == 2
    assert done.stderr.startswith("turnchain: the output can't be written: ")
    assert done.stderr.count("\n") == 1


def test_ctrl_c_ends_the_program_as_shells_expect() -> None:
    # Whoever starts the tests in the background has them ignore Ctrl-C, and all that they start.
    heed = "import signal\nsignal.signal(signal.SIGINT, signal.default_int_handler)\n"
    program = f"{heed}print(flush=True)\nfrom turnchain.compiler.cli import main\nmain()"
    command = [sys.executable, "-c", program, "check", "-"]
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    running = subprocess.Popen(command, **pipes)  # type: ignore[call-overload]
    running.stdout.readline()
    time.sleep(1)
    running.send_signal(signal.SIGINT)
    _, err = running.communicate(timeout=20)
    assert (running.returncode, err) == (130, b"")


def test_a_terminal_that_knows_few_characters_gets_marks_for_the_others() -> None:
    save("帽子.tch")
    done = process("check", "帽子.tch", env={**os.environ, "PYTHONIOENCODING": "latin-1"})
    assert (done.returncode, done.stdout) == (0, "no errors in ??.tch, 5 rows\n")
