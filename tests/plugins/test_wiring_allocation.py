"""``lampwright wire --allocate``: no limit broken, nothing wired moved, fewest boards; or the reason why not."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from allocation_judge import boards_by_current, boards_by_outputs, faults, values, wires
from command_line import call
from lampwright import documents
from lampwright_wiring.allocation.proposal import Proposal, propose
from lampwright_wiring.allocation.search import Search
from parts import layout_of
from support import PLAN, rules_of

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

HEAD = """# my layout
plan: 1
rulebook: gb-colour-light
year: 1990
controllers: {east: {supply: five, uses: 50 mA}}   # in the hut
supplies: {five: {voltage: 5 V, limit: 2 A}}
leds:
  red: {kind: red-3mm, resistor: 470 ohm}
  yellow: {kind: yellow-3mm, resistor: 470 ohm}
  green: {kind: traffic-green-3mm, resistor: 330 ohm}
  white: {kind: warm-white-3mm, resistor: 900 ohm}
"""
COLOURS = {
    "two-aspect-stop": ("green", "red"),
    "three-aspect": ("green", "yellow", "red"),
    "four-aspect": ("yellow", "green", "yellow", "red"),
}
BOARD = "boards: {A: {kind: pwm-16, controller: east, address: 0x40, drive: sink, held-dark: true}}\n"


def proposed(text: str, kind: str = "") -> Proposal:
    """Return what is proposed for a plan."""
    return propose(layout_of(text), documents.read(text.encode(), PLAN), kind)


def why_not(text: str, kind: str = "") -> str:
    """Return why nothing is proposed for a plan."""
    made = proposed(text, kind)
    assert not made.text
    return "; ".join(made.reasons)


def outputs(text: str, signal: str) -> list[str]:
    """Return the outputs of a signal's lamps."""
    return [f"{board}.{output}" for name, _, board, output in wires(values(text)) if name == signal]


# ------------------------------------------------------------------------------------------ random plans
Signals = list[tuple[str, str, str]]
"""Form, wiring and stage of each signal."""


@st.composite
def signals(draw: Callable[[Any], Any], most: int = 40) -> Signals:
    """Return random signals of no more than so many lamps."""
    found: Signals = []
    lamps = 0
    for _ in range(draw(st.integers(1, 16))):
        form = draw(st.sampled_from(list(COLOURS)))
        if lamps + len(COLOURS[form]) > most:
            break
        lamps += len(COLOURS[form])
        found.append((form, draw(st.sampled_from(["common-anode", "common-cathode", ""])), ""))
    return found


