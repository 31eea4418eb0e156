"""Rulebooks: the model, loading and dumping, reading displays, the order of restriction."""

from lampwright.rulebooks.load import RulebookFaults, dump, load, with_forms
from lampwright.rulebooks.model import Rulebook

__all__ = ["Rulebook", "RulebookFaults", "dump", "load", "with_forms"]
