"""The bench card: every command, every lamp, dark ones too; as text, for programs, and as a page to print."""

from __future__ import annotations

import json
from html.parser import HTMLParser
from pathlib import Path

import pytest

from command_line import call
from lampwright.tables import tables
from lampwright.tables.fingerprint import fingerprint, plan_fingerprint
from lampwright_proving.card.model import card
from lampwright_proving.card.page import page
from support import result_of

PLAN = """\
plan: 1
name: "Hollin <Fork> & Halt"
rulebook: gb-colour-light
year: 1978
boards: {A: {kind: pwm-16}}
signals:
  HF1:
    form: four-aspect
    stage: built
    address: 12
    lamps: [{yellow: A.0}, {green: A.1}, {yellow: A.2}, {red: A.3}]
    carries: {position-1: {output: A.14, leds: 5 parallel}}
  "<b>3": {form: three-aspect, lamps: [{green: A.4}, {yellow: A.5}, {red: A.6}]}
  HF5: {form: three-aspect, stage: dummy}
  HF7:
    form: searchlight
    installed: 1958
    lamps: {lens: {red: A.7, green: A.8, yellow: {mix: {red: 60 %, green: 100 %}}}}
"""


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("plan.yaml").write_text(PLAN, encoding="utf-8")


def test_the_card_tells_every_lamp_of_every_command_as_the_tables_have_it() -> None:
    """Lit or dark by the tables, and every command once; the more telling ones first."""
    layout = result_of(PLAN).layouts[0]
    known = tables(layout).signals
    told = json.loads(call("prove", "plan.yaml", "--format", "json").out)
    assert told["format"] == "lampwright-bench-card/1"
    assert told["fingerprint"] == plan_fingerprint(layout)
    assert [signal["signal"] for signal in told["signals"]] == ["HF1", "<b>3", "HF7"]
    for signal in told["signals"]:
        table = known[signal["signal"]]
        assert signal["fingerprint"] == fingerprint(layout, signal["signal"])
        assert sorted(step["number"] for step in signal["steps"]) == [command.number for command in table.commands]
        for step in signal["steps"]:
            command = table.command(step["number"])
            assert command is not None
            lit = {shine.lamp for shine in command.lamps if shine.lit}
            assert {lamp["name"]: lamp["must"] != "dark" for lamp in step["lamps"]} == {
                shine.lamp: shine.lamp in lit for shine in command.lamps
            }


def test_a_signal_is_shown_from_the_top_with_place_colour_output_and_a_blank() -> None:
    """Of one command, flashing lamps are told from steady ones."""
    out = call("prove", "plan.yaml", "HF1").out
    block = out[out.index("  5  flashing-preliminary-caution\n") :].splitlines()[1:6]
    assert [line.split()[2:-2] for line in block] == [
        ["1", "upper-yellow", "yellow", "flashing", "A.0"],
        ["2", "green", "green", "dark", "A.1"],
        ["3", "lower-yellow", "yellow", "flashing", "A.2"],
        ["4", "red", "red", "dark", "A.3"],
        ["position-1", "white", "dark", "A.14"],
    ]
    assert all(line.startswith("     [ ]") and line.endswith("seen ________") for line in block)


def test_a_lens_that_can_change_shows_the_colour_it_must_have() -> None:
    """A mixed colour names both outputs."""
    (signal,) = card(result_of(PLAN).layouts[0], ["HF7"]).signals
    lamps = {step.name: step.lamps[0] for step in signal.steps}
    assert (lamps["caution"].colour, lamps["caution"].output) == ("yellow", "A.7 A.8")
    assert (lamps["danger"].colour, lamps["danger"].output) == ("red", "A.7")


def test_cautions_and_signals_without_a_card_are_on_it() -> None:
    """Extra-low voltage only; not for a real railway; a dummy has no card."""
    out = call("prove", "plan.yaml").out
    assert "Extra-low voltage only" in out
    assert "For model railways only" in out
    assert "HF5: no card, for it is a dummy" in out


class Tags(HTMLParser):
    """Gathers tags, attributes and text; tells whether every tag is closed in its turn."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.attributes: set[str] = set()
        self.tags: set[str] = set()
        self.text = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep a tag open."""
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attrs}
        if tag != "meta":
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        """Close the innermost."""
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        """Gather what is read."""
        self.text += data


def test_the_page_is_whole_fetches_nothing_and_lets_nothing_through() -> None:
    """A4; names from the file are text, whatever they hold."""
    text = page(card(result_of(PLAN).layouts[0]))
    seen = Tags(text)
    assert seen.open == []
    assert "Hollin <Fork> & Halt: bench card" in seen.text
    assert "<b>3" in seen.text
    assert not seen.tags & {"b", "fork", "script", "link", "img", "iframe"}
    assert not seen.attributes & {"src", "href", "onload", "style"}
    assert "://" not in text
    assert "url(" not in text
    assert "@import" not in text
    assert "size: A4" in text


def test_every_lamp_is_on_the_page() -> None:
    """One row for each lamp of each command, with its letter."""
    made = card(result_of(PLAN).layouts[0])
    rows = sum(len(step.lamps) for signal in made.signals for step in signal.steps)
    assert page(made).count('<tr class="must-') == rows


def test_what_no_route_asks_for_says_so() -> None:
    """It is proved all the same, for its lamps tell of faults; a signal without routes says nothing of that."""
    routes = PLAN.replace("[{green: A.4}, {yellow: A.5}, {red: A.6}]", "[{green: A.4}, {yellow: A.5}, {red: A.6}], ")
    routes = (
        routes.replace("{red: A.6}], }", "{red: A.6}], routes: [{to: bay}]}") + "ends: {bay: {kind: buffer-stop}}\n"
    )
    (told,) = [one for one in card(result_of(routes).layouts[0]).signals if one.signal == "<b>3"]
    assert {step.name: step.remark for step in told.steps} == {
        "danger": "",
        "caution": "",
        "clear": "no route asks for it",
        "flashing-caution": "no route asks for it",
    }
    assert {step.remark for one in card(result_of(PLAN).layouts[0]).signals for step in one.steps} == {""}
    Path("plan.yaml").write_text(routes, encoding="utf-8")
    assert "  2  clear  (no route asks for it)\n" in call("prove", "plan.yaml").out
    assert "clear (no route asks for it)</th>" in page(card(result_of(routes).layouts[0]))
