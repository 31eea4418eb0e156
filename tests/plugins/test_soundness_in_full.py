"""What findings on the years and the sequence of a rulebook say in full. The rulebook is invented."""

from __future__ import annotations

import pytest

from full_findings import full


def book(*, clear: str = "", aspects: str = "", form: str = "", green: str = "green", more: str = "") -> str:
    """Return a rulebook of three aspects and one form, with something said besides."""
    return (
        "rulebook: 1\nid: toy\ntitle: A toy\nyears: 1920..1980\nsource: memory\n"
        "aspects:\n  danger: {says: {authority: stop}}\n  caution: {says: {authority: proceed, stop-at: next}}\n"
        f"  clear: {{{clear}says: {{authority: proceed}}}}\n"
        f"{aspects}order: [[danger, caution, clear]]\nforms:\n  three-aspect:\n    role: stop\n    {form}\n"
        f"    lamps: {{green: {green}, yellow: yellow, red: red}}\n"
        f"    shows: {{danger: red, caution: yellow, clear: green}}\n{more}"
    )


FORM = "years: 1953..1970"
TOY, THEIRS = "the rulebook toy is of 1920..1980", "three-aspect is of 1953..1970"
OF_BOOK, OF_FORM = "beside years: the rulebook toy", "beside forms/three-aspect/years: three-aspect"


@pytest.mark.parametrize(
    ("rulebook", "found"),
    [
        (book(clear="years: 1920..1980, "), []),
        (
            book(clear="years: 1910.., "),
            [" (warning) at aspects/clear/years", f"clear begins in 1910, and {TOY}", OF_BOOK],
        ),
        (
            book(clear="years: ..1990, "),
            [" (warning) at aspects/clear/years", f"clear ends in 1990, and {TOY}", OF_BOOK],
        ),
        (book(clear="years: 1990..1999, "), [" at aspects/clear/years", f"clear is of 1990..1999, and {TOY}", OF_BOOK]),
        (book(clear="years: 1953..1970, ", form=FORM), []),
        (
            book(clear="years: 1930.., ", form=FORM),
            [
                " (warning) at aspects/clear/years",
                "clear is in use from 1930, and the first form that shows it, three-aspect, came in 1953",
                OF_FORM,
            ],
        ),
        (
            book(clear="years: 1953..1975, ", form=FORM),
            [
                " (warning) at aspects/clear/years",
                "clear is in use until 1975, and the last form that shows it, three-aspect, went in 1970",
                OF_FORM,
            ],
        ),
        (
            book(form=f"{FORM}\n    fitted: 1940..1960"),
            [
                " (warning) at forms/three-aspect/fitted",
                f"the fitting of three-aspect begins in 1940, and {THEIRS}",
                OF_FORM,
            ],
        ),
        (
            book(form=f"{FORM}\n    fitted: 1975..1978"),
            [" at forms/three-aspect/fitted", f"the fitting of three-aspect is of 1975..1978, and {THEIRS}", OF_FORM],
        ),
        (
            book(form=FORM, green="{colour: green, years: 1950..1960}"),
            [
                " (warning) at forms/three-aspect/lamps/green/years",
                f"green of three-aspect begins in 1950, and {THEIRS}",
                OF_FORM,
            ],
        ),
        (
            book(clear="years: 1971.., ", form=FORM),
            [
                " at forms/three-aspect/years",
                "three-aspect is of 1953..1970, and clear is of 1971..",
                "beside aspects/clear/years: clear",
            ],
        ),
        (
            book(more="eras: {old: 1890..1910}\n"),
            [" at eras/old", f"the era old is of 1890..1910, and {TOY}", OF_BOOK],
        ),
    ],
)
def test_years_are_compared_with_those_they_belong_to(rulebook: str, found: list[str]) -> None:
    """Years that never meet are an error, those that stick out a warning, and the very same years are neither."""
    told = full(rulebook, rule="contradicting-years")
    assert told == ([f"contradicting-years{found[0]}", *found[1:]] if found else [])


def sequence(*rules: str, role: str = "") -> str:
    """Return a rulebook with rules, of all roles or of one."""
    rows = "".join(f"  - {rule}\n" for rule in rules)
    return book(more=f"sequence:\n  {role}:\n{rows}" if role else f"sequence:\n{rows}")


STOP, CAUTION = "{when: {next: {authority: stop}}, show: caution}", "{when: {next: caution}, show: clear}"


def test_a_gap_is_told_by_its_plainest_situation() -> None:
    """And how many there are, if there are more."""
    assert full(sequence(STOP, CAUTION), rule="sequence-gap") == [
        "sequence-gap at sequence/1",
        "none of the rules of the sequence fits next: clear",
    ]
    assert full(sequence(STOP), rule="sequence-gap") == [
        "sequence-gap at sequence/0",
        "none of the rules of the sequence fits next: caution",
        "because 2 situations fit none, with next: caution and clear",
    ]


