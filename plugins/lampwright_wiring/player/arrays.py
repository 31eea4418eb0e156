"""The tables of a program as C arrays, with comments that name what each line is."""

from __future__ import annotations

from itertools import accumulate
from typing import TYPE_CHECKING

from lampwright_wiring import saying
from lampwright_wiring.player.names import comment

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.tables import Beat
    from lampwright_wiring.player.numbers import Place, Program


def arrays(program: Program) -> Iterator[str]:
    """Yield the arrays, line by line."""
    yield from _array("struct lw_beat", "beats", _beats(program))
    yield from _array(
        "struct lw_way",
        "ways",
        ((f"{{{way.high}, {way.low}, {way.beat}}}", str(i)) for i, way in enumerate(program.ways)),
    )
    yield from _array("struct lw_fade", "fades", _fades(program))
    yield from _array("uint16_t", "curves", _curves(program))
    places = (place for signal in program.signals for place in signal.places)
    yield from _array("struct lw_output", "outputs", ((_output(place), _of(place)) for place in places))
    yield from _array("uint16_t", "numbers", _numbers(program))
    yield from _array("uint8_t", "rows", _rows(program))
    yield from _array("struct lw_signal", "signals", _signals(program))


def _array(kind: str, name: str, lines: Iterable[tuple[str, str]]) -> Iterator[str]:
    """Yield an array: each line with what it is."""
    yield f"\nstatic const {kind} lw_{name}[] LW_KEEP = {{"
    yield from (f"    {values}, /* {comment(what)} */" for values, what in lines)
    yield "};"


def _beats(program: Program) -> Iterator[tuple[str, str]]:
    """Yield the beats."""
    for turn in program.beats:
        yield f"{{{turn.turn}u, {turn.adds}u, {turn.starts}u, {turn.lasts}u}}", _beat(turn.of) if turn.of else "steady"


def _beat(beat: Beat) -> str:
    """Return a beat in words."""
    usual = f" ({' and '.join(beat.assumed)} as usual)" if beat.assumed else ""
    phase = f" from {beat.phase} degrees on" if beat.phase else ""
    floor = f", never below {saying.percent(beat.floor)}" if beat.floor else ""
    return f"{saying.number(beat.per_minute)} a minute, lit for {saying.percent(beat.lit)}{phase}{floor}{usual}"


def _fades(program: Program) -> Iterator[tuple[str, str]]:
    """Yield where each fade stands among the curves."""
    at = 0
    for number, one in enumerate(program.fades):
        rise, fall = len(one.rise), len(one.fall)
        yield (
            f"{{{at}, {rise}, {at + rise}, {fall}}}",
            f"{number}: {_takes(rise, program.step)} up, {_takes(fall, program.step)} down",
        )
        at += rise + fall


def _takes(steps: int, step: int) -> str:
    """Return how long a fade takes; the first step of it is taken at once."""
    return f"{(steps - 1) * step} ms" if steps > 1 else "at once"


def _curves(program: Program) -> Iterator[tuple[str, str]]:
    """Yield the curves one after the other, in 1/32768."""
    for number, one in enumerate(program.fades):
        yield _row(one.rise), f"{number} up"
        yield _row(one.fall), f"{number} down"


def _output(place: Place) -> str:
    """Return an output's line."""
    address = "LW_NO_ADDRESS" if place.address is None else f"0x{place.address:02X}"
    values = (place.top, place.most, place.board, address, place.channel, int(place.lit_low), place.fade)
    return f"{{{', '.join(map(str, values))}}}"


def _of(place: Place) -> str:
    """Return an output with its lamps."""
    return f"{place.output} {' and '.join(place.lamps)}"


def _numbers(program: Program) -> Iterator[tuple[str, str]]:
    """Yield the numbers of each signal's commands."""
    for signal in program.signals:
        yield _row(row.command.number for row in signal.rows), signal.table.signal


def _rows(program: Program) -> Iterator[tuple[str, str]]:
    """Yield which way each output of a signal goes, command by command."""
    for signal in program.signals:
        for row in signal.rows:
            yield _row(row.ways), f"{signal.table.signal} {row.command.name}"


def _signals(program: Program) -> Iterator[tuple[str, str]]:
    """Yield the signals."""
    outputs = accumulate((len(signal.places) for signal in program.signals), initial=0)
    numbers = accumulate((len(signal.rows) for signal in program.signals), initial=0)
    rows = accumulate((len(signal.places) * len(signal.rows) for signal in program.signals), initial=0)
    for signal, output, number, row in zip(program.signals, outputs, numbers, rows, strict=False):
        values = (output, number, row, len(signal.rows), signal.failsafe, len(signal.places))
        yield f"{{0x{signal.fingerprint.upper()}u, {', '.join(map(str, values))}}}", signal.table.signal


def _row(values: Iterable[int]) -> str:
    """Return numbers in a line."""
    return ", ".join(map(str, values))
