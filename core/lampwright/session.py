"""What all commands of one call share: the plugins, the rulebooks and the checks, each loaded when first asked for."""

from __future__ import annotations

import os
from functools import cached_property
from typing import TYPE_CHECKING

from lampwright.host import Host

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from lampwright.checks import Check
    from lampwright.engine import Raised, Tell
    from lampwright.findings import Finding
    from lampwright.layout import Settings
    from lampwright.library import Library
    from lampwright.project import Result, Source

LIMIT = "LAMPWRIGHT_PLUGINS"
"""Variable of the environment that names the plugins to load."""


class Session:
    """The plugins of one call with what they bring; ``trace`` gets a line for every hook call."""

    def __init__(self, trace: Callable[[str], object] | None = None) -> None:
        self._trace = trace
        self._left_out: list[Finding] = []

    @cached_property
    def host(self) -> Host:
        """The plugin host, with the kernel's own plugin and all that are installed."""
        from lampwright import builtin

        host = Host.load([builtin], os.environ.get(LIMIT))
        if self._trace:
            host.trace(self._trace)
        return host

    @cached_property
    def library(self) -> Library:
        """The rulebooks and parts data of all plugins."""
        from lampwright.library import Library

        rulebooks = (folder for _, folder in self.host.rulebook_dirs())
        return Library(rulebooks, parts=(folder for _, folder in self.host.parts_dirs()))

    @cached_property
    def checks(self) -> list[Check]:
        """The checks of all plugins in the order in which they run; those that cannot run are left out."""
        from lampwright.engine import UnknownPrerequisite, in_order
        from lampwright.failures import left_out

        usable = self.host.checks()
        while True:
            try:
                return in_order(usable)
            except UnknownPrerequisite as trouble:
                self._left_out.append(left_out(trouble))
                usable = [check for check in usable if check.name not in trouble.checks]

    def anew(self) -> Session:
        """Return a session of the same plugins that has read nothing yet."""
        again = Session(self._trace)
        again.host = self.host
        return again

    @property
    def troubles(self) -> list[Finding]:
        """A finding for every plugin that failed so far, and for checks that had to be left out."""
        from lampwright.failures import failed_plugin

        return [*map(failed_plugin, self.host.failures), *self._left_out]

    def examine(
        self, sources: Iterable[Source], settings: Settings, *, allow: bool = True, tell: Tell | None = None
    ) -> Result:
        """Run all checks over files; what failed in a plugin is among the findings.

        Unless ``allow``, comments that allow findings count for nothing. ``tell`` is told how far the work is.
        """
        from lampwright.project import Run

        run = Run(self.library, self.checks, settings, self._blame, allow=allow, tell=tell)
        troubles = self.troubles  # before the run: a check that fails in it has a finding of its own
        result = run.over(sources)
        result.findings += troubles
        return result

    def _blame(self, raised: Raised, file: str, more: int) -> Finding:
        """Return the finding of a check that raised."""
        from lampwright.failures import failed_check

        failure = self.host.raised("checks", raised.check, raised.error)
        return failed_check(failure, file, raised.path, more)
