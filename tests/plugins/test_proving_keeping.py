"""Keeping it right: the log, what has changed since a proof, what a change means, and names that change."""

from __future__ import annotations

import json
import subprocess
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import Phase, assume, given, settings
from hypothesis import strategies as st

from command_line import Done, call
from lampwright.documents import read
from lampwright.layout import Layout
from lampwright.plans import load
from lampwright_proving.keeping.comparing import changes
from support import library, rules_of

if TYPE_CHECKING:
    from pathlib import Path

PLAN = """\
plan: 1   # ours
rulebook: gb-colour-light
year: 1975
signals:
  SG1: {form: three-aspect, lamps: [{green: A.0}, {yellow: A.1}, {red: A.2}], routes: [{to: SG3}]}
  SG3: {form: three-aspect, lamps: [{green: A.3}, {yellow: A.4}, {red: A.5}]}
controllers: {hut: {}}
boards: {A: {kind: pwm-16, controller: hut, address: 0x40}, B: {kind: pwm-16, address: 0x41}}
"""


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    """Make a plan with two wired signals."""
    path = tmp_path / "gill.yaml"
    path.write_text(PLAN)
    return path


def test_a_good_proof_goes_into_the_log_and_the_plan(plan: Path) -> None:
    """The signal is proved, with its fingerprint; all else of the plan stays."""
    assert call("prove", plan, "SG1", "--log", "good", "--part", "new red LED").code == 0
    (line,) = plan.with_name("gill.log.yaml").read_text().splitlines()[3:]
    values = read(plan.with_name("gill.log.yaml"), "log").values["records"][0]
    assert (values["signal"], values["result"], values["part"]) == ("SG1", "good", "new red LED")
    assert line.startswith("  - {date: ")
    said = read(plan, "plan").values["signals"]["SG1"]
    assert (said["stage"], said["proved"]) == ("proved", values["fingerprint"])
    assert plan.read_text().startswith("plan: 1   # ours\n")
    assert "changed-since-proved" not in rules_of(plan.read_text())


def test_the_log_only_grows(plan: Path) -> None:
    """A faulty proof is a record, and proves nothing."""
    call("prove", plan, "SG1", "--log", "good")
    before = plan.with_name("gill.log.yaml").read_text()
    call("prove", plan, "--log", "faulty")
    after = plan.with_name("gill.log.yaml").read_text()
    assert after.startswith(before)
    assert after.count("result: faulty") == 2
    assert "SG3: {form: three-aspect, lamps: [{green: A.3}, {yellow: A.4}, {red: A.5}]}" in plan.read_text()


def test_a_signal_found_faulty_does_not_count_as_proved(plan: Path) -> None:
    """The mark goes and the signal is built, its own or lent; the log keeps the fingerprint."""
    heir = "  SG5: {like: SG1, lamps: [{green: B.0}, {yellow: B.1}, {red: B.2}]}"
    plan.write_text(
        PLAN.replace(
            "{form: three-aspect, lamps: [{green: A.0}", "{stage: proved, form: three-aspect, lamps: [{green: A.0}"
        ).replace("controllers:", f"{heir}\ncontrollers:")
    )
    call("prove", plan, "SG1", "SG3", "--log", "good")
    done = call("prove", plan, "SG1", "SG5", "--log", "faulty", "--part", "LED red")
    assert f"{plan}: SG1 does not count as proved any more" in done.err
    said = read(plan, "plan").values["signals"]
    assert [said[name].get("stage") for name in ("SG1", "SG3", "SG5")] == ["built", "proved", "built"]
    assert ["proved" in said[name] for name in ("SG1", "SG3", "SG5")] == [False, True, False]
    assert "result: faulty" in plan.with_name("gill.log.yaml").read_text()
    call("prove", plan, "SG1", "--log", "good")
    assert read(plan, "plan").values["signals"]["SG1"]["stage"] == "proved"


def test_a_file_that_is_no_log_is_left_alone(plan: Path) -> None:
    """And the plan with it."""
    log = plan.with_name("gill.log.yaml")
    log.write_text("plan: 1\n")
    done = call("prove", plan, "SG1", "--log", "good")
    assert done.code == 2
    assert "is no log of proofs" in done.err
    assert (log.read_text(), plan.read_text()) == ("plan: 1\n", PLAN)


@pytest.mark.parametrize(
    ("old", "new", "changed"),
    [("A.2}", "A.9}", True), ("plan: 1   # ours", "plan: 1", False), ("address: 0x40", "address: 0x44", True)],
)
def test_what_changed_since_a_proof_is_found(plan: Path, old: str, new: str, changed: bool) -> None:  # noqa: FBT001
    """An output, the address of its board; but not a comment."""
    call("prove", plan, "SG1", "--log", "good")
    assert ("changed-since-proved" in rules_of(plan.read_text().replace(old, new))) == changed


