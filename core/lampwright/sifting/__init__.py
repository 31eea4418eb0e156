"""Between checks and reports: what a user has allowed, and what a baseline knows already."""

from __future__ import annotations

from lampwright.sifting.sift import allow

__all__ = ["allow"]
