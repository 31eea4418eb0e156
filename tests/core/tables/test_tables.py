"""What a controller is told of a signal: read back by what reads displays, and told of every kind of wiring."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

import pytest

from lampwright.rulebooks.displays import Kind
from lampwright.rulebooks.flashing import Flash, flash
from lampwright.tables import Beat, tables
from lampwright.tables.beats import beat
from lampwright.tables.fingerprint import fingerprint, plan_fingerprint
from parts import layout_of
from support import bundled, library

if TYPE_CHECKING:
    from lampwright.layout import BoundSignal
    from lampwright.tables import Command, Shine, SignalTable

FORMS = [(book, form) for book in library().ids for form in bundled(book).forms]


def table_of(signal: str, said: str, *, above: str = "", year: str = "1990") -> SignalTable:
    """Return the table of one British signal."""
    text = f"plan: 1\nrulebook: gb-colour-light\nyear: {year}\n{above}\nsignals:\n  {signal}: {said}\n"
    return tables(layout_of(text)).signals[signal]


def lit(command: Command | None) -> dict[str, Fraction]:
    """Return the outputs that are lit under a command, with their levels."""
    assert command is not None
    return {output: shine.level for output, shine in command.outputs.items() if shine.lit}


def seen(signal: BoundSignal, command: Command) -> dict[str, str]:
    """Return what is seen of a command, told by its lamps alone, with the plates that must hang there."""
    form = signal.reader
    assert form is not None
    display = {}
    for shine in command.lamps:
        if shine.lit:
            many = len({one.colour for one in command.lamps if one.lamp == shine.lamp}) > 1
            display[shine.lamp] = (
                f"{way(signal, shine)} {shine.colour}".strip() if many else way(signal, shine) or "lit"
            )
    for box, content in command.boxes:
        for part, aspect in command.aspects:
            name = f"{part}.{box}" if part else box
            if any(name in one for one in form.displays(f"{part}.{aspect}" if part else aspect)):
                display[name] = "flash" if content.startswith("flash") else "lit"
    return display | dict.fromkeys(command.plates, "present")


def way(signal: BoundSignal, shine: Shine) -> str:
    """Return the state of the rulebook by which a lamp is lit; empty if it is steady."""
    if shine.flash is None:
        return ""
    assert signal.rulebook is not None
    states = dict.fromkeys(("flash", *signal.rulebook.states))
    return next(state for state in states if beat(signal.rulebook, state) == shine.flash)


@pytest.mark.parametrize(("book", "form"), FORMS)
def test_every_command_of_every_form_reads_as_the_aspects_it_is_named_after(book: str, form: str) -> None:
    """Oracle: the reader of displays, which knows nothing of tables."""
    layout = layout_of(f"plan: 1\nrulebook: {book}\nsignals:\n  X: {{form: {form}}}\n")
    signal, table = layout.signals["X"], tables(layout).signals["X"]
    assert signal.reader is not None
    for command in table.commands:
        readings = signal.reader.read_parts(seen(signal, command))
        for part, aspect in command.aspects:
            reading = readings[part]
            if aspect not in ("dark", ""):
                assert aspect in reading.aspects or reading.kind is Kind.REST, (command.name, reading)


@pytest.mark.parametrize(("book", "form"), FORMS)
def test_nought_is_what_no_other_command_of_the_signal_is_more_restrictive_than(book: str, form: str) -> None:
    """Of what the rulebook declares an order for."""
    layout = layout_of(f"plan: 1\nrulebook: {book}\nsignals:\n  X: {{form: {form}}}\n")
    table, order = tables(layout).signals["X"], bundled(book).order
    assert table.commands[0].number == 0
    assert (
        len({one.number for one in table.commands}) == len({one.name for one in table.commands}) == len(table.commands)
    )
    for part, aspect in table.commands[0].aspects:
        others = {dict(command.aspects)[part] for command in table.commands}
        freer = [other for other in others if aspect in order.freer(other) and aspect not in ("dark", "unlit")]
        assert not freer, (part, aspect)


def test_the_numbers_of_a_form_do_not_depend_on_what_one_signal_gives() -> None:
    """A signal that gives less leaves numbers out."""
    whole = table_of("X", "{form: three-aspect}")
    less = table_of("X", "{form: three-aspect, gives: [danger, clear]}")
    without = table_of("X", "{form: three-aspect, blanked: yellow}")
    assert [(one.number, one.name) for one in whole.commands] == [
        (0, "danger"),
        (1, "caution"),
        (2, "clear"),
        (3, "flashing-caution"),
    ]
    assert [(one.number, one.name) for one in less.commands] == [(0, "danger"), (2, "clear")]
    assert [(one.number, one.name) for one in without.commands] == [(0, "danger"), (2, "clear")]


def test_indicators_are_commanded_beside_the_aspects_they_stand_with() -> None:
    """A junction indicator is not lit beside a signal at danger (the bundled rulebook's `stands-with`)."""
    table = table_of("X", "{form: two-aspect-stop, lamps: [green: A.0, red: A.1], carries: {position-1: A.2}}")
    assert [one.name for one in table.commands] == ["danger", "clear", "clear with junction position-1"]
    assert lit(table.commands[-1]) == {"A.0": 1, "A.2": 1}
    assert lit(table.commands[0]) == {"A.1": 1}


def test_a_box_that_says_nothing_shows_what_routes_ask_of_it() -> None:
    """It has one output, which is lit whatever stands in it."""
    routes = "[{to: a, indicator: {alphanumeric: M}}, {to: b, indicator: {alphanumeric: R}}]"
    table = table_of("X", f"{{form: two-aspect-stop, carries: {{alphanumeric: A.2}}, routes: {routes}}}")
    shown = [one.name for one in table.commands if one.boxes]
    assert shown == ["clear with alphanumeric M", "clear with alphanumeric R"]
    assert all(lit(one) == {"A.2": 1} for one in table.commands if one.boxes)


def test_characters_of_a_box_have_outputs_of_their_own() -> None:
    """A lit character is one output, and no other."""
    table = table_of("X", "{form: two-aspect-stop, carries: {alphanumeric: {M: A.2, R: A.3}}}")
    assert lit(table.named("clear with alphanumeric R")) == {"A.3": 1}


def test_parts_of_one_post_are_commanded_together_and_one_may_darken_another() -> None:
    """A position light at proceed holds the main signal at danger."""
    table = table_of("X", "{form: three-aspect-with-position-light}")
    assert [one.name for one in table.commands][:3] == ["danger", "danger + shunt-proceed", "caution"]
    assert not any("clear + shunt" in one.name for one in table.commands)


def test_a_yellow_that_is_mixed_lights_the_outputs_of_its_colours() -> None:
    """Both colours at their own share, of the level of the lamp."""
    lamps = "{main: {red: A.0, green: A.1, yellow: {mix: {red: 60 %, green: 100 %}, level: 50 %}}}"
    table = table_of("X", f"{{form: led-three-aspect, lamps: {lamps}}}", year="2010")
    assert lit(table.named("caution")) == {"A.0": Fraction(3, 10), "A.1": Fraction(1, 2)}
    assert lit(table.named("danger")) == {"A.0": 1}


def test_an_led_between_two_outputs_lights_the_one_its_current_comes_from() -> None:
    """The other output is where its current goes: dark."""
    lamps = "{main: {red: {outputs: [A.0, A.1]}, green: {outputs: [A.1, A.0]}}}"
    table = table_of("X", f"{{form: led-two-aspect-stop, lamps: {lamps}}}", year="2010")
    assert lit(table.named("danger")) == {"A.0": 1}
    assert lit(table.named("clear")) == {"A.1": 1}


def test_lamps_through_a_fibre_and_lamps_of_several_outputs() -> None:
    """Each output of a lamp is lit with it; a fibre has those of its source."""
    table = table_of("X", "{form: position-light, lamps: {upper: {outputs: [A.0, A.1]}, lower: {fibre: upper}}}")
    assert lit(table.named("shunt-proceed")) == {"A.0": 1, "A.1": 1}
    assert [shine.output for shine in table.failsafe.lamps] == ["A.0", "A.1", "A.0", "A.1"]


def test_levels_are_those_of_the_lamp_else_of_its_colour() -> None:
    """A colour speaks for all lamps that do not say their own."""
    above = "leds: {red: {kind: red-3mm, level: 80 %}, green: {kind: traffic-green-3mm, level: 60 %}}"
    table = table_of(
        "X", "{form: two-aspect-stop, lamps: [{green: {output: A.0, level: 40 %}}, red: A.1]}", above=above
    )
    assert lit(table.named("clear")) == {"A.0": Fraction(2, 5)}
    assert lit(table.named("danger")) == {"A.1": Fraction(4, 5)}


def test_a_lamp_flashes_as_the_rulebook_says_and_what_it_leaves_open_is_told() -> None:
    """The bundled rulebook says 60 to 80 a minute, lit for over half of the time."""
    shine = next(one for one in table_of("X", "{form: three-aspect}").commands[3].lamps if one.lit)
    assert shine.flash == Beat(Fraction(70), Fraction(3, 4))
    assert beat(None, "flash") == Beat(Fraction(60), Fraction(1, 2), assumed=("rate", "lit-share"))


def test_a_range_a_bound_and_a_floor_are_read_as_they_are_written() -> None:
    """60..80 a minute, lit for over 50 %."""
    said = flash(bundled("gb-colour-light"), "flash")
    assert said == Flash((Fraction(60), Fraction(80)), 0, (Fraction(1, 2), Fraction(1)))


def test_a_signal_without_a_known_form_and_a_dummy_are_left_out_by_name() -> None:
    """Why is said."""
    found = tables(
        layout_of("plan: 1\nrulebook: gb-colour-light\nsignals: {A: {}, B: {form: searchlight, stage: dummy}}")
    )
    assert [(one.signal, one.because) for one in found.left_out] == [
        ("A", "its form is not known"),
        ("B", "it is a dummy"),
    ]
    assert not found.signals


def test_a_box_that_an_aspect_needs_is_commanded_with_it_and_flashes_if_asked() -> None:
    """The Dutch number beside a flashing green, yellow and so on; a signal that carries none cannot be told them."""
    said = "plan: 1\nrulebook: nl-1954\nsignals:\n  X: {form: high-main, lamps: [green: A.0, yellow: A.1, red: A.2]"
    with_box = tables(layout_of(f"{said}, carries: {{number: {{4: A.3, 6: A.4}}}}}}\n")).signals["X"]
    bare = tables(layout_of(f"{said}, carries: []}}\n")).signals["X"]
    flashing = [one for one in with_box.commands if ("number", "flash 4") in one.boxes]
    assert flashing
    for command in flashing:
        shines = {shine.output: shine for shine in command.lamps}
        assert shines["A.3"].flash is not None
        assert not shines["A.4"].lit
    assert not any(one.boxes for one in bare.commands)
    assert {one.number for one in bare.commands} < {one.number for one in with_box.commands}


BASE = """
plan: 1
rulebook: gb-colour-light
year: 1990
boards: {A: {kind: pwm-16, address: 0x40, drive: sink}, B: {kind: pwm-16, address: 0x41}}
signals:
  X: {form: two-aspect-stop, wiring: common-anode, lamps: {green: A.0, red: A.1}, carries: {position-1: A.2}}
  Y: {form: two-aspect-distant, lamps: [green: B.0, yellow: B.1]}
"""
OTHER_ORDER = """
plan: 1
signals:
  Y: {lamps: [green: B.0, yellow: B.1], form: two-aspect-distant}
  X: {carries: {position-1: A.2}, lamps: {red: A.1, green: A.0}, wiring: common-anode, form: two-aspect-stop}
boards: {B: {address: 65, kind: pwm-16}, A: {drive: sink, address: 0x40, kind: pwm-16}}
year: 1990
rulebook: gb-colour-light
name: The same by another hand
"""


def test_the_order_of_the_file_and_what_is_no_wiring_change_no_fingerprint() -> None:
    """Nor does a name, nor an address in other digits."""
    one, other = layout_of(BASE), layout_of(OTHER_ORDER)
    assert tables(one) == tables(other)
    assert [fingerprint(one, name) for name in "XY"] == [fingerprint(other, name) for name in "XY"]
    assert plan_fingerprint(one) == plan_fingerprint(other)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("green: A.0, red: A.1", "green: A.1, red: A.0"),
        ("red: A.1", "red: A.3"),
        ("red: A.1", "red: {output: A.1, level: 90 %}"),
        ("common-anode", "common-cathode"),
        ("0x40", "0x42"),
        ("drive: sink", "drive: source"),
        ("wiring:", "address: 7, wiring:"),
        ("wiring:", "fades: filament, wiring:"),
        ("position-1: A.2", "position-2: A.2"),
        ("two-aspect-stop", "searchlight"),
    ],
)
def test_every_change_of_what_is_lit_and_how_changes_the_fingerprint_of_its_signal_alone(old: str, new: str) -> None:
    """And that of the plan."""
    one, other = layout_of(BASE), layout_of(BASE.replace(old, new, 1))
    assert BASE.count(old) >= 1
    assert fingerprint(one, "X") != fingerprint(other, "X")
    assert fingerprint(one, "Y") == fingerprint(other, "Y")
    assert plan_fingerprint(one) != plan_fingerprint(other)
    assert len(fingerprint(one, "X")) == len(plan_fingerprint(one)) == 8
