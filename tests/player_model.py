"""The player by other means: nothing is counted on, every level follows from when something was told.

It keeps time in integers without end, where the program in C has 32 bits, and asks where a beat is now instead of
moving it on.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lampwright_wiring.player.numbers import Place, Played, Program

TEST_MS = 1000
OK, NO_SIGNAL, NO_ASPECT, BUSY = range(4)
WRAP = 1 << 32


@dataclass
class Course:
    """Where a lamp comes from, where it goes, and the step at which it set out."""

    start: int = 0
    goal: int = 0
    since: int = 0


@dataclass
class Model:
    """One controller from its first call on; ``transcript`` answers a script line by line as the harness does."""

    program: Program
    silence: int = 0
    raw: int = 0
    elapsed: int = 0
    heard: int = 0
    steps: int = 0
    writes: int = 0
    tested: int | None = None
    test_from: int = 0
    shows: list[int] = field(default_factory=list)
    courses: list[list[Course]] = field(default_factory=list)

    def line(self, what: str, first: int, second: int) -> str:
        """Return what the harness prints for a line of a script."""
        match what:
            case "b":
                return what + self.begin(first, second)
            case "p":
                return what + self.play(first)
            case "s":
                return f"{what} {self.show(first, second)}"
            case "t":
                return f"{what} {self.test(first)}"
        own = self.program.signals[first].fingerprint if first < len(self.program.signals) else "0" * 8
        return f"{what} {self.program.fingerprint} {own}"

    def begin(self, raw: int, silence: int) -> str:
        """Begin anew."""
        self.raw, self.silence = raw, silence
        self.elapsed = self.heard = self.steps = self.writes = 0
        self.tested = None
        self.courses = [[Course() for _ in signal.places] for signal in self.program.signals]
        self.fall_back()
        return self.written(before=None)

    def fall_back(self) -> None:
        """Let every signal show what it falls to."""
        self.shows = [signal.failsafe for signal in self.program.signals]

    def play(self, raw: int) -> str:
        """Play on to a time of the 32-bit clock."""
        self.elapsed += (raw - self.raw) % WRAP
        self.raw = raw
        if self.silence and self.elapsed - self.heard >= self.silence:
            self.fall_back()
        steps = self.elapsed // self.program.step
        if steps == self.steps:
            return ""
        before = self.levels()
        self.steps = steps
        return self.written(before)

    def show(self, signal: int, number: int) -> int:
        """Tell a signal to show something."""
        if signal >= len(self.program.signals):
            return NO_SIGNAL
        numbers = [row.command.number for row in self.program.signals[signal].rows]
        if number not in numbers:
            return NO_ASPECT
        self.shows[signal] = numbers.index(number)
        self.heard = self.elapsed
        return OK

    def test(self, signal: int) -> int:
        """Test the lamps of a signal."""
        if signal >= len(self.program.signals):
            return NO_SIGNAL
        if self.testing() is not None:
            return BUSY
        self.tested, self.test_from = signal, self.steps
        return OK

    def testing(self) -> tuple[int, int] | None:
        """Return the signal and which of its outputs is tested now."""
        if self.tested is None:
            return None
        which = (self.steps - self.test_from) * self.program.step // TEST_MS
        return (self.tested, which) if which < len(self.program.signals[self.tested].places) else None

    def wanted(self, index: int, which: int) -> int:
        """Return what an output of a signal is to have now, fades apart."""
        signal = self.program.signals[index]
        testing = self.testing()
        if testing is not None and testing[0] == index:
            return signal.places[which].most if testing[1] == which else 0
        way = self.program.ways[signal.rows[self.shows[index]].ways[which]]
        return way.high if self.lit(way.beat) else way.low

    def lit(self, beat: int) -> bool:
        """Tell whether a beat is lit now."""
        turn = self.program.beats[beat]
        return (self.steps * self.program.step * turn.adds - turn.starts) % turn.turn < turn.lasts

    def level(self, place: Place, course: Course) -> int:
        """Return where a lamp is on its way."""
        fade = self.program.fades[place.fade]
        up = course.goal > course.start
        shares = fade.rise if up else fade.fall
        share = shares[min(self.steps - course.since, len(shares) - 1)]
        moved = abs(course.goal - course.start) * share // 32768
        return course.start + moved if up else course.start - moved

    def levels(self) -> list[int]:
        """Return the levels of all outputs."""
        return [
            self.level(place, course)
            for signal, courses in zip(self.program.signals, self.courses, strict=True)
            for place, course in zip(signal.places, courses, strict=True)
        ]

    def written(self, before: list[int] | None) -> str:
        """Set lamps on their way as is wanted now, and tell what is written: what changed, and one more in turn."""
        old = iter(before if before is not None else [0] * len(self.every()))
        for index, which, _ in self.every():
            level, goal, course = next(old), self.wanted(index, which), self.courses[index][which]
            if goal != course.goal:
                course.start, course.goal, course.since = level, goal, self.steps
        turn = self.writes % len(self.every())
        self.writes += 1
        levels = self.levels()
        told: Iterable[tuple[int, Place]] = ((at, place) for at, (_, _, place) in enumerate(self.every()))
        return "".join(
            f" {place.board}.{place.channel}={levels[at]}"
            for at, place in told
            if before is None or at == turn or levels[at] != before[at]
        )

    def every(self) -> list[tuple[int, int, Place]]:
        """Return every output with its signal and its place there."""
        signals: list[Played] = list(self.program.signals)
        return [(i, which, place) for i, one in enumerate(signals) for which, place in enumerate(one.places)]


def transcript(program: Program, script: list[tuple[str, int, int]]) -> list[str]:
    """Return what a program answers to a script."""
    model = Model(program)
    return [model.line(*line) for line in script]
