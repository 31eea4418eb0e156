"""The way in: runs a command, and makes everything that can end it an exit code."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING, NoReturn, TextIO

import click

from lampwright.commands.group import lampwright
from lampwright.commands.output import say

if TYPE_CHECKING:
    from collections.abc import Sequence

FAILED = 2
"""Exit code of a wrong call and of a failure of the program itself: neither says anything about a plan."""
INTERRUPTED = 130
READER_GONE = 141
"""Exit codes that shells give for ^C and for a pipe that nobody reads any more."""


def main(arguments: Sequence[str] | None = None) -> NoReturn:
    """Run the command line and exit: 0 clean, 1 findings, 2 wrong call or failure, 3 nothing to check."""
    try:
        sys.stdout, sys.stderr = _ready(sys.stdout), _ready(sys.stderr)
        code = _ended(sys.argv[1:] if arguments is None else list(arguments))
        if code in (FAILED, READER_GONE, INTERRUPTED):
            _let_go(sys.stdout)
    except KeyboardInterrupt as stop:
        say(f"lampwright: interrupted{''.join(f' {note}' for note in getattr(stop, '__notes__', ()))}")
        code = INTERRUPTED
        _let_go(sys.stdout)
    sys.exit(code)


def _ended(arguments: Sequence[str]) -> int:
    """Run the command line; return its exit code, whatever ends it but ^C."""
    try:
        code = _run(arguments)
        sys.stdout.flush()
    except click.Abort:  # ^C, or no more answers, at a question: the command says what that means
        return INTERRUPTED
    except BrokenPipeError:
        return READER_GONE
    except OSError as error:
        say(f"lampwright: {_sentence(error)}")
        return FAILED
    except Exception:  # noqa: BLE001  (whatever it is, it must not look like a finding)
        _mishap()
        return FAILED
    return code


def _sentence(error: OSError) -> str:
    """Return an error of the system without its number."""
    if isinstance(error, FileNotFoundError) and error.filename is None:  # only asking for the working folder names none
        return "the working folder is not there any more"
    if error.strerror is None:
        return str(error)
    where = f"{error.filename}: " if error.filename is not None else ""
    return f"{where}{error.strerror.lower()}"


def _run(arguments: Sequence[str]) -> int:
    """Run one command; return its exit code."""
    if "_LAMPWRIGHT_COMPLETE" in os.environ:  # a shell asks what may come next
        lampwright.main(list(arguments), prog_name="lampwright")
    try:
        with lampwright.make_context("lampwright", list(arguments)) as context:
            lampwright.invoke(context)
    except click.exceptions.Exit as end:
        return end.exit_code
    except click.ClickException as error:
        _complain(error)
        return FAILED
    return 0


def _complain(error: click.ClickException) -> None:
    """Say what is wrong with a call, and where to look."""
    say(f"lampwright: {error.format_message()}")
    if isinstance(error, click.UsageError) and error.ctx is not None:
        say(f"see {error.ctx.command_path} --help")


def _mishap() -> None:
    """Show what went wrong in the program itself."""
    from traceback import format_exc

    say(format_exc())
    say("lampwright: this is a mistake in Lampwright itself, and says nothing about your plan; please report it")


def _ready(stream: TextIO | None) -> TextIO:
    """Return a stream that takes any character; one that was closed before the start swallows all."""
    if stream is None:
        return open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123  (stays open to the end)
    if hasattr(stream, "reconfigure"):
        stream.reconfigure(errors="backslashreplace")
    return stream


def _let_go(stream: TextIO) -> None:
    """Drop what could not be written, so that Python does not try again at the end."""
    try:
        stream.flush()
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
