"""Asking what lights, command by command, until looking tells nothing more."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click
from msgspec import Struct, field

from lampwright.commands.output import say
from lampwright.words import counted, nearest
from lampwright_proving.diagnosis.result import Diagnosis, Observation
from lampwright_proving.diagnosis.sights import DARK, DIM, FLASH, LIT, words
from lampwright_proving.standing import standing
from lampwright_proving.verdict import Verdict, called

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lampwright.layout import Layout
    from lampwright_proving.diagnosis.bench import Command
    from lampwright_proving.standing import Standing

HELP = (
    "Answer with the numbers or the names of the lamps that are lit: 1 4, or red; 2f flashes, 3d is dim; - if all are "
    "dark; nothing (just Enter) if it is as it must be. u takes the last answer back, q ends the questions."
)
LETTERS = {"": LIT, "f": FLASH, "d": DIM}


class NotUnderstood(ValueError):  # noqa: N818  (what it is, not what went wrong)
    """An answer that tells nothing; the message says why."""


def ask_all(layout: Layout, signals: Sequence[str], keep: str | None) -> list[Verdict]:
    """Ask about signals, each by itself; what was seen goes to a new file once all is told.

    Where the input ends, what was answered counts. Raises ``click.Abort`` if that is nothing.
    """
    verdicts: list[Verdict] = []
    for name in signals or layout.signals:
        stands = standing(layout, [name])
        if not stands.tables:
            say(f"{name}: not asked about, for {stands.left_out[0].because}")
            continue
        questions = Questions(stands)
        verdict = questions.ask()
        if not questions.ended or questions.answers:
            verdicts.append(verdict)
        if questions.ended:
            if not verdicts:
                raise click.Abort
            say("\nlampwright: there are no more answers; what was answered counts")
            break
    if keep:
        from lampwright.edits import CannotWrite, put
        from lampwright_proving.looking.writing import written

        try:
            put(Path(keep), written(layout, verdicts))
        except CannotWrite as error:
            raise click.ClickException(str(error)) from error
    return verdicts


class Questions(Struct, dict=True):
    """The questions about the signals on one bench, with the answers so far."""

    standing: Standing
    answers: list[Observation] = field(default_factory=list)
    ended: bool = False

    @property
    def diagnosis(self) -> Diagnosis:
        """What the answers mean; one fault more than the least is reckoned with."""
        return Diagnosis(self.standing.bench, tuple(self.answers), wary=True)

    def ask(self) -> Verdict:
        """Ask until nothing more can be told, or nobody wants to answer."""
        say(HELP)
        told = ""
        while (command := self.diagnosis.next) is not None:
            if not self._answered(command):
                break
            so_far = self._so_far()
            if so_far != told:
                say(so_far)
                told = so_far
        else:
            given, whole = counted(len(self.answers), "command"), len(self.standing.bench.commands)
            say(f"Looking tells nothing more: {given} of {whole}.")
        return Verdict(self.standing, Diagnosis(self.standing.bench, tuple(self.answers)))

    def _so_far(self) -> str:
        """Return what is suspected, once that is one thing."""
        from lampwright_proving.diagnosis.saying import clauses

        diagnosis = self.diagnosis
        if diagnosis.all_right or len(diagnosis.best) != 1:
            return ""
        return f"So far: {'; '.join(clauses(diagnosis.bench, diagnosis.best[0]))}."

    def _answered(self, command: Command) -> bool:
        """Ask about one command until the answer is understood; return whether there is to be another question."""
        say(f"\n{called(command)}: " + "  ".join(self._lamp(light, command) for light in self._lights))
        while True:
            answer = self._read()
            if answer == "q":
                return False
            if answer == "u":
                if self.answers:
                    self.answers.pop()
                return True
            try:
                masks = self.understood(answer, command)
            except NotUnderstood as error:
                say(f"{error} {HELP}")
                continue
            self.answers.append(Observation(command, masks))
            return True

    def _read(self) -> str:
        """Return the next answer; ``q`` where the input ends. ^C is not caught."""
        try:
            return str(click.prompt("lit", default="", show_default=False, err=True)).strip().lower()
        except click.Abort as abort:
            if not isinstance(abort.__context__, EOFError):
                raise
            self.ended = True
            return "q"

    @property
    def _names(self) -> dict[str, int]:
        """The lamps by number and by name; of a name in several words, these are joined."""
        lights = self.standing.bench.lights
        names = {light.name.lower().replace(" ", "-"): number for number, light in enumerate(lights)}
        return {**names, **{str(number + 1): number for number in self._lights}}

    @property
    def _lights(self) -> range:
        return range(len(self.standing.bench.lights))

    def _lamp(self, light: int, command: Command) -> str:
        """Return one lamp with its number and what must be seen of it."""
        own = self.standing.bench.lights[light]
        return f"{light + 1} {own.name} must be {words(_must(command, light))}"

    def understood(self, answer: str, command: Command) -> dict[int, int]:
        """Return what an answer says of every lamp. Raises ``NotUnderstood``."""
        if not answer:
            return {light: _must(command, light) for light in self._lights}
        masks = dict.fromkeys(self._lights, DARK)
        names = self._names
        for word in answer.replace(",", " ").split() if answer != "-" else ():
            lamp, letter = (word, "") if word in names else (word[:-1], word[-1])
            if lamp not in names or letter not in LETTERS:
                tip = nearest(word, names)
                raise NotUnderstood(f"{word} is no lamp{f': did you mean {tip}?' if tip else '.'}")
            masks[names[lamp]] = LETTERS[letter]
        return masks


def _must(command: Command, light: int) -> int:
    """Return what must be seen of a light."""
    drive = command.lit.get(light)
    return DARK if drive is None else FLASH if drive.flash else LIT
