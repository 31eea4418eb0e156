"""A plan to begin with, for any rulebook: two signals and an end, which every check leaves in peace."""

from __future__ import annotations

import re
from collections import Counter
from typing import TYPE_CHECKING

from lampwright.layout import Settings
from lampwright.rulebooks.displays import reader
from lampwright.years import Years

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.rulebooks import Rulebook
    from lampwright.session import Session

USUAL = 1980
"""The year a plan is set in, if the rulebook allows any."""
STOP = "stop"
PLAN = "plan.yaml"


def starter(session: Session, book: Rulebook) -> str:
    """Return the text of a plan in which nothing is found, of the stop signal that examples of the rulebook use most.

    An empty text if every one has findings.
    """
    for text in _candidates(book, _used(session, book)):
        result = session.examine([(PLAN, text.encode())], Settings(), configure=False)
        if not any(finding.spot.file == PLAN for finding in result.findings):
            return text
    return ""


def _used(session: Session, book: Rulebook) -> Counter[str]:
    """Count how often the examples of a rulebook use each form."""
    examples = (session.library.folder(book.id) / "examples").glob("*.yaml")
    texts = [example.read_text(encoding="utf-8", errors="replace") for example in examples]
    return Counter(name for text in texts for name in re.findall(r"\bform: ([a-z0-9-]+)", text))


def _candidates(book: Rulebook, used: Counter[str]) -> Iterator[str]:
    """Yield plans: the plainest that tells something first, signals alone last."""
    forms = [name for name in book.forms if STOP in _roles(book, name)] or list(book.forms)
    forms.sort(key=lambda name: -used[name])
    years = {name: year for name in forms if (year := _year(book, name)) is not None}
    for routes, assume in ((True, False), (True, True), (False, False)):
        for form, year in years.items():
            yield _plan(book, form, year, routes=routes, assume=assume)


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


def _plan(book: Rulebook, form: str, year: int, *, routes: bool, assume: bool) -> str:
    """Return the text of a plan."""
    form_reader = reader(book, form, Years(year, year))
    gives = dict.fromkeys(aspect.rpartition(".")[2] for aspect in form_reader.gives)
    beyond = f", assume: [{', '.join(gives)}]" if assume else ""
    lines = [
        "# A plan to begin with: rename the signals, add your own, and run `lampwright check` after every step.",
        f"# `lampwright rulebooks {book.id}` shows all forms there are.",
        "plan: 1",
        "name: My layout",
        f"rulebook: {book.id}",
        f"year: {year}",
        "signals:",
        "  A1:",
        f"    form: {form}{_title(book, form)}",
        f"    # lamps: [{', '.join(form_reader.lamps)}]",
        *(["    from: off-stage", "    routes:", "      - {to: A2, turns: straight}"] if routes else ()),
        "  A2:",
        f"    form: {form}",
        *(["    routes:", "      - {to: beyond, turns: straight}"] if routes else ()),
        *(["ends:", f"  beyond: {{kind: off-stage{beyond}}}"] if routes else ()),
    ]
    return "\n".join(lines) + "\n"


def _title(book: Rulebook, form: str) -> str:
    """Return what a form is called, as a comment."""
    title = book.forms[form].title
    return f"    # {title}" if title.isprintable() and title else ""
