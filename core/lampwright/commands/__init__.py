"""The command line."""

from lampwright.commands.group import session_of
from lampwright.commands.main import main

__all__ = ["main", "session_of"]
