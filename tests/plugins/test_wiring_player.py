"""The player in C: every output at every tick as the model in Python has it, and what a modeller sees of it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from lampwright.tables.fingerprint import fingerprint, plan_fingerprint
from lampwright_wiring.player.scaled import programs
from parts import layout_of
from player_host import (
    PLAYER,
    WITH_CC,
    Script,
    Watched,
    cc,
    compiled,
    header_of,
    played,
    random_program,
    random_script,
    seeded,
)
from player_model import transcript

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from lampwright_wiring.player.numbers import Program

PLAN = """
plan: 1
rulebook: gb-colour-light
year: 1990
controllers: {east: {step: 10 ms}}
boards:
  A: {kind: pwm-16, controller: east, address: 0x40, drive: sink}
  P: {kind: pins-8bit, controller: east, drive: source}
leds: {green: {level: 60 %}, yellow: {level: 85 %}}
signals:
  HF1: {form: four-aspect, fades: filament, lamps: [{yellow: A.0}, {green: A.1}, {yellow: A.2}, {red: A.3}]}
  HF3: {form: four-aspect, lamps: [{yellow: A.4}, {green: A.5}, {yellow: P.2}, {red: P.3}]}
  HF5:
    form: three-aspect
    fades: led
    lamps: [{green: A.6}, {yellow: A.7}, {red: {output: A.8, fades: filament}}]
    carries: {position-1: {output: A.9, leds: 5 parallel}}
"""
HF1, HF3, HF5 = range(3)
OVER = (1 << 32) - 500
"""A time half a second before the clock runs over: every test that begins here sees it."""


def program(said: str = PLAN) -> Program:
    """Return what the one controller of a plan plays."""
    (only,) = programs(layout_of(said))
    return only


def both(plays: Program, folder: Path, script: Script) -> list[str]:
    """Return what the player in C answers, which is what the model answers."""
    answers = played(compiled(header_of(plays), folder), script)
    for number, (line, answer, wanted) in enumerate(zip(script, answers, transcript(plays, script), strict=True)):
        assert answer == wanted, (number, line)
    return answers


@WITH_CC
@pytest.mark.parametrize("seed", range(6))
def test_any_tables_are_played_as_the_model_plays_them(seed: int, tmp_path: Path) -> None:
    """Tables no plan would have; commands, slips, tests, silence, retargeted fades, a clock that runs over."""
    random = seeded(seed)
    plays = random_program(random)
    both(plays, tmp_path, [line for _ in range(20) for line in random_script(plays, random)])


@WITH_CC
def test_a_plan_is_played_as_the_model_plays_it(tmp_path: Path) -> None:
    """Filaments, LEDs, pins that cannot dim, flashing yellows; among the answers is every result there is."""
    plays, random = program(), seeded(4)
    answers = both(plays, tmp_path, [line for _ in range(40) for line in random_script(plays, random)])
    assert {answer[2:] for answer in answers if answer.startswith("s")} == {"0", "1", "2"}
    assert {answer[2:] for answer in answers if answer.startswith("t")} == {"0", "1", "3"}


@pytest.fixture(scope="module")
def target(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the plan above, compiled."""
    return compiled(header_of(program()), tmp_path_factory.mktemp("player"))


@pytest.fixture
def layout(target: Path) -> Iterator[Watched]:
    """Yield the plan above, played from half a second before the clock runs over."""
    with Watched(program(), target, OVER) as watched:
        yield watched


def told(signal: int, name: str) -> int:
    """Return the number of a command by its name."""
    return next(row.command.number for row in program().signals[signal].rows if row.command.name == name)


@WITH_CC
def test_it_begins_with_what_each_signal_falls_to_and_sets_every_output(layout: Watched) -> None:
    """The power-up state of a board is not trusted: what is dark is set dark."""
    assert len(layout.set) == len(layout.outputs)
    layout.play(400)
    assert layout.lit() == {"A.3", "P.3", "A.8"}


@WITH_CC
def test_an_aspect_is_shown_at_the_levels_the_plan_sets(layout: Watched) -> None:
    """60 % is CIE L* 60, or 1152 of 4095 (electrics reference, table of L*); a pin is on or off."""
    layout.show(HF1, told(HF1, "clear"))
    layout.show(HF3, told(HF3, "preliminary-caution"))
    layout.play(500)
    assert layout.levels == {
        **dict.fromkeys(layout.outputs, 0),
        "A.1": 1152,
        "A.4": layout.levels["A.4"],
        "P.2": 1,
        "A.8": 4095,
    }
    assert 2321 < layout.levels["A.4"] < 3125


@WITH_CC
def test_a_filament_goes_slowly_and_a_led_at_once(layout: Watched) -> None:
    """Old and new overlap for 50 to 150 ms with filaments; without fades they change in one step."""
    layout.play(400)
    layout.show(HF1, told(HF1, "clear"))
    layout.show(HF3, told(HF3, "clear"))
    overlap = 0
    for _ in range(40):
        layout.play(10)
        assert not {"A.5", "P.3"} <= layout.lit()
        overlap += 10 * (min(layout.levels["A.1"] / 1152, layout.levels["A.3"] / 4095) > 0.01)
    assert 50 <= overlap <= 150
    assert layout.lit() == {"A.1", "A.5", "A.8"}