def written(found: Signals, wired: dict[int, str]) -> str:
    """Return signals as a plan has them; those that are wired are built, on outputs of a board in order."""
    lines, at = ["signals:"], 0
    for number, (form, wiring, _) in enumerate(found):
        lamps = []
        for colour in COLOURS[form]:
            lamps.append(f"{{{colour}: {wired[number]}.{at}}}" if number in wired else colour)
            at += number in wired
        stage = ", stage: built" if number in wired else ""
        head = f", wiring: {wiring}" if wiring else ""
        lines.append(f"  S{number}: {{form: {form}{stage}{head}, lamps: [{', '.join(lamps)}]}}  # signal {number}")
    return "\n".join(lines) + "\n"


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(signals())
def test_new_plans_take_no_more_boards_than_must_be(found: Signals) -> None:
    """Up to 40 lamps: the fewest by outputs and polarity, reached; no limit broken, every comment kept."""
    text = HEAD + written(found, {})
    made = proposed(text)
    assert faults(text, made.text, _takes(text)) == []
    count = {
        way: sum(len(COLOURS[form]) for form, head, _ in found if head == way)
        for way in ("common-anode", "common-cathode", "")
    }
    assert len(made.added) == boards_by_outputs(count["common-anode"], count["common-cathode"], count[""])
    assert made.fewest
    assert made.text.count("#") == text.count("#")


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(signals(24), st.data())
def test_nothing_built_is_moved_and_what_is_kept_stays_free(found: Signals, data: st.DataObject) -> None:
    """Some signals hang on a board already, some of whose outputs are reserved or drive servos."""
    plain = [(form, "common-anode", "") for form, *_ in found]
    wired: dict[int, str] = {}
    used = 0
    for number, (form, *_) in enumerate(plain):
        if used + len(COLOURS[form]) <= 12 and data.draw(st.booleans()):
            wired[number] = "A"
            used += len(COLOURS[form])
    board = "boards:\n  A: {kind: pwm-16, controller: east, address: 0x41, drive: sink, reserved: [14], servos: [15]}\n"
    text = HEAD + board + written(plain, wired)
    made = proposed(text)
    if len(wired) == len(plain):
        assert made == Proposal()
        return
    assert faults(text, made.text, _takes(text)) == []
    lacking = sum(len(COLOURS[form]) for number, (form, *_) in enumerate(plain) if number not in wired)
    assert len(made.added) == max(-(-(lacking - (14 - used)) // 16), 0)


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(signals(11), st.sampled_from([150, 220, 330]))
def test_where_current_counts_boards_are_as_few_as_trying_everything_finds(found: Signals, ohms: int) -> None:
    """Boards of eight outputs that carry 70 mA together; every way of giving each lamp a board is tried."""
    head = HEAD.replace("470 ohm", f"{ohms} ohm").replace("330 ohm}", f"{ohms} ohm}}")
    board = "boards: {Z: {kind: shift-register-8, controller: east, drive: sink, held-dark: true, reserved: 0..7}}\n"
    text = head + board + written([(form, "common-anode", "") for form, *_ in found], {})
    made = proposed(text)
    takes = _takes(text)
    assert faults(text, made.text, takes) == []
    lamps = [(form, [takes[colour] for colour in COLOURS[form]]) for form, *_ in found]
    fewest = boards_by_current(lamps, 8, 70)
    assert len(made.added) == fewest or (len(made.added) > fewest and not made.fewest)
    assert len(made.added) == fewest


def _takes(text: str) -> dict[str, Fraction]:
    """Return the most a lamp of each colour takes in mA: 5 V less the least of its LED (parts data), over its ohms."""
    least = {"red": Fraction("1.8"), "yellow": Fraction("2.1"), "green": Fraction("3.0")}
    said = values(text)["leds"]
    return {
        colour: (5 - volts) / int(said[colour]["resistor"].removesuffix(" ohm")) * 1000
        for colour, volts in least.items()
    }


# ------------------------------------------------------------------------------------------ what is preferred
def test_a_signals_lamps_stay_together_and_in_order() -> None:
    """Five signals of three do not cut the sixth to fill a board of sixteen."""
    text = HEAD + written([("three-aspect", "common-anode", "")] * 6, {})
    made = proposed(text)
    assert outputs(made.text, "S4") == ["A.12", "A.13", "A.14"]
    assert outputs(made.text, "S5") == ["B.0", "B.1", "B.2"]


def test_fewest_boards_come_before_whole_signals() -> None:
    """Ten signals of three go whole on two boards; with one of two they fill both, and one of them is cut for it."""
    text = HEAD + written([("three-aspect", "common-anode", "")] * 10, {})
    made = proposed(text)
    assert len(made.added) == 2
    cut = [n for n in range(10) if len({output.split(".")[0] for output in outputs(made.text, f"S{n}")}) > 1]
    assert cut == []
    text = HEAD + written([("three-aspect", "common-anode", "")] * 10 + [("two-aspect-stop", "common-anode", "")], {})
    made = proposed(text)
    assert len(made.added) == 2
    cut = [n for n in range(11) if len({output.split(".")[0] for output in outputs(made.text, f"S{n}")}) > 1]
    assert len(cut) == 1


def test_lamps_that_flash_together_are_not_cut_apart() -> None:
    """Of a cut four-aspect signal both yellows stay on one board."""
    boards = (
        "boards:\n  A: {kind: pwm-16, controller: east, address: 0x40, reserved: [14, 15]}\n"
        "  B: {kind: pwm-16, controller: east, address: 0x41, reserved: 2..15}\n"
    )
    made = proposed(HEAD + boards + written([("four-aspect", "common-anode", "")] * 4, {}))
    assert made.added == ()
    found = [outputs(made.text, f"S{number}") for number in range(4)]
    assert any(len({output[0] for output in cut}) > 1 for cut in found)
    assert all(upper[0] == lower[0] for upper, _, lower, _ in found)


def test_what_a_signal_has_already_draws_the_rest_to_its_board() -> None:
    """Its other lamps hang on B, though A comes first."""
    boards = "boards: {A: {kind: pwm-16, address: 0x40}, B: {kind: pwm-16, address: 0x41}}\n"
    signal = "signals: {S0: {form: three-aspect, lamps: [{green: B.3}, yellow, {red: {output: B.5, pinned: true}}]}}\n"
    assert outputs(proposed(HEAD + boards + signal).text, "S0") == ["B.3", "B.0", "B.5"]


def test_dimmed_lamps_keep_away_from_servos() -> None:
    """One frequency serves the whole board; steady lamps may share it, but go elsewhere where they can."""
    servos = BOARD.replace("held-dark: true", "held-dark: true, servos: [0, 1], frequency: 50 Hz")
    signal = written([("two-aspect-stop", "common-anode", "")], {})
    assert outputs(proposed(HEAD + servos + signal).text, "S0") == ["A.2", "A.3"]
    both = servos.replace("}}", "}, B: {kind: pwm-16, controller: east, address: 0x41, drive: sink}}")
    assert outputs(proposed(HEAD + both + signal).text, "S0") == ["B.0", "B.1"]
    dimmed = HEAD.replace("resistor: 470 ohm}", "resistor: 470 ohm, level: 70 %}")
    made = proposed(dimmed + servos + signal)
    assert outputs(made.text, "S0") == ["B.0", "B.1"]
    assert "servo-beside-dimmed-lamp" not in rules_of(made.text)


def test_each_polarity_has_its_board_and_addresses_pass_over_what_is_never_to_be_had() -> None:
    """All boards of the kind answer to 0x70 at power-up, so 0x71 follows 0x6F."""
    board = BOARD.replace("0x40", "0x6F")
    taken = "".join(
        f"P{n}: {{kind: pwm-16, controller: east, address: {n}, reserved: 0..15}}, " for n in range(64, 111)
    )
    text = HEAD + board.replace("{A:", f"{{{taken}A:") + written([("three-aspect", "common-cathode", "")], {})
    made = proposed(text)
    assert values(made.text)["boards"]["B"] == {
        "kind": "pwm-16",
        "controller": "east",
        "held-dark": True,
        "address": 0x71,
        "drive": "source",
    }
    assert rules_of(made.text) == []


def test_a_chain_goes_on_where_it_ends() -> None:
    """Shift registers have no addresses."""
    boards = (
        "boards:\n  A: {kind: shift-register-8, controller: east, drive: sink, held-dark: true}\n"
        "  B: {kind: shift-register-8, after: A, drive: sink, held-dark: true}\n"
    )
    made = proposed(HEAD + boards + written([("three-aspect", "common-anode", "")] * 9, {}))
    added = values(made.text)["boards"]
    assert (added["C"]["after"], added["D"]["after"]) == ("B", "C")
    assert rules_of(made.text) == []


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.permutations(range(40)), st.lists(st.sampled_from(["", "built", "pinned"]), min_size=10, max_size=10))
def test_anew_moves_only_what_is_neither_built_nor_pinned(where: list[int], stages: list[str]) -> None:
    """Ten signals of two lamps scattered over three boards: what may move stays off no board for want of order."""
    lines = ["signals:"]
    for number, stage in enumerate(stages):
        lamps = []
        for place, colour in enumerate(COLOURS["two-aspect-stop"]):
            board, output = divmod(where[2 * number + place], 16)
            said = f"{'ABC'[board]}.{output}"
            lamps.append(f"{{{colour}: {f'{{output: {said}, pinned: true}}' if stage == 'pinned' else said}}}")
        built = ", stage: built" if stage == "built" else ""
        lines.append(
            f"  S{number}: {{form: two-aspect-stop{built}, wiring: common-anode, lamps: [{', '.join(lamps)}]}}"
        )
    boards = "".join(
        f"  {name}: {{kind: pwm-16, controller: east, address: {64 + n}, drive: sink, held-dark: true}}\n"
        for n, name in enumerate("ABC")
    )
    text = f"{HEAD}boards:\n{boards}" + "\n".join(lines) + "\n"
    assert proposed(text) == Proposal()
    made = propose(layout_of(text), documents.read(text.encode(), PLAN), anew=True)
    loose = [f"S{number}" for number, stage in enumerate(stages) if not stage]
    if not loose:
        assert made == Proposal()
        return
    assert faults(text, made.text, _takes(text), anew=True) == []
    assert made.added == ()
    room = 48 - 2 * (10 - len(loose))
    assert room >= 2 * len(loose)
    split = [name for name in loose if len({output[0] for output in outputs(made.text, name)}) > 1]
    assert split == []


def test_anew_keeps_an_output_that_two_lamps_share() -> None:
    """The whites of a position light may share one, and go on doing so."""
    text = HEAD + BOARD + "signals: {S0: {form: position-light, lamps: {upper: A.9, lower: A.9}}}\n"
    assert propose(layout_of(text), documents.read(text.encode(), PLAN), anew=True) == Proposal()


# ------------------------------------------------------------------------------------------ how it is written
def test_every_way_of_telling_lamps_gets_its_outputs() -> None:
    """Nothing told, told by `like`, by name with details, indicators as a list, a lens, a mixed colour."""
    signals = """signals:
  S0: {form: three-aspect, lamps: [green, {yellow: {wire: brown}}, red], carries: [position-1, position-4]}
  S1: {form: three-aspect}
  S2: {like: S0}
  S3:
    form: three-aspect
    lamps:
      green: {core: 3}   # the third
      yellow: {led: yellow-3mm}
      red: {note: dim}
  S4: {form: searchlight, year: 1955}
  S5:
    form: searchlight
    year: 1955
    lamps: {lens: {red: {core: 1}, green: {core: 2}, yellow: {mix: {red: 60 %, green: 100 %}}}}
  S6: {form: position-light, lamps: {upper: {core: 1}, lower: {fibre: upper}}}
  S7: {form: three-aspect, stage: dummy, lamps: [green, yellow, red]}
"""
    made = proposed(HEAD + BOARD + signals)
    said = values(made.text)["signals"]
    assert said["S0"]["lamps"] == [{"green": "A.0"}, {"yellow": {"wire": "brown", "output": "A.1"}}, {"red": "A.2"}]
    assert said["S0"]["carries"] == {"position-1": "A.3", "position-4": "A.4"}
    assert said["S1"]["lamps"] == [{"green": "A.5"}, {"yellow": "A.6"}, {"red": "A.7"}]
    assert said["S2"]["lamps"][1] == {"yellow": {"wire": "brown", "output": "A.9"}}
    assert said["S2"]["carries"] == {"position-1": "A.11", "position-4": "A.12"}
    assert said["S3"]["lamps"]["green"]["output"] == "A.13"
    assert set(said["S4"]["lamps"]["lens"]) == {"red", "yellow", "green"}
    assert set(said["S5"]["lamps"]["lens"]["yellow"]) == {"mix"}
    assert "output" in said["S6"]["lamps"]["upper"]
    assert said["S7"]["lamps"] == ["green", "yellow", "red"]
    assert "# the third" in made.text
    assert {"unwired-lamp", "output-used-twice", "output-out-of-range"}.isdisjoint(rules_of(made.text))
    assert proposed(made.text) == Proposal()


def test_an_led_between_two_outputs_gets_both_turned_round_for_its_other_colour() -> None:
    """Neither output is another's."""
    head = HEAD.replace("red-3mm", "red-green-3mm-antiparallel").replace(
        "traffic-green-3mm", "red-green-3mm-antiparallel"
    )
    boards = "boards: {P: {kind: pins-8bit, controller: east}}\n"
    lens = "{red: {core: 1}, green: {core: 2}, yellow: dummy}"
    lens = f"signals: {{S0: {{form: searchlight, year: 1955, lamps: {{lens: {lens}}}}}}}\n"
    said = values(proposed(head + boards + lens).text)["signals"]["S0"]["lamps"]["lens"]
    assert said["red"]["outputs"] == ["P.2", "P.3"]
    assert said["green"]["outputs"] == ["P.3", "P.2"]


def test_nothing_is_written_unless_that_is_asked(tmp_path: Path) -> None:
    """The change is shown; `--write` makes it, and then there is nothing left to do."""
    text = HEAD + BOARD + written([("three-aspect", "common-anode", "")], {})
    plan = tmp_path / "plan.yaml"
    plan.write_text(text, encoding="utf-8")
    shown = call("wire", plan, "--allocate")
    assert shown.code == 0
    assert "+  S0: {form: three-aspect, wiring: common-anode, lamps: [{green: A.0}," in shown.out
    assert "nothing is written; --write does it" in shown.err
    assert "extra-low voltage only" in shown.err
    assert plan.read_text(encoding="utf-8") == text
    assert call("wire", plan, "--allocate", "--write").code == 0
    after = plan.read_text(encoding="utf-8")
    assert faults(text, after, _takes(text)) == []
    assert "Every lamp that is to have an output has one." in call("wire", plan, "--allocate").out
    assert [line for line in after.splitlines() if "S0" not in line] == [
        line for line in text.splitlines() if "S0" not in line
    ]


def test_wrong_calls_are_told(tmp_path: Path) -> None:
    """`--write` alone, a table of a change, an unknown kind, standard input."""
    plan = tmp_path / "plan.yaml"
    plan.write_text(HEAD + written([("three-aspect", "", "")], {}), encoding="utf-8")
    assert "go with --allocate" in call("wire", plan, "--write").err
    assert "goes with no --table" in call("wire", plan, "--allocate", "--format", "json").err
    assert "did you mean pwm-16?" in call("wire", plan, "--allocate", "--board", "pwm16").err
    assert "a plan in a file" in call("wire", "-", "--allocate", stdin=plan.read_bytes()).err


# ------------------------------------------------------------------------------------------ why not, and ways out
def test_a_lamp_too_strong_for_any_output_says_what_would_do(tmp_path: Path) -> None:
    """About 20 mA on an output that may give 10: the resistor that would do, or a transistor, with their figures."""
    text = HEAD.replace("470 ohm", "150 ohm") + written([("two-aspect-stop", "common-cathode", "")], {})
    why = why_not(text)
    assert "S0 red fits on no board (a new pwm-16: it takes up to 21.3 mA, and an output may carry 10 mA)" in why
    assert "330 ohm keeps it at 9.7 mA at most" in why
    assert "behind a transistor (`switch: npn-transistor`) the output gives" in why
    (tmp_path / "plan.yaml").write_text(text, encoding="utf-8")
    done = call("wire", tmp_path / "plan.yaml", "--allocate", "--write")
    assert done.code == 1
    assert "There is no way to give all lamps outputs:" in done.out
    assert (tmp_path / "plan.yaml").read_text(encoding="utf-8") == text
    mended = text.replace("red-3mm, resistor: 150", "red-3mm, resistor: 330").replace(
        "330 ohm}\n  white", "330 ohm}\n  white"
    )
    assert proposed(mended).text, "what is said to do does"


def test_a_supply_asked_for_too_much_says_the_state_and_what_would_do() -> None:
    """Twelve signals of 10 mA a lamp on a supply of 150 mA."""
    text = HEAD.replace("voltage: 5 V, limit: 2 A", "limit: 150 mA, voltage: 5 V")
    why = why_not(text + BOARD + written([("three-aspect", "common-anode", "")] * 12, {}))
    assert "supply five is asked for" in why
    assert "and gives 150 mA, if all are wired" in why
    assert "as when S0 shows" in why
    assert "with the LEDs of board " in why
    assert "on another board and controller with a supply of their own five gives" in why
    assert "% of the current in every LED it is" in why


def test_a_supply_with_nothing_left_is_passed_over_for_a_board_on_another() -> None:
    """Board A would do by its outputs, not by its supply; B has a supply of its own."""
    text = HEAD.replace(
        "supplies: {five: {voltage: 5 V, limit: 2 A}}",
        "supplies: {five: {voltage: 5 V, limit: 80 mA}, big: {kind: adapter-5v-2a}}",
    )
    boards = BOARD.replace(
        "}}", "}, B: {kind: pwm-16, controller: east, supply: big, address: 0x41, drive: sink, held-dark: true}}"
    )
    made = proposed(text + boards + written([("three-aspect", "common-anode", "")] * 3, {}))
    assert {output.split(".")[0] for n in range(3) for output in outputs(made.text, f"S{n}")} == {"B"}


def test_pins_cannot_be_added_and_what_would_do_is_said() -> None:
    """Eighteen pins, twenty-four lamps: boards of sixteen would do, and with `--board` they do."""
    text = HEAD + "boards: {P: {kind: pins-8bit, controller: east, drive: sink}}\n"
    text += written([("three-aspect", "common-anode", "")] * 8, {})
    why = why_not(text)
    assert "24 outputs are wanted, 18 are free on P" in why
    assert "1 board of 16 outputs would do (`--board pwm-16`), or another controller" in why
    made = proposed(text, "pwm-16")
    assert [board.kind.name for board in made.added if board.kind] == ["pwm-16"]


# ------------------------------------------------------------------------------------------ the search by itself
@settings(max_examples=200, deadline=None)
@given(st.lists(st.integers(1, 4), max_size=6), st.lists(st.integers(0, 5), min_size=1, max_size=4))
def test_the_search_finds_a_way_where_there_is_one(blocks: list[int], rooms: list[int]) -> None:
    """Places with room for so many things: all can be placed if there is room for all, and whole if that can be."""
    numbers = iter(range(100))
    things = [tuple(next(numbers) for _ in range(size)) for size in blocks]
    found = Search(
        lambda place, chosen: len(chosen) <= rooms[place],
        [str(place) for place in range(len(rooms))],
        lambda _: range(len(rooms)),
        lambda block: [(thing,) for thing in block],
    ).best(things)
    assert (found.placed is not None) == (sum(blocks) <= sum(rooms))
    if found.placed is not None:
        assert sorted(thing for place in found.placed for thing in place) == sorted(
            t for block in things for t in block
        )
        whole = all(any(place.issuperset(block) for place in found.placed) for block in things)
        assert whole == _packs(sorted(blocks, reverse=True), rooms)


def _packs(blocks: list[int], rooms: list[int]) -> bool:
    """Tell whether blocks go whole into rooms, by trying everything."""
    if not blocks:
        return True
    first, *others = blocks
    return any(
        room >= first and _packs(others, [*rooms[:place], room - first, *rooms[place + 1 :]])
        for place, room in enumerate(rooms)
    )
