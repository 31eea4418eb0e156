"""Lamp failure: what a driver would read if one thing of a signal failed, as it is wired."""

from __future__ import annotations

import json
from itertools import pairwise
from random import Random
from typing import TYPE_CHECKING, Any

import pytest

from bench_plans import random_standing
from command_line import call
from lampwright.rulebooks.failing import STUCK
from lampwright.tables import tables
from lampwright_proving.failing.faults import faults
from lampwright_proving.failing.judging import Case, Outcome, cases
from support import findings_of, result_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from lampwright.layout import BoundSignal
    from lampwright.rulebooks import Rulebook
    from lampwright.tables import Command, SignalTable

Lit = frozenset[tuple[str, str, bool]]

THREE_GREENS = """\
forms:
  three-greens:
    role: stop
    lamps:
      upper:  {colour: green, at: [0, 3]}
      middle: {colour: green, at: [0, 2]}
      lower:  {colour: green, at: [0, 1]}
      red:    {colour: red,   at: [0, 0]}
    shows: {danger: red, preliminary-caution: [upper, middle, lower], clear: upper}
    in-doubt: danger
"""


def plan_of(signals: str, sections: str = "") -> str:
    """Return a plan with signals, each a line."""
    told = "".join(f"  {line}\n" for line in signals.splitlines())
    return f"plan: 1\nrulebook: gb-colour-light\nyear: 1978\n{sections}signals:\n{told}"


def told(text: str, name: str = "HF1") -> list[Case]:
    """Return the cases of one signal of a plan, the indicators' too."""
    from lampwright_proving.failing.report import every

    (layout,) = result_of(text).layouts
    return list(every(layout.signals[name]))


def reads(found: list[Case], at: str, fault: str) -> tuple[str, Outcome]:
    """Return what is read for one fault, and what that is."""
    (case,) = [case for case in found if case.at == at and fault in case.faults]
    return case.read, case.outcome


# What the tables say of it: every command is a set of lights with a name ------------------------------------------


def lights(command: Command) -> Lit:
    """Return the lamps lit under a command, each with its colour and whether it flashes."""
    return frozenset((one.lamp, one.colour, one.flash is not None) for one in command.lamps if one.lit)


def off(command: Command, board: str) -> Lit:
    """Return what is left of a command while a board is off."""
    gone = {(one.lamp, one.colour) for one in command.lamps if one.output and one.output.startswith(f"{board}.")}
    return frozenset(one for one in lights(command) if one[:2] not in gone)


def failed(table: SignalTable, command: Command) -> Iterator[tuple[str, Lit]]:
    """Yield boards off, and lamps of one colour stuck lit, with what is lit then."""
    for board in "AB":
        yield f"board {board} off", off(command, board)
    for one in table.failsafe.lamps:
        if sum(other.lamp == one.lamp for other in table.failsafe.lamps) == 1 and not any(
            lamp == one.lamp for lamp, _, _ in lights(command)
        ):
            yield f"{one.lamp} stuck lit", lights(command) | {(one.lamp, one.colour, False)}


def declared_freer(book: Rulebook, first: str, second: str) -> bool:
    """Tell by walking the chains whether the first aspect is declared freer than the second."""
    seen, waiting = {second}, [second]
    while waiting:
        here = waiting.pop()
        for tighter, freer in (pair for chain in book.chains for pair in pairwise(chain)):
            if tighter == here and freer not in seen:
                seen.add(freer)
                waiting.append(freer)
    return first != second and first in seen


