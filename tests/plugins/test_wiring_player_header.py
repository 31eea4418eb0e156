"""The header of the player: whatever a plan is called, and every example plan lamp by lamp."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from command_line import call
from lampwright import documents
from lampwright.placed import lamp_of, places
from lampwright.plans.load import LAMP_WORDS
from lampwright.tables import Beat
from lampwright_wiring.player import c_header
from lampwright_wiring.player.curves import WHOLE, fade
from lampwright_wiring.player.names import LONGEST, Names, capitals, comment
from lampwright_wiring.player.numbers import Unplayable, count, turn
from lampwright_wiring.player.scaled import programs
from parts import layout_of
from player_host import LATE, WITH_CC, Watched, cc, compiled

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.layout import BoundSignal
    from lampwright.tables import Command
    from lampwright_wiring.player.numbers import Played, Program

EXAMPLES = sorted((Path(__file__).parents[2] / "rulesets").glob("*/examples/*.yaml"))
BOARD = "boards: {A: {kind: pwm-16, controller: east}}\ncontrollers: {east: {}}\n"
GB = f"plan: 1\nrulebook: gb-colour-light\nyear: 1990\n{BOARD}"


def wired(file: Path) -> str:
    """Return a plan with an output for everything that can be lit, whatever it says of outputs itself."""
    text = file.read_text(encoding="utf-8")
    values: dict[str, Any] = json.loads(json.dumps(documents.read(text.encode(), file.name).values, default=str))
    outputs = (f"B{number // 16}.{number % 16}" for number in range(10_000))
    for name, signal in layout_of(text).signals.items():
        if signal.reader is not None and signal.entry.stage != "dummy":
            values["signals"][name]["lamps"] = _lamps(signal, outputs)
            if signal.entry.carries:
                values["signals"][name]["carries"] = _indicators(signal, outputs)
    used = int(next(outputs).partition(".")[0][1:]) + 1
    boards = {f"B{number}": {"kind": "pwm-16", "controller": "hut"} for number in range(used)}
    return json.dumps({**values, "controllers": {"hut": {"step": "20 ms"}}, "boards": boards})


def _lamps(signal: BoundSignal, outputs: Iterator[str]) -> dict[str, Any]:
    """Return every lamp of a signal, and every colour of those that have several, on an output of its own."""
    form = signal.reader
    assert form is not None
    blanked = {signal.element(lamp) for lamp in signal.entry.blanked}
    found: dict[str, Any] = {}
    for name, colour in places(form):
        if name in blanked:
            continue
        if len(lamp_of(form, name).colours) > 1:
            found.setdefault(name, {})[colour] = next(outputs)
        else:
            found[name] = next(outputs)
    return found


def _indicators(signal: BoundSignal, outputs: Iterator[str]) -> dict[str, Any]:
    """Return every indicator of a signal, and every character of one that tells them, on an output of its own."""
    found: dict[str, Any] = {}
    for item in signal.entry.carries or ():
        contents = item.detail and not item.detail.keys() & LAMP_WORDS
        found[item.name] = {each: next(outputs) for each in item.detail} if contents else next(outputs)
    return found


def seen(watched: Watched, outputs: list[str], ms: int) -> tuple[set[str], set[str]]:
    """Return which of some outputs are lit for good, and which flash, while time passes."""
    steady, ever = set(outputs), set()
    for _ in range(ms // 20):
        watched.play(20)
        steady &= watched.lit()
        ever |= watched.lit() & set(outputs)
    return steady, ever - steady


def meant(command: Command) -> tuple[set[str], set[str]]:
    """Return which outputs a command lights for good, and which flash, by the plan's own tables."""
    lit = {output: shine for output, shine in command.outputs.items() if shine.lit}
    flashing = {output for output, shine in lit.items() if shine.flash is not None}
    return set(lit) - flashing, flashing


