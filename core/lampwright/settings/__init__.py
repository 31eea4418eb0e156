"""The configuration of a project: what holds for its plans, and where it says so."""

from __future__ import annotations

from lampwright.settings.configuration import NONE, Configuration
from lampwright.settings.find import Configurations

__all__ = ["NONE", "Configuration", "Configurations"]
