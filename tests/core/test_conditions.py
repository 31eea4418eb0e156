"""Conditions of rulebooks, where a fact has several values."""

from __future__ import annotations

import pytest

from lampwright.rulebooks.sequence import fits
from support import bundled


@pytest.mark.parametrize(
    ("wanted", "holds"),
    [("trains", True), ("shunting", True), (["road-rail", "shunting"], True), ("road-rail", False), ([], False)],
)
def test_an_aspect_for_several_movements_is_for_each_of_them(wanted: object, *, holds: bool) -> None:
    """German Hp 0 stops trains and shunting movements (Richtlinie 301.0101); a condition may ask for one of them."""
    book = bundled("de-hv")
    assert book.aspects["hp0"].says["for"] == ["trains", "shunting"]
    assert fits(book, {"next": {"for": wanted}}, {"next": "hp0"}) is holds


def test_speeds_are_compared_by_the_one_that_is_a_figure() -> None:
    """A speed said as a word and a figure is what the figure says."""
    book = bundled("de-hv")
    assert fits(book, {"route": {"speed": {"at-most": "40 km/h"}}}, {"route": {"speed": ["slow", "40 km/h"]}})
    assert not fits(book, {"route": {"speed": {"below": "40 km/h"}}}, {"route": {"speed": ["slow", "40 km/h"]}})
