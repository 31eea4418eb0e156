"""A plan to begin with, for any rulebook: two signals and an end, which every check leaves in peace."""

from __future__ import annotations

import re
from collections import Counter
from functools import cached_property
from typing import TYPE_CHECKING

from msgspec import Struct, field
from msgspec.structs import replace

from lampwright.intake import read_document
from lampwright.layout import Settings
from lampwright.placed import places
from lampwright.rulebooks.displays import reader
from lampwright.years import Years

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.project import Result
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.displays import FormReader
    from lampwright.session import Session

USUAL = 1980
"""The year a plan is set in, if the rulebook allows any."""
STOP = "stop"
PLAN = "plan.yaml"
IDLE = "idle-aspect"


class Draft(Struct, frozen=True, dict=True):
    """A plan of two signals of one form; ``asked`` is what they are meant to give, where that is not all they can."""

    book: Rulebook
    form: str
    year: int
    routes: bool
    assume: bool
    asked: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    @cached_property
    def reader(self) -> FormReader:
        """Who reads the form in the year."""
        return reader(self.book, self.form, Years(self.year, self.year))

    @property
    def gives(self) -> tuple[str, ...]:
        """All aspects of the form, without the parts' names."""
        return tuple(dict.fromkeys(aspect.rpartition(".")[2] for aspect in self.reader.gives))

    @property
    def text(self) -> str:
        """The plan as it is written."""
        beyond = f", assume: [{', '.join(self.gives)}]" if self.assume else ""
        lines = [
            "# A plan to begin with: rename the signals, add your own, and run `lampwright check` after every step.",
            f"# `lampwright rulebooks {self.book.id}` shows all forms there are.",
            "plan: 1",
            "name: My layout",
            f"rulebook: {self.book.id}",
            f"year: {self.year}",
            "signals:",
            "  A1:",
            f"    form: {self.form}{_title(self.book, self.form)}",
            f"    # lamps: [{', '.join(colour for _, colour in places(self.reader))}]",
            *self._gives("A1"),
            *(["    from: off-stage", "    routes:", "      - {to: A2, turns: straight}"] if self.routes else ()),
            "  A2:",
            f"    form: {self.form}",
            *self._gives("A2"),
            *(["    routes:", "      - {to: beyond, turns: straight}"] if self.routes else ()),
            *(["ends:", f"  beyond: {{kind: off-stage{beyond}}}"] if self.routes else ()),
        ]
        return "\n".join(lines) + "\n"

    def _gives(self, signal: str) -> list[str]:
        """Return the line that says what a signal is meant to give."""
        return [f"    gives: [{', '.join(self.asked[signal])}]"] if signal in self.asked else []


def starter(session: Session, book: Rulebook) -> str:
    """Return the text of a plan in which nothing is found, of the stop signal that examples of the rulebook use most.

    An empty text if every one has findings.
    """
    for draft in _candidates(book, _used(session, book)):
        found = _found(session, draft)
        if not found:
            return draft.text
        if draft.assume and found == {IDLE}:  # what nothing asks of it stays out of what it is meant to give
            meant = replace(draft, asked=_asked(session, draft))
            if not _found(session, meant):
                return meant.text
    return ""


def _examined(session: Session, draft: Draft) -> Result:
    """Check a plan."""
    return session.examine([(PLAN, draft.text.encode())], Settings(), configure=False)


def _found(session: Session, draft: Draft) -> set[str]:
    """Return the rules that find something in a plan."""
    return {finding.rule for finding in _examined(session, draft).findings if finding.spot.file == PLAN}


def _asked(session: Session, draft: Draft) -> dict[str, tuple[str, ...]]:
    """Return what each signal of a plan is asked to show."""
    from lampwright.working.reach import reach

    layout = _examined(session, draft).layouts[0]
    asked = {name: {aspect for _, aspect in reach(layout).first(name)} for name in layout.signals}
    return {name: tuple(one for one in draft.gives if one in shown) for name, shown in asked.items()}


def _used(session: Session, book: Rulebook) -> Counter[str]:
    """Count how often the examples of a rulebook use each form."""
    examples = (session.library.folder(book.id) / "examples").glob("*.yaml")
    texts = [read_document(example, example.name)[0].text for example in examples]
    return Counter(name for text in texts for name in re.findall(r"\bform: ([a-z0-9-]+)", text))


def _candidates(book: Rulebook, used: Counter[str]) -> Iterator[Draft]:
    """Yield plans: the plainest that tells something first, signals alone last."""
    forms = [name for name in book.forms if STOP in _roles(book, name)] or list(book.forms)
    forms.sort(key=lambda name: -used[name])
    years = {name: year for name in forms if (year := _year(book, name)) is not None}
    for routes, assume in ((True, False), (True, True), (False, False)):
        for form, year in years.items():
            yield Draft(book, form, year, routes=routes, assume=assume)


def _roles(book: Rulebook, form: str) -> set[str]:
    """Return the roles of a form, those of its parts included."""
    inner = [form, *(part.form for part in book.forms[form].parts.values())]
    return {role for name in inner for role in book.forms[name].roles}


def _year(book: Rulebook, form: str) -> int | None:
    """Return a year in which new signals of a form were put up, the usual one if it can be; None if there is none."""
    record = book.forms[form]
    span: Years | None = book.years
    for years in (record.years, record.fitted):
        span = span.shared(years) if span else None
    return None if span is None else min(max(USUAL, span.first), span.last)


def _title(book: Rulebook, form: str) -> str:
    """Return what a form is called, as a comment."""
    title = book.forms[form].title
    return f"    # {title}" if title.isprintable() and title else ""
