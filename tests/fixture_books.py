"""The rulebooks of the acceptance fixtures, and the questions that tests ask of them."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from lampwright import documents, schema
from lampwright.rulebooks import Rulebook, load
from lampwright.rulebooks.displays import FormReader, reader
from lampwright.rulebooks.order import Verdict

if TYPE_CHECKING:
    from collections.abc import Mapping

FOLDER = Path(__file__).parent / "rulebooks"
NAMES = sorted(path.stem for path in FOLDER.glob("*.yaml"))


@cache
def rulebook(name: str) -> Rulebook:
    """Return a fixture's rulebook, read as a user's would be."""
    document = documents.read(FOLDER / f"{name}.yaml", f"{name}.yaml")
    assert schema.faults("rulebook", document.values) == []
    return load(document.values, document.name)


def form(name: str, kind: str, regime: str = "") -> FormReader:
    """Return what reads one form of a rulebook."""
    return reader(rulebook(name), kind, regime=regime)


def only(signal: FormReader, aspect: str) -> dict[str, str]:
    """Return the one display that is commanded for an aspect."""
    (display,) = signal.displays(aspect)
    return display


def without(display: Mapping[str, str], element: str) -> dict[str, str]:
    """Return a display after a lamp, box or plate that belongs to it is lost."""
    assert element in display
    return {name: state for name, state in display.items() if name != element}


def freer(name: str, first: str, second: str) -> bool:
    """Tell whether the rulebook declares the first aspect less restrictive than the second."""
    return rulebook(name).order.less_restrictive(first, second) is Verdict.YES


def numbers(signal: FormReader, aspect: str) -> set[int]:
    """Return the lamps lit for an aspect, counted from the top."""
    places = sorted(signal.anatomy.places, key=lambda lamp: -signal.anatomy.places[lamp].at[0][1])
    return {1 + places.index(lamp) for lamp in only(signal, aspect)}
