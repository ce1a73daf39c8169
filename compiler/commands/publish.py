"""`turnchain publish`: a pattern laid out, written beside its source."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from .. import files
from ..document import Document
from ..publish import FORMATS, render
from ..publish.files import write_whole
from ..publish.front_matter import FrontMatter
from ..publish.layout import Layout
from . import CLEAN, FAULTY, WRONG_USE, Outcome
from .loading import Loaded, has_warnings, load_all, report

STANDARD_OUTPUT = "-"


@dataclass(frozen=True, slots=True)
class Choices:
    """How a pattern is to be published."""

    formats: tuple[str, ...] = ("html",)
    folder: str | None = None
    """Where the files go: beside their sources if None, to standard output for `-`."""
    terms: str | None = None
    """`US`, `UK` or `DE`; the source's own if None."""
    words: str = "full"
    """`full` sentences, or the trade's `short` form."""
    paper: str | None = None
    """`A4` or `Letter`, for what is printed; what the reader's country uses if None."""
    front_matter: str | None = None
    """The site generator that a post is for, or a TOML file that tells of one; none if None."""
    date: str | None = None
    """The day of a post; the present day if None."""
    templates: str | None = None
    """A folder of templates of the publisher's own."""
    site: str | None = None
    """The address of the folder of a site that the pages will stand in; None if that is not known."""


class WrongUse(Exception):  # noqa: N818 - says what the command was asked for
    """What was asked for can't be done; the message says why."""


def publish(names: Sequence[str], choices: Choices, *, colour: bool = False) -> Outcome:
    """Publish every pattern that has no errors; the others leave what was published before as it is."""
    names = list(dict.fromkeys(names))
    try:
        refuse_wrong(choices)
        outputs = {name: _outputs(name, choices) for name in names}
        _refuse_clashes(names, outputs)
    except WrongUse as wrong:
        return Outcome(WRONG_USE, err=f"turnchain: {wrong}")
    loaded, problems = load_all(names)
    worth_saying = [each.analysis for each in loaded if has_warnings(each.analysis)]
    said = [report(worth_saying, colour=colour)] if worth_saying else []
    sound = [each for each in loaded if not each.analysis.has_errors]
    status = CLEAN if len(sound) == len(loaded) else FAULTY
    if choices.folder == STANDARD_OUTPUT:
        try:
            data = b"".join(published(each, choices)[choices.formats[0]] for each in sound)
        except WrongUse as wrong:
            return Outcome(WRONG_USE, "", "\n".join((*said, *problems, f"turnchain: {wrong}")))
        return Outcome(WRONG_USE if problems else status, "", "\n".join((*said, *problems)), data)
    for each in sound:
        try:
            for path in write(each, outputs[each.name], choices):
                said.append(f"wrote {files.shown(str(path))}")
        except WrongUse as wrong:
            problems.append(f"turnchain: {wrong}")
    # What is wrong with templates or with what makes PDFs is the same for every pattern.
    return Outcome(WRONG_USE if problems else status, "\n".join(said), "\n".join(dict.fromkeys(problems)))


def refuse_wrong(choices: Choices) -> None:
    """Raise WrongUse for choices that no pattern can be published with."""
    _layout(choices, "US")
    _site(choices)


def titled(loaded: Loaded, choices: Choices) -> Document:
    """Return the words of a pattern without errors; WrongUse if a language has none for it."""
    from ..wording import NotWorded, document

    try:
        return document(loaded.analysis, _dialect(loaded, choices), choices.words)
    except NotWorded as missing:
        raise WrongUse(
            f"{files.shown(loaded.name)} says what there are no {choices.terms} terms for yet, in English "
            f"“{missing}”: publish it in US or UK terms"
        ) from missing


def _dialect(loaded: Loaded, choices: Choices) -> str:
    return choices.terms or loaded.analysis.scope.dialect


def published(loaded: Loaded, choices: Choices) -> dict[str, bytes]:
    """Return a pattern without errors in each format; WrongUse if a picture or a PDF can't be made."""
    from ..publish.embedding import embedded
    from ..publish.pdf import NotInstalled
    from ..publish.templating import TemplateFault

    made = titled(loaded, choices)
    alone = made
    if any(FORMATS[name].stands_alone for name in choices.formats):
        try:
            alone = embedded(made, lambda file: files.beside(loaded.folder, file))
        except OSError as error:
            raise WrongUse(str(error)) from error
    layout = _layout(choices, _dialect(loaded, choices))
    site = _site(choices)
    if site and loaded.name != files.STANDARD_INPUT:
        layout = _addressed(layout, site, Path(loaded.name).stem, made)
    try:
        return {
            name: FORMATS[name].written(
                render(alone if FORMATS[name].stands_alone else made, name, layout), layout
            )
            for name in choices.formats
        }
    except (NotInstalled, TemplateFault) as error:
        raise WrongUse(str(error)) from error


