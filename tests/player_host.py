"""Compiles headers with the player on this host, and lets them play."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

import pytest

import lampwright_wiring.player as package
from lampwright.tables import Command, SignalTable
from lampwright_wiring.model import Board, Output
from lampwright_wiring.player.curves import WHOLE, Fade
from lampwright_wiring.player.header import header
from lampwright_wiring.player.numbers import Place, Played, Program, Row, Turn, Way

if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import Self

CC = shutil.which("cc")
WITH_CC = pytest.mark.skipif(CC is None, reason="no C compiler (cc) on this host: the player in C is not tried")
STRICT = ("-std=c99", "-pedantic", "-Wall", "-Wextra", "-Wconversion", "-Werror")
PLAYER = Path(package.__file__).parent
HARNESS = Path(__file__).with_name("player_harness.c")
LATE = (1 << 32) - 1
Script = list[tuple[str, int, int]]


def compiled(text: str, folder: Path, *options: str) -> Path:
    """Return a program that plays a header, compiled without a warning."""
    (folder / "tables.h").write_text(text, encoding="utf-8")
    target = folder / "plays"
    cc(folder, *options, str(HARNESS), str(PLAYER / "player.c"), "-o", str(target))
    return target


def cc(folder: Path, *arguments: str) -> None:
    """Call the compiler, strictly; a folder and the player's are looked in for headers."""
    command = ["cc", *STRICT, f"-I{folder}", f"-I{PLAYER}", *arguments]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def played(target: Path, script: Script) -> list[str]:
    """Return what a program answers to a script, line by line."""
    text = "".join(f"{what} {first} {second}\n" for what, first, second in script)
    done = subprocess.run([str(target)], input=text, capture_output=True, text=True, check=True)
    return done.stdout.splitlines()


