"""The tables of plans as JSON (``schemas/tables.schema.json``)."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from lampwright.tables import tables
from lampwright.tables.asked import asked
from lampwright.tables.fingerprint import fingerprint, plan_fingerprint
from lampwright_wiring.export.controllers import controller
from lampwright_wiring.export.driven import lagging, played, steps
from lampwright_wiring.export.formats import Told
from lampwright_wiring.saying import CAUTION

if TYPE_CHECKING:
    from collections.abc import Sequence
    from fractions import Fraction

    from lampwright.layout import Layout
    from lampwright.tables import Command, Shine, SignalTable
    from lampwright_wiring.export.driven import Step
    from lampwright_wiring.export.formats import Wanted

FORMAT: Final = "lampwright-tables/1"
DIGITS: Final = 8
"""Places to which shares of light are written; levels are exact."""


def told(found: Sequence[Layout], wanted: Wanted) -> Told:
    """Return the tables of some plans."""
    import json

    whole = {"format": FORMAT, "caution": CAUTION, "plans": [_plan(layout, wanted) for layout in found]}
    remarks = tuple(one for layout in found for one in lagging(layout, played(layout)))
    return Told(json.dumps(whole, indent=1, ensure_ascii=False) + "\n", remarks)


def _plan(layout: Layout, wanted: Wanted) -> dict[str, Any]:
    """Return the tables of one plan."""
    found, programs = tables(layout), played(layout)
    chosen = [table for name, table in found.signals.items() if not wanted.signals or name in wanted.signals]
    names = frozenset(table.signal for table in chosen)
    return {
        "plan": layout.plan.file,
        "name": layout.plan.name,
        "rulebook": layout.rulebook_name,
        "year": layout.year_text,
        "fingerprint": plan_fingerprint(layout),
        "signals": [_signal(layout, table) for table in chosen],
        "left-out": [{"signal": one.signal, "because": one.because} for one in found.left_out],
        "controllers": [controller(program, names) for program in programs],
        "steps": [_step(step) for step in steps(layout, programs)],
    }


def _signal(layout: Layout, table: SignalTable) -> dict[str, Any]:
    """Return what one signal can be told, lamp by lamp."""
    wanted = asked(layout, table)
    return {
        "signal": table.signal,
        "form": layout.signals[table.signal].form_name,
        "address": table.address,
        "fingerprint": fingerprint(layout, table.signal),
        "fades": table.fades,
        "failsafe": table.failsafe.number,
        "commands": [_command(command, wanted) for command in table.commands],
    }


def _command(command: Command, wanted: frozenset[int] | None) -> dict[str, Any]:
    """Return one command; ``wanted`` are the numbers of those that routes ask for."""
    return {
        "number": command.number,
        "name": command.name,
        "asked": None if wanted is None else command.number in wanted,
        "aspects": {part or "signal": aspect for part, aspect in command.aspects},
        "indicators": [{"indicator": name, "shows": content} for name, content in command.boxes],
        "plates": list(command.plates),
        "lamps": [_lamp(shine) for shine in command.lamps],
    }


def _lamp(shine: Shine) -> dict[str, Any]:
    """Return a lamp at one of its outputs."""
    return {
        "lamp": shine.lamp,
        "colour": shine.colour,
        "output": shine.output,
        "lightness": _number(shine.level * 100),
        "flashes": shine.flash is not None,
    }


def _step(step: Step) -> dict[str, Any]:
    """Return what becomes of a share of lightness on a board, and how far that is off."""
    return {
        "lightness": _number(step.lightness * 100),
        "light": _number(step.light),
        "level": step.level,
        "of": step.top,
        "off": _number(step.level - step.light * step.top),
    }


def _number(value: Fraction) -> float | int:
    """Return a number as JSON has it."""
    return int(value) if value.denominator == 1 else round(float(value), DIGITS)
