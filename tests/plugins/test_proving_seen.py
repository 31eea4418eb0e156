"""What a file of what was seen leads to: the least explanation, what decides, and a plan that says what is."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from command_line import Done, call

PLAN = """\
plan: 1
name: Hollin Fork
rulebook: gb-colour-light
year: 1978
boards: {A: {kind: pwm-16}}        # no drive said
signals:
  HF1:
    form: four-aspect
    stage: proved
    wiring: common-anode     # as bought
    lamps: [{yellow: A.0}, {green: A.1}, {yellow: A.2}, {red: A.3}]
    carries: {position-1: {output: A.14, leds: 5 parallel}}
  HF3:
    form: three-aspect
    lamps: {green: A.4, yellow: {output: A.5, resistor: 330 ohm}, red: A.6}
  HF5:
    form: two-aspect-stop
    lamps: [{green: A.7}, {red: A.8}]
"""
TURNED = "signals: {HF1: {danger: [upper-yellow, green, lower-yellow, position-1]}}"


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("plan.yaml").write_text(PLAN, encoding="utf-8")


def fingerprint() -> str:
    """Return that of the plan as it is now, as the bench card has it."""
    return str(json.loads(call("prove", "plan.yaml", "--format", "json").out)["fingerprint"])


def prove(seen: str, *options: str) -> Done:
    """Run the command on what was seen."""
    plan = f"plan: {fingerprint()}\n" if "--fix" in options and "plan:" not in seen else ""
    Path("seen.yaml").write_text(f"seen: 1\n{plan}{seen}\n", encoding="utf-8")
    return call("prove", "plan.yaml", "--seen", "seen.yaml", *options)


def diagnosed(seen: str, *options: str) -> dict[str, object]:
    """Return what it says for programs."""
    told: dict[str, object] = json.loads(prove(seen, "--format", "json", *options).out)
    return told


def faults(told: dict[str, object]) -> list[list[str]]:
    """Return the faults of each explanation."""
    explanations = told["explanations"]
    assert isinstance(explanations, list)
    return [one["faults"] for one in explanations]


def test_all_lit_but_the_lamp_that_should_be_is_one_wrong_polarity_and_not_four_faults() -> None:
    """Read first as the head's, which the plan can say; the board's may look the same."""
    told = diagnosed(TURNED)
    assert (told["faults"], told["unique"]) == (1, True)
    first, second = faults(told)
    assert first == ["the whole of HF1 is of the other polarity: dark lamps are lit, and lit ones dark"]
    assert second[0].startswith("board A drives the other way")
    explanations = told["explanations"]
    assert isinstance(explanations, list)
    assert explanations[0]["plan"] == [{"path": ["signals", "HF1", "wiring"], "value": "common-cathode"}]


def test_a_proved_signal_may_be_rewired_or_the_plan_corrected() -> None:
    """Both are offered, and nothing is written unasked."""
    done = prove(TURNED)
    assert done.code == 1
    assert "HF1 is built: rewire, or correct the plan." in done.out
    assert "bring the common wire of HF1 to the other side" in done.out
    assert "+    wiring: common-cathode     # as bought" in done.out
    assert Path("plan.yaml").read_text(encoding="utf-8") == PLAN


def test_fix_writes_the_one_word_that_was_wrong() -> None:
    """Comments and all else stay."""
    done = prove(TURNED, "--fix")
    assert done.code == 0
    assert Path("plan.yaml").read_text(encoding="utf-8") == PLAN.replace("common-anode", "common-cathode")


def test_what_was_seen_is_of_one_plan_and_mends_it_once() -> None:
    """The same file again would swap all back: it is of the plan as it was. One that does not say is not trusted."""
    before = fingerprint()
    assert prove(TURNED, "--fix").code == 0
    mended = Path("plan.yaml").read_text(encoding="utf-8")
    again = prove(f"plan: {before}\n{TURNED}", "--fix")
    assert again.code == 1
    assert f"error[other-fingerprint]: what was seen is of a plan with the fingerprint {before}" in again.err
    Path("seen.yaml").write_text(f"seen: 1\n{TURNED}\n", encoding="utf-8")
    unsaid = call("prove", "plan.yaml", "--seen", "seen.yaml", "--fix")
    assert unsaid.code == 1
    assert f"write `plan: {fingerprint()}` below `seen: 1`" in " ".join(unsaid.err.split())
    assert Path("plan.yaml").read_text(encoding="utf-8") == mended


def test_a_flasher_that_is_steady_and_a_lamp_that_flickers_are_faults() -> None:
    """As an LED put in the wrong way round is told with a dead one: turning it is tried first."""
    Path("plan.yaml").write_text(PLAN.replace("stage: proved", "stage: proved\n    gives: [danger, flashing-caution]"))
    steady = "signals: {HF1: {danger: [red], flashing-caution: [lower-yellow]}}"
    assert faults(diagnosed(steady)) == [["HF1 lower-yellow does not flash"]]
    flickers = "signals: {HF1: {danger: [{red: flashing}]}}"
    assert ["HF1 red flashes where it should be steady"] in faults(diagnosed(flickers))
    dark = "signals: {HF3: {danger: [], caution: [yellow], clear: [green]}}"
    assert ["HF3 red is dead, or an LED put in the wrong way round"] in faults(diagnosed(dark))
    assert "turn HF3 red round, if it is an LED; if it stays dark, renew it" in " ".join(prove(dark).out.split())


def test_what_the_electrics_do_not_allow_is_not_written() -> None:
    """A board that takes current in cannot light a common-cathode head: the checks say so before that."""
    plan = PLAN.replace("{kind: pwm-16}", "{kind: pwm-16, drive: sink}")
    Path("plan.yaml").write_text(plan, encoding="utf-8")
    done = prove(TURNED, "--fix")
    assert done.code == 1
    assert "error[wrong-polarity]: HF1 is common-cathode" in done.err
    assert Path("plan.yaml").read_text(encoding="utf-8") == plan


def test_rewiring_alone_is_offered_where_the_plan_would_have_errors() -> None:
    """What --fix would refuse, the text does not offer."""
    Path("plan.yaml").write_text(PLAN.replace("{kind: pwm-16}", "{kind: pwm-16, drive: sink}"), encoding="utf-8")
    told = " ".join(prove(TURNED, "--take", "1").out.split())
    assert "Only rewiring puts it right: if the plan said what is, the checks would find: HF1 is common-cathode" in told
    assert "bring the common wire of HF1 to the other side" in told
    assert "To make the plan say" not in told
    assert "correct the plan" not in told


def test_polarity_is_said_under_the_signal_that_was_looked_at() -> None:
    """A signal that is like another gets its own; those like one that changes keep what they had."""
    heir = "  HF7: {like: HF1, lamps: [{yellow: A.9}, {green: A.10}, {yellow: A.11}, {red: A.12}], carries: {}}\n"
    turned = "{danger: [upper-yellow, green, lower-yellow], clear: [upper-yellow, lower-yellow, red]}"
    Path("plan.yaml").write_text(PLAN + heir, encoding="utf-8")
    assert prove(f"signals: {{HF7: {turned}, HF3: {{danger: [red]}}}}", "--fix").code == 0
    mended = Path("plan.yaml").read_text(encoding="utf-8")
    assert mended == PLAN + heir.replace("carries: {}}", "carries: {}, wiring: common-cathode}")
    Path("plan.yaml").write_text(PLAN + heir, encoding="utf-8")
    assert (
        prove(
            f"{TURNED[:-2]}, clear: [red, upper-yellow, lower-yellow, position-1]}}, HF3: {{danger: [red]}}}}", "--fix"
        ).code
        == 0
    )
    kept = heir.replace("carries: {}}", "carries: {}, wiring: common-anode}")
    assert Path("plan.yaml").read_text(encoding="utf-8") == PLAN.replace("common-anode", "common-cathode") + kept


def test_a_lamp_that_another_signal_lends_is_left_alone() -> None:
    """Its polarity would change on both."""
    plan = PLAN.replace("red: A.6}", "red: {output: A.6, wiring: common-anode}}") + "  HF7: {like: HF3}\n"
    Path("plan.yaml").write_text(plan, encoding="utf-8")
    done = prove("signals: {HF7: {danger: [], caution: [yellow, red], clear: [green, red]}}", "--fix")
    assert "wire HF7 red the other way round" in done.out
    assert "the plan has no lamps of HF7 itself to say it of: they are those of HF3" in done.err.replace("\n", " ")
    assert Path("plan.yaml").read_text(encoding="utf-8") == plan


def test_swapped_wires_become_swapped_outputs() -> None:
    """Each lamp gets the output it really hangs on, in the notation it has."""
    seen = "signals: {HF3: {danger: [yellow], caution: [red], clear: [green]}}"
    assert faults(diagnosed(seen)) == [
        ["the wires of HF3 yellow and HF3 red are swapped: HF3 yellow is on A.6 and HF3 red is on A.5"]
    ]
    assert prove(seen, "--fix").code == 0
    lamps = "{green: A.4, yellow: {output: A.6, resistor: 330 ohm}, red: A.5}"
    assert lamps in Path("plan.yaml").read_text(encoding="utf-8")


ROW = """\
plan: 1
rulebook: gb-colour-light
year: 1978
controllers: {hut: {}}
boards:
  A: {kind: pwm-16, controller: hut, address: 0x40}
  B: {kind: pwm-16, controller: hut, address: 0x41}
