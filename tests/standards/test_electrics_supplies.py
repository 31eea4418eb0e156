"""USB ports and their corners, budgets, and supplies that are safe."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from parts import lamp_of, parts, wiring_of

if TYPE_CHECKING:
    from lampwright_wiring.model import Wiring

TIERS = [
    ("usb-low-power", 100, "USB 2.0 sec. 7.2.1 as in an encyclopaedia and a primer (secondary): one unit load"),
    ("usb-hub-port", 100, "a USB controller maker's note (secondary)"),
    ("usb-2", 500, "five unit loads, after configuration (secondary)"),
    ("usb-3", 900, 'article "Understanding USB Power Standards" (secondary): six of 150 mA'),
    ("usb-charger", 1500, "Battery Charging 1.2 (secondary)"),
    ("usb-c-1500", 1500, "a chip maker's white paper, Nov 2024 (secondary)"),
    ("usb-c-3000", 3000, "the same"),
]


@pytest.mark.parametrize(("name", "milliamps", "source"), TIERS)
def test_what_a_usb_port_gives(name: str, milliamps: int, source: str) -> None:
    """Each tier by its own source."""
    kind = parts().supply(name)
    assert kind is not None
    assert kind.limit == Fraction(milliamps, 1000), source


def test_every_device_starts_on_one_unit_load() -> None:
    """USB 2.0 and 3 (secondary): 100 and 150 mA until configured."""
    starts = [kind.at_start for name in ("usb-2", "usb-3") if (kind := parts().supply(name)) is not None]
    assert starts == [Fraction(100, 1000), Fraction(150, 1000)]


CORNERS = [
    ("red-3mm", "300 ohm", "2.0", (10.833, 10.000, 9.167, 8.000)),
    ("traffic-green-3mm", "180 ohm", "3.2", (11.389, 10.000, 8.611, 6.667)),
]


@pytest.mark.parametrize(("led", "resistor", "forward", "expected"), CORNERS)
def test_currents_at_the_corners_of_vbus(led: str, resistor: str, forward: str, expected: tuple[float, ...]) -> None:
    """Worked out: 5.25, 5.00, 4.75 and 4.40 V of VBUS (secondary), forward voltage typical."""
    for volts, milliamps in zip(("5.25", "5.00", "4.75", "4.40"), expected, strict=True):
        colour = led.split("-")[-2]
        wiring = wiring_of(
            f"""
            plan: 1
            rulebook: gb-colour-light
            boards: {{A: {{kind: pwm-16, supply: usb, drive: sink}}}}
            supplies: {{usb: {{voltage: {volts} V}}}}
            leds: {{{colour}: {{kind: {led}, resistor: {resistor}}}}}
            signals: {{HF1: {{form: two-aspect-stop, lamps: {{{colour}: A.0}}}}}}
            """
        )
        draw = lamp_of(wiring, f"HF1 {colour}").feeds[0].draw
        assert draw.each is not None
        assert float(draw.each.typical) * 1000 == pytest.approx(milliamps, abs=0.0005)
        assert draw.each.typical == (Fraction(volts) - Fraction(forward)) / int(resistor.removesuffix(" ohm"))


def own(wiring: Wiring) -> Fraction:
    """Return what boards and controllers take for themselves."""
    uses = [board.uses for board in wiring.boards.values()] + [one.uses for one in wiring.controllers.values()]
    return sum((used for used in uses if used is not None), Fraction(0))


def test_what_is_left_for_lamps() -> None:
    """500 mA divided by 20 mA a lamp is 25 lamps, and fewer once the boards' own is taken off (common practice).

    Worked out: a controller of 50 mA and two boards of 10 leave 430 mA, 21 lamps of 20 mA; and 32 lamps of 10 mA make
    390 mA with them, which fits 500 and not 100.
    """
    wiring = wiring_of(
        """
        plan: 1
        controllers: {east: {kind: microcontroller-8bit, supply: usb}}
        boards: {A: {kind: pwm-16, controller: east}, B: {kind: pwm-16, after: A}}
        supplies: {usb: {kind: usb-2}}
        """
    )
    limit = wiring.supplies["usb"].limit
    assert limit is not None
    assert limit // Fraction(20, 1000) == 25
    assert own(wiring) == Fraction(70, 1000)
    assert (limit - own(wiring)) // Fraction(20, 1000) == 21
    load = 32 * Fraction(10, 1000) + own(wiring)
    assert load == Fraction(390, 1000)
    assert Fraction(100, 1000) < load <= limit


def test_a_common_return_dims_those_of_high_voltage_most() -> None:
    """Worked out: 0, 0.25 and 0.5 V lost in a return: 10.00, 9.17, 8.33 mA for red, 10.00, 8.61, 7.22 for InGaN."""
    lost = [Fraction(0), Fraction(1, 4), Fraction(1, 2)]
    red = [round(float((5 - Fraction(2) - one) / 300) * 1000, 2) for one in lost]
    green = [round(float((5 - Fraction("3.2") - one) / 180) * 1000, 2) for one in lost]
    assert red == [10.0, 9.17, 8.33]
    assert green == [10.0, 8.61, 7.22]
