"""Germany, Hl light signals: what the rulebook must say, each with its source.

Ril 301 is the Signalbuch of DB Netz in update 11, by module and section, and verified. All others are secondary.
"""

from __future__ import annotations

from typing import Any

import pytest

from lampwright.findings import Basis
from lampwright.rulebooks.displays import Kind
from lampwright.rulebooks.failing import answer, failings
from lampwright.rulebooks.order import Verdict
from lampwright.years import Years
from seen_lamps import form, is_upright, lit, must, places, rises
from support import bundled, findings_of, library, rules_of

BOOK = bundled("de-hl")
HERE = {
    "line": [],
    "100 km/h": ["yellow", "green strip"],
    "40 km/h": ["yellow"],
    "60 km/h": ["yellow", "yellow strip"],
}
NEXT = {"line": "green", "100 km/h": "flash green", "forty-or-sixty": "flash yellow", "stop": "yellow"}
TABLE = {
    "line": "1 2 3a 3b",
    "100 km/h": "4 5 6a 6b",
    "forty-or-sixty": "7 8 9a 9b",
    "stop": "10 11 12a 12b",
}
CELLS = [
    (f"hl{code}", here, ahead) for ahead, row in TABLE.items() for code, here in zip(row.split(), HERE, strict=True)
]
MAINS = [name for name, item in BOOK.forms.items() if name.startswith("hl-main") and not item.parts]
AHEAD = {"line": "hl1", "100 km/h": "hl2", "forty-or-sixty": "hl3a", "stop": "hp0"}


@pytest.mark.parametrize(("aspect", "here", "ahead"), CELLS)
def test_the_sixteen_aspects(aspect: str, here: str, ahead: str) -> None:
    """Ril 301.0103 and its table A01, typed from there once more: codes, colours, what flashes, speeds."""
    signal = form(BOOK, "hl-main")
    (display,) = signal.displays(aspect)
    strips = [name.replace("-", " ") for name in display if name.endswith("strip")]
    upper = [NEXT[ahead]]
    lower = [state for state in HERE[here] if not state.endswith("strip")]
    seen = [
        f"{'flash ' if display[lamp] == 'flash' else ''}{lamp.rpartition('-')[2]}"
        for lamp in display
        if not lamp.endswith("strip")
    ]
    assert (sorted(seen), strips) == (sorted(upper + lower), [item for item in HERE[here] if item.endswith("strip")])
    says = BOOK.aspects[aspect].says
    assert says["speed-now"] == here
    assert says.get("speed-next", "stop") == ahead
    assert BOOK.aspects[aspect].code == aspect.replace("hl", "Hl ")
    assert BOOK.aspects[aspect].alternative_names["openstreetmap"] == f"DE-ESO:{aspect}"
    assert BOOK.why("aspects", aspect, "shows").basis is Basis.VERIFIED


def test_numbers_follow_from_the_rows() -> None:
    """Derived: three times the row, and one, two or three; letters only where the lower light is yellow at 40 or 60."""
    count = {"line": 1, "100 km/h": 2, "40 km/h": 3, "60 km/h": 3}
    for aspect, here, ahead in CELLS:
        number = 3 * list(TABLE).index(ahead) + count[here]
        assert aspect == f"hl{number}{ {'40 km/h': 'a', '60 km/h': 'b'}.get(here, '') }"


def test_the_table_is_all_that_two_lights_and_a_strip_can_say() -> None:
    """Ril 301.0103: of every combination of the lamps of a head, these sixteen and three more are aspects.

    The three are Hp 0, Zs 1 (with the red or alone) and Kennlicht. A lower yellow alone is taken for the upper one.
    """
    signal = form(BOOK, "hl-main")
    found = [reading.aspect for display in signal.combinations() if (reading := signal.read(display)).aspect]
    twice = {aspect for aspect in found if found.count(aspect) > 1}
    assert set(found) == {aspect for aspect, _, _ in CELLS} | {"hp0", "zs1", "kennlicht"}
    assert twice == {"zs1", "hl10", "hl7"}
    assert signal.read({"lower-yellow": "lit"}).aspect == "hl10"


def test_hl12a_is_two_steady_yellows_and_hl9a_flashes_the_upper_one() -> None:
    """Ril 301.0103."""
    assert [colour for colour, _ in places(BOOK, "hl-main", "hl12a")] == ["yellow", "yellow"]
    assert is_upright(places(BOOK, "hl-main", "hl12a"))
    (display,) = form(BOOK, "hl-main").displays("hl9a")
    assert display == {"upper-yellow": "flash", "lower-yellow": "lit"}


@pytest.mark.parametrize("name", MAINS)
def test_the_lower_light_and_the_strips_never_flash(name: str) -> None:
    """Ril 301.0103."""
    signal = form(BOOK, name)
    flashing = {lamp for item in signal.meanings for lamp, state in item.lamps if state == "flash"}
    assert flashing <= {"upper-yellow", "upper-green", "white"}


def test_stop_is_red_and_was_hl13() -> None:
    """Ril 301.0103, table A01; Hl 13 stellwerke.de."""
    assert lit(BOOK, "hl-main", "hp0") == ["red"]
    assert BOOK.aspects["hp0"].alternative_names["reichsbahn"] == "Hl 13"


