"""``lampwright serve-editor``: what an editor starts and speaks to."""

from __future__ import annotations

import click

from lampwright.commands.group import session_of


@click.command(
    name="serve-editor",
    epilog="""
\b
Examples:
  lampwright serve-editor        an editor starts it, for YAML files, and speaks the
                                 Language Server Protocol over standard input and output
""",
)
@click.pass_context
def serve_editor(ctx: click.Context) -> None:
    """Serve an editor: findings as you type, completion, what words mean, fixes, rename.

    Needs the extra: pip install 'lampwright[editor]'
    """
    try:
        from lampwright_editor.server import Server
    except ImportError as error:
        if error.name not in {"pygls", "lsprotocol"}:
            raise
        raise click.ClickException("this needs one package more: pip install 'lampwright[editor]'") from error
    Server(session_of(ctx)).start_io()
