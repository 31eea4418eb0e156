"""What plugins fail in, as findings: fewer checks must never look like a clean run."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.findings import Finding, Level, Spot

if TYPE_CHECKING:
    from lampwright.engine import UnknownPrerequisite
    from lampwright.findings import Path
    from lampwright.host import PluginFailure

NOWHERE = Spot("", ())
"""The spot of a finding about no file."""


def failed_plugin(failure: PluginFailure) -> Finding:
    """Return the finding of a plugin that is missing from the run, or of what it should have brought."""
    return Finding("failed-plugin", Level.ERROR, _told(failure), NOWHERE, tip=failure.tip)


def failed_check(failure: PluginFailure, file: str, path: Path, more: int) -> Finding:
    """Return the finding of a check that raised when it looked at a subject, and at ``more`` of them besides."""
    because = f"it raised {more:,} more times" if more > 1 else "it raised once more" if more else ""
    spot = Spot(file, path, on_key=True)
    tip = "what this check looks for has not been looked for here; tell whoever made the plugin"
    return Finding("failed-check", Level.ERROR, _told(failure), spot, because=because, tip=tip)


def left_out(trouble: UnknownPrerequisite) -> Finding:
    """Return the finding of checks that cannot run for want of one they need."""
    return Finding("failed-check", Level.ERROR, trouble.message, NOWHERE, tip=trouble.tip)


def _told(failure: PluginFailure) -> str:
    """Return which plugin failed, and in what."""
    return f"plugin {' '.join(filter(None, (failure.plugin, failure.version)))}: {failure.cause}"