def test_a_distant_shows_four_aspects() -> None:
    """Ril 301.0103 s1(5); it carries Ne 2, or the yellow triangle: 301.1401 s2(12)."""
    assert form(BOOK, "hl-distant").gives == ("hl1", "hl4", "hl7", "hl10")
    assert {"ne2", "yellow-triangle"} <= set(BOOK.forms["hl-distant"].plates)
    plan = "plan: 1\nrulebook: de-hl\nyear: 1975\nsignals: {a: {form: hl-distant, gives: [hl10, hl1, hl3a]}}\n"
    assert "aspect-beyond-form" in rules_of(plan)


@pytest.mark.parametrize("name", MAINS)
def test_a_main_signal_has_no_distant_board(name: str) -> None:
    """Ril 301.1401 s2(4) and s2(13): in its place the yellow triangle beneath white, red, white."""
    assert {"w-r-w", "yellow-triangle"} <= set(BOOK.forms[name].plates)
    assert "ne2" not in BOOK.forms[name].plates


def test_zs1_is_one_white_flashing_and_kennlicht_one_white_steady() -> None:
    """Ril 301.0301 s2; Wikipedia, German: Ersatzsignal; steady stellwerke.de."""
    assert lit(BOOK, "hl-main", "zs1") == ["flash white", "red"]
    assert form(BOOK, "hl-main").read({"white": "flash"}).aspect == "zs1"
    assert lit(BOOK, "hl-main", "kennlicht") == ["white"]


def test_ra12_is_two_whites_that_rise_to_the_right() -> None:
    """Ril 301.0601 s3; the main signal beside it is at Hp 0: 301.0101 s2(5)."""
    assert lit(BOOK, "ra12", "ra12") == ["white", "white"]
    assert rises(places(BOOK, "ra12", "ra12"))
    (coupling,) = BOOK.forms["hl-main-with-ra12"].coupling
    assert coupling.then == {"main": "hp0"}


def test_there_is_nothing_before_1959_and_there_are_no_semaphores() -> None:
    """Wikipedia, German: Hl-Signal; OpenRailwayMap, validator rules."""
    plan = "plan: 1\nrulebook: de-hl\nyear: {}\nsignals: {{A: {{form: {}}}}}\n"
    early = [
        str(one.level) for one in findings_of(plan.format(1958, "hl-block")) if one.rule == "year-outside-rulebook"
    ]
    assert early == ["error"]
    assert "year-outside-rulebook" not in rules_of(plan.format(1959, "hl-block"))
    assert "unknown-form" in rules_of(plan.format(1975, "semaphore"))


# Sequence


@pytest.mark.parametrize(("aspect", "here", "ahead"), CELLS)
def test_the_sequence_is_the_table(aspect: str, here: str, ahead: str) -> None:
    """Ril 301.0103: the row by what the route allows, the column by what the next signal shows."""
    assert must(BOOK, "hl-main", AHEAD[ahead], route={"speed": here}) == aspect


@pytest.mark.parametrize(
    ("form_name", "ahead", "route", "shown"),
    [
        ("hl-main", "hl3b", "line", "hl7"),
        ("hl-main", "zs1", "line", "hl10"),
        ("hl-main", "zs1", "40 km/h", "hl12a"),
        ("hl-main", "hl1", "80 km/h", "hl3b"),
        ("hl-main", "hl1", "120 km/h", "hl2"),
        ("hl-main", "hl1", "30 km/h", "hl3a"),
        ("hl-main-no-strips", "hl1", "60 km/h", "hl3a"),
        ("hl-main-green-strip", "hl1", "60 km/h", "hl3a"),
        ("hl-distant", "hl2", "line", "hl4"),
        ("hl-distant", "hl9b", "line", "hl7"),
        ("hl-distant", "hp0", "line", "hl10"),
    ],
)
def test_a_speed_between_two_is_the_lower(form_name: str, ahead: str, route: str, shown: str) -> None:
    """Derived from Ril 301.0103; a signal with Zs 1 stands at Hp 0."""
    assert must(BOOK, form_name, ahead, route={"speed": route}) == shown


# Failing


def test_what_reads_freer_is_proved_and_a_stuck_flasher_is_accepted_in_words() -> None:
    """From memory; every answer is tried on every form, one fault at a time."""
    told: dict[str, set[Any]] = {"lost": set(), "steady": set()}
    for name in (*MAINS, "hl-block", "hl-distant"):
        for item in failings(form(BOOK, name)):
            if BOOK.order.less_restrictive(item.reading.taken_for, item.meaning.aspect) is Verdict.YES:
                found = answer(form(BOOK, name), item)
                assert found is not None
                told[item.how].add((item.elements, found[1].then or "accepted"))
    assert told["steady"] == {(("upper-green",), "accepted")}
    assert told["lost"] == {(("lower-yellow",), "hp0"), (("upper-yellow",), "hp0")}


def test_a_failed_lamp_is_stop_in_doubt() -> None:
    """ESO (9), stellwerke.de: dark is stop; at a distant it is expect stop (derived)."""
    assert form(BOOK, "hl-main").read({}).in_doubt == "hp0"
    assert form(BOOK, "hl-main").read({"red": "lit", "upper-green": "lit"}).kind is Kind.NONE
    assert form(BOOK, "hl-distant").read({}).in_doubt == "hl10"


@pytest.mark.parametrize(("era", "year"), [("era-iva", 1967), ("era-iii", 1967), ("era-ivc", 1989)])
def test_eras_overlap(era: str, year: int) -> None:
    """NEM 806 D, as given on other pages."""
    said = BOOK.eras[era]
    assert Years.parse(said["years"] if isinstance(said, dict) else said).covers(Years(year, year))


def test_the_rulebook_is_sound() -> None:
    """No finding of any level by any check."""
    assert findings_of(library().documents[BOOK.file].text) == []
