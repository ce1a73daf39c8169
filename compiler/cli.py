"""The command line.

What a command does is imported when it is called: starting up must cost next to nothing.
"""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING, Annotated, Any, NoReturn, Optional, TextIO

import typer
from typer.core import TyperCommand, TyperGroup

if TYPE_CHECKING:
    from .commands import Outcome
    from .commands.publish import Choices

INTERRUPTED = 130
"""The exit status of a program that Ctrl-C ended, as shells have it: 128 and the signal's number."""

REPORTS = ("text", "json", "line", "sarif", "annotations")
LAYOUTS = ("html", "fragment", "markdown", "text", "json", "pdf")
TERMS = ("US", "UK", "DE")
WORDS = ("full", "short")
PAPERS = ("A4", "Letter")


class _AsTyped:
    """Hands on what stands on the command line as it is."""

    def coerce(self, value: Any, **_: Any) -> Any:
        """Return the words themselves, and nothing where nothing was written."""
        return value


class _Plain:
    """Keeps typer from importing pydantic to see that words are words: it takes as long as checking does."""

    def get_params(self, ctx: Any) -> Any:
        """Return the parameters, all but numbers to be taken as they stand."""
        parameters = super().get_params(ctx)  # type: ignore[misc]
        for parameter in parameters:
            kind = getattr(parameter, "type_descriptor", None)
            if kind is not None and kind.annotation is not int:
                parameter.get_runtime_param = _AsTyped
        return parameters


def _name_on_usage(argument: Any) -> str:
    name = argument.metavar if argument.required else f"[{argument.metavar}]"
    return f"{name}..." if argument.nargs != 1 else name


class _Command(_Plain, TyperCommand):
    """Names its arguments in its help by what they are, not by Python's types."""

    def get_params(self, ctx: Any) -> Any:
        """Return the parameters, arguments with a name and a sentence for their help."""
        parameters = super().get_params(ctx)
        for argument in self._arguments(parameters):
            told = argument.metavar, argument.help
            argument.get_help_record = lambda ctx, told=told: told
        return parameters

    def collect_usage_pieces(self, ctx: Any) -> list[str]:
        """Return what follows the command in its usage line."""
        arguments = self._arguments(self.get_params(ctx))
        return [self.options_metavar or "", *map(_name_on_usage, arguments)]

    @staticmethod
    def _arguments(parameters: Any) -> list[Any]:
        return [each for each in parameters if each.param_type_name == "argument"]


class _Group(_Plain, TyperGroup):
    pass


app = typer.Typer(
    name="turnchain",
    cls=_Group,
    help="Checks crochet patterns written in Turnchain, and publishes them.",
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    no_args_is_help=True,
)


def _one_of(name: str, choices: tuple[str, ...], what: str, **more: Any) -> Any:
    """Return the option `name` that takes one of a few words, in capitals or not."""

    def chosen(value: Any) -> Any:
        if isinstance(value, list | tuple):
            return [chosen(each) for each in value]
        for choice in choices:
            if value is not None and value.casefold() == choice.casefold():
                return choice
        if value is None:
            return None
        raise typer.BadParameter(f"{value!r} is not one of {', '.join(choices)}")

    def completed(incomplete: str) -> list[str]:
        return [choice for choice in choices if choice.casefold().startswith(incomplete.casefold())]

    return typer.Option(
        name, help=what, metavar="|".join(choices), callback=chosen, autocompletion=completed, **more
    )


Files = Annotated[
    list[str],
    typer.Argument(metavar="FILE", help="Patterns to read; - is standard input.", show_default=False),
]
File = Annotated[str, typer.Argument(metavar="FILE", help="The pattern to read.", show_default=False)]
To = Annotated[
    Optional[list[str]],  # noqa: UP045 - typer reads it at run time
    _one_of(
        "--to",
        LAYOUTS,
        "What to write; may be given several times. A whole page if left out.",
        show_default=False,
    ),
]
Out = Annotated[
    Optional[str],  # noqa: UP045
    typer.Option(
        metavar="DIR", help="The folder to write to; beside the pattern if left out.", show_default=False
    ),
]
Terms = Annotated[
    Optional[str],  # noqa: UP045
    _one_of(
        "--terms",
        TERMS,
        "Whose names the stitches get, DE in German words; the pattern's own if left out.",
        show_default=False,
    ),
]
Words = Annotated[str, _one_of("--words", WORDS, "Full sentences, or the trade's short form.")]
Paper = Annotated[
    Optional[str],  # noqa: UP045
    _one_of(
        "--paper",
        PAPERS,
        "The paper of a PDF; Letter in US terms and A4 in others if left out.",
        show_default=False,
    ),
]

