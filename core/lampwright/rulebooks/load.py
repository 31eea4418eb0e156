"""From the values of a rulebook file to the model, and back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from msgspec.structs import replace

from lampwright.findings import Spot
from lampwright.rulebooks.format import FORM, RULEBOOK
from lampwright.rulebooks.like import Copies, merge_rulebooks, resolve
from lampwright.rulebooks.names import unknown_names

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.rulebooks.model import Rulebook


class RulebookFaults(Exception):  # noqa: N818  (it carries faults, one or many)
    """A rulebook that cannot be used: each fault says what, where, and what would have been right."""

    def __init__(self, faults: list[tuple[Spot, str, str]]) -> None:
        """Keep the faults: spot, message, tip."""
        super().__init__("; ".join(message for _, message, _ in faults))
        self.faults = faults


def load(values: Mapping[str, Any], file: str, base: Rulebook | None = None) -> Rulebook:
    """Build the model of a rulebook whose values the schema accepts.

    ``base`` is the rulebook it is ``like``. Raises RulebookFaults with every name that leads nowhere.
    """
    copies = Copies(file)
    merged = merge_rulebooks(values, base, copies) if base else dict(values)
    for section in ("forms", "indicators", "aspects", "plates"):
        if section in merged:
            merged[section] = resolve(section, merged[section], copies)
    rulebook = replace(_read(merged, copies), file=file, values=merged, origins=copies.origins)
    faults = copies.faults + [(rulebook.spot(*path), message, tip) for path, message, tip in unknown_names(rulebook)]
    if faults:
        raise RulebookFaults(faults)
    return rulebook


def with_forms(rulebook: Rulebook, forms: Mapping[str, Any], file: str) -> Rulebook:
    """Return the rulebook with forms that a plan defines itself; they may be ``like`` the rulebook's.

    Raises RulebookFaults for names in them that lead nowhere.
    """
    copies = Copies(file, dict(rulebook.origins))
    theirs = rulebook.values.get("forms", {})
    copies.origins.update({("forms", name): Spot(file, ("forms", name)) for name in forms})
    copies.origins.update(
        {("forms", name): rulebook.spot("forms", name) for name in theirs if name not in forms},
    )
    merged = resolve("forms", {**theirs, **forms}, copies)
    own = {name: FORM.read(merged[name]) for name in forms if name in merged}
    extended = replace(
        rulebook,
        forms={**rulebook.forms, **own},
        values={**rulebook.values, "forms": merged},
        origins=copies.origins,
        cache={},
    )
    faults = copies.faults + [
        (extended.spot(*path), message, tip)
        for path, message, tip in unknown_names(extended)
        if path[0] == "forms" and path[1] in forms
    ]
    if faults:
        raise RulebookFaults(faults)
    return extended


def dump(rulebook: Rulebook) -> dict[str, Any]:
    """Return values that load to an equal rulebook; what was ``like`` another is written out."""
    return {"rulebook": 1, **RULEBOOK.write(rulebook)}


def _read(values: Mapping[str, Any], copies: Copies) -> Rulebook:
    """Read the values; a span of years that is none is a fault like any other."""
    try:
        rulebook: Rulebook = RULEBOOK.read(values)
    except ValueError as error:
        raise RulebookFaults([*copies.faults, (Spot(copies.file, ()), str(error), "")]) from None
    return rulebook