@WITH_CC
@pytest.mark.parametrize("file", EXAMPLES, ids=lambda file: str(file.stem))
def test_the_lamps_that_are_lit_are_those_of_the_plan(file: Path, tmp_path: Path) -> None:
    """Every command of every signal of every example plan; all lamps are given outputs, in place of the plan's own."""
    layout = layout_of(wired(file))
    (program,) = programs(layout)
    with Watched(program, compiled(c_header(layout), tmp_path), LATE - 3000) as watched:
        for turn_of, commands in _rounds(program):
            for signal, command in commands:
                assert watched.show(signal, command.number) == "0", command.name
            watched.play(400)
            shown = seen(watched, watched.outputs, turn_of)
            expected = [meant(command) for _, command in commands]
            assert shown == (set().union(*(one[0] for one in expected)), set().union(*(one[1] for one in expected)))


def _rounds(program: Program) -> Iterator[tuple[int, list[tuple[int, Command]]]]:
    """Yield a command for each signal until each signal was told all it can be; with it how long to look."""
    most = max(len(signal.rows) for signal in program.signals)
    for index in range(most):
        commands = [(number, _row(signal, index)) for number, signal in enumerate(program.signals)]
        rates = [shine.flash.per_minute for _, one in commands for shine in one.lamps if shine.flash]
        yield int(60_000 / min(rates)) + 400 if rates else 60, commands


def _row(signal: Played, index: int) -> Command:
    """Return one of a signal's commands, the first ones again where it has fewer than others."""
    return signal.rows[index % len(signal.rows)].command


@WITH_CC
def test_names_and_comments_that_would_break_a_header_do_not(tmp_path: Path) -> None:
    """Ends of comments, trigraphs, backslashes, letters of the world, and names that fall together in capitals."""
    names = ["a-b", "A_B", "a--b", "Süd", "上り"]
    signals = ", ".join(f'"{name}": {{form: three-aspect, lamps: {{red: A.{i}}}}}' for i, name in enumerate(names))
    text = c_header(layout_of(f"{GB}name: 'End */ of /* ??/'\nsignals: {{{signals}}}\n"))
    compiled(text, tmp_path)
    for number, name in enumerate(("A_B", "SUD", "A_B_NO_2", "A_B_NO_3", "U4E0AU308A")):
        assert f"#define LW_SIGNAL_{name} {number}u" in text, name
        assert f"#define LW_SHOW_{name}_CLEAR " in text, name


@given(st.lists(st.text("aB1 -_/\u00e9\u4e0a*", min_size=1, max_size=40), min_size=2, max_size=9, unique=True))
def test_any_names_become_names_in_c_each_once(words: list[str]) -> None:
    """Letters, figures and lines below of ASCII; no longer than C99 looks at."""
    names = Names()
    made = [names.new("show", word, word) for word in words]
    assert len(set(made)) == len(words)
    assert all(name.isascii() and name.isidentifier() and len(name) <= LONGEST for name in made)


def test_a_long_name_keeps_all_its_words_and_its_own_numbers() -> None:
    """Of position-1 to position-6 none is taken for another; the longest words give first, the signal's name last."""
    names = Names()
    told = "preliminary caution with junction three lamp position"
    made = [names.new("show", "Merrowdale South 12", f"{told}-{place}", own=place + 20) for place in range(1, 7)]
    assert made[3] == "LW_SHOW_MERROWDALE_SOUTH_12_PRE_CAUT_WITH_JUNC_THRE_LAMP_POSI_4"
    assert all(name.startswith("LW_SHOW_MERROWDALE_SOUTH_12_") for name in made)
    assert [name.rpartition("_")[2] for name in made] == ["1", "2", "3", "4", "5", "6"]
    assert names.new("show", "Merrowdale South 12", f"{told} 4", own=31).endswith("_NO_31")


@given(st.text(alphabet="*/\\?ab\n\u202e"))
def test_no_comment_ends_early(text: str) -> None:
    """Nor begins another within, nor hides its end in a trigraph."""
    shown = f"/* {comment(text)} */"
    assert shown.index("*/") == len(shown) - 2
    assert not any(one in shown[2:-2] for one in ("/*", "\\", "??", "\n", "\u202e"))


