"""What is seen if an explanation is true: each light over all commands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright_proving.diagnosis.bench import BOARD, SIGNAL
from lampwright_proving.diagnosis.faults import DEAD, FLICKERING, OPEN, POOR, STEADY, STUCK, TURNED, WEAK

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright_proving.diagnosis.bench import Circuit
    from lampwright_proving.diagnosis.faults import Explanation


def row(circuit: Circuit, explanation: Explanation, light: int) -> int:
    """Return the row of one light.

    A dead light stays dark. One that is stuck is lit whatever is commanded. All others show what their wire brings, the
    other way round if the number of reversals on the way is odd; steady or flashing where it should be the reverse.
    What the common wire lacks comes last.
    """
    mode = explanation.mode(light)
    if mode == DEAD:
        return circuit.rows.dark
    shown = circuit.rows.lit if mode == STUCK else _wired(circuit, explanation, light, turned=mode == TURNED)
    if mode == STEADY:
        shown = circuit.rows.steadied(shown)
    elif mode == FLICKERING:
        shown = circuit.rows.flickering(shown)
    faults = {fault for group, fault in explanation.commons if light in circuit.bench.groups[group]}
    if OPEN in faults:
        return circuit.rows.dark
    return circuit.rows.dimmed(shown) if POOR in faults or mode == WEAK else shown


def _wired(circuit: Circuit, explanation: Explanation, light: int, *, turned: bool) -> int:
    """Return what the wires of a light bring."""
    turned ^= (SIGNAL, circuit.bench.lights[light].signal) in explanation.turned
    node = [circuit.reached(explanation, other) for other in explanation.on_node(light)]
    rows = [circuit.shown[turned ^ ((BOARD, board) in explanation.turned)][feed] for feed, board in node]
    return rows[0] if len(rows) == 1 else circuit.rows.joined(rows)


def rows(circuit: Circuit, explanation: Explanation) -> Iterator[int]:
    """Yield the rows of all lights in their order, as far as there is something to see."""
    for number, light in enumerate(circuit.bench.lights):
        if not light.vacant:
            yield row(circuit, explanation, number)