def _layout(choices: Choices, dialect: str) -> Layout:
    templates = Path(choices.templates) if choices.templates is not None else None
    if templates is not None and not templates.is_dir():
        raise WrongUse(f"{files.shown(str(templates))} is no folder of templates")
    paper = choices.paper or ("Letter" if dialect == "US" else "A4")
    return Layout(paper, _front_matter(choices), _day(choices), templates)


def _site(choices: Choices) -> str:
    from ..publish.addresses import site_folder

    try:
        return site_folder(choices.site) if choices.site is not None else ""
    except ValueError as error:
        raise WrongUse(f"{error}: write it as https://example.org/patterns/") from error


def _addressed(layout: Layout, folder: str, name: str, made: Document) -> Layout:
    from ..publish.addresses import on_site

    picture = on_site(folder, made.pictures[0].file) if made.pictures else ""
    return replace(layout, address=on_site(folder, f"{name}{FORMATS['html'].suffix}"), picture=picture)


def _front_matter(choices: Choices) -> FrontMatter | None:
    from ..publish.front_matter import generators, own

    name = choices.front_matter
    if name is None:
        return None
    if name in generators():
        return generators()[name]
    if not name.endswith(".toml"):
        known = ", ".join(generators())
        raise WrongUse(
            f"there is no front matter for {name}: there is {known}, and any file.toml of your own"
        )
    try:
        return own(Path(name).read_text("utf-8"))
    except (OSError, ValueError) as error:
        why = files.why(error) if isinstance(error, OSError) else error
        raise WrongUse(f"{files.shown(name)} can't be used for front matter: {why}") from error


def _day(choices: Choices) -> str:
    if choices.date is None:
        return date.today().isoformat()
    try:
        return date.fromisoformat(choices.date).isoformat()
    except ValueError as error:
        raise WrongUse(f"{choices.date} is no day: write it as 2026-11-25") from error


def write(loaded: Loaded, outputs: dict[str, Path], choices: Choices) -> Iterator[Path]:
    """Write a pattern without errors in each format and yield the paths written.

    Raises WrongUse where a file can't be written, or would take the place of one that the pattern is made of.
    """
    for path in outputs.values():
        for source in loaded.included:
            if _same(path, source):
                raise WrongUse(
                    f"{files.shown(str(path))} is a file that the pattern brings in; it was left as it is"
                )
    contents = published(loaded, choices)
    for name, path in outputs.items():
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            write_whole(path, contents[name])
        except OSError as error:
            raise WrongUse(f"{files.shown(str(path))} can't be written: {files.why(error)}") from error
        yield path


def outputs_of(name: str, choices: Choices) -> dict[str, Path]:
    """Return where a pattern in the file `name` is published in each format; raises WrongUse if not."""
    outputs = _outputs(name, choices)
    _refuse_clashes([name], {name: outputs})
    return outputs


def _outputs(name: str, choices: Choices) -> dict[str, Path]:
    if choices.folder == STANDARD_OUTPUT:
        return {}
    if name == files.STANDARD_INPUT:
        raise WrongUse("a pattern from standard input has no file to be published beside: add `--out -`")
    source = Path(name)
    folder = source.parent if choices.folder is None else Path(choices.folder)
    names = {each: f"{source.stem}{FORMATS[each].suffix}" for each in choices.formats}
    if "markdown" in names and (front := _front_matter(choices)) is not None:
        names["markdown"] = front.file_name(source.stem, _day(choices))
    return {each: folder / name for each, name in names.items()}


def _refuse_clashes(names: Sequence[str], outputs: dict[str, dict[str, Path]]) -> None:
    if not any(outputs.values()) and (len(names) > 1 or any(len(each) > 1 for each in outputs.values())):
        raise WrongUse("one pattern at a time can go to standard output")
    taken: dict[Path, str] = {}
    for name, paths in outputs.items():
        for path in paths.values():
            first = taken.setdefault(path.resolve(), name)
            if first != name:
                raise WrongUse(
                    f"{files.shown(first)} and {files.shown(name)} would both be written to "
                    f"{files.shown(str(path))}; nothing was written"
                )
            for source in names:
                if _same(path, Path(source)):
                    raise WrongUse(
                        f"{files.shown(name)} would be written over {files.shown(source)}, a source; "
                        "choose another folder with `--out`"
                    )


def _same(path: Path, other: Path) -> bool:
    try:
        return path.resolve() == other.resolve() or path.samefile(other)
    except OSError:
        return False
