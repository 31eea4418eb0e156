"""What puts a fault right: changes to the plan so that it says what is, and what there is to do on the signal."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct

from lampwright.edits import Change
from lampwright.rulebooks.codec import as_text
from lampwright.words import listed
from lampwright_proving.diagnosis.bench import BOARD, SIGNAL
from lampwright_proving.diagnosis.faults import DEAD, FLICKERING, OPEN, STEADY, STUCK, TURNED, WEAK
from lampwright_proving.diagnosis.saying import pin_name, rings

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator

    from lampwright.findings import Path
    from lampwright_proving.diagnosis.bench import Group
    from lampwright_proving.diagnosis.faults import Explanation
    from lampwright_proving.standing import Standing

OTHER: Final = {
    "common-anode": "common-cathode",
    "common-cathode": "common-anode",
    "sink": "source",
    "source": "sink",
}
WIRED_FOR: Final = {"sink": "common-anode", "source": "common-cathode"}
"""The heads that a board's ``drive`` lights."""
BUILT: Final = frozenset({"built", "proved"})
REPAIRS: Final = {
    DEAD: "turn {} round, if it is an LED; if it stays dark, renew it, or its wire",
    STUCK: "find where the wire of {} touches another, or the supply",
    WEAK: "look at the joints and the resistor of {}",
    STEADY: "load the tables anew, for {} does not flash as they have it",
    FLICKERING: "look for a loose joint of {}, or load the tables anew",
    TURNED: "wire {} the other way round",
}


class Mending(Struct, frozen=True, dict=True):
    """What puts an explanation right.

    ``changes`` make the plan say what is; ``untold`` is what the plan cannot be made to say, and why. ``rewiring`` is
    how the signal is made what the plan says. ``repairs`` are due in any case. ``built`` are the signals concerned that
    the plan calls built or proved: there either may be the right thing.
    """

    changes: tuple[Change, ...]
    untold: tuple[str, ...]
    rewiring: tuple[str, ...]
    repairs: tuple[str, ...]
    built: tuple[str, ...]


def mending(standing: Standing, explanation: Explanation, lit: Collection[int]) -> Mending:
    """Return what puts an explanation right; ``lit`` are the lights that were seen to be lit by something.

    What only follows from the others is not written: of a wire on an output that lit nothing, nothing is shown.
    """
    return _Mender(standing, explanation, lit).mending()


