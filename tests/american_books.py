"""Patterns of North American books read on their forms, as a driver reads heads from the top down."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from lampwright.rulebooks import patterns
from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.failing import failings, verdict
from lampwright.rulebooks.order import Verdict
from lampwright.rulebooks.sequence import step
from lampwright.years import Years
from support import library

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.rulebooks import Rulebook

RULESETS = Path(__file__).parents[1] / "rulesets"

Freer = tuple[str, str, str, str]
"""A form, an aspect, what fails, and the freer aspect that is read."""


def book(name: str) -> Rulebook:
    """Return a bundled rulebook."""
    found = library().get(name)
    assert found is not None
    return found


def file(name: str) -> str:
    """Return the text of a bundled rulebook."""
    return (RULESETS / name / "rulebook.yaml").read_text(encoding="utf-8")


def read(rulebook: Rulebook, pattern: str, mount: str = "high") -> str:
    """Return the aspect that every form of a mount with such heads reads in a pattern; empty if it is none.

    Forms without a mount count as high ones; that no two forms disagree is part of what is asserted.
    """
    found = set()
    for name, form in rulebook.forms.items():
        signal = reader(rulebook, name)
        elements = patterns.elements(rulebook, signal.anatomy, pattern) if form.heads else None
        if elements is not None and (form.mount or "high") == mount and signal.anatomy.lit(elements) is not None:
            found.add(signal.read(dict(elements)).aspect)
    assert len(found) == 1, (pattern, mount, found)
    return found.pop()


def must(rulebook: Rulebook, form: str, ahead: str, year: int, **facts: Mapping[str, object]) -> str:
    """Return the aspect that must stand at a form while the next signal shows ``ahead``."""
    return _step(rulebook, form, ahead, year, **facts)[0]


def allowed(rulebook: Rulebook, form: str, ahead: str, year: int, **facts: Mapping[str, object]) -> tuple[str, ...]:
    """Return what may stand as well."""
    return _step(rulebook, form, ahead, year, **facts)[1]


def freer_when_failed(rulebook: Rulebook) -> Iterator[Freer]:
    """Yield every single failing of every display on every form that reads as a freer aspect, answered or not."""
    for name, form in rulebook.forms.items():
        if not form.parts:
            signal = reader(rulebook, name)
            for failing in failings(signal):
                found, seen = verdict(signal, failing.meaning.aspect, failing.reading)
                if found is Verdict.YES:
                    yield name, failing.meaning.aspect, str(failing), seen


def freer(rulebook: Rulebook, first: str, second: str) -> bool:
    """Tell whether the first of two aspects is declared less restrictive than the second."""
    return rulebook.order.less_restrictive(first, second) is Verdict.YES


def _step(
    rulebook: Rulebook, form: str, ahead: str, year: int, **facts: Mapping[str, object]
) -> tuple[str, tuple[str, ...]]:
    """Ask the sequence."""
    when = Years(year, year)
    gives = reader(rulebook, form, when).gives
    known = {"route": {"class": "main", **facts.pop("route", {})}, **facts}
    found = step(rulebook, rulebook.forms[form].roles[0], gives, {"next": ahead, **known}, when)
    return found.must, found.may