signals:
  OF1:
    form: three-aspect
    lamps: [{green: A.0}, {yellow: A.1}, {red: A.2}]
  OF7:
    form: three-aspect
    lamps: [{green: B.0}, {yellow: B.1}, {red: B.2}]
  OF9:
    form: three-aspect
    lamps: [{green: B.4}, {yellow: B.5}, {red: B.6}]
"""


def of_row(seen: str, *options: str) -> tuple[Done, str]:
    """Return what is said of signals with plugs in a row, and the plan after that."""
    Path("plan.yaml").write_text(ROW, encoding="utf-8")
    done = prove(seen, *options)
    return done, Path("plan.yaml").read_text(encoding="utf-8")


DOWN = "signals: {OF9: {danger: [], clear: [yellow], caution: [red]}}"


@pytest.mark.parametrize("options", [("--fix",), ("--fix", "--take", "1")])
def test_a_plug_one_place_off_is_told_and_what_nothing_has_shown_is_not_written(options: tuple[str, ...]) -> None:
    """Nothing lit green, so nobody knows where its wire is; the text and --fix agree."""
    done, plan = of_row(DOWN, *options)
    said = " ".join(done.out.split())
    assert "1. all wires of OF9 are one place down, as when its plug sits one place off: green as if on B.3" in said
    assert "2." not in said.partition("Each fault")[0]
    assert "seat the plug of OF9 one place further up: green on B.4, yellow on B.5, red on B.6" in said
    assert "To make the plan say what is" not in said
    assert "as in `outputs: {B.3: OF9.green}`" in said
    assert "nothing is written: nothing has shown which output OF9 green is on" in done.err
    assert (done.code, plan) == (1, ROW)


def test_a_plug_may_hang_over_the_end_of_a_board() -> None:
    """Before the first output there is none to switch."""
    said = " ".join(of_row("signals: {OF1: {danger: [], clear: yellow, caution: red}}")[0].out.split())
    assert "green as if on none, yellow as if on A.0 and red as if on A.1" in said
    assert "outputs: {" not in said


def test_a_plug_off_its_place_is_written_once_every_wire_has_been_seen() -> None:
    """By hand on an output that feeds no lamp by the plan."""
    done, plan = of_row(f"{DOWN}\noutputs: {{B.3: [OF9.green]}}", "--fix")
    assert done.code == 0
    assert plan == ROW.replace("{green: B.4}, {yellow: B.5}, {red: B.6}", "{green: B.3}, {yellow: B.4}, {red: B.5}")


def test_a_plug_that_reaches_into_that_of_another_signal_is_found() -> None:
    """The other one stands at danger all the time, and so the lamp on its output is lit all the time."""
    Path("plan.yaml").write_text(
        ROW.replace("B.0}", "B.1}").replace("{yellow: B.1}, {red: B.2}", "{yellow: B.2}, {red: B.3}")
    )
    done = prove("signals: {OF9: {danger: [green], clear: [green, yellow], caution: [green, red]}}")
    assert "as when its plug sits one place off: green as if on B.3" in " ".join(done.out.split())
    assert "only rewiring" in done.out.lower()


def test_a_wire_on_a_free_output_is_found_by_hand_and_written() -> None:
    """Any output that the board has can be switched."""
    seen = "signals: {OF1: {danger: [red], clear: [], caution: [yellow]}}\noutputs: {A.15: [OF1.green]}"
    done, plan = of_row(seen, "--fix")
    assert "1. OF1 green is on A.15, and the plan has A.0" in done.out
    assert (done.code, plan) == (0, ROW.replace("green: A.0", "green: A.15"))


def test_an_output_of_a_signal_that_is_not_told_of_brings_it_to_the_bench() -> None:
    """The wire there is the one of that signal's lamp."""
    seen = "signals: {OF1: {danger: [red], clear: []}}\noutputs: {B.5: [OF1.green], A.0: [OF9.yellow]}"
    ((told,),) = faults(json.loads(of_row(seen, "--format", "json")[0].out))
    assert told == "the wires of OF1 green and OF9 yellow are swapped: OF1 green is on B.5 and OF9 yellow is on A.0"