def test_a_change_says_what_is_to_be_done(plan: Path) -> None:
    """Wires with both ends, controllers, and signals; 0 if there is nothing."""
    new = plan.with_name("new.yaml")
    new.write_text(
        PLAN.replace("{green: A.0}", "{green: B.0}").replace("  SG3:", "  SG5: {form: two-aspect-stop}\n  SG3:")
    )
    done = call("changes", plan, new)
    assert done.code == 1
    assert done.out.splitlines() == [
        *("Wires to move", "  SG1 green: from A.0 to B.0"),
        *("Tables to load", "  B", "  hut"),
        *("Prove again", "  SG1"),
        *("New signals, to be proved", "  SG5"),
    ]
    assert "power off before a wire is moved or a part exchanged" in done.err
    assert json.loads(call("changes", plan, new, "--format", "json").out)["prove"] == ["SG1"]
    assert call("changes", plan, plan).code == 0


def compared(plan: Path, new: str, old: str = PLAN) -> Done:
    """Compare a plan with what it becomes."""
    plan.write_text(old)
    other = plan.with_name("new.yaml")
    other.write_text(new)
    return call("changes", plan, other)


def test_a_signal_that_is_renamed_is_not_to_be_proved(plan: Path) -> None:
    """Routes that lead to it have only its name changed; what was loaded by name is to be loaded again."""
    call("rename", "SG3", "SG7", plan)
    done = compared(plan, plan.read_text())
    title, line = done.out.splitlines()
    assert title.startswith("Renamed, nothing to prove (tables that hold names")
    assert line == "  SG3 is SG7 now"
    moved = compared(plan, PLAN.replace("SG3", "SG7").replace("A.5", "A.9")).out
    assert "Renamed" not in moved
    assert "New signals, to be proved\n  SG7\nSignals that are gone\n  SG3\n" in moved


def test_signals_may_be_renumbered_and_no_wire_moves(plan: Path) -> None:
    """A name goes on to another signal; but where two signals change places in the plan, their wires do."""
    call("rename", "SG3", "SG5", plan)
    call("rename", "SG1", "SG3", plan)
    done = compared(plan, plan.read_text())
    assert done.out.splitlines()[1:] == ["  SG3 is SG5 now", "  SG1 is SG3 now"]
    assert "Wires" not in done.out
    swapped = compared(plan, PLAN.replace("SG1:", "SG9:").replace("SG3:", "SG1:").replace("SG9:", "SG3:")).out
    assert "SG1 green: from A.0 to A.3" in swapped
    assert "Renamed" not in swapped


def test_of_two_signals_that_are_alike_nobody_knows_which_is_renamed(plan: Path) -> None:
    """Without outputs nothing tells one from the other."""
    old = PLAN.replace("controllers", "  SG8: {form: three-aspect}\n  SG9: {form: three-aspect}\ncontrollers")
    done = compared(plan, old.replace("SG8", "SG18").replace("SG9", "SG19"), old)
    assert "Renamed" not in done.out


@pytest.mark.parametrize(
    ("old", "new", "lines"),
    [
        ("address: 0x41", "address: 0x42", ["Boards to set or exchange", "  board B address: from 0x41 to 0x42"]),
        (
            "{red: A.2}",
            "{red: {output: A.2, resistor: 330 ohm}}",
            ["Parts to exchange, or to wire otherwise", "  SG1 red resistor: 330 ohm, where nothing was said"],
        ),
        (
            "signals:",
            "leds: {red: {kind: led-red, resistor: 330 ohm}}\nsignals:",
            [
                "Parts to exchange, or to wire otherwise",
                "  SG1 red led: led-red, where nothing was said",
                "  SG1 red resistor: 330 ohm, where nothing was said",
                "  SG3 red led: led-red, where nothing was said",
                "  SG3 red resistor: 330 ohm, where nothing was said",
            ],
        ),
        (
            "SG1: {form: three-aspect",
            "SG1: {wiring: common-anode, form: three-aspect",
            [
                "Parts to exchange, or to wire otherwise",
                "  SG1 wiring: common-anode, where nothing was said",
                *("Tables to load", "  hut", "Prove again", "  SG1"),
            ],
        ),
        (
            "{to: SG3}",
            "{to: SG3, note: x}",
            ["Routes are said otherwise (`lampwright sequence` and `lampwright table` show what that means)", "  SG1"],
        ),
    ],
)
def test_what_is_to_be_done_by_hand_is_said(plan: Path, old: str, new: str, lines: list[str]) -> None:
    """Addresses are set on boards, and parts are exchanged, though no command changes."""
    done = compared(plan, PLAN.replace(old, new))
    assert (done.code, done.out.splitlines()) == (1, lines)


def test_a_resistor_of_another_value_is_to_be_exchanged(plan: Path) -> None:
    """Of one lamp, or of all that the plan says for a colour; a value said twice is the same."""
    said = PLAN.replace("{red: A.2}", "{red: {output: A.2, resistor: 330 ohm}}")
    done = compared(plan, said.replace("330", "470"), said)
    assert done.out.splitlines() == [
        "Parts to exchange, or to wire otherwise",
        "  SG1 red resistor: from 330 ohm to 470 ohm",
    ]
    leds = "leds: {red: {resistor: 330 ohm}}\nsignals:"
    alike = compared(
        plan, said.replace("signals:", leds).replace(", resistor: 330 ohm}}]", "}}]"), PLAN.replace("signals:", leds)
    )
    assert alike.code == 0
    assert alike.out.startswith("Nothing is to be done: commands with what they light, outputs, boards, parts")


