"""Rows and rounds as they are written, each in one line."""

from __future__ import annotations

from .. import syntax as s
from .items import body_text, how_text, tally_text
from .values import braced, count_text, fit_text, length_text, sum_text


def row_text(row: s.Row) -> str:
    """Return a row, a round or a stretch of them."""
    head = f"{_label(row.label)}{_settings(row.settings, row.label.unit)}: "
    total = f" = {', '.join(map(tally_text, row.total))}" if row.total else ""
    return head + _content(row.content, row.label.unit) + total


def _content(content: s.Body | s.RepeatRows | s.Work, unit: str) -> str:
    match content:
        case s.Body():
            return body_text(content)
        case s.RepeatRows():
            return _repeat(content)
        case s.Work():
            return _work(content, unit)


def _label(label: s.Label) -> str:
    unit = label.unit
    if label.first is not None:
        return f"{unit} {label.first}" if label.last is None else f"{unit}s {label.first}-{label.last}"
    if label.count is not None:
        return f"next {count_text(label.count)} {unit}{'s' * _several(label.count)}"
    return f"next {unit}s" if label.until else f"next {unit}"


def _several(count: s.Value) -> bool:
    """Tell whether a number may be more than 1."""
    return not isinstance(count, s.Number) or any(value > 1 for value in count.values)


def _settings(settings: s.Settings, unit: str) -> str:
    words = []
    if settings.side:
        words.append(settings.side)
    if settings.yarn:
        words.append(f"with {settings.yarn}")
    if settings.stripes:
        each = ", ".join(f"{count_text(stripe.rows)} {stripe.yarn}" for stripe in settings.stripes)
        words.append(f"with {each}")
    if settings.stitch:
        words.append(f"in {settings.stitch}")
    if settings.loop:
        words.append(settings.loop)
    if settings.chains_count:
        words.append("chains count")
    if settings.turning_chain:
        words.append(turning_chain_text(settings.turning_chain))
    if settings.into is not None:
        words.append(f"into {unit} {settings.into}")
    if settings.begin is not None:
        words.append(_beginning(settings.begin))
    if settings.steps:
        words.append("steps")
    return "".join(f" {word}" for word in words)


def _beginning(begin: s.Beginning) -> str:
    if begin.name is not None:
        return f"begin {begin.name}"
    return f"begin {abs(begin.places)} {'back' if begin.places < 0 else 'on'}"


def turning_chain_text(chain: s.TurningChain, name: str | None = None) -> str:
    """Return a turning chain, that of all stitches or of one."""
    words = ("tch", name, str(chain.chains), chain.manner)
    return " ".join(word for word in words if word)


def _repeat(repeat: s.RepeatRows) -> str:
    if repeat.back is not None:
        which = f"last {repeat.back}"
    else:
        which = str(repeat.first) if repeat.last is None else f"{repeat.first}-{repeat.last}"
    if repeat.limit is None:
        return f"repeat {which}"
    if repeat.limit_name is not None:
        return f"repeat {which} until {count_text(repeat.limit)} {repeat.limit_name}"
    length = repeat.limit
    measured = isinstance(length, s.Number) and length.unit is not None
    return f"repeat {which} until {sum_text(length) if measured else braced(length)}"


def _work(work: s.Work, unit: str) -> str:
    if isinstance(work.changes, s.Shape):
        parts = [_shape(work.changes)]
    else:
        parts = [_change(change, unit) for change in work.changes]
    side = ", any side" if work.any_side else ""
    return f"work {work.name}{how_text(work.how)}, {', '.join(parts)}{side}"


def _change(change: s.Change, unit: str) -> str:
    how = "".join(
        word
        for word in (
            " evenly" if change.spot == "evenly" else f" at {change.spot}",
            " staggered" if change.staggered else "",
            " symmetrical" if change.symmetrical else "",
            f" keep {count_text(change.keep)}" if change.keep is not None else "",
        )
    )
    over = "" if change.over is None else f" over {length_text(change.over)}"
    if change.kind == "to":
        target = change.count
        measured = isinstance(target, s.Number) and target.unit is not None
        return f"to {sum_text(target) if measured else count_text(target)}{how}{over}"
    when = "" if change.every is None else f" every {count_text(change.every)} {unit}s"
    if change.rows:
        spans = ", ".join(str(a) if a == b else f"{a}-{b}" for a, b in change.rows)
        when = f" on {unit}s {spans}"
    return f"{'-' if change.decrease else '+'}{count_text(change.count)}{how}{when}{over}"


def _shape(shape: s.Shape) -> str:
    depth = "" if shape.depth is None else f", {shape.said} {length_text(shape.depth)}"
    fit = "" if shape.fit is None else f", {fit_text(shape.fit)}"
    return f"{shape.name} of {length_text(shape.measure)}{depth}{fit}"
