"""``lampwright plugins``: what was loaded from where, and what failed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from lampwright.commands.group import session_of
from lampwright.commands.output import show, write
from lampwright.reports.tables import table

if TYPE_CHECKING:
    from lampwright.host import PluginInfo

FAILED = 1


@click.command(
    epilog="""
\b
Examples:
  lampwright plugins
  LAMPWRIGHT_PLUGINS=signals lampwright plugins   load one installed plugin only
  lampwright --trace-plugins plugins              show every call of a plugin
"""
)
@click.pass_context
def plugins(ctx: click.Context) -> None:
    """List the plugins: what each brings, where it comes from, and what failed.

    The exit code is 1 if a plugin failed.
    """
    session = session_of(ctx)
    host = session.host
    for ask in (host.checks, host.rulebook_dirs, host.parts_dirs, host.reporters, host.commands):
        ask()
    _ = session.checks  # leaves out those that cannot run
    for line in table([["plugin", "version", "brings", "from"], *map(_row, host.plugins)]):
        write(f"{line}\n")
    if session.troubles:
        write("\n")
        show(session.troubles, {})
        ctx.exit(FAILED)


def _row(plugin: PluginInfo) -> list[str]:
    """Return a plugin's row."""
    version = plugin.version if plugin.distribution == "lampwright" else f"{plugin.distribution} {plugin.version}"
    return [plugin.name, version, ", ".join(plugin.hooks), plugin.location]
