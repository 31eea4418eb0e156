"""`lampwright export`: what goes to controllers, as programs and people get it."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

import pytest

from command_line import call
from lampwright.tables import tables
from parts import layout_of

if TYPE_CHECKING:
    from pathlib import Path

PLAN = """
plan: 1
rulebook: gb-colour-light
year: 1978
controllers: {east: {kind: microcontroller-8bit, step: 20 ms}}
boards: {A: {kind: pwm-16, controller: east, address: 0x40, drive: sink}}
leds: {yellow: {kind: yellow-3mm, level: 60 %}}
signals:
  HF1: {form: three-aspect, address: 2, fades: filament, lamps: [{green: A.0}, {yellow: A.1}, {red: A.2}]}
  HF3: {form: four-aspect, lamps: [{yellow: A.3}, {green: A.4}, {yellow: A.5}, {red: A.6}], carries: {position-1: A.7}}
  HF5: {form: three-aspect}
  HF7: {}
"""


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    """Return a plan of three signals, one of them with an address, and one that is not known."""
    path = tmp_path / "plan.yaml"
    path.write_text(PLAN, encoding="utf-8")
    return path


def rows(text: str) -> list[dict[str, str]]:
    """Return the rows of CSV."""
    return list(csv.DictReader(io.StringIO(text)))


def test_packets_have_the_plan_s_addresses_and_free_ones_for_the_rest(plan: Path) -> None:
    """HF1 says 2: HF3 gets 1, HF5 the next that is free. Bytes by hand from the layout of S-9.2.1."""
    done = call("export", plan, "--as", "accessory-packets")
    found = rows(done.out)
    assert done.code == 0
    assert {row["signal"]: row["address"] for row in found[:-1]} == {"HF1": "2", "HF3": "1", "HF5": "3"}
    first = found[0]
    assert (first["aspect"], first["command"], first["packet"]) == ("0", "danger", "80 75 00 F5")
    assert found[-1]["packet"] == "BF 07 00 B8"
    assert "write `address` into the plan to keep them" in done.err
    assert "HF7 is left out: its form is not known" in done.err
    assert "extra-low voltage only" in done.err


def test_the_first_address_and_what_a_station_adds_can_be_said(plan: Path) -> None:
    """A station that has 1 for what the packet calls 4 adds 3 (memory)."""
    found = rows(call("export", plan, "--as", "accessory-packets", "--first-address", "40").out)
    assert {row["signal"]: row["address"] for row in found[:-1]} == {"HF1": "2", "HF3": "40", "HF5": "41"}
    shifted = rows(call("export", plan, "--as", "accessory-packets", "--address-offset", "2").out)
    plain = rows(call("export", plan, "--as", "accessory-packets", "--first-address", "3").out)
    assert [row["packet"] for row in shifted if row["signal"] == "HF3"] == [
        row["packet"] for row in plain if row["signal"] == "HF3"
    ]


def test_a_choice_of_signals_changes_no_address(plan: Path) -> None:
    """Else a file for one signal would not fit that for all."""
    found = rows(call("export", plan, "--as", "accessory-packets", "--signal", "HF5").out)
    assert {row["address"] for row in found[:-1]} == {"3"}
    assert call("export", plan, "--as", "accessory-packets", "--signal", "HF9").code == 2


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("HF5: {", "HF5: {address: 2, ", "HF1 and HF5 both have address 2: give one of them another"),
        ("HF5: {", "HF5: {address: 2047, ", "HF5 would have address 2047, and packets have 0 to 2046"),
    ],
)
def test_addresses_that_cannot_be_are_refused(plan: Path, old: str, new: str, said: str) -> None:
    """Two signals would answer to one packet; the last address is every signal's."""
    plan.write_text(PLAN.replace(old, new), encoding="utf-8")
    done = call("export", plan, "--as", "accessory-packets")
    assert (done.code, done.out) == (1, "")
    assert said in done.err


def test_a_command_beyond_the_last_aspect_has_no_packet_and_is_named(plan: Path) -> None:
    """Six positions beside eleven commands are more than 32."""
    every = "{" + ", ".join(f"position-{number}: A.{6 + number}" for number in range(1, 7)) + "}"
    plan.write_text(PLAN.replace("{position-1: A.7}", every), encoding="utf-8")
    done = call("export", plan, "--as", "accessory-packets", "--signal", "HF3")
    lacking = [row["command"] for row in rows(done.out) if not row["packet"]]
    numbers = {one.name: one.number for one in tables(layout_of(plan.read_text("utf-8"))).signals["HF3"].commands}
    assert lacking == [name for name, number in numbers.items() if number > 31]
    assert lacking
    assert f"HF3: a packet has aspects 0 to 31, so there is none for {lacking[0]}" in done.err