def test_a_rule_that_never_applies_is_told_with_those_before_it() -> None:
    """By number, role and title; one whose condition nothing meets has none before it."""
    late = "{title: too late, when: {next: {at-least: caution}}, show: clear}"
    clear = "{when: {next: clear}, show: clear}"
    assert full(sequence(STOP, CAUTION, clear, late)) == [
        "idle-rule (warning) at sequence/3",
        "rule 4 (too late) never applies",
        "because rules 2 and 3 before it fit wherever it does",
        "beside sequence/1: fits first",
        "beside sequence/2: fits first",
    ]
    first, nowhere = (
        "{when: {next: {at-least: danger}}, show: caution}",
        "{when: {next: {authority: none}}, show: clear}",
    )
    assert full(sequence(first, late, nowhere, role="stop"), rule="idle-rule") == [
        "idle-rule (warning) at sequence/stop/1",
        "rule 2 of stop (too late) never applies",
        "because rule 1 before it fits wherever it does",
        "beside sequence/stop/0: fits first",
        "idle-rule (warning) at sequence/stop/2",
        "rule 3 of stop never applies",
        "because no situation meets its condition",
    ]


def test_years_of_rules_are_compared_with_the_rulebook_and_with_what_they_show() -> None:
    """A rule of years in which its aspect was not yet in use is an error; so is one outside of the rulebook's."""
    rules = "{when: {next: caution}, show: clear}", "{when: {next: clear}, show: clear}"
    early = sequence("{years: 1910.., when: {next: {authority: stop}}, show: caution}", *rules, role="stop")
    assert full(early, rule="contradicting-years") == [
        "contradicting-years (warning) at sequence/stop/0/years",
        f"rule 1 begins in 1910, and {TOY}",
        OF_BOOK,
    ]
    rows = "".join(
        f"    - {rule}\n" for rule in (STOP, "{years: 1930..1950, when: {next: caution}, show: clear}", rules[1])
    )
    unused = book(clear="years: 1970.., ", more=f"sequence:\n  stop:\n{rows}")
    assert full(unused, rule="contradicting-years") == [
        "contradicting-years at sequence/stop/1/years",
        "rule 2 is of 1930..1950, and clear is of 1970..",
        "beside aspects/clear/years: clear",
    ]


def test_boxes_that_can_show_nothing_and_aspects_that_take_a_speed_from_them() -> None:
    """A span of letters that runs backwards holds none, and a box of characters counts no speed."""
    empty = "indicators:\n  box: {kind: characters, characters: c-a}\n  fig: {kind: figure, figures: one 4}\n"
    assert full(book(more=f"{empty}  good: {{kind: figure, figures: 4 6}}\n"), rule="impossible-content") == [
        "impossible-content at indicators/box/characters",
        "box has no characters in c-a; expected something like A-Z 0-9",
        "impossible-content at indicators/fig/figures",
        "fig has figures that are none: one 4; expected something like 1..16 or 4 6 8",
    ]
    boxes = (
        "indicators:\n  box: {kind: characters, characters: A-C}\n  fig: {kind: figure, figures: 4 6, times: 10 km/h}\n"
    )
    slow = "  slow: {says: {authority: proceed, speed-now: box, speed-next: [fig, box]}}\n"
    tip = "tip a figure needs times, as in times: 10 km/h; bars need shows, as in {one-bar: 60 km/h}"
    assert full(book(aspects=slow, more=boxes), rule="impossible-content") == [
        "impossible-content at aspects/slow/says/speed-now",
        "slow takes its speed from box, which has none",
        tip,
        "impossible-content at aspects/slow/says/speed-next",
        "slow takes its speed from box, which has none",
        tip,
    ]


def test_a_plate_that_no_form_may_carry() -> None:
    """Another form carries the other plate."""
    plates = "plates:\n  semi: {title: Semi}\n  ca: {title: CA}\n"
    assert full(book(form="plates: semi", more=plates)) == [
        "carried-by-no-form (warning) at plates/ca:",
        "no form may carry the plate ca",
    ]


SHUNT = "  shunt: {says: {authority: shunt}}\n"
ABLE = "tip the aspects it can give are danger, caution and clear"


def test_an_aspect_without_a_display_is_told_wherever_a_form_names_it() -> None:
    """What it gives, may give, rests at in one mode, and falls to; the aspects are told in the order of the form."""
    form = "optional: [caution, shunt]\n    rest: {automatic: clear, controlled: shunt}\n    failsafe: shunt"
    assert full(book(aspects=SHUNT, form=form), rule="unshowable-aspect") == [
        "unshowable-aspect at forms/three-aspect/optional/1",
        "three-aspect has as optional shunt, and has no display for it",
        ABLE,
        "unshowable-aspect at forms/three-aspect/rest/controlled",
        "three-aspect rests at shunt, and has no display for it",
        ABLE,
        "unshowable-aspect at forms/three-aspect/failsafe",
        "three-aspect falls to shunt, and has no display for it",
        ABLE,
    ]
    given = full(book(aspects=SHUNT, form="gives: [danger, clear, shunt]"), rule="unshowable-aspect")
    assert given == [
        "unshowable-aspect at forms/three-aspect/gives/2",
        "three-aspect gives shunt, and has no display for it",
        "tip the aspects it can give are danger and clear",
    ]


