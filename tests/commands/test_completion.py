"""Completion: the scripts are what the shells take, and a shell gets commands, options, rules and rulebooks."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from command_line import call

PROGRAMS = Path(sys.executable).parent
BASH = shutil.which("bash")


def completed(line: str) -> list[str]:
    """Return what bash offers at the end of a line, by the script that is printed for it."""
    words = line.split(" ")
    script = f"""
source <(lampwright completion bash)
COMP_WORDS=({line}) COMP_CWORD={len(words) - 1} COMP_LINE='{line}' COMP_POINT={len(line)}
_lampwright_completion lampwright '{words[-1]}' '{words[-2]}'
printf '%s\\n' "${{COMPREPLY[@]}}"
"""
    path = f"{PROGRAMS}{os.pathsep}{os.environ['PATH']}"
    done = subprocess.run(
        [BASH or "", "-c", script], env={**os.environ, "PATH": path}, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.split()


@pytest.mark.skipif(BASH is None, reason="needs bash")
@pytest.mark.parametrize(
    ("line", "offered"),
    [
        ("lampwright exp", "explain"),
        ("lampwright seq", "sequence"),
        ("lampwright check --fail", "--fail-on"),
        ("lampwright explain unknown-fo", "unknown-form"),
        ("lampwright rulebooks gb-", "gb-colour-light"),
    ],
)
def test_bash_offers_what_may_come_next(line: str, offered: str) -> None:
    """Commands of plugins too."""
    assert offered in completed(line)


@pytest.mark.parametrize(("shell", "sign"), [("zsh", "#compdef lampwright"), ("fish", "complete --no-files")])
def test_other_shells_get_their_scripts(shell: str, sign: str) -> None:
    """As click writes them."""
    done = call("completion", shell)
    assert (done.code, done.err) == (0, "")
    assert sign in done.out
    assert "_LAMPWRIGHT_COMPLETE" in done.out
