"""The bundled parts data, and plans bound to them, for tests of the electrics."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright import documents, schema
from lampwright.layout import Layout
from lampwright.plans import load
from lampwright_wiring.catalogue import Catalogue
from lampwright_wiring.model import bind
from support import PLAN, library

if TYPE_CHECKING:
    from lampwright_wiring.model import WiredLamp, Wiring


def parts() -> Catalogue:
    """Return the bundled parts data."""
    return Catalogue(library().parts)


def layout_of(text: str) -> Layout:
    """Return a plan given as text, bound to its rulebook."""
    values = documents.read(text.encode(), PLAN).values
    assert schema.faults("plan", values) == []
    return Layout(load(values, PLAN), library())


def wiring_of(text: str) -> Wiring:
    """Return the electrics of a plan given as text."""
    return bind(layout_of(text))


def lamp_of(wiring: Wiring, label: str) -> WiredLamp:
    """Return a lamp by what a person calls it: ``HF1 red``."""
    return next(lamp for lamp in wiring.lamps if lamp.label == label)