def test_capitals_are_those_of_the_name() -> None:
    """Signs between words become lines below."""
    assert [capitals(text) for text in ("HF 1", "north/TB9", "préavis", "--")] == ["HF_1", "NORTH_TB9", "PREAVIS", "X"]


@WITH_CC
def test_each_controller_has_its_part_and_one_must_be_chosen(tmp_path: Path) -> None:
    """A signal with lamps on both is in both; without a choice the compiler says what there is to choose."""
    layout = layout_of("""
plan: 1
rulebook: gb-colour-light
controllers: {east: {}, west: {}}
boards: {A: {kind: pwm-16, controller: east}, B: {kind: pwm-16, controller: west}}
signals: {HF1: {form: three-aspect, lamps: {red: A.0, green: B.3}}, HF3: {form: three-aspect, lamps: {red: B.0}}}
""")
    text = c_header(layout)
    assert [len(one.signals) for one in programs(layout)] == [1, 2]
    for name in ("EAST", "WEST"):
        compiled(text, tmp_path, f"-DLW_CONTROLLER_{name}")
    with pytest.raises(AssertionError, match="define one of LW_CONTROLLER_EAST, LW_CONTROLLER_WEST"):
        compiled(text, tmp_path)


@WITH_CC
def test_the_header_compiles_by_itself_and_with_its_tables(tmp_path: Path) -> None:
    """For programs that have a player of their own."""
    layout = layout_of(f"{GB}signals: {{HF1: {{form: three-aspect, lamps: {{red: A.0}}}}}}")
    (tmp_path / "tables.h").write_text(c_header(layout), encoding="utf-8")
    (tmp_path / "own.c").write_text(
        '#include "tables.h"\n#define LW_WITH_TABLES\n#include "tables.h"\n', encoding="utf-8"
    )
    cc(tmp_path, "-c", str(tmp_path / "own.c"), "-o", str(tmp_path / "own.o"))


@pytest.mark.parametrize(
    ("lamps", "message"),
    [
        ({"HF1": "[green, yellow, red]"}, "no lamp of the plan has an output"),
        ({"HF1": "{red: Z.0}"}, "does not say of which kind Z is"),
        ({"HF1": "{red: A.X}"}, "board A has no output X"),
        ({"HF1": "{red: A.0}", "HF3": "{red: A.0}"}, "A.0 is used by HF1 and by HF3"),
        (
            {f"S{number}": f"{{red: {{output: A.{number}, level: {number / 4} %}}}}" for number in range(1, 300)},
            "east has 300 levels, and a player holds 255",
        ),
    ],
)
def test_what_cannot_be_played_is_said(lamps: dict[str, str], message: str) -> None:
    """Each with what would have to be otherwise."""
    signals = ", ".join(f"{name}: {{form: three-aspect, lamps: {said}}}" for name, said in lamps.items())
    with pytest.raises(Unplayable, match=message):
        programs(layout_of(f"{GB}signals: {{{signals}}}"))


def test_levels_are_those_of_equal_lightness() -> None:
    """Electrics reference, table of CIE L* (checked there with colour-science): 12 and 8 bits."""
    table = {
        0: (0, 0),
        5: (23, 1),
        10: (46, 3),
        25: (181, 11),
        50: (754, 47),
        75: (1977, 123),
        99: (3990, 248),
        100: (4095, 255),
    }
    assert {level: (count(Fraction(level, 100), 4095), count(Fraction(level, 100), 255)) for level in table} == table
    assert (count(Fraction(1, 100), 255), count(Fraction(1, 100), 1)) == (1, 1)


def test_a_filament_rises_late_and_falls_with_a_tail() -> None:
    """Measured: signals with bulbs 90 to 200 ms (Bierman et al. 2000); nothing to see for about 50 ms (brake lamps)."""
    slow = fade("filament", 1)
    up = [next(ms for ms, share in enumerate(slow.rise, 1) if share >= WHOLE * part) for part in (0.1, 0.5, 0.9)]
    down = [next(ms for ms, share in enumerate(slow.fall, 1) if share >= WHOLE * part) for part in (0.5, 0.9, 0.99)]
    assert (up, down) == ([63, 108, 180], [16, 62, 152])
    assert all(list(course) == sorted(course) for course in (slow.rise, slow.fall))


