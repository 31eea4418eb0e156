"""The kernel's own commands by name; each module is imported when its command is asked for."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    import click

OWN: Final = ("check", "watch", "explain", "rulebooks", "plugins", "config", "schema", "completion")
"""In the order in which the help lists them. The module of each has its name, and so has the command in it."""


def own(name: str) -> click.Command:
    """Return one of the kernel's own commands."""
    command: click.Command = getattr(import_module(f"lampwright.commands.{name}"), name)
    return command