def test_two_boards_exchanged_are_one_fault() -> None:
    """What is commanded of one signal lights the other; the addresses in the plan, or those set on the boards."""
    seen = """signals:
  OF1: {danger: [red, OF7.red], clear: [red, OF7.green], caution: [red, OF7.yellow]}
  OF7: {clear: [red, OF1.green], caution: [red, OF1.yellow]}
"""
    done, plan = of_row(seen)
    said = " ".join(done.out.split())
    assert (
        "1 fault explains all that was seen, and nothing else does with so few: 1. boards A and B are exchanged" in said
    )
    assert "set the address of board A to 0x40 and that of board B to 0x41, or exchange their plugs" in said
    assert plan == ROW
    fixed, plan = of_row(seen, "--fix")
    assert fixed.code == 0
    assert plan == ROW.replace("0x40", "0x4_").replace("0x41", "0x40").replace("0x4_", "0x41")


def test_three_wires_in_a_ring_are_two_swaps() -> None:
    """All three outputs are changed at once."""
    seen = "signals: {HF3: {danger: [yellow], caution: [green], clear: [red]}}"
    told = diagnosed(seen)
    assert told["faults"] == 2
    assert prove(seen, "--fix").code == 0
    lamps = "{green: A.5, yellow: {output: A.6, resistor: 330 ohm}, red: A.4}"
    assert lamps in Path("plan.yaml").read_text(encoding="utf-8")


