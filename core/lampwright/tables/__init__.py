"""What a controller is told of every signal: its commands by number, and what each lights."""

from __future__ import annotations

from lampwright.tables.building import tables
from lampwright.tables.model import Beat, Command, LeftOut, Shine, SignalTable, Tables

__all__ = ["Beat", "Command", "LeftOut", "Shine", "SignalTable", "Tables", "tables"]