@WITH_CC
def test_all_that_flashes_keeps_step_whenever_it_was_told_to(layout: Watched) -> None:
    """The second signal is told in the middle of a flash of the first, and joins in."""
    layout.show(HF3, told(HF3, "flashing-preliminary-caution"))
    layout.play(330)
    layout.show(HF1, told(HF1, "flashing-caution"))
    layout.play(400)
    falls: dict[str, list[int]] = {"A.2": [], "P.2": []}
    for tick in range(400):
        before, rising = dict(layout.levels), {output for output in falls if layout.levels[output] > 0}
        layout.play(10)
        for output in rising:
            if layout.levels[output] < before[output] and (output == "P.2" or before[output] > 2000):
                falls[output].append(tick)
    assert len(falls["P.2"]) >= 3
    assert [tick for tick in falls["P.2"] if tick not in falls["A.2"]] == []


@WITH_CC
def test_every_output_is_set_again_in_turn(layout: Watched) -> None:
    """Nothing changes, and within as many steps as there are outputs each was set once."""
    layout.play(1000)
    layout.set.clear()
    for _ in layout.outputs:
        layout.play(10)
    assert sorted(layout.set) == sorted(layout.outputs)


@WITH_CC
def test_it_falls_back_when_commands_stop_and_not_before(target: Path) -> None:
    """Commands that are rejected do not count; any that is accepted counts for all signals."""
    with Watched(program(), target, OVER, silence=2000) as watched:
        watched.show(HF3, told(HF3, "clear"))
        watched.play(1900)
        watched.show(HF1, told(HF1, "danger"))
        watched.play(1900)
        assert "A.5" in watched.lit()
        assert watched.show(HF3, 999) == "2"
        watched.play(110)
        assert watched.lit() == {"A.3", "P.3", "A.8"}
        watched.show(HF3, told(HF3, "clear"))
        watched.play(10)
        assert "A.5" in watched.lit()


@WITH_CC
def test_what_it_does_not_know_it_rejects_and_goes_on(layout: Watched) -> None:
    """Results: 1, there is no such signal; 2, it cannot be told this."""
    layout.play(400)
    assert (layout.show(7, 0), layout.show(HF1, 999), layout.test(7)) == ("1", "2", "1")
    layout.play(400)
    assert layout.lit() == {"A.3", "P.3", "A.8"}


@WITH_CC
def test_lamps_are_tested_one_signal_at_a_time_output_by_output(layout: Watched) -> None:
    """What the signal is told meanwhile is shown afterwards; the others go on."""
    layout.play(400)
    assert (layout.test(HF3), layout.test(HF1)) == ("0", "3")
    layout.show(HF3, told(HF3, "clear"))
    seen = []
    for _ in range(5):
        layout.play(500)
        seen.append(layout.lit() - {"A.3", "A.8"})
        layout.play(500)
    assert seen == [{"A.4"}, {"A.5"}, {"P.2"}, {"P.3"}, {"A.5"}]
    assert layout.test(HF1) == "0"


@WITH_CC
def test_it_answers_with_the_fingerprints_of_the_plan(target: Path) -> None:
    """And with nought for a signal there is not."""
    bound = layout_of(PLAN)
    answers = played(target, [("b", 0, 0), *(("f", number, 0) for number in (HF1, HF5, 3))])
    plan = plan_fingerprint(bound)
    assert answers[1:] == [f"f {plan} {own}" for own in (fingerprint(bound, "HF1"), fingerprint(bound, "HF5"), "0" * 8)]


@WITH_CC
def test_the_example_of_its_manual_compiles(tmp_path: Path) -> None:
    """As it stands, against the tables of the plan above."""
    (tmp_path / "tables.h").write_text(header_of(program()), encoding="utf-8")
    example = (PLAYER / "player.md").read_text(encoding="utf-8").split("```c\n")[1].split("```")[0]
    (tmp_path / "example.c").write_text(example, encoding="utf-8")
    cc(tmp_path, "-c", str(tmp_path / "example.c"), "-o", str(tmp_path / "example.o"))


def test_the_player_neither_allocates_nor_floats() -> None:
    """Nor does it know any library: all it includes is whole numbers and its tables."""
    text = "".join((PLAYER / name).read_text(encoding="utf-8") for name in ("player.h", "player.c"))
    code = re.sub(r"/\*.*?\*/", "", text, flags=re.DOTALL)
    assert set(re.findall(r"#include (.*?)\s", code)) == {"<stdint.h>", "LW_TABLES", '"player.h"'}
    assert not re.findall(r"\b(?:malloc|calloc|realloc|alloca|free|float|double|[0-9]+\.[0-9]+)\b", code)
