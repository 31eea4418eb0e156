"""What one controller plays, in whole numbers that a small one holds."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright_wiring.levels import duty

if TYPE_CHECKING:
    from lampwright.tables import Beat, Command, SignalTable
    from lampwright_wiring.model import Board, Output
    from lampwright_wiring.player.curves import Fade

MINUTE: Final = 60_000
WORD: Final = 1 << 16
BYTE: Final = 1 << 8
HALF: Final = Fraction(1, 2)


class Unplayable(Exception):  # noqa: N818  (what the plan is, not what the program did)
    """What keeps a plan from being played, as a sentence for the user."""


class Turn(Struct, frozen=True):
    """A beat in whole numbers: a millisecond adds ``adds``, the turn ends at ``turn``; lit from ``starts`` on.

    ``of`` is the beat of the tables; None where all is steady.
    """

    turn: int = 1
    adds: int = 0
    starts: int = 0
    lasts: int = 1
    of: Beat | None = None


class Way(Struct, frozen=True):
    """What an output does: ``high`` while its beat is lit, else ``low``; the first beat is always lit."""

    high: int = 0
    low: int = 0
    beat: int = 0


class Place(Struct, frozen=True):
    """One output; ``lamps`` is what hangs on it.

    ``most`` is its highest level in any command, that of full light if none lights it.
    """

    output: Output
    board: int
    address: int | None
    channel: int
    lit_low: bool
    top: int
    most: int
    fade: int
    lamps: tuple[str, ...]


class Row(Struct, frozen=True):
    """A command, and which way each output of its signal goes."""

    command: Command
    ways: tuple[int, ...]


class Played(Struct, frozen=True):
    """A signal as one controller plays it; ``failsafe`` is the place of that row."""

    table: SignalTable
    fingerprint: str
    places: tuple[Place, ...]
    rows: tuple[Row, ...]
    failsafe: int


class Program(Struct, frozen=True):
    """All that one controller plays; ``step`` in milliseconds, ``boards`` those it reaches, in the plan's order."""

    controller: str
    fingerprint: str
    step: int
    boards: tuple[Board, ...]
    signals: tuple[Played, ...]
    ways: tuple[Way, ...]
    beats: tuple[Turn, ...]
    fades: tuple[Fade, ...]


def count(level: Fraction, top: int) -> int:
    """Return the level that gives a share of full lightness (CIE L* / 100); what is lit is never nought."""
    return 0 if level <= 0 else max(1, int(duty(level) * top + HALF))


def turn(beat: Beat) -> Turn:
    """Return a beat in whole numbers that a product of 32 bits holds; exact for all rates in use."""
    rate = beat.per_minute.limit_denominator(20)
    turns = MINUTE * rate.denominator
    adds = rate.numerator
    if turns * (adds + 1) >= WORD**2:
        raise Unplayable(f"no player keeps {float(beat.per_minute):g} flashes a minute")
    return Turn(turns, adds, round(Fraction(beat.phase % 360, 360) * turns), round(beat.lit * turns), beat)


def fit(program: Program) -> None:
    """Refuse what the numbers of the player do not hold."""
    outputs = sum(len(signal.places) for signal in program.signals)
    cells = sum(len(signal.places) * len(signal.rows) for signal in program.signals)
    curves = sum(len(one.rise) + len(one.fall) for one in program.fades)
    kept = (
        ("boards", len(program.boards), BYTE),
        ("outputs of one signal", max(len(signal.places) for signal in program.signals), BYTE),
        ("outputs", outputs, WORD - 1),
        ("outputs under all commands", cells, WORD),
        ("levels", len(program.ways), BYTE),
        ("beats", len(program.beats), BYTE),
        ("steps of fades", curves, WORD // 2),
        ("milliseconds in a step", program.step, WORD),
        ("channels", max(place.channel for signal in program.signals for place in signal.places), BYTE),
    )
    for what, there, most in kept:
        if there >= most:
            raise Unplayable(
                f"{program.controller or 'the controller'} has {there} {what}, and a player holds {most - 1}"
            )
