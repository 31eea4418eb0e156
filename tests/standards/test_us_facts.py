"""Facts that all books of North America share: lenses, flashing, dark signals, what rests at stop, eras, scales.

Each test names its source and how well it is known.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from american_books import book
from lampwright.findings import Basis
from lampwright.quantities import quantity
from lampwright.rulebooks.displays import Kind, reader

BOOKS = ["us-bnsf-1999", "us-norac", "us-nyc", "us-bo-cpl", "ca-cror"]
INCH = Fraction(254, 10)


@pytest.mark.parametrize("name", ["us-bnsf-1999", "us-norac", "us-nyc"])
def test_lenses_of_long_and_of_short_range(name: str) -> None:
    """AREMA C&S Manual 7.1.1 (2013), verified: 8-3/8 in and 6-3/8 in; at 1:87.1 the larger is 2.44 mm (derived)."""
    for lens, inches in (("lens-long-range", Fraction(67, 8)), ("lens-short-range", Fraction(51, 8))):
        said = quantity(book(name).parameters[lens]["value"])
        assert said.inside("mm") == round(inches * INCH)
        assert book(name).why("parameters", lens, "value").basis is Basis.VERIFIED
    assert round(float(Fraction(67, 8) * INCH / Fraction("87.1")), 2) == 2.44


@pytest.mark.parametrize("name", BOOKS)
def test_how_fast_lineside_signals_flash_is_common_practice(name: str) -> None:
    """No federal figure is established for them.

    49 CFR 221.14 (verified), one flash in 0.7 to 1.3 s, is for lights at the rear of trains: it must not stand here.
    """
    flash = book(name).states["flash"]
    slowest, fastest = map(float, flash["per-minute"].split(".."))
    assert book(name).why("states", "flash", "per-minute").basis is Basis.COMMON_PRACTICE
    assert slowest < 60 / 1.3
    assert fastest > 60 / 0.7


@pytest.mark.parametrize("name", BOOKS)
def test_nothing_lit_and_two_lamps_of_one_head_are_stop(name: str) -> None:
    """Training manual TR06358 of the US Army (verified). A distant has no red, and tells of one."""
    for form in book(name).forms:
        signal = reader(book(name), form)
        stop = "approach" if signal.form.roles == ("distant",) else "stop"
        dark = signal.read({})
        assert (dark.kind, dark.taken_for) == (Kind.NONE, stop)
        for head, faces in signal.anatomy.faces.items():
            both = {lamps[0]: "lit" for face, lamps in faces.items() if face in ("green", "yellow")}
            assert signal.read(both).taken_for == stop, head


@pytest.mark.parametrize("name", BOOKS)
def test_a_signal_without_a_route_is_at_stop(name: str) -> None:
    """49 CFR 236.205 (verified): its most restrictive aspect; the number 0 of an accessory decoder is the same one.

    NMRA S-9.2.1 (July 2012, verified): 00000 is absolute stop, every other number is the railroad's.
    """
    freest_of_none = [aspect for aspect in book(name).aspects if not tighter(name, aspect)]
    assert freest_of_none == ["stop"]
    assert {form.rest for form in book(name).forms.values() if form.roles == ("stop",)} == {"stop"}


def tighter(name: str, aspect: str) -> list[str]:
    """Return the aspects that are more restrictive than one."""
    return [other for other in book(name).aspects if aspect in book(name).order.freer(other)]


@pytest.mark.parametrize("name", BOOKS)
def test_no_eras_and_the_scales_of_north_america(name: str) -> None:
    """NMRA eras are not established; common practice: N 1:160, O 1:48."""
    assert book(name).eras == {}
    assert book(name).parameters["scale-n"]["value"] == "1:160"
    assert book(name).parameters["scale-o"]["value"] == "1:48"