@pytest.mark.parametrize("step", [1, 7, 20, 50, 1000])
def test_every_fade_arrives(step: int) -> None:
    """However coarse the steps; a LED within 20 ms, what says nothing at once."""
    for kind, most in (("filament", 360), ("led", 20), ("", 1)):
        one = fade(kind, step)
        assert one.rise[-1] == one.fall[-1] == WHOLE
        assert max(len(one.rise), len(one.fall)) <= -(-most // step)


def test_a_beat_is_exact_in_whole_numbers() -> None:
    """75 a minute are 800 ms: 60,000 of adding 75; from 180 degrees on, lit for a third."""
    beat = Beat(Fraction(75), Fraction(1, 3), 180)
    made = turn(beat)
    assert (made.turn, made.adds, made.starts, made.lasts) == (60_000, 75, 30_000, 20_000)
    assert (turn(Beat(Fraction("57.5"), Fraction(1, 2))).turn, turn(Beat(Fraction("57.5"), Fraction(1, 2))).adds) == (
        120_000,
        115,
    )
    with pytest.raises(Unplayable, match="no player keeps 100000 flashes a minute"):
        turn(Beat(Fraction(100_000), Fraction(1, 2)))


@WITH_CC
def test_the_command_gives_header_and_player_that_compile_together(tmp_path: Path) -> None:
    """What is in a folder already stays, unless it is the same; what has no output is told beside the header."""
    plan = tmp_path / "plan.yaml"
    plan.write_text(f"{GB}signals: {{HF1: {{form: three-aspect, lamps: [{{green: A.0}}, yellow, {{red: A.2}}]}}}}\n")
    done = call("export", plan, "--as", "c-header", "--player", tmp_path)
    assert (done.code, "HF1: no output for yellow" in done.err, "extra-low voltage only" in done.err) == (0, True, True)
    (tmp_path / "tables.h").write_text(done.out, encoding="utf-8")
    cc(tmp_path, "-c", str(tmp_path / "player.c"), "-o", str(tmp_path / "player.o"))
    assert "lw_begin(&player" in (tmp_path / "player.md").read_text(encoding="utf-8")
    assert call("export", plan, "--as", "c-header", "--player", tmp_path).code == 0
    (tmp_path / "player.c").write_text("/* mine */\n", encoding="utf-8")
    assert call("export", plan, "--as", "c-header", "--player", tmp_path / "new" / "player").code == 0
    assert (tmp_path / "new" / "player" / "player.h").is_file()
    no_folder = call("export", plan, "--as", "c-header", "--player", tmp_path / "player.c" / "new")
    assert (no_folder.code, "cannot be written" in no_folder.err) == (2, True)
    refused = call("export", plan, "--as", "c-header", "--player", tmp_path)
    assert (refused.code, refused.out, "player.c is there already" in refused.err) == (2, "", True)
    assert (tmp_path / "player.c").read_text(encoding="utf-8") == "/* mine */\n"


@pytest.mark.parametrize(
    ("options", "message", "code"),
    [
        (["--as", "accessory-packets", "--player", "."], "--player goes with --as c-header", 2),
        (["--as", "c-header", "--signal", "HF1"], "a header holds all signals of its plan", 1),
        (["--as", "c-header"], "no lamp of the plan has an output", 1),
    ],
)
def test_the_command_says_what_a_header_cannot_be(options: list[str], message: str, code: int, tmp_path: Path) -> None:
    """A wrong call, and plans that no player can play."""
    plan = tmp_path / "plan.yaml"
    plan.write_text(f"{GB}signals: {{HF1: {{form: three-aspect}}}}\n", encoding="utf-8")
    done = call("export", plan, *options)
    assert (done.code, done.out, message in done.err) == (code, "", True)
