"""What a plan says, as the modeller wrote it; nothing here has been compared with a rulebook."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct, field

from lampwright.findings import Path, Spot

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.rulebooks.model import Elements

DUMMY: Final = "dummy"
"""What a plan says in place of an output, or as the stage of a signal, of what is never to be lit."""


class BuiltLamp(Struct, frozen=True):
    """A lamp as built: by ``colour`` in a list from the top down, or by ``name``; ``output`` as written."""

    path: Path
    name: str = ""
    colour: str = ""
    output: str = ""
    detail: Mapping[str, Any] = field(default_factory=dict)


class Shown(Struct, frozen=True):
    """The modeller's own definition of an aspect: elements with their states."""

    path: Path
    aspect: str
    elements: Elements


class Carried(Struct, frozen=True):
    """An indicator that hangs on the signal: ``junction``, ``position-1`` or ``junction.position-1``."""

    path: Path
    name: str
    output: str = ""
    detail: Mapping[str, Any] = field(default_factory=dict)


class Indication(Struct, frozen=True):
    """What a route lights beside the main aspect: an indicator or position, with its content if it has one."""

    path: Path
    name: str
    content: str = ""


class Route(Struct, frozen=True):
    """A movement from one signal to the next stop signal or an end; ``rest`` keeps what no kernel part reads."""

    path: Path
    to: str = ""
    passes: tuple[str, ...] = ()
    over: tuple[str, ...] = ()
    points: Mapping[str, str] = field(default_factory=dict)
    turns: str = ""
    indications: tuple[Indication, ...] = ()
    speed: str = ""
    kind: str = ""
    release: Mapping[str, Any] = field(default_factory=dict)
    rest: Mapping[str, Any] = field(default_factory=dict)


class Signal(Struct, frozen=True):
    """One signal. ``lamps`` is None if the plan says nothing of them; ``listed`` if they came top to bottom.

    ``gives`` are the aspects it is meant to give, where that is fewer than its form can.
    """

    name: str
    path: Path
    form: str = ""
    rulebook: str = ""
    year: str = ""
    stage: str = ""
    starts: tuple[str, ...] = ()
    lamps: tuple[BuiltLamp, ...] | None = None
    listed: bool = False
    shows: tuple[Shown, ...] = ()
    gives: tuple[str, ...] = ()
    carries: tuple[Carried, ...] | None = None
    routes: tuple[Route, ...] = ()
    repeats: tuple[str, ...] = ()
    plates: Mapping[str, str] = field(default_factory=dict)
    blanked: tuple[str, ...] = ()
    mount: str = ""
    regime: str = ""
    mode: str = ""
    installed: str = ""
    wiring: str = ""
    like: str = ""
    rest: Mapping[str, Any] = field(default_factory=dict)
    inherited: Mapping[str, Path] = field(default_factory=dict)

    def at(self, *steps: str | int) -> Path:
        """Return the path of something the signal says, where it is written if another signal lent it."""
        if not steps:
            return self.path
        base = self.inherited.get(str(steps[0]), (*self.path, steps[0]))
        return (*base, *steps[1:])


class Plan(Struct, frozen=True, dict=True):
    """A signal plan; ``values`` keeps every section, for the plugins that read them."""

    file: str
    name: str = ""
    rulebook: str = ""
    year: str = ""
    scale: str = ""
    lines: Mapping[str, Any] = field(default_factory=dict)
    sections: Mapping[str, Any] = field(default_factory=dict)
    ends: Mapping[str, Any] = field(default_factory=dict)
    points: Mapping[str, Any] = field(default_factory=dict)
    forms: Mapping[str, Any] = field(default_factory=dict)
    signals: Mapping[str, Signal] = field(default_factory=dict)
    values: Mapping[str, Any] = field(default_factory=dict)

    @property
    def stem(self) -> str:
        """The name other plans use for this one: ``north`` for ``layout/north.yaml``."""
        return self.file.replace("\\", "/").rpartition("/")[2].removesuffix(".yaml").removesuffix(".yml")

    @cached_property
    def leads_out(self) -> frozenset[str]:
        """Where routes lead in other plans, as it is written: ``north/HF3``."""
        return frozenset(route.to for signal in self.signals.values() for route in signal.routes if "/" in route.to)

    def spot(self, *path: str | int, label: str = "", on_key: bool = False) -> Spot:
        """Return a place in the plan's file."""
        return Spot(self.file, path, label, on_key)