def test_an_aspect_without_a_display_is_told_where_it_is_forced_on_a_part() -> None:
    """Dark needs no display, and danger has one."""
    rules = (
        "{when: {parts: {main: [danger]}}, then: {sub: danger}, else: {sub: dark}}",
        "{when: {parts: {main: [clear]}}, then: {sub: shunt}, else: {sub: shunt}}",
    )
    parts = "{main: {form: three-aspect}, sub: {form: three-aspect}}"
    post = f"  post:\n    role: stop\n    parts: {parts}\n    coupling: [{', '.join(rules)}]\n"
    assert full(book(aspects=SHUNT, more=post), rule="unshowable-aspect") == [
        "unshowable-aspect at forms/post/coupling/1/then/sub",
        "post forces on sub shunt, and has no display for it",
        ABLE,
        "unshowable-aspect at forms/post/coupling/1/else/sub",
        "post forces on sub shunt, and has no display for it",
        ABLE,
    ]


@pytest.mark.parametrize(
    ("lamps", "shows", "light"),
    [
        ("upper: yellow, lower: yellow", "caution: lower, clear: upper", "yellow"),
        ("upper: yellow, lower: yellow", "caution: {lower: flash}, clear: {upper: flash}", "flashing yellow"),
        ("upper: yellow, lower: yellow", "caution: {lower: flash}, clear: upper", ""),
        ("upper: {colours: [green, yellow]}, lower: yellow", "caution: lower, clear: {upper: yellow}", "yellow"),
        ("upper: {colours: [green, yellow]}, lower: yellow", "caution: lower, clear: {upper: green}", ""),
        ("upper: green, lower: yellow", "caution: lower, clear: upper", ""),
    ],
)
def test_one_light_of_one_colour_in_two_places(lamps: str, shows: str, light: str) -> None:
    """Colour and flashing are looked at, of a lens that which it shows; where they differ all is well."""
    plain = (
        "    lamps: {green: green, yellow: yellow, red: red}\n    shows: {danger: red, caution: yellow, clear: green}\n"
    )
    rulebook = book()
    assert plain in rulebook
    rulebook = rulebook.replace(plain, f"    lamps: {{{lamps}, red: red}}\n    shows: {{danger: red, {shows}}}\n")
    found = [
        "told-by-place-alone (note) at forms/three-aspect/shows/clear",
        f"three-aspect shows caution and clear by one {light} light",
        "because lower and upper are told apart by their places alone",
        "tip another colour, a second light, or flashing for one of them",
        "beside forms/three-aspect/shows/caution: the display of caution",
    ]
    assert full(rulebook) == (found if light else [])


ANNOUNCED = """rulebook: 1
id: toy
title: A toy
source: memory
aspects:
  danger: {says: {authority: stop}}
  expect: {says: {authority: proceed, speed-next: NEXT}}
  slow: {says: {authority: proceed, speed-now: NOW}}
order: [[danger, expect, slow]]
forms:
  three-aspect:
    role: stop
    indicators: [figure]
    lamps: {green: green, yellow: yellow, red: red}
    shows: {danger: red, expect: yellow, slow: green}
indicators:
  figure: {title: figure, kind: figure, figures: 4..8, times: 10 km/h, colour: white}
sequence:
  - {when: {route: {speed: {below: line}}}, show: slow}
  - {when: {next: {authority: [stop, proceed]}}, show: expect}
"""


@pytest.mark.parametrize(
    ("announced", "now", "level", "wrong"),
    [
        ("60 km/h", "60 km/h", "", ""),
        ("60 km/h", "40 km/h", "", "40 km/h"),
        ("40 km/h", "60 km/h", " (warning)", "60 km/h"),
        ("60 km/h", "[40 km/h, 60 km/h]", "", "40 km/h"),
        ("40 km/h", "figure", " (warning)", "50 km/h, 60 km/h, 70 km/h or 80 km/h"),
        ("60 km/h", "figure", "", "40 km/h, 50 km/h, 70 km/h or 80 km/h"),
        ("figure", "60 km/h", "", ""),
        ("figure", "90 km/h", " (warning)", "90 km/h"),
        ("figure", "30 km/h", "", "30 km/h"),
    ],
)
def test_what_is_announced_against_what_the_next_signal_shows(announced: str, now: str, level: str, wrong: str) -> None:
    """Less is an error, for the driver comes too fast; more a warning. A box may show each of its figures."""
    found = full(ANNOUNCED.replace("NEXT", announced).replace("NOW", now), rule="false-announcement")
    says = announced.replace("figure", "40 km/h, 50 km/h, 60 km/h, 70 km/h or 80 km/h")
    assert found == (
        [
            f"false-announcement{level} at aspects/expect/says/speed-next",
            f"expect announces {says}, and stands before slow, which shows {wrong}",
            "beside aspects/slow/says/speed-now: slow",
            "beside sequence/1: this rule puts the one before the other",
        ]
        if wrong
        else []
    )
