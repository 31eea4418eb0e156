"""The bench card for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from msgspec import to_builtins

from lampwright_proving.card.model import CAUTIONS

if TYPE_CHECKING:
    from lampwright_proving.card.model import Card

FORMAT: Final = "lampwright-bench-card/1"


def record(card: Card) -> dict[str, Any]:
    """Return a card as plain values; ``seen`` of each lamp is left empty."""
    values = to_builtins(card)
    for signal in values["signals"]:
        for step in signal["steps"]:
            for lamp in step["lamps"]:
                lamp["seen"] = None
    return {"format": FORMAT, **values, "cautions": list(CAUTIONS)}