def test_with_two_lamps_a_swap_looks_like_a_wrong_polarity_until_no_output_is_on() -> None:
    """No command tells them apart; nothing is written without a choice; switching all off decides."""
    seen = "signals: {HF5: {danger: [green], clear: [red]}}"
    told = diagnosed(seen)
    assert (len(faults(told)), told["unique"], told["next_command"], told["next_output"]) == (3, True, None, "none")
    refused = prove(seen, "--fix")
    assert (refused.code, Path("plan.yaml").read_text(encoding="utf-8")) == (1, PLAN)
    assert "--take" in refused.err
    decided = faults(diagnosed(f"{seen}\noutputs: {{none: []}}"))
    assert decided == [["the wires of HF5 green and HF5 red are swapped: HF5 green is on A.8 and HF5 red is on A.7"]]
    assert prove(seen, "--fix", "--take", "3").code == 0
    assert "[{green: A.8}, {red: A.7}]" in Path("plan.yaml").read_text(encoding="utf-8")


def test_a_dead_lamp_and_a_loose_common_are_told_apart_by_another_command() -> None:
    """After one command both are possible: the next one is named, with what each would show."""
    done = prove("signals: {HF3: {danger: []}}")
    assert done.code == 1
    assert "HF3 red is dead" in done.out
    assert "the common wire of HF3 is off" in done.out
    assert "Command HF3 " in done.out
    assert "Looking can tell more." in done.out
    seen = "signals: {HF3: {danger: [], caution: [], clear: []}}"
    ((head,), (board,)) = faults(diagnosed(seen))
    assert head == "the common wire of HF3 is off"
    why = "the common wire of its lamps is off, it gets no power, or it answers to another address"
    assert board == f"board A lights nothing: {why}"
    assert "look at another signal on board A" in prove(seen).out


def test_dim_lamps_are_a_common_wire_of_bad_contact() -> None:
    """Not two weak lamps; that a signal on the same board is bright shows that it is not the board's."""
    seen = "HF3: {danger: [{red: dim}], caution: [{yellow: dim}]}"
    bright = "HF5: {danger: [red], clear: [green]}"
    assert faults(diagnosed(f"signals: {{{seen}, {bright}}}")) == [["the common wire of HF3 has a bad contact"]]


