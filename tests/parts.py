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

SOUND = """
plan: 1
rulebook: gb-colour-light
year: 1990
controllers:
  east: {kind: microcontroller-8bit, supply: usb, bus: 400 kHz, step: 20 ms}
boards:
  A:
    kind: pwm-16
    controller: east
    address: 0x40
    frequency: 1500 Hz
    supply: usb
    drive: sink
    held-dark: true
    reserved: 15
  B: {kind: pwm-16, controller: east, address: 0x41, frequency: 50 Hz, drive: source, servos: [14, 15]}
  C: {kind: shift-register-8, controller: east, switch: npn-transistor, led-supply: twelve, held-dark: true}
  D: {kind: shift-register-8, after: C, drive: sink, held-dark: true}
supplies:
  usb: {kind: usb-2}
  twelve: {kind: adapter-12v-1a}
stock: {resistors: E24, rating: 0.25 W}
leds:
  red: {kind: red-3mm, resistor: 390 ohm, level: 80 %}
  yellow: {kind: yellow-3mm, resistor: 390 ohm}
  green: {kind: traffic-green-3mm, current: 5 mA}
  white: {kind: warm-white-3mm, resistor: 1.5 kohm}
signals:
  OS1:
    form: four-aspect
    stage: built
    wiring: common-anode
    lamps: [{yellow: A.0}, {green: A.1}, {yellow: A.2}, {red: A.3}]
    carries: {position-1: {output: C.0, leds: 5 parallel}}
  OS3:
    form: three-aspect
    wiring: common-cathode
    lamps:
      green: B.0
      yellow: B.1
      red: {output: B.2, level: 100 %}
  OS5:
    form: searchlight
    year: 1955
    lamps:
      lens: {red: {output: D.0, level: 100 %}, yellow: D.1, green: {output: D.2, resistor: 220 ohm}}
  OS7: {form: position-light, lamps: {upper: A.4, lower: A.4}}
  OS9: {form: limit-of-shunt, stage: dummy}
"""
"""A plan whose wiring no check finds anything wrong with."""


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
