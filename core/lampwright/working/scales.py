"""Scales: how many times smaller than the prototype a model is, by ratio or by name."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.findings import Basis, Citation
from lampwright.quantities import plain_number
from lampwright.rulebooks.codec import as_text

if TYPE_CHECKING:
    from fractions import Fraction

    from lampwright.layout import Layout

TRADE: Final = Citation("what the trade calls its scales", Basis.COMMON_PRACTICE)
"""Source of the names below. NEM 010 and NMRA S-1.2 list most of them, and were not read for this."""

FOOT: Final = "304.8"
"""Millimetres in a foot: scales of millimetres to the foot are ratios of these."""

NAMES: Final[dict[str, tuple[str, ...]]] = {
    "Z": ("1:220",),
    "T": ("1:450",),
    "2mm": ("2 mm/ft",),
    "N": ("1:160", "1:148", "1:150"),  # most countries; Britain; Japan
    "3mm": ("3 mm/ft",),
    "TT": ("1:120", "3 mm/ft"),  # most countries; Britain's first
    "TT120": ("1:120",),
    "H0": ("1:87",),  # 3.5 mm to the foot is 1:87.09: no difference that matters here
    "HO": ("1:87",),
    "OO": ("4 mm/ft",),
    "00": ("4 mm/ft",),
    "EM": ("4 mm/ft",),
    "P4": ("4 mm/ft",),
    "S4": ("4 mm/ft",),
    "S": ("1:64",),
    "O": ("1:45", "1:48", "7 mm/ft"),  # most of Europe; North America; Britain and France
    "0": ("1:45", "1:48", "7 mm/ft"),
    "S7": ("7 mm/ft",),
    "1": ("1:32", "10 mm/ft"),  # most of Europe; Britain
    "G": ("1:22.5",),
}
"""What each name means; several ratios where that depends on the country."""


class Scale(Struct, frozen=True):
    """A scale as the plan names it; ``ratio`` is 76.2 for 1:76.2."""

    text: str
    ratio: Fraction
    citations: tuple[Citation, ...] = ()

    def __str__(self) -> str:
        """Return the name with the ratio: ``OO (1:76.2)``."""
        ratio = shown(self.ratio)
        return ratio if self.text == ratio else f"{self.text} ({ratio})"


def scale(layout: Layout) -> Scale | None:
    """Return the scale of a plan; None if it says none, or not clearly (see ``meanings``)."""
    found = meanings(layout)
    return found[0] if len(found) == 1 else None


def meanings(layout: Layout) -> list[Scale]:
    """Return what the plan's scale can mean: nothing if it is unknown, several if that depends on the country.

    What the plan's rulebook says of a name, as its parameter ``scale-n``, decides.
    """
    text = layout.plan.scale.strip()
    if not text:
        return []
    if (own := ratio(text)) is not None:
        return [Scale(text, own)]
    name = known_name(text)
    if decided := _decided(layout, name):
        return [decided]
    return [Scale(text, _certain(said), (TRADE,)) for said in NAMES.get(name, ())]


def ratio(text: str) -> Fraction | None:
    """Return the ratio that ``1:76.2`` or ``4 mm/ft`` says; None if it is neither, or nothing."""
    first, colon, second = text.partition(":")
    one, other = (first, second) if colon else (text.removesuffix("mm/ft"), FOOT)
    if not colon and not text.endswith("mm/ft"):
        return None
    small, large = plain_number(one.strip()), plain_number(other.strip())
    return large / small if small and large and small > 0 and large > 0 else None


def known_name(text: str) -> str:
    """Return a scale's name as it is listed, however it is written; empty if it is not listed."""
    plain = text.replace(" ", "").replace(":", "").replace("-", "").upper()
    return next((name for name in NAMES if name.upper() == plain), "")


def shown(amount: Fraction) -> str:
    """Return a ratio as it is written: ``1:76.2``, ``1:43.54``."""
    return f"1:{float(amount):.2f}".rstrip("0").rstrip(".")


def _decided(layout: Layout, name: str) -> Scale | None:
    """Return what a name means where the plan's rulebook holds."""
    key = f"scale-{name.lower()}"
    if layout.rulebook is None or key not in layout.rulebook.parameters:
        return None
    said = layout.rulebook.parameters[key]
    found = ratio(as_text(said["value"] if isinstance(said, dict) else said))
    if found is None:
        return None
    return Scale(layout.plan.scale, found, (layout.rulebook.why("parameters", key, "value"),))


def _certain(text: str) -> Fraction:
    """Return the ratio of a text that is known to be one."""
    found = ratio(text)
    if found is None:
        raise ValueError(f"{text!r} is no scale")
    return found