def judge(signal: BoundSignal, table: SignalTable) -> int:
    """Compare every case that the tables can tell of with them; return how many there were."""
    book = signal.rulebook
    assert book is not None
    plain = [one for one in table.commands if not one.boxes and not one.plates]
    named = {one.lamps: one for one in plain}
    by_lights: dict[Lit, set[str]] = {}
    for command in named.values():
        by_lights.setdefault(lights(command), set()).add(dict(command.aspects)[""])
    found: dict[tuple[str, str], list[Case]] = {}
    for case in cases(signal, faults(signal)):
        for name in case.faults:
            found.setdefault((case.at, name), []).append(case)
    compared = 0
    for command in plain:
        at = dict(command.aspects)[""]
        for name, seen in failed(table, command):
            expected = by_lights.get(seen, set())
            if seen == lights(command) or len(expected) != 1 or not seen:
                continue
            (read,) = expected
            if at == "dark":  # only tables have a number for that
                continue
            freer = declared_freer(book, read, at)
            outcomes = {one.outcome for one in found[at, name] if one.read == read}
            assert outcomes
            assert outcomes <= ({Outcome.FREER, Outcome.COVERED} if freer else {Outcome.SAFE, Outcome.APART})
            assert (Outcome.SAFE in outcomes) == (not freer and (read == at or declared_freer(book, at, read)))
            compared += 1
    return compared


def test_what_is_read_is_what_the_tables_have_for_the_same_lights() -> None:
    """Random signals on two boards: boards off and lamps stuck lit, compared with the commands of the tables."""
    luck = Random(7)  # noqa: S311
    compared = 0
    for _ in range(600):
        stands = random_standing(luck)
        signal = stands.layout.signals["HF1"]
        if signal.reader is not None and not signal.reader.parts:
            compared += judge(signal, tables(stands.layout).signals["HF1"])
    assert compared > 300


# Wiring ---------------------------------------------------------------------------------------------------------


def test_a_board_that_takes_the_half_that_says_less() -> None:
    """No single lamp lost is an aspect, two of them are; one lamp or all of them on the other board are not."""
    boards = "boards: {A: {kind: pwm-16}, B: {kind: pwm-16}}\n"
    found = {
        lamps: [
            one.message
            for one in findings_of(plan_of(f"HF1: {{form: three-greens, lamps: {lamps}}}", boards + THREE_GREENS))
            if one.rule == "freer-with-one-fault"
        ]
        for lamps in (
            "{upper: A.0, middle: B.0, lower: B.1, red: A.1}",
            "{upper: A.0, middle: A.2, lower: B.1, red: A.1}",
            "{upper: B.0, middle: B.2, lower: B.1, red: A.1}",
        )
    }
    message = "HF1 at preliminary-caution with board B off reads as clear, which is freer"
    assert list(found.values()) == [[message], [], []]


def test_lamps_of_one_output_fail_together() -> None:
    """A position light whose two lamps share an output clears itself if that is stuck on."""
    found = told(plan_of("HF1: {form: position-light, lamps: {upper: A.3, lower: A.3}}"))
    assert reads(found, "unlit", "output A.3 stuck on") == ("shunt-proceed", Outcome.FREER)
    assert reads(found, "unlit", "upper stuck lit")[0].startswith("no aspect")
    assert reads(found, "shunt-proceed", "output A.3 off") == ("unlit", Outcome.SAFE)


def test_what_is_lit_where_all_should_be_dark_is_told_apart() -> None:
    """A block signal that rests dark is compared with no aspect."""
    form = THREE_GREENS.replace("    in-doubt: danger\n", "    in-doubt: danger\n    rest: dark\n")
    found = told(plan_of("HF1: {form: three-greens}", form))
    assert reads(found, "dark", "upper stuck lit") == ("clear", Outcome.APART)
    assert reads(found, "dark", "lower stuck lit") == ("no aspect, in doubt danger", Outcome.SAFE)


def test_an_output_of_one_lamp_is_not_told_twice() -> None:
    """It fails as its lamp does."""
    found = told(plan_of("HF1: {form: three-aspect, lamps: [{green: A.0}, {yellow: A.1}, {red: A.2}]}"))
    assert not [name for case in found for name in case.faults if name.startswith("output")]


def test_a_mixed_yellow_that_loses_its_red_is_green() -> None:
    """The two LEDs of the lens have outputs of their own."""
    lens = "{red: A.0, green: A.1, yellow: {mix: {red: 50 %, green: 40 %}}}"
    found = told(plan_of(f"HF1: {{form: searchlight, lamps: {{lens: {lens}}}}}"))
    assert reads(found, "caution", "output A.0 off") == ("clear", Outcome.FREER)
    assert reads(found, "caution", "output A.1 off") == ("danger", Outcome.SAFE)
    assert reads(found, "clear", "lens red stuck lit")[0].startswith("no aspect")


