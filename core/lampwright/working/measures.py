"""Lengths and speeds of a plan: on the layout, to scale, and what they stand for."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.quantities import Quantity, plain_number, quantity
from lampwright.rulebooks.codec import as_text
from lampwright.working.scales import Scale, scale

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lampwright.layout import Layout

REAL = "real"
MODEL = "model"


class Length(Struct, frozen=True):
    """A length in metres. ``model``: on the layout. ``scaled``: the prototype's, strictly to scale.

    ``stands``: the length of the prototype that it stands for, which the plan's compression makes longer. Each is None
    if it is not known; ``stands`` also where the plan does not say how much it is compressed.
    """

    model: Fraction | None
    scaled: Fraction | None
    stands: Fraction | None

    def __add__(self, other: Length) -> Length:
        """Return the length of both together."""
        return Length(_sum(self.model, other.model), _sum(self.scaled, other.scaled), _sum(self.stands, other.stands))

    def __bool__(self) -> bool:
        """Tell whether anything is known of it."""
        return (self.model, self.scaled, self.stands) != (None, None, None)


NOTHING = Length(Fraction(0), Fraction(0), Fraction(0))
UNKNOWN = Length(None, None, None)


class Yardstick(Struct, frozen=True):
    """What turns a plan's lengths and speeds into the prototype's and back.

    ``compression`` is how many times shorter than to scale the layout is; None if the plan does not say.
    """

    scale: Scale | None
    compression: Fraction | None

    @classmethod
    def of(cls, layout: Layout) -> Yardstick:
        """Return the yardstick of a plan."""
        return cls(scale(layout), compression(layout.plan.values.get("compression")))

    def length(self, written: object) -> Length:
        """Return a length as it is written in a plan: the model's, unless ``real`` stands before it."""
        found = read(written, "length")
        if found is None:
            return UNKNOWN
        return self.standing(found.amount) if found.frame == REAL else self.laid(found.amount)

    def laid(self, metres: Fraction) -> Length:
        """Return the length of something laid on the layout."""
        if self.scale is None:
            return Length(metres, None, None)
        scaled = metres * self.scale.ratio
        return Length(metres, scaled, scaled * self.compression if self.compression else None)

    def standing(self, metres: Fraction) -> Length:
        """Return the length on the layout that stands for a length of the prototype."""
        if self.compression is None:
            return Length(None, None, metres)
        scaled = metres / self.compression
        return Length(scaled / self.scale.ratio if self.scale else None, scaled, metres)

    def speed(self, written: object) -> Fraction | None:
        """Return a speed of the prototype in m/s; one that is the model's needs the scale. None if it is nothing."""
        found = read(written, "speed")
        if found is None or found.amount <= 0:
            return None
        if found.frame != MODEL:
            return found.amount
        return found.amount * self.scale.ratio if self.scale else None


def read(written: object, measures: str) -> Quantity | None:
    """Return a quantity of a kind; None if what is written is none."""
    if written is None:
        return None
    try:
        return quantity(as_text(written), measures)
    except ValueError:
        return None


def compression(written: object) -> Fraction | None:
    """Return how many times shorter than to scale a layout is, from ``4``, ``1:4`` or ``25 %``."""
    text = as_text(written)
    found = plain_number(text.removeprefix("1:").removesuffix("%").strip())
    if found is None or found <= 0:
        return None
    return 100 / found if text.endswith("%") else found


def plainly(amount: Fraction) -> str:
    """Return an amount with two decimals at most: ``4``, ``3.33``."""
    return f"{float(amount):.2f}".rstrip("0").rstrip(".")


def total(lengths: Iterable[Length]) -> Length:
    """Return the length of all together; what is not known of one is not known of all."""
    return sum(lengths, NOTHING)


def _sum(one: Fraction | None, other: Fraction | None) -> Fraction | None:
    return None if one is None or other is None else one + other