FrontMatter = Annotated[
    Optional[str],  # noqa: UP045
    typer.Option(
        metavar="hugo|jekyll|eleventy|pelican|mkdocs|FILE.toml",
        help="What a site generator reads at the top of a Markdown post; none if left out.",
        show_default=False,
    ),
]
Date = Annotated[
    Optional[str],  # noqa: UP045
    typer.Option(metavar="YYYY-MM-DD", help="The day of a post; today if left out.", show_default=False),
]
Template = Annotated[
    Optional[str],  # noqa: UP045
    typer.Option(
        metavar="DIR", help="A folder of templates to use for the built-in ones.", show_default=False
    ),
]
Site = Annotated[
    Optional[str],  # noqa: UP045
    typer.Option(
        metavar="URL",
        help="Where the pages will stand, such as https://example.org/patterns/. Who links to one can show "
        "its picture only if that is known.",
        show_default=False,
    ),
]


def _version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        typer.echo(f"turnchain {version('turnchain')}")
        raise typer.Exit


@app.callback()
def turnchain(
    version: Annotated[
        bool, typer.Option("--version", help="Print the version and stop.", callback=_version, is_eager=True)
    ] = False,
) -> None:
    """Checks crochet patterns written in Turnchain, and publishes them."""


@app.command(cls=_Command)
def check(
    files: Files,
    format_: Annotated[str, _one_of("--format", REPORTS, "How to print what is found.")] = "text",
    strict: Annotated[bool, typer.Option("--strict", help="Take warnings for errors.")] = False,
) -> None:
    """Check every count of the patterns.

    The exit status is 0 if all is well, 1 if a pattern has errors, and 2 if a file can't be read.
    """
    from .commands.check import check

    _finish(check(files, format_, strict=strict, colour=_colour()))


@app.command(cls=_Command)
def publish(
    files: Files,
    to: To = None,
    out: Out = None,
    terms: Terms = None,
    words: Words = "full",
    paper: Paper = None,
    front_matter: FrontMatter = None,
    date: Date = None,
    template: Template = None,
    site: Site = None,
) -> None:
    """Write the patterns out in plain English.

    Without options the page stands beside the pattern: hat.tch gives hat.html. A pattern with errors is not
    published. With --out - one pattern goes to standard output. Of a folder every pattern is published that
    changed since the last time, and an index of all.
    """
    from .commands.publish import publish

    choices = _choices(to, out, terms, words, paper, front_matter, date, template, site)
    if not any(os.path.isdir(name) for name in files):
        _finish(publish(files, choices, colour=_colour()))
    from .commands.shelf import publish_folder

    if len(files) > 1:
        raise typer.BadParameter("a folder is published by itself")
    _finish(
        publish_folder(files[0], choices, colour=_colour(), tell=_progress if _moves(sys.stderr) else None)
    )


@app.command(cls=_Command)
def watch(
    file: File,
    to: To = None,
    out: Out = None,
    terms: Terms = None,
    words: Words = "full",
    port: Annotated[
        int,
        typer.Option(
            metavar="PORT",
            help="The port of the preview; any free one if left out.",
            min=0,
            max=65535,
            show_default=False,
        ),
    ] = 0,
) -> None:
    """Check and publish a pattern at every save.

    A page in the browser shows it, and what is wrong with it. Ctrl-C stops it.
    """
    import time

    from .commands import WRONG_USE, Outcome
    from .commands.publish import WrongUse, outputs_of
    from .files import read, shown, why
    from .watch import Preview, Watch

    choices = _choices(to, out, terms, words)
    try:
        if file == "-" or out == "-":
            raise WrongUse("only a file can be watched, and published to files")
        outputs_of(file, choices)
        read(file)
        preview = Preview(os.path.basename(shown(file)), port)
    except (WrongUse, OSError) as error:
        words_for_it = why(error) if isinstance(error, OSError) else str(error)
        _finish(Outcome(WRONG_USE, err=f"turnchain: {shown(file)} can't be watched: {words_for_it}"))
        return
    with preview:
        typer.echo(f"The preview is at {preview.address} (Ctrl-C stops)")
        try:
            Watch(file, choices, preview, typer.echo, _colour()).run(time.sleep)
        except KeyboardInterrupt:
            typer.echo("Stopped.")