def test_revisions_of_git_are_compared(plan: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As `git show` has them."""
    monkeypatch.chdir(plan.parent)
    for words in (("init", "-q"), ("add", "gill.yaml"), ("commit", "-q", "-m", "first")):
        name = ("-c", "user.name=A Modeller", "-c", "user.email=modeller@example.org")
        subprocess.run(["git", *name, *words], check=True)  # noqa: S607
    plan.write_text(PLAN.replace("A.5", "A.7"))
    done = call("changes", "HEAD:gill.yaml", "gill.yaml")
    assert (done.code, "SG3 red: from A.5 to A.7" in done.out) == (1, True)
    assert call("changes", "HEAD:none.yaml", "gill.yaml").code == 2
    assert call("changes", "--output=x:gill.yaml", "gill.yaml").code == 2


def layout(values: dict[str, Any]) -> Layout:
    """Return a plan, bound."""
    return Layout(load(values, "plan.yaml"), library())


FORMS = {"two-aspect-stop": ["green", "red"], "three-aspect": ["green", "yellow", "red"]}
WIRINGS = {"common-anode": "sink", "common-cathode": "source"}


@st.composite
def plans(draw: st.DrawFn) -> dict[str, Any]:
    """Draw a plan of up to three signals, each lamp with an output of its own."""
    free = iter(draw(st.permutations(range(10))))
    wiring = draw(st.sampled_from(sorted(WIRINGS)))
    found: dict[str, Any] = {}
    for name in draw(st.sets(st.sampled_from(["S1", "S2", "S3"]), min_size=1)):
        form = draw(st.sampled_from(sorted(FORMS)))
        found[name] = {"form": form, "wiring": wiring, "lamps": [{c: f"A.{next(free)}"} for c in FORMS[form]]}
        found[name] |= draw(st.sampled_from([{}, {"note": "x"}, {"stage": "built"}]))
    boards = {"A": {"kind": "pwm-16", "drive": WIRINGS[wiring]}}
    return {"plan": 1, "rulebook": "gb-colour-light", "year": 1975, "signals": found, "boards": boards}


def exported(plan_of: dict[str, Any], folder: Path) -> dict[str, Any]:
    """Return the exported tables of each signal, by the command line and without its fingerprints."""
    path = folder / "export.yaml"
    path.write_text(json.dumps(plan_of))
    told = json.loads(call("export", path, "--as", "json").out)["plans"][0]["signals"]
    return {one["signal"]: {key: value for key, value in one.items() if key != "fingerprint"} for one in told}


@settings(max_examples=12, deadline=None, phases=[Phase.generate])  # each export is a run of its own
@given(plans(), plans())
def test_exactly_the_signals_whose_tables_differ_are_to_be_proved(
    tmp_path_factory: pytest.TempPathFactory, old: dict[str, Any], new: dict[str, Any]
) -> None:
    """Compared with the exported tables, and the polarity of the heads as the plans say it."""
    folder = tmp_path_factory.mktemp("changes")
    before, after = exported(old, folder), exported(new, folder)

    def facts(tables: dict[str, Any], plan_of: dict[str, Any], name: str) -> Any:
        return tables[name], plan_of["signals"][name].get("wiring")

    found = changes(layout(old), layout(new))
    assume(not found.renamed)
    differ = {name for name in before.keys() & after.keys() if facts(before, old, name) != facts(after, new, name)}
    assert set(found.prove) == differ
    assert set(found.new) == after.keys() - before.keys()
    assert set(found.gone) == before.keys() - after.keys()


def test_a_signal_is_renamed_in_all_files_and_its_log_goes_on(tmp_path: Path) -> None:
    """Nothing else changes, and nothing is found that was not before."""
    head = "plan: 1\nrulebook: gb-colour-light\nyear: 1975\n"
    south = f"{head}signals:\n  S1: {{form: three-aspect, routes: [{{to: gill/SG3}}]}}\n"
    (tmp_path / "gill.yaml").write_text(PLAN)
    (tmp_path / "south.yaml").write_text(south)
    call("prove", tmp_path / "gill.yaml", "SG3", "--log", "faulty")
    assert call("rename", "SG3", "SG7", tmp_path).code == 0
    assert (tmp_path / "gill.yaml").read_text() == PLAN.replace("SG3", "SG7")
    assert (tmp_path / "south.yaml").read_text() == south.replace("SG3", "SG7")
    assert "signal: SG3, renamed: SG7}" in (tmp_path / "gill.log.yaml").read_text()


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("SG9", "SG7", "there is no signal SG9"),
        ("SG1", "SG3", "has a SG3 already"),
        ("SG1", "a b", "is no name of a signal"),
    ],
)
def test_a_name_that_cannot_be_is_refused(plan: Path, old: str, new: str, message: str) -> None:
    """2, and nothing is written."""
    done = call("rename", old, new, plan)
    assert (done.code, plan.read_text()) == (2, PLAN)
    assert message in done.err