def test_a_common_wire_takes_all_lamps_of_its_polarity() -> None:
    """Only where the plan tells the polarity."""
    lamps = "[{green: A.0}, {yellow: {output: A.1, wiring: common-cathode}}, {red: A.2}]"
    found = told(plan_of(f"HF1: {{form: three-aspect, wiring: common-anode, lamps: {lamps}}}"))
    wires = {(case.at, name) for case in found for name in case.faults if name.startswith("wire")}
    assert wires == {
        ("danger", "wire of the common-anode lamps off"),
        ("clear", "wire of the common-anode lamps off"),
        ("caution", "wire of the common-cathode lamps off"),
        ("flashing-caution", "wire of the common-cathode lamps off"),
    }
    assert not any("wire" in name for case in told(plan_of("HF1: {form: three-aspect}")) for name in case.faults)


def test_a_lamp_that_is_plated_over_is_never_lit() -> None:
    """Two yellows and one: a second yellow stuck lit is freer, unless there is none."""
    found = told(plan_of("HF1: {form: four-aspect}"))
    assert reads(found, "caution", "upper-yellow stuck lit") == ("preliminary-caution", Outcome.FREER)
    found = told(plan_of("HF1: {form: four-aspect, blanked: [upper-yellow]}"))
    assert not [name for case in found for name in case.faults if "upper-yellow" in name]


def test_an_answer_to_a_stuck_lamp_covers_it() -> None:
    """The form's faults say what holds when a lamp stays lit."""
    shown = "{danger: red, caution: upper, clear: [upper, middle]}"
    form = THREE_GREENS.replace("{danger: red, preliminary-caution: [upper, middle, lower], clear: upper}", shown)
    answered = form + "    faults: [{stuck: middle, in: caution, then: danger}]\n"
    bare, covered = (told(plan_of("HF1: {form: three-greens}", text)) for text in (form, answered))
    assert reads(bare, "caution", "middle stuck lit") == ("clear", Outcome.FREER)
    (case,) = [case for case in covered if case.at == "caution" and "middle stuck lit" in case.faults]
    assert (case.outcome, case.because, case.kind) == (Outcome.COVERED, "danger then", STUCK)


# Indicators -----------------------------------------------------------------------------------------------------

TURNOUT = """\
HF1:
  form: three-aspect
  routes:
    - {to: HF3, turns: straight, speed: 60 mph}
    - {to: HF5, turns: left, indicator: %s, speed: %s}
HF3: {form: three-aspect}
HF5: {form: three-aspect}"""


def test_a_junction_indicator_is_proved() -> None:
    """Without it the route to HF5 is taken for the faster one; it is proved lit (secondary: IRSE News)."""
    found = told(plan_of(TURNOUT % ("position-1", "25 mph")))
    assert reads(found, "route to HF5", "junction position-1 dark") == ("the route to HF3", Outcome.COVERED)


def test_another_route_that_is_no_faster_is_told_apart() -> None:
    """The driver is misled, and may do no more."""
    found = told(plan_of(TURNOUT % ("position-1", "60 mph")))
    assert reads(found, "route to HF5", "junction position-1 dark") == ("the route to HF3", Outcome.APART)


# The command and the check --------------------------------------------------------------------------------------


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    """Make a plan with signals of two kinds, one of them a dummy."""
    path = tmp_path / "gill.yaml"
    path.write_text(
        plan_of("SG1: {form: four-aspect}\nSG3: {like: SG1}\nSG5: {form: three-aspect}\nSG7: {like: SG1, stage: dummy}")
    )
    return path