@app.command(cls=_Command)
def tidy(
    files: Files,
    check: Annotated[bool, typer.Option("--check", help="Change nothing; say what is not tidy.")] = False,
) -> None:
    """Write the patterns in the one tidy form.

    What they say stays the same, and every comment is kept. Standard input goes to standard output. With
    --check the exit status is 1 if a pattern is not tidy.
    """
    from .commands.tidy import tidy

    _finish(tidy(files, check=check, colour=_colour()))


@app.command(cls=_Command)
def counts(
    file: File, format_: Annotated[str, _one_of("--format", REPORTS[:2], "How to print them.")] = "text"
) -> None:
    """Show what every row finds and makes."""
    from .commands.counts import counts

    _finish(counts(file, format_, colour=_colour()))


@app.command(cls=_Command)
def resize(
    file: File,
    gauge: Annotated[
        list[str],
        typer.Option(
            "--gauge",
            metavar="GAUGE",
            help='The other gauge, such as "20 st, 24 rows = 10 cm"; may be given once for each stitch.',
            show_default=False,
        ),
    ],
) -> None:
    """Show what every size becomes at another gauge.

    It changes no file. Without a stitch the gauge takes the place of the pattern's first.
    """
    from .commands.resize import resize

    _finish(resize(file, gauge, colour=_colour()))


@app.command(cls=_Command)
def fit(
    file: File,
    measure: Annotated[
        str,
        typer.Argument(
            metavar="MEASURE", help='A body measurement, such as "head 47 cm".', show_default=False
        ),
    ],
) -> None:
    """Show in which size of a pattern a measurement falls."""
    from .commands.fit import fit

    _finish(fit(file, measure, colour=_colour()))


@app.command(cls=_Command)
def start(name: Annotated[str, typer.Argument(metavar="NAME", help="What the pattern is called.")]) -> None:
    """Write a small pattern to begin from into this folder."""
    from pathlib import Path

    from .commands.start import start

    _finish(start(name, Path()))


def _explained_names(incomplete: str) -> list[str]:
    from .explain import names

    return [name for name in names() if name.startswith(incomplete)]


@app.command(cls=_Command)
def explain(
    name: Annotated[
        Optional[str],  # noqa: UP045
        typer.Argument(
            metavar="NAME", help="An error's or a warning's name.", autocompletion=_explained_names
        ),
    ] = None,
) -> None:
    """Tell more about an error or a warning.

    Without a name all of them are listed.
    """
    from .commands.explain import explain

    _finish(explain(name))


@app.command(cls=_Command)
def editor(
    stdio: Annotated[bool, typer.Option("--stdio", hidden=True)] = False,  # some editors write it
) -> None:
    """Show counts and mistakes in an editor as you type.

    The editor starts it, and speaks to it by the Language Server Protocol on standard input and output.
    """
    from .commands.editor import serve

    _finish(serve())


def main() -> None:
    """Run the command line."""
    for stream in (sys.stdout, sys.stderr):
        # A terminal that can't show a character gets a mark for it, not a failure.
        stream.reconfigure(errors="replace")  # type: ignore[union-attr]
    try:
        app()
    except KeyboardInterrupt:
        sys.exit(INTERRUPTED)
    except OSError as error:
        _give_up(error)


def _give_up(error: OSError) -> NoReturn:
    """Stop because what there is to say can't be written, as on a full disk."""
    # What is still held back would fail once more when the program ends.
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    typer.echo(f"turnchain: the output can't be written: {error.strerror or error}", err=True)
    sys.exit(2)


def _choices(
    to: list[str] | None, out: str | None, terms: str | None, words: str, *more: str | None
) -> Choices:
    from .commands.publish import Choices

    return Choices(tuple(dict.fromkeys(to or ("html",))), out, terms, words, *more)


def _progress(done: int, many: int, name: str) -> None:
    from shutil import get_terminal_size

    shown = f"{done} of {many}: {name}" if done < many else ""
    typer.echo(f"\r\x1b[K{shown[: get_terminal_size().columns - 1]}", nl=False, err=True)


def _moves(stream: TextIO) -> bool:
    """Tell whether a line can be written over."""
    return stream.isatty() and os.environ.get("TERM") != "dumb"


def _colour() -> bool:
    return _moves(sys.stdout) and not os.environ.get("NO_COLOR")


def _finish(outcome: Outcome) -> None:
    if outcome.data:
        typer.echo(outcome.data, nl=False)
    if outcome.out:
        typer.echo(outcome.out)
    if outcome.err:
        typer.echo(outcome.err, err=True)
    raise typer.Exit(outcome.status)