class Watched:
    """A program as it is played from the beginning, watched output by output (``A.3``).

    ``levels`` is what each output was last set to, ``set`` the outputs that were set, in order.
    """

    def __init__(self, program: Program, target: Path, start: int, silence: int = 0) -> None:
        """Begin at a time of the clock."""
        self._process = subprocess.Popen([str(target)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        self._time, self._step = start, program.step
        places = [place for signal in program.signals for place in signal.places]
        self._names = {f"{place.board}.{place.channel}": str(place.output) for place in places}
        self.outputs = [str(place.output) for place in places]
        self.levels: dict[str, int] = {}
        self.set: list[str] = []
        self._ask("b", start, silence)

    def __enter__(self) -> Self:
        """Watch it in a block."""
        return self

    def __exit__(self, *_: object) -> None:
        """End the program."""
        self._process.communicate()

    def play(self, ms: int) -> None:
        """Let time pass in steps of the controller, and note what is set."""
        for _ in range(ms // self._step):
            self._time = (self._time + self._step) & LATE
            self._ask("p", self._time, 0)

    def lit(self) -> set[str]:
        """Return the outputs that are not dark."""
        return {output for output, level in self.levels.items() if level}

    def show(self, signal: int, number: int) -> str:
        """Tell a signal something, and return the answer."""
        return self._ask("s", signal, number)

    def test(self, signal: int) -> str:
        """Test the lamps of a signal, and return the answer."""
        return self._ask("t", signal, 0)

    def _ask(self, what: str, first: int, second: int) -> str:
        """Give a line to the program, note what it sets, and return what it answers."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.write(f"{what} {first} {second}\n")
        self._process.stdin.flush()
        answer = self._process.stdout.readline()[1:].strip()
        for name, equals, level in (each.partition("=") for each in answer.split()):
            if equals:
                self.set.append(self._names[name])
                self.levels[self._names[name]] = int(level)
        return answer


def seeded(seed: int) -> Random:
    """Return chance that is the same in every run."""
    return Random(seed)  # noqa: S311  (no secret hangs on it)


def random_script(program: Program, random: Random, length: int = 400) -> Script:
    """Return a stream of commands, of which some are wrong, in uneven times; the clock may run over in it."""
    time = random.choice([0, random.randrange(LATE), LATE - random.randrange(20_000)])
    script: Script = [("b", time, random.choice([0, 0, 700, 5000]))]
    for _ in range(length):
        signal = random.randrange(len(program.signals) + (random.random() < 0.05))
        pace = random.choice([1, program.step // 2 + 1, program.step, 3 * program.step, 997])
        match random.choices("pstf", [12, 4, 0.3, 0.1])[0]:
            case "p":
                wait = random.randrange(1 << 31) if random.random() < 0.003 else random.randrange(pace + 1)
                time = (time + wait) & LATE
                script.append(("p", time, 0))
            case "s":
                script.append(("s", signal, _number(program, signal, random)))
            case what:
                script.append((what, signal, 0))
    return script


def _number(program: Program, signal: int, random: Random) -> int:
    """Return a number a signal is told, now and then one it does not know."""
    if signal >= len(program.signals) or random.random() < 0.05:
        return random.randrange(1 << 16)
    return random.choice(program.signals[signal].rows).command.number


def random_program(random: Random) -> Program:
    """Return tables that no plan would have: any levels, beats, curves and steps."""
    step = random.choice([1, 7, 20, 50, 333])
    beats = (Turn(), *(_turn(random) for _ in range(random.randrange(4))))
    fades = tuple(Fade(_curve(random), _curve(random)) for _ in range(random.randrange(1, 4)))
    ways = (Way(), *(_way(random, len(beats)) for _ in range(random.randrange(1, 9))))
    boards = tuple(Board(name, ("boards", name)) for name in "AB")
    signals = tuple(_signal(random, number, ways, len(fades)) for number in range(random.randrange(1, 5)))
    return Program("", f"{random.getrandbits(32):08x}", step, boards, signals, ways, beats, fades)


def _turn(random: Random) -> Turn:
    """Return a beat of up to ten flashes a second; half of them change just when a step is made."""
    turn = 60_000 * random.randrange(1, 6)
    if random.random() < 0.5:
        return Turn(60_000, random.choice([60, 100, 120]), 6000 * random.randrange(10), 6000 * random.randrange(1, 11))
    return Turn(turn, random.randrange(1, 600), random.randrange(turn), random.randrange(1, turn + 1))


def _curve(random: Random) -> tuple[int, ...]:
    """Return a curve, rising or not, that ends where it should."""
    return (*(random.randrange(WHOLE + 1) for _ in range(random.randrange(12))), WHOLE)


def _way(random: Random, beats: int) -> Way:
    """Return what an output does."""
    return Way(random.randrange(1 << 16), random.choice([0, random.randrange(1 << 16)]), random.randrange(beats))


def _signal(random: Random, number: int, ways: Sequence[Way], fades: int) -> Played:
    """Return a signal of some outputs and commands."""
    outputs = range(random.randrange(1, 6))
    numbers = random.sample(range(1 << 16), random.randrange(1, 6))
    commands = tuple(Command(each, f"aspect {each}", ()) for each in numbers)
    rows = tuple(Row(command, tuple(random.randrange(len(ways)) for _ in outputs)) for command in commands)
    failsafe = random.randrange(len(rows))
    places = tuple(
        Place(
            Output("AB"[number % 2], f"{number}{output}"),
            number % 2,
            None,
            10 * number + output,
            lit_low=False,
            top=(1 << 16) - 1,
            most=max(ways[row.ways[output]].high for row in rows),
            fade=random.randrange(fades),
            lamps=(f"lamp {output}",),
        )
        for output in outputs
    )
    table = SignalTable(f"S{number}", None, commands, commands[failsafe])
    return Played(table, f"{random.getrandbits(32):08x}", places, rows, failsafe)


def header_of(program: Program) -> str:
    """Return the header of one program."""
    return header([program], ["Made for a test."], {})
