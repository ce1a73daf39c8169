"""What the compiler has to say about a pattern: values that stages return, never exceptions.

A diagnostic carries the facts and their places; `compiler/report` turns it into rich text, one line or JSON.
Its message stands alone in one line and says what is wrong; its help says what to do.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import Enum

from .source import Span


class Severity(Enum):
    """ERROR: nothing right can be published. WARNING: legal, but likely not meant."""

    ERROR = "error"
    WARNING = "warning"


@dataclass(frozen=True, slots=True)
class Label:
    """A few words set at a place in the source."""

    span: Span
    text: str


@dataclass(frozen=True, slots=True)
class Fix:
    """A change to the source that mends the fault."""

    title: str
    """What it does, as a command: "write `= 21`"."""
    edits: tuple[Label, ...]
    """Each label's text replaces its span."""
    safe: bool
    """True if the meaning can only become what the author meant."""


@dataclass(frozen=True, slots=True)
class Diagnostic:
    """One thing that is wrong or suspicious, at its place."""

    name: str
    """Short and lasting, such as `stated-total`; `turnchain explain NAME` tells more."""
    message: str
    span: Span
    """The smallest stretch that shows it: offsets into the whole source."""
    severity: Severity = Severity.ERROR
    label: str = ""
    """A word or two after the carets under the span."""
    tallies: tuple[Label, ...] = ()
    """Where the count went: what each item of the line uses or makes, set under that item."""
    related: tuple[Label, ...] = ()
    """The other half of a conflict, elsewhere in the source."""
    notes: tuple[str, ...] = ()
    """The sums behind it, one line each."""
    help: str = ""
    """What to do, as a statement."""
    fix: Fix | None = None
    sizes: tuple[str, ...] = ()
    """The sizes it holds in; empty if it holds in all of them."""
    facts: Mapping[str, int | str] = field(default_factory=dict)
    """The numbers of it by name (`expected`, `found`, ...), for programs."""

    def shifted(self, by: int) -> Diagnostic:
        """Return the same diagnostic with every place `by` characters further on."""

        def move(labels: tuple[Label, ...]) -> tuple[Label, ...]:
            return tuple(Label(label.span.shifted(by), label.text) for label in labels)

        fix = self.fix and replace(self.fix, edits=move(self.fix.edits))
        return replace(
            self,
            span=self.span.shifted(by),
            tallies=move(self.tallies),
            related=move(self.related),
            fix=fix,
        )
