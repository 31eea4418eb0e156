"""A file of what was seen, against the bench: observations, or findings that say what in it is not there."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.findings import Finding, Level, Spot
from lampwright.rulebooks.codec import as_text
from lampwright.tables import tables
from lampwright.tables.outputs import of_board
from lampwright.words import did_you_mean
from lampwright_proving.diagnosis.result import Observation
from lampwright_proving.diagnosis.sights import DARK, WORDS
from lampwright_proving.standing import command_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.documents import Document
    from lampwright.findings import Path
    from lampwright.layout import Layout
    from lampwright_proving.diagnosis.bench import Bench, Command
    from lampwright_proving.standing import Standing

OUTPUTS = "outputs"


def signals_of(document: Document, layout: Layout) -> list[str]:
    """Return the signals a file tells of: those commanded, and those of which a lamp or an output is named."""
    values = document.values
    looks = [look for commands in (values.get("signals") or {}).values() for look in (commands or {}).values()]
    looks += (values.get(OUTPUTS) or {}).values()
    named = [name for look in looks for name, _ in _said(look)]
    before_dots = {name[:at] for name in named for at, letter in enumerate(name) if letter == "."}
    switched = set(switched_of(document))
    fed = [name for name, table in tables(layout).signals.items() if switched & {*table.outputs}] if switched else []
    wanted = {*(values.get("signals") or {}), *before_dots, *fed}
    return [name for name in layout.signals if name in wanted]


def switched_of(document: Document) -> list[str]:
    """Return the outputs that a file says were switched by hand."""
    return [str(name) for name in document.values.get(OUTPUTS) or {}]


def observations(document: Document, standing: Standing) -> tuple[list[Observation], list[Finding]]:
    """Return what a file says was seen, and what in it cannot be understood."""
    reader = _Reader(document, standing)
    found = [*reader.commanded(), *reader.switched()]
    return found, reader.findings


class _Reader:
    """Reads one file; what is wrong gathers in ``findings``."""

    def __init__(self, document: Document, standing: Standing) -> None:
        self.document = document
        self.standing = standing
        self.bench: Bench = standing.bench
        self.findings: list[Finding] = []

    def commanded(self) -> Iterator[Observation]:
        """Yield what was seen for the commands of signals."""
        for signal, commands in (self.document.values.get("signals") or {}).items():
            path: Path = ("signals", signal)
            if signal not in self.standing.tables:
                self._unknown_signal(signal, path)
                continue
            names = [command.key[1] for command in self.bench.commands if command.key[0] == signal]
            told: dict[tuple[str, str], str] = {}
            for said, look in (commands or {}).items():
                command = command_of(self.bench, signal, said)
                if command is None:
                    tip = did_you_mean(said, names, "its commands")
                    self._wrong(f"{signal} has no command {said}", (*path, said), tip)
                elif command.key in told:
                    self._wrong(f"{said} is the command {told[command.key]}, which is told already", (*path, said), "")
                else:
                    told[command.key] = said
                    yield Observation(command, self._masks(look, (*path, said), signal))

    def switched(self) -> Iterator[Observation]:
        """Yield what was seen while outputs were switched by hand."""
        by_name: dict[str, Command] = {command.key[1]: command for command in self.bench.raw}
        for name, look in (self.document.values.get(OUTPUTS) or {}).items():
            path: Path = (OUTPUTS, name)
            if name in by_name:
                yield Observation(by_name[name], self._masks(look, path, ""))
            else:
                tip = did_you_mean(name, self._outputs(), "the outputs there")
                self._wrong(f"there is no output {name}", path, tip)

    def _outputs(self) -> list[str]:
        """Return every output there is: of the boards of the plan, and of these signals."""
        layout = self.standing.layout
        every = [one for board in layout.plan.values.get("boards") or {} for one in of_board(layout, board) or ()]
        return list(dict.fromkeys((*(command.key[1] for command in self.bench.raw), *every)))

    def _unknown_signal(self, signal: str, path: Path) -> None:
        """Say that a signal is not in the plan, or cannot be proved."""
        because = next((one.because for one in self.standing.left_out if one.signal == signal), "")
        if because:
            self._wrong(f"{signal} cannot be proved: {because}", path, "")
            return
        known = self.standing.layout.signals
        self._wrong(f"there is no signal {signal}", path, did_you_mean(signal, known, "the signals"))

    def _masks(self, look: Any, path: Path, signal: str) -> dict[int, int]:
        """Return what was seen of each light; of a list, what is not in it was dark."""
        masks: dict[int, int] = {}
        if not isinstance(look, dict):
            lights = enumerate(self.bench.lights)
            masks = {number: DARK for number, light in lights if not light.vacant and signal in ("", light.signal)}
        for number, (name, sight) in enumerate(_said(look)):
            inner: Path = path if isinstance(look, str) else (*path, name if isinstance(look, dict) else number)
            for light in self._lights(name, inner, signal, on_key=isinstance(look, dict)):
                masks[light] = WORDS[sight]
        return masks

    def _lights(self, name: str, path: Path, signal: str, *, on_key: bool) -> tuple[int, ...]:
        """Return the lights that a name stands for; the signal's own before those of others."""
        known = self.standing.by_name
        own = known.get((signal, name))
        if own is not None:
            return own
        for (other, lamp), lights in known.items():
            if name == f"{other}.{lamp}":
                return lights
        names = [lamp if owner == signal else f"{owner}.{lamp}" for owner, lamp in known]
        message = f"there is no lamp {name}{f' on {signal}' if signal else ''}"
        self._wrong(message, path, did_you_mean(name, names), on_key=on_key)
        return ()

    def _wrong(self, message: str, path: Path, tip: str, *, on_key: bool = True) -> None:
        """Keep a finding about what stands at a path, or its key."""
        spot = Spot(self.document.name, path, on_key=on_key)
        self.findings.append(Finding("unknown-name", Level.ERROR, message, spot, tip=tip))


def _said(look: Any) -> Iterator[tuple[str, str]]:
    """Yield the lamps a look names, each with how it lit."""
    if isinstance(look, dict):
        yield from look.items()
        return
    for item in [look] if isinstance(look, str) else look or ():
        yield from item.items() if isinstance(item, dict) else [(as_text(item), "lit")]