def test_the_report_tells_signals_alike_once(plan: Path) -> None:
    """Each outcome under its own heading, with what would cover what is freer."""
    done = call("prove", plan, "--failing")
    assert done.code == 0
    text = " ".join(done.out.split())
    assert "SG1 and SG3 four-aspect" in text
    assert "caution as preliminary-caution upper-yellow stuck lit: needs proving, as `{stuck: upper-yellow," in text
    assert "2 freer and not covered (2 of them by lamps stuck lit)" in text
    assert all(len(line) <= 100 for line in done.out.splitlines())


def test_who_writes_no_rulebook_covers_a_fault_in_the_plan(plan: Path) -> None:
    """As the report says it: a form of the plan's own that is like the rulebook's."""
    text = " ".join(call("prove", plan, "SG1", "--failing").out.split())
    assert "`forms: {my-four-aspect: {like: four-aspect, faults: [...]}}`, then `form: my-four-aspect`" in text
    fault = text.partition("needs proving, as `")[2].partition("`")[0]
    own = f"forms: {{my-four-aspect: {{like: four-aspect, faults: [{fault}]}}}}\nsignals:"
    plan.write_text(plan.read_text().replace("SG1: {form: four", "SG1: {form: my-four").replace("signals:", own))
    assert call("check", plan).code == 0
    covered = " ".join(call("prove", plan, "SG1", "--failing").out.split())
    assert "0 freer and not covered" in covered
    assert "upper-yellow stuck lit: danger then" in covered
    assert "form of its own" not in covered


def test_the_record_has_what_is_seen(plan: Path) -> None:
    """Of the signals that are named."""
    values: dict[str, Any] = json.loads(call("prove", plan, "SG1", "--failing", "--format", "json").out)
    (signal,) = values["signals"]
    case = next(case for case in signal["cases"] if case["at"] == "preliminary-caution")
    assert (case["seen"], case["read"], case["outcome"]) == ("lower-yellow", "caution", "not freer")
    assert case["faults"] == ["upper-yellow dark"]


@pytest.mark.parametrize("other", ["--ask", "--seen=gill.yaml", "--log=good", "--format=html"])
def test_failing_stands_by_itself(plan: Path, other: str) -> None:
    """Nothing is written down, and nothing is asked."""
    done = call("prove", plan, "--failing", other)
    assert done.code == 2
    assert "--failing stands by itself" in done.err


def test_signals_of_one_form_are_one_finding() -> None:
    """A form of the plan's own is judged with it: nobody else does."""
    form = THREE_GREENS.replace("[upper, middle, lower]", "[upper, lower]")
    form = form.replace("      middle: {colour: green, at: [0, 2]}\n", "")
    (found,) = findings_of(plan_of("HF1: {form: three-greens}\nHF3: {like: HF1}\nHF5: {like: HF1, stage: dummy}", form))
    assert found.rule == "freer-with-one-fault"
    assert found.message == "HF1 and HF3 at preliminary-caution with lower dark read as clear, which is freer"
    assert "{lost: lower, in: preliminary-caution, then: danger}" in found.tip


def test_a_lamp_that_stays_lit_is_no_finding_of_a_check(plan: Path) -> None:
    """Every signal with two yellows would have one."""
    assert call("check", plan).code == 0


def test_signals_of_one_form_that_are_wired_otherwise_are_asked_each() -> None:
    """The first is safe: a board that is off leaves nothing of an aspect. Of five that are not, four are shown."""
    wired = "{form: three-greens, lamps: {upper: A.0, middle: B.0, lower: LOWER, red: A.1}}"
    signals = [f"HF1: {wired.replace('LOWER', 'C.0')}"]
    assert findings_of(plan_of("\n".join(signals), THREE_GREENS)) == []
    signals += [f"HF{number}: {wired.replace('LOWER', 'B.1')}" for number in range(2, 7)]
    told = [one for one in findings_of(plan_of("\n".join(signals), THREE_GREENS)) if one.rule == "freer-with-one-fault"]
    assert [one.message for one in told] == [
        "HF2, HF3, HF4, HF5 and HF6 at preliminary-caution with board B off read as clear, which is freer"
    ]
    assert [spot.label for spot in told[0].related] == [f"so does HF{number}" for number in (3, 4, 5)]
