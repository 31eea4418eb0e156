"""The marker a plugin puts on its hook functions."""

from __future__ import annotations

from typing import Final

import pluggy

GROUP: Final = "lampwright"
"""Name of the entry-point group a plugin is found by, and of the pluggy project."""

hookimpl = pluggy.HookimplMarker(GROUP)
"""Marks a function of a plugin as its answer to the hook of the same name."""

hookspec = pluggy.HookspecMarker(GROUP)