def test_wires_that_touch_light_two_lamps_at_once() -> None:
    """For either of two commands both are lit; how brightly does not matter."""
    seen = "signals: {HF3: {danger: [red, {green: dim}], clear: [green, red], caution: [yellow]}}"
    assert faults(diagnosed(seen)) == [["the wires of HF3 green and HF3 red touch"]]
    assert "part the wires of HF3 green and HF3 red" in prove(seen).out


def test_a_wire_on_another_signal_is_found_if_both_are_looked_at() -> None:
    """Signals that are not commanded stand at their failsafe."""
    seen = "signals: {HF3: {clear: [HF5.green, HF5.red]}, HF5: {clear: [HF3.green, HF3.red]}}"
    assert faults(diagnosed(seen)) == [
        ["the wires of HF3 green and HF5 green are swapped: HF3 green is on A.7 and HF5 green is on A.4"]
    ]
    assert prove(seen, "--fix").code == 0
    assert "{green: A.7, yellow:" in Path("plan.yaml").read_text(encoding="utf-8")
    assert "[{green: A.4}, {red: A.8}]" in Path("plan.yaml").read_text(encoding="utf-8")


def test_of_a_list_what_is_not_named_was_dark_and_of_a_map_it_was_not_looked_at() -> None:
    """So less follows from a map."""
    assert diagnosed("signals: {HF3: {danger: {red: lit}}}")["all_right"] is True
    assert diagnosed("signals: {HF3: {danger: [red]}}")["all_right"] is True
    assert diagnosed("signals: {HF3: {danger: red}}")["all_right"] is True
    assert diagnosed("signals: {HF3: {danger: green}}")["all_right"] is False
    assert diagnosed("signals: {HF3: {danger: {green: dark}}}")["all_right"] is True
    assert diagnosed("signals: {HF3: {danger: []}}")["all_right"] is False


def test_what_is_right_is_said_with_what_was_not_looked_at() -> None:
    """The exit code is that of success."""
    done = prove("signals: {HF3: {0: [red], caution: [yellow]}}")
    assert done.code == 0
    assert "All that was seen is as it should be (2 commands)." in done.out
    assert "Not looked at: HF3 clear (2)" in done.out


@pytest.mark.parametrize(
    ("seen", "place", "message", "tip"),
    [
        ("signals: {HF3: {dangr: [red]}}", "2:17", "HF3 has no command dangr", "did you mean danger?"),
        ("signals: {HF3: {danger: [rd]}}", "2:26", "there is no lamp rd on HF3", "did you mean red?"),
        ("signals: {HF3: {danger: rd}}", "2:25", "there is no lamp rd on HF3", "did you mean red?"),
        ("signals: {HF3: {danger: {rd: lit}}}", "2:26", "there is no lamp rd on HF3", "did you mean red?"),
        ("signals: {HF9: {danger: [red]}}", "2:11", "there is no signal HF9", "did you mean HF5?"),
        ("signals: {HF3: {danger: [{red: bright}]}}", "2:32", "", ""),
        ("signals: {HF3: {danger: [red], 0: [red]}}", "2:32", "0 is the command danger, which is told already", ""),
        ("signals: {HF3: {danger: [red]}}\noutputs: {A.16: []}", "3:11", "there is no output A.16", ""),
        ("signals: {HF3: {danger: [red]}}\noutputs: {C.1: []}", "3:11", "there is no output C.1", "A.1"),
        ("signals: {}", "1:1", "seen.yaml tells of nothing that was seen", ""),
        ("signal: {}", "2:1", "", "did you mean signals?"),
        ("signals: {HF3: [}", "2:17", "", ""),
    ],
)
def test_a_slip_in_the_file_is_shown_where_it_stands(seen: str, place: str, message: str, tip: str) -> None:
    """With what would have been right."""
    done = prove(seen)
    assert (done.code, done.out) == (1, "")
    assert f"seen.yaml:{place}\n" in done.err
    assert message in done.err
    assert tip in done.err


def test_a_card_of_another_plan_is_warned_of() -> None:
    """The fingerprint is that of the card; what was seen is read all the same."""
    done = prove("plan: 01234567\nsignals: {HF3: {danger: [red]}}")
    assert done.code == 0
    assert "other-fingerprint" in done.err
    now = json.loads(call("prove", "plan.yaml", "--format", "json").out)["fingerprint"]
    assert prove(f"plan: '{now}'\nsignals: {{HF3: {{danger: [red]}}}}").err == ""


