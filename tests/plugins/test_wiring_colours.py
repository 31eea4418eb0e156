"""LEDs at the very edge of the limits for the colours of signals, made up for these tests.

The limits are those of `parts/colours.yaml`: CIE 1994 and 1975, traffic of 1980, ICAO; their sources stand there.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from full_findings import full, lines, sources
from lampwright.layout import Settings
from lampwright.library import Library
from lampwright.project import Run
from support import all_checks, host

if TYPE_CHECKING:
    from pathlib import Path

LED = """parts: 1
title: an LED at the edge
source: sheet
sources: {sheet: {title: its sheet, basis: verified}}
leds: {edge: {title: edge, colour: COLOUR, vf: {min: 2 V, typical: 2 V, max: 2 V}, limit: 20 mA, LIGHT}}
"""
PLAN = """plan: 1
rulebook: gb-colour-light
year: 1990
boards: {A: {kind: pwm-16}}
leds: {COLOUR: {kind: edge, resistor: 1 kohm}}
signals:
  HF1:
    form: two-aspect-stop
    lamps: [{green: A.0}, {red: A.1}]
    carries: {position-1: {output: A.2, leds: 5 parallel}}
"""
SHEET = 'by "its sheet" (verified)'
ICAO = 'by "ICAO Annex 14 appendix 1, CIE 1983, in ECAR 139 appendix 1" (verified)'
COLREGS = 'by "33 CFR 84.13, areas of CIE 2.2-1975" (verified)'
LIMITS = "498 to 508 nm (cie-1994), 494 to 508 nm (cie-1975), 494 to 508 nm (traffic-1980) and 494 to 550 nm (icao)"


def judged(folder: Path, colour: str, light: str) -> list[str]:
    """Return what is said of the light of an LED, with the first and the last source."""
    (folder / "edge.yaml").write_text(LED.replace("COLOUR", colour).replace("LIGHT", light), encoding="utf-8")
    parts = (*(one for _, one in host().parts_dirs()), folder)
    books = Library((one for _, one in host().rulebook_dirs()), parts)
    run = Run(books, all_checks(), Settings()).over([("plan.yaml", PLAN.replace("COLOUR", colour).encode())])
    found = [one for one in run.findings if one.rule == "wrong-led-colour"]
    told = [(list(lines(one)), list(sources(one))) for one in found]
    return [line for said, rests in told for line in (*said[:3], *(rests[:1] + rests[-1:]))]


@pytest.mark.parametrize("span", ["498.3..508", "494..508", "493.9..508.2"])
def test_a_light_that_two_sets_of_limits_take_will_do(tmp_path: Path, span: str) -> None:
    """Just at the edges of one and of the other."""
    assert judged(tmp_path, "green", f"wavelength: {span} nm") == []


def test_a_light_that_one_set_takes_is_a_note(tmp_path: Path) -> None:
    """The widest, from edge to edge."""
    assert judged(tmp_path, "green", "wavelength: 493.9..550.4 nm") == [
        "wrong-led-colour (note) at leds/green/kind",
        "green of HF1 is lit at 494 to 550 nm, which of all limits only icao takes",
        "tip an LED of 498 to 508 nm",
        SHEET,
        ICAO,
    ]


@pytest.mark.parametrize(("span", "read"), [("493..550.4", "493 to 550"), ("493.9..551", "494 to 551")])
def test_a_light_that_no_set_takes(tmp_path: Path, span: str, read: str) -> None:
    """A nanometre beyond, on either side."""
    assert judged(tmp_path, "green", f"wavelength: {span} nm") == [
        "wrong-led-colour (warning) at leds/green/kind",
        f"green of HF1 is lit at {read} nm, and limits for green are {LIMITS}",
        "tip an LED of 498 to 508 nm",
        SHEET,
        ICAO,
    ]


@pytest.mark.parametrize(
    ("x", "how", "tip"),
    [
        ("0.30", "bluer", "warmer"),
        ("0.310", "", ""),
        ("0.525", "", ""),
        ("0.54", "yellower", "cooler"),
    ],
)
def test_a_white_beyond_the_area_is_a_note(tmp_path: Path, x: str, how: str, tip: str) -> None:
    """Of which side it says."""
    told = [
        "wrong-led-colour (note) at leds/white/kind",
        f"position-1 of HF1 is lit by a white of x {x}, {how} than the limits for white take",
        f"tip a {tip} white, x from 0.31 to 0.53",
        SHEET,
        COLREGS,
    ]
    assert judged(tmp_path, "white", f"chromaticity: [{x}, 0.35]") == (told if how else [])


def test_a_light_of_another_colour_is_an_error() -> None:
    """The colour that signals want is told by its wavelengths."""
    found = full(PLAN.replace("COLOUR: {kind: edge,", "green: {kind: red-3mm,"), rule="wrong-led-colour")
    assert found[1:3] == [
        "green of HF1 is lit by an LED that is red: red, 3 mm",
        "tip a green LED, 498 to 508 nm",
    ]
