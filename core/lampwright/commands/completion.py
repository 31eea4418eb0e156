"""``lampwright completion``: what a shell needs to complete commands, options, rules and rulebooks."""

from __future__ import annotations

from typing import Final

import click

from lampwright.commands.output import write

SHELLS: Final = ("bash", "zsh", "fish")


@click.command(
    epilog="""
\b
Examples:
  lampwright completion bash > ~/.local/share/bash-completion/completions/lampwright
  lampwright completion zsh > ~/.zfunc/_lampwright              a folder in fpath
  lampwright completion fish > ~/.config/fish/completions/lampwright.fish
"""
)
@click.argument("shell", type=click.Choice(SHELLS))
@click.pass_context
def completion(ctx: click.Context, shell: str) -> None:
    """Print the script by which a shell completes this program's commands."""
    from click.shell_completion import get_completion_class

    script = get_completion_class(shell)
    if script is None:  # click knows all three
        raise click.ClickException(f"no script for {shell}")
    group = ctx.find_root().command
    made = script(group, {}, "lampwright", "_LAMPWRIGHT_COMPLETE")
    write(made.source_template % made.source_vars())
