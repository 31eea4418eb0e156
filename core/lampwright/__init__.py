"""Lampwright: check, wire and prove the colour-light signals of a model railway."""

from typing import Final

__version__: Final = "0.1.0"

API: Final = 1
"""Number of the plugin interface; it changes only when a plugin has to be changed with it."""

ANYTHING: Final = (Exception, SystemExit)
"""What code of a plugin may raise without the user meaning it."""
