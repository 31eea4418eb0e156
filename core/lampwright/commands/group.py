"""``lampwright`` itself: finds the command that is asked for, and gives it the session."""

from __future__ import annotations

from typing import Any

import click

from lampwright import ANYTHING, __version__
from lampwright.commands.output import say
from lampwright.commands.table import OWN, own
from lampwright.session import Session

NOT_FAILURES = (click.exceptions.Exit, click.Abort, click.ClickException, BrokenPipeError)
"""What a command may raise to say something to the user, or when its reader has gone."""


class Commands(click.Group):
    """The kernel's commands, then those of plugins; no plugin is asked for its commands before one is needed."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names of all commands."""
        return [*OWN, *(name for name in _brought(ctx) if name not in OWN)]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return a command; None if there is none of that name."""
        return own(cmd_name) if cmd_name in OWN else _brought(ctx).get(cmd_name)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Return the command that the first argument names; an unknown one gets the near miss."""
        if args and not args[0].startswith("-") and self.get_command(ctx, args[0]) is None:
            from lampwright.words import did_you_mean  # only a slip pays for it

            tip = did_you_mean(args[0], self.list_commands(ctx), "the commands")
            raise click.UsageError(f"there is no command {args[0]}: {tip}", ctx)
        return super().resolve_command(ctx, args)

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; if one of a plugin falls over, say whose it is."""
        try:
            return super().invoke(ctx)
        except NOT_FAILURES:
            raise
        except ANYTHING as error:
            name = ctx.invoked_subcommand or ""
            if isinstance(error, SystemExit) or name in OWN or name not in _brought(ctx):
                raise
            failure = session_of(ctx).host.raised("commands", name, error)
            raise click.ClickException(f"plugin {failure.plugin} {failure.version}: {failure.cause}") from error


def session_of(ctx: click.Context) -> Session:
    """Return the session that all commands of this call share."""
    root = ctx.find_root()
    if root.obj is None:
        root.obj = Session(trace=say if root.params.get("trace_plugins") else None)
    session: Session = root.obj
    return session


def _brought(ctx: click.Context) -> dict[str, click.Command]:
    """Return the commands of all plugins by name."""
    return {str(command.name): command for command in session_of(ctx).host.commands()}


@click.group(
    cls=Commands,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog="""
\b
Examples:
  lampwright check layout.yaml            check one plan
  lampwright check .                      check all plans and rulebooks in this folder
  lampwright explain unknown-form         what a finding means, with examples
  lampwright rulebooks gb-colour-light    what a rulebook says

\b
Variables of the environment:
  LAMPWRIGHT_PLUGINS=a,b   of the installed plugins, load only these
  LAMPWRIGHT_OUTSIDE=a:b   folders that links and paths in files of a project may lead to
  NO_COLOR, FORCE_COLOR    never or always colour the output

For model railways only: nothing this program says is fit for a real railway.
""",
)
@click.version_option(__version__, prog_name="lampwright", message="%(prog)s %(version)s")
@click.option("--trace-plugins", is_flag=True, help="Show every call of a plugin as it happens.")
@click.pass_context
def lampwright(ctx: click.Context, trace_plugins: bool) -> None:  # noqa: ARG001, FBT001  (see session_of)
    """Check the signals of a model railway: lamps, aspects, indicators, dates.

    A plan says what signals there are, a rulebook what such signals look like and may show.
    Lampwright compares the two, and says what is wrong, where, why, and by which source.
    """
    session_of(ctx)
    if ctx.invoked_subcommand is None:
        say(ctx.get_help())
        ctx.exit(2)
