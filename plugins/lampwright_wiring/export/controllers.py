"""What one controller plays, as values for JSON: outputs, ways of flashing, fades, levels by command."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any, Final

from lampwright_wiring.player.curves import WHOLE

if TYPE_CHECKING:
    from collections.abc import Collection

    from lampwright.tables import Beat
    from lampwright_wiring.player.numbers import Place, Played, Program

MINUTE: Final = 60_000
"""Milliseconds."""


def controller(program: Program, signals: Collection[str]) -> dict[str, Any]:
    """Return the program of one controller, of its signals those that are named."""
    return {
        "controller": program.controller,
        "step-ms": program.step,
        "boards": [{"board": board.name, "address": board.address} for board in program.boards],
        "flashing": [_flashing(number, turn.of) for number, turn in enumerate(program.beats) if turn.of is not None],
        "fades": [
            {"fade": number, "whole": WHOLE, "rise": list(fade.rise), "fall": list(fade.fall)}
            for number, fade in enumerate(program.fades)
        ],
        "signals": [_signal(program, one) for one in program.signals if one.table.signal in signals],
    }


def _flashing(number: int, beat: Beat) -> dict[str, Any]:
    """Return a way of flashing in whole milliseconds; ``assumed`` names what the rulebook does not say."""
    turn = Fraction(MINUTE) / beat.per_minute
    return {
        "way": number,
        "per-minute": float(beat.per_minute),
        "turn-ms": round(turn),
        "lit-ms": round(turn * beat.lit),
        "starts-ms": round(turn * Fraction(beat.phase, 360)),
        "assumed": list(beat.assumed),
    }


def _signal(program: Program, signal: Played) -> dict[str, Any]:
    """Return a signal: its outputs, and for each command what each of them does."""
    return {
        "signal": signal.table.signal,
        "fingerprint": signal.fingerprint,
        "failsafe": signal.table.failsafe.number,
        "outputs": [_output(program, place) for place in signal.places],
        "commands": [
            {
                "number": row.command.number,
                "levels": [program.ways[way].high for way in row.ways],
                "between": [program.ways[way].low for way in row.ways],
                "flashing": [program.ways[way].beat for way in row.ways],
            }
            for row in signal.rows
        ],
    }


def _output(program: Program, place: Place) -> dict[str, Any]:
    """Return one output."""
    return {
        "output": str(place.output),
        "board": program.boards[place.board].name,
        "address": place.address,
        "channel": place.channel,
        "lit": "low" if place.lit_low else "high",
        "full": place.top,
        "fade": place.fade,
        "lamps": list(place.lamps),
    }