class _Mender:
    """Works out what puts one explanation right."""

    def __init__(self, standing: Standing, explanation: Explanation, lit: Collection[int]) -> None:
        self.lit = lit
        self.standing = standing
        self.bench = standing.bench
        self.explanation = explanation
        self.changes: dict[Path, Change] = {}
        self.untold: list[str] = []
        self.concerned: dict[str, None] = {}
        self.unseen: list[int] = []

    def mending(self) -> Mending:
        """Return everything."""
        rewiring = [*self._plugs(), *self._exchanged(), *self._polarity(), *self._wires()]
        self._moves()
        repairs = tuple(self._repairs())
        stages = {name: self.standing.layout.signals[name].entry.stage for name in self.concerned}
        built = tuple(name for name, stage in stages.items() if stage in BUILT)
        changes = () if self.unseen else tuple(self.changes.values())
        return Mending(changes, tuple(dict.fromkeys(self.untold)), tuple(rewiring), repairs, built)

    def _plugs(self) -> Iterator[str]:
        """Yield where plugs belong."""
        for lights, step in sorted(self.explanation.plugs, key=lambda plug: min(plug[0])):
            self._concerns(lights)
            places = "one place" if abs(step) == 1 else f"{abs(step)} places"
            ends = [f"{self.bench.lights[light].name} on {self.bench.channel_name(light)}" for light in sorted(lights)]
            signal = self.bench.lights[min(lights)].signal
            yield f"seat the plug of {signal} {places} further {'down' if step > 0 else 'up'}: {', '.join(ends)}"

    def _exchanged(self) -> Iterator[str]:
        """Change the addresses of boards that answer for each other, and yield how to make them right."""
        for one, other in sorted(self.explanation.exchanged):
            for name in (one, other):
                self._concerns(self.bench.groups[BOARD, name])
            said = [self._board(name).get("address") for name in (one, other)]
            if None in said or any("after" in self._board(name) for name in (one, other)):
                self.untold.append(f"the plan says no addresses of boards {one} and {other} that could be exchanged")
                yield f"exchange the plugs of boards {one} and {other}"
            else:
                for name, address in zip((one, other), reversed(said), strict=True):
                    self._put(("boards", name, "address"), address)
                yield (
                    f"set the address of board {one} to {said[0]} and that of board {other} to {said[1]}, or exchange "
                    "their plugs"
                )

    def _polarity(self) -> Iterator[str]:
        """Change what the plan says of polarity, and yield how to turn signals, boards and lamps round."""
        for group in sorted(self.explanation.turned):
            if group[0] == SIGNAL:
                self._concerns(self.bench.groups[group])
                self._turn_signal(group[1])
                yield f"bring the common wire of {group[1]} to the other side of the supply, its lamps turned round"
            else:
                self._concerns(self.bench.groups[group])
                self._turn_board(group[1])
                yield f"let the controller drive board {group[1]} the other way"
        for light, mode in sorted(self.explanation.modes):
            if mode == TURNED:
                self._concerns([light])
                self._turn_light(light)
                yield REPAIRS[TURNED].format(self.bench.lights[light].label)

    def _turn_signal(self, name: str) -> None:
        """Make the plan say the other polarity of a head."""
        entry = self.standing.layout.signals[name].entry
        boards = {light.board for light in self.bench.lights if light.signal == name}
        said = entry.wiring or self._wired_for(boards)
        if said not in OTHER:
            self.untold.append(
                f"say `wiring:` for {name}: common-anode if its common wire is on the plus side, else common-cathode"
            )
        else:
            self._say_wiring(name, OTHER[said])
            self._keep(name, said)

    def _say_wiring(self, name: str, wiring: str) -> None:
        """Make the plan say the polarity of a head under its own name, even if it takes it from another now."""
        path: Path = ("signals", name)
        if "wiring" in (self._value(path) or {}):
            self._put((*path, "wiring"), wiring)
        else:
            self.changes[*path, "wiring"] = Change.add(path, "wiring", wiring)

    def _keep(self, name: str, said: str) -> None:
        """Keep the polarity of signals that take it from one of which it changes; nothing was found out about them."""
        for other, signal in self.standing.layout.signals.items():
            own = self._value(("signals", other)) or {}
            if signal.entry.like == name and "wiring" not in own and (SIGNAL, other) not in self.explanation.turned:
                self._say_wiring(other, signal.entry.wiring or said)

    def _wired_for(self, boards: Iterable[str]) -> str:
        """Return the polarity of head that boards drive by the plan; empty if it does not say, or they differ."""
        known = {WIRED_FOR.get(as_text(self._board(board).get("drive")), "") for board in boards}
        return known.pop() if len(known) == 1 else ""

    def _board(self, name: str) -> dict[str, Any]:
        """Return what the plan says of a board."""
        boards = self.standing.layout.plan.values.get("boards") or {}
        return boards.get(name) or {}

    def _turn_board(self, name: str) -> None:
        """Make the plan say that a board drives the other way."""
        drive = as_text(self._board(name).get("drive"))
        if drive in OTHER:
            self._put(("boards", name, "drive"), OTHER[drive])
        else:
            self.untold.append(f"say `drive:` for board {name}: it is the other way than the controller takes it to be")

    def _turn_light(self, light: int) -> None:
        """Make the plan say that one lamp is of the other polarity than its head."""
        own = self.bench.lights[light]
        for lamp in self.standing.lamps(light):
            said = as_text(lamp.detail.get("wiring")) or self.standing.signal(light).entry.wiring
            said = said or self._wired_for({own.board})
            entry = self.standing.signal(light).entry
            if {"lamps", "carries"} & entry.inherited.keys() and lamp.path[:2] != entry.path:
                self.untold.append(
                    f"the plan has no lamps of {own.signal} itself to say it of: they are those of {entry.like}"
                )
            elif said not in OTHER or not lamp.detail:
                self.untold.append(f"say `wiring:` for {own.label}: it is of the other polarity than the head")
            elif "wiring" in lamp.detail:
                self._put((*lamp.path, "wiring"), OTHER[said])
            elif isinstance(self._value(lamp.path), dict):
                self.changes[*lamp.path, "wiring"] = Change.add(lamp.path, "wiring", OTHER[said])
            else:
                self._put(lamp.path, {"output": own.output, "wiring": OTHER[said]})

    def _wires(self) -> Iterator[str]:
        """Change the outputs of lamps whose wires are swapped, and yield how to change the wires back."""
        for ring in rings(self.bench, self.explanation):
            own = [light for light in ring if not self.bench.lights[light].vacant]
            self._concerns(own)
            moved = [f"{self.bench.lights[light].label} to {self.bench.channel_name(light)}" for light in own]
            yield f"move the wire{'s' if len(own) > 1 else ''}: {', '.join(moved)}"

    def _moves(self) -> None:
        """Change the outputs of lamps in the plan, and keep those of which nothing has shown where they are."""
        for light, own in enumerate(self.bench.lights):
            pin = self.bench.pin(self.explanation, light)
            if own.vacant or pin == self.bench.pins[self.bench.feeds[light]]:
                continue
            if light in self.lit:
                self._move(light, pin_name(pin))
            else:
                self.unseen.append(light)
        if self.unseen:
            lamps = listed(self.bench.lights[light].label for light in self.unseen)
            first = self.bench.lights[self.unseen[0]]
            output = pin_name(self.bench.pin(self.explanation, self.unseen[0]))
            example = f", as in `outputs: {{{output}: {first.signal}.{first.name}}}`" if output else ""
            self.untold.append(
                f"nothing has shown which output {lamps} {'is' if len(self.unseen) == 1 else 'are'} on, so the plan "
                "stays: look at all commands, then switch outputs by hand; what lights goes into the file of what was "
                f"seen{example}"
            )

    def _move(self, light: int, output: str) -> None:
        """Make the plan say that a light hangs on another output."""
        own = self.bench.lights[light]
        lamps = self.standing.lamps(light)
        if not own.output or not lamps:
            self.untold.append(f"the plan says no output of {own.label}")
        for lamp in lamps if own.output else ():
            outputs = [as_text(one) for one in lamp.detail.get("outputs") or ()]
            if own.output in outputs:
                self._put((*lamp.path, "outputs", outputs.index(own.output)), output)
            elif isinstance(self._value(lamp.path), dict):
                self._put((*lamp.path, "output"), output)
            else:
                self._put(lamp.path, output)

    def _repairs(self) -> Iterator[str]:
        """Yield what must be mended by hand whatever the plan says."""
        for light, mode in sorted(self.explanation.modes):
            if mode != TURNED:
                yield REPAIRS[mode].format(self.bench.lights[light].label)
        for group, fault in sorted(self.explanation.commons):
            yield f"{'join' if fault == OPEN else 'renew the joint of'} the common wire of {_whose(group)}"
            if fault == OPEN and group[0] == BOARD:
                yield f"if it is joined, give board {group[1]} power, and the address that the plan says"
        for lights in sorted(map(sorted, self.explanation.touching)):
            yield f"part the wires of {' and '.join(self.bench.lights[light].label for light in lights)}"

    def _concerns(self, lights: Iterable[int]) -> None:
        """Keep the signals of lights."""
        self.concerned.update(dict.fromkeys(self.bench.lights[light].signal for light in sorted(lights)))

    def _put(self, path: Path, value: Any) -> None:
        """Put another value at a path, turning one round that is to be put there already."""
        known = self.changes.get(path)
        if known is None or not (isinstance(value, dict) or isinstance(known.value, dict)):
            self.changes[path] = Change.replace(path, value)
        else:
            output = known.value if isinstance(value, dict) else value
            whole = value if isinstance(value, dict) else known.value
            self.changes[path] = Change.replace(path, {**whole, "output": output})

    def _value(self, path: Path) -> Any:
        """Return what the plan has at a path."""
        value: Any = self.standing.layout.plan.values
        for step in path:
            value = value[step]
        return value


def _whose(group: Group) -> str:
    """Return whose common wire a group's is."""
    return group[1] if group[0] != BOARD else f"the lamps on board {group[1]}"