def test_what_few_faults_cannot_explain_is_listed() -> None:
    """One lamp cannot be lit and dark for the same command."""
    seen = "{danger: [{red: dim}, upper-yellow, {green: flashing}], clear: [{red: flashing}, {lower-yellow: dim}]}"
    done = prove(f"signals: {{HF1: {seen}}}")
    assert done.code == 1
    assert "faults or fewer explain all that was seen" in done.out
    assert "HF1 danger (0): HF1 green flashing, and must be dark" in done.out


def test_an_explanation_that_is_not_there_cannot_be_taken() -> None:
    """Said in the number there is."""
    swapped = "signals: {HF3: {danger: yellow, caution: red, clear: green}}"
    assert "--take 2: there is one explanation" in prove(swapped, "--take", "2").err
    unclear = "{danger: [{red: dim}, upper-yellow, {green: flashing}], clear: [{red: flashing}, {lower-yellow: dim}]}"
    assert "--take 1: there is no explanation" in prove(f"signals: {{HF1: {unclear}}}", "--take", "1").err
    assert (
        "--take 9: there are 3 explanations" in prove("signals: {HF5: {danger: green, clear: red}}", "--take", "9").err
    )


@pytest.mark.parametrize(
    "options",
    [
        ("--fix",),
        ("--keep", "kept.yaml"),
        ("--seen", "seen.yaml", "--ask"),
        ("--seen", "nowhere.yaml"),
        ("--ask", "--format", "json"),
        ("HF7",),
    ],
)
def test_what_makes_no_sense_is_a_wrong_call(options: tuple[str, ...]) -> None:
    """Exit code 2, before anything is read or asked."""
    assert call("prove", "plan.yaml", *options).code == 2


def test_where_much_is_wrong_each_signal_is_explained_by_itself() -> None:
    """Six faults on three signals are too many to look for at once."""
    plan = PLAN + "  HF7: {form: four-aspect, lamps: [{yellow: A.9}, {green: A.10}, {yellow: A.11}, {red: A.12}]}\n"
    Path("plan.yaml").write_text(plan, encoding="utf-8")
    seen = """
signals:
  HF1: {danger: [green], clear: [lower-yellow], caution: [red], preliminary-caution: [upper-yellow, red]}
  HF3: {danger: [yellow], caution: [green], clear: [red]}
  HF7: {danger: [green], clear: [lower-yellow], caution: [red], preliminary-caution: [red]}
"""
    told = diagnosed(seen)
    assert told["faults"] == 2 + 2 + 3
    assert len(faults(told)) == 1
    done = prove(seen)
    assert "each signal was looked at by itself" in done.out
    assert "HF7 upper-yellow is dead" in done.out


def test_a_plan_without_outputs_is_explained_all_the_same() -> None:
    """Wires are told by the lamps they are meant for; there is nothing to change in the plan."""
    Path("plan.yaml").write_text("plan: 1\nrulebook: gb-colour-light\nsignals: {HF3: {form: three-aspect}}\n")
    done = prove("signals: {HF3: {danger: [yellow], caution: [red], clear: [green]}}", "--fix")
    assert done.code == 1
    assert "HF3 yellow is on the output of HF3 red" in done.out
    assert "the plan says no output of HF3 yellow" in done.out
    assert "nothing is written" in done.err


def test_two_colours_of_one_lens_are_swapped_as_two_lamps_are() -> None:
    """Each colour of a lens has its wire; a mixed colour is seen where both are lit."""
    text = "plan: 1\nrulebook: gb-colour-light\nyear: 1950\nboards: {A: {kind: pwm-16}}\nsignals:\n"
    lens = "{red: A.0, green: A.1, yellow: {mix: {red: 60 %, green: 100 %}}}"
    Path("plan.yaml").write_text(f"{text}  HF3: {{form: searchlight, lamps: {{lens: {lens}}}}}\n", encoding="utf-8")
    seen = "signals: {HF3: {danger: [lens green], clear: [lens red], caution: [lens yellow]}}"
    ((told,),) = faults(diagnosed(seen))
    assert told.startswith("the wires of HF3 lens green and HF3 lens red are swapped: HF3 lens green is on A.0")
    assert prove(seen, "--fix").code == 0
    assert "{red: A.1, green: A.0, yellow:" in Path("plan.yaml").read_text(encoding="utf-8")
