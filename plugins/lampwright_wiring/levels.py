"""Lightness and light: how bright a lamp looks, and how much light that takes."""

from __future__ import annotations

from fractions import Fraction

KAPPA = Fraction(24389, 27)
LIMIT = 8
"""Constants of CIE 1976 lightness (e-ILV 17-23-076), exact: below the limit it grows with the light itself."""


def luminance(lightness: Fraction) -> Fraction:
    """Return the share of full light that looks as light as CIE L* says, 0 to 100; exactly."""
    if lightness <= LIMIT:
        return max(lightness, Fraction(0)) / KAPPA
    return ((min(lightness, Fraction(100)) + 16) / 116) ** 3


def duty(level: Fraction) -> Fraction:
    """Return the share of time a lamp is on that is set to a share of full lightness."""
    return luminance(level * 100)
