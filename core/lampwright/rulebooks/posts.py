"""Several parts on one post: which of them a rule keeps dark."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.rulebooks.anatomy import DARK
from lampwright.rulebooks.sequence import fits

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.rulebooks.displays import Reading
    from lampwright.rulebooks.model import Coupling, Form, Rulebook

PARTS = "parts"


def dark_by_rule(
    rulebook: Rulebook, form: Form, readings: Mapping[str, Reading], facts: Mapping[str, Any]
) -> frozenset[str]:
    """Return the parts that a coupling keeps dark, by what the others show and the facts that are known."""
    forced = [coupling.then for coupling in form.coupling if _holds(rulebook, coupling, readings, facts)]
    return frozenset(name for then in forced for name, state in then.items() if state == DARK and name in form.parts)


def shows(rulebook: Rulebook, reading: Reading, wanted: object) -> bool:
    """Tell whether a part shows one of the aspects that a condition names or describes."""
    return bool(reading.aspect) and fits(rulebook, {"here": wanted}, {"here": reading.aspect})


def _holds(rulebook: Rulebook, coupling: Coupling, readings: Mapping[str, Reading], facts: Mapping[str, Any]) -> bool:
    """Tell whether the condition of a coupling holds; a fact that is not known does not."""
    parts = coupling.when.get(PARTS, {})
    others = {key: wanted for key, wanted in coupling.when.items() if key != PARTS}
    return fits(rulebook, others, facts) and all(
        part in readings and shows(rulebook, readings[part], wanted) for part, wanted in parts.items()
    )
