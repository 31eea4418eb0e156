"""From a layout to its electrics: supplies, controllers, boards, then every lamp."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from lampwright.quantities import quantity
from lampwright.rulebooks.codec import as_text, as_words
from lampwright.tables.outputs import outputs
from lampwright_wiring import sizing
from lampwright_wiring.catalogue import Catalogue, catalogue
from lampwright_wiring.kinds import Spread
from lampwright_wiring.model import Board, Controller, Supply, Wiring
from lampwright_wiring.reading import amount

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.layout import Layout


def bound(layout: Layout) -> Wiring:
    """Return the electrics of a plan, everything resolved."""
    from lampwright_wiring.lamps import wired

    parts, values = catalogue(layout), layout.plan.values
    supplies = {name: _supply(parts, name, said or {}) for name, said in _section(values, "supplies")}
    controllers = {name: _controller(parts, name, said or {}) for name, said in _section(values, "controllers")}
    boards = _boards(parts, dict(_section(values, "boards")), controllers)
    resistances = sizing.values(parts, values.get("stock") or {})
    bare = Wiring(parts, supplies, controllers, boards, resistances, ())
    return Wiring(parts, supplies, controllers, boards, resistances, wired(layout, bare))


def _section(values: Mapping[str, Any], name: str) -> Any:
    """Return the entries of a section of the plan."""
    return (values.get(name) or {}).items()


def _supply(parts: Catalogue, name: str, said: Mapping[str, Any]) -> Supply:
    """Read a supply; what it does not say is its kind's."""
    kind = parts.supply(as_text(said.get("kind")))
    return Supply(
        name,
        ("supplies", name),
        kind,
        _volts(said) or (kind.voltage if kind else None),
        amount(said.get("limit")) or (kind.limit if kind else None),
        kind.at_start if kind else None,
        amount(said.get("fuse")),
        as_words(said["from"]) if "from" in said else (),
    )


def _volts(said: Mapping[str, Any]) -> Spread | None:
    """Return the voltage that is said, with its tolerance if that is said too."""
    volts = amount(said.get("voltage"))
    if volts is None:
        return None
    off = amount(said.get("tolerance")) or Fraction(0)
    return Spread(volts * (1 - off), volts, volts * (1 + off))


def _controller(parts: Catalogue, name: str, said: Mapping[str, Any]) -> Controller:
    """Read a controller; what it does not say is its kind's."""
    kind = parts.controller(as_text(said.get("kind")))
    return Controller(
        name,
        ("controllers", name),
        kind,
        as_text(said.get("supply")),
        _or(amount(said.get("uses")), kind.uses if kind else None),
        amount(said.get("bus")) or (kind.bus if kind else None),
        amount(said.get("step")),
    )


def _or(said: Fraction | None, usual: Fraction | None) -> Fraction | None:
    """Return what is said, nought included, else what is usual."""
    return usual if said is None else said


def _boards(
    parts: Catalogue, entries: Mapping[str, Mapping[str, Any] | None], controllers: Mapping[str, Controller]
) -> dict[str, Board]:
    """Read the boards; one in a chain has controller and supply of the board before it, unless it says its own."""
    return {name: _board(parts, name, entries, controllers) for name in entries}


def _board(
    parts: Catalogue,
    name: str,
    entries: Mapping[str, Mapping[str, Any] | None],
    controllers: Mapping[str, Controller],
) -> Board:
    """Read one board."""
    said = entries[name] or {}
    kind = parts.board(as_text(said.get("kind")))
    controller = as_text(_along(entries, name, "controller"))
    own = controllers.get(controller)
    supply = as_text(_along(entries, name, "supply")) or (own.supply if own else "")
    drive = as_text(said.get("drive")) or (kind.drives[0] if kind and len(kind.drives) == 1 else "")
    return Board(
        name=name,
        path=("boards", name),
        kind=kind,
        controller=controller,
        after=as_text(said.get("after")),
        address=_address(said.get("address")),
        frequency=amount(said.get("frequency")),
        supply=supply,
        led_supply=as_text(said.get("led-supply")) or supply,
        switch=parts.switch(as_text(said.get("switch"))),
        drive=drive,
        uses=_or(amount(said.get("uses")), kind.uses if kind else None),
        aim=_set(said, kind.constant_current if kind else None),
        ohms=amount(said.get("resistor")) or Fraction(0),
        held_dark=bool(said.get("held-dark")),
        reserved=frozenset(outputs(said.get("reserved"))),
        servos=frozenset(outputs(said.get("servos"))),
        length=amount(said.get("length")),
        wire=as_text(said.get("wire")),
    )


def _along(entries: Mapping[str, Mapping[str, Any] | None], name: str, key: str) -> Any:
    """Return what a board says under a key, or the nearest board before it in its chain."""
    seen: set[str] = set()
    while name in entries and name not in seen:
        seen.add(name)
        said = entries[name] or {}
        if key in said:
            return said[key]
        name = as_text(said.get("after"))
    return None


def _address(said: object) -> int | None:
    """Read an address: ``0x40`` or a plain number."""
    return None if said is None else int(str(said), 16) if str(said).startswith("0x") else int(str(said))


def _set(said: Mapping[str, Any], kind: Any) -> Fraction | None:
    """Return the current a board is set to: as said, or by the resistor that sets it."""
    if "current" in said or kind is None or "reference" not in said:
        return amount(said.get("current"))
    current: Fraction = kind.volts / quantity(said["reference"]).amount * kind.times
    return current
