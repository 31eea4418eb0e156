"""Hands over the rulebooks that come with Lampwright."""

from __future__ import annotations

from pathlib import Path

from lampwright.host import hookimpl

lampwright_api = 1


@hookimpl
def rulebooks() -> list[Path]:
    """Return the folder of rulebooks, wherever it was installed."""
    import lampwright_rulesets  # a folder of data; importlib.resources would take longer

    return [Path(folder) for folder in lampwright_rulesets.__path__]
