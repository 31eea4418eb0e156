"""How lamps come and go: shares of light, step by step.

A filament is followed as a lump of tungsten: ``tau d(theta)/dt = theta**-1.2 - theta**4`` while it is fed, without the
first term while it is not; theta is its temperature as a share of 2700 K, its light that of a black body at 560 nm.
That gives what is seen of lamps: nothing at first and then a quick rise; a drop at once and then a long tail. The light
of a LED follows its supply within about 20 ms. A fade is no limit that anything hangs on, so floats do here.
"""

from __future__ import annotations

from functools import cache
from math import exp
from typing import TYPE_CHECKING, Final

from msgspec import Struct

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

FILAMENT, LED, NONE = "filament", "led", ""
WHOLE: Final = 1 << 15
"""The whole of a way in the player's tables."""
INERTIA: Final = 0.2
"""Thermal time constant in seconds: 90 % of light after 179 ms, as signals with bulbs (90 to 200 ms) have it."""
LED_RISE: Final = 20
"""Milliseconds in which units with LEDs come up."""
AMBIENT: Final = 293 / 2700
PLANCK: Final = 0.014387769 / (560e-9 * 2700)
"""Second radiation constant by wavelength and temperature."""
FINE: Final = 10
"""Steps of the calculation in a millisecond."""
NEAR: Final = 1 / 512
"""What is left of a way when a fade ends."""


class Fade(Struct, frozen=True):
    """Shares of the way (in 1/32768) after the first step, the second and so on; the last of each is the whole."""

    rise: tuple[int, ...]
    fall: tuple[int, ...]


def fade(kind: str, step: int) -> Fade:
    """Return how a kind of lamp (``filament``, ``led``, or nothing: at once) fades in steps of so many ms."""
    if kind == FILAMENT:
        heats, cools = _filament()
        return Fade(
            _sampled(lambda ms: heats[min(ms, len(heats) - 1)], step), _sampled(lambda ms: _cooled(cools, ms), step)
        )
    if kind == LED:
        even = _sampled(lambda ms: min(ms / LED_RISE, 1), step)
        return Fade(even, even)
    return Fade((WHOLE,), (WHOLE,))


def _sampled(share: Callable[[int], float], step: int) -> tuple[int, ...]:
    """Return a course of light at every step until next to nothing is missing."""
    found = []
    at = step
    while share(at) < 1 - NEAR:
        found.append(round(share(at) * WHOLE))
        at += step
    return (*found, WHOLE)


def _cooled(cools: tuple[float, ...], ms: int) -> float:
    """Return which share of its light a filament has lost."""
    return 1 - cools[min(ms, len(cools) - 1)]


@cache
def _filament() -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return the light of a filament by milliseconds: from cold on, and from full light off."""
    return tuple(_course(AMBIENT, fed=True)), tuple(_course(1, fed=False))


def _course(theta: float, *, fed: bool) -> Iterator[float]:
    """Yield the light at each millisecond until it is where it goes to."""
    goal = 1.0 if fed else 0.0
    while abs(_light(theta) - goal) >= NEAR / 2:
        yield _light(theta)
        for _ in range(FINE):
            theta += ((theta**-1.2 if fed else 0) - theta**4) / (INERTIA * 1000 * FINE)
    yield goal


def _light(theta: float) -> float:
    """Return the light at a temperature, both as shares."""
    return (exp(PLANCK) - 1) / (exp(PLANCK / theta) - 1)
