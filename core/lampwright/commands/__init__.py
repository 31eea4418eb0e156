"""The command line."""

from lampwright.commands.main import main

__all__ = ["main"]
