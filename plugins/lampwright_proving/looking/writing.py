"""What was seen as a file that ``--seen`` reads."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.edits.notation import entry
from lampwright.tables.fingerprint import plan_fingerprint
from lampwright_proving.diagnosis.sights import words

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lampwright.layout import Layout
    from lampwright_proving.verdict import Verdict


def written(layout: Layout, verdicts: Iterable[Verdict]) -> str:
    """Return the text of a file of what was seen, every lamp told."""
    signals: dict[str, dict[str, Any]] = {}
    for verdict in verdicts:
        lights = verdict.diagnosis.bench.lights
        for one in verdict.diagnosis.observations:
            signal, command = one.command.key
            look = {lights[light].name: words(mask) for light, mask in one.masks.items()}
            signals.setdefault(signal, {})[command] = look
    values = {"seen": 1, "plan": plan_fingerprint(layout), "signals": signals}
    end = "\n"
    return "".join(entry(key, value, "", end) + end for key, value in values.items())
