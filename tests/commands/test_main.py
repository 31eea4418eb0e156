"""The way in: help, slips, interruptions, streams that are closed, narrow or gone."""

from __future__ import annotations

import re
import signal
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from click.testing import CliRunner

import lampwright
from command_line import call, run, start
from lampwright.commands.group import lampwright as group
from lampwright.commands.table import OWN
from named_checks import plan

if TYPE_CHECKING:
    from plugin_site import Site


def test_the_version() -> None:
    """One line for bug reports and scripts."""
    done = call("--version")
    assert (done.code, done.out) == (0, f"lampwright {lampwright.__version__}\n")


@pytest.mark.parametrize("command", ["", *OWN])
def test_help_has_examples(command: str) -> None:
    """Each names the command as it is called; ``-h`` is the same."""
    arguments = [command] if command else []
    done = call(*arguments, "--help")
    assert (done.code, done.err) == (0, "")
    assert call(*arguments, "-h").out == done.out
    examples = done.out.partition("Examples:\n")[2]
    assert f"  lampwright {command}" in examples
    assert all(len(line) <= 100 for line in done.out.splitlines())


def test_help_lists_every_command() -> None:
    """In the order in which they are needed."""
    listed = re.findall(r"^  (\w+)  ", call("--help").out.partition("Commands:\n")[2], re.MULTILINE)
    assert listed[: len(OWN)] == list(OWN)


def test_no_command_is_a_wrong_call() -> None:
    """It shows the help, but a script has forgotten something."""
    done = call()
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith("Usage: lampwright [OPTIONS]")


def test_a_misspelt_command_gets_the_right_one() -> None:
    """Like any other slip."""
    done = call("chekc", "plan.yaml")
    assert (done.code, done.out) == (2, "")
    assert done.err == "lampwright: there is no command chekc: did you mean check?\nsee lampwright --help\n"


def test_the_commands_run_in_clicks_own_runner() -> None:
    """As the tests of a plugin would call them."""
    done = CliRunner().invoke(group, ["explain", "bad-yaml"])
    assert done.exit_code == 0
    assert done.output.startswith("error[bad-yaml]\n")


def test_a_command_of_a_plugin(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    """It stands beside the others and is found by its name; one that takes a name of ours is never called."""
    code = """
        import click

        from lampwright.commands import session_of

        @click.command()
        @click.argument("number", type=int)
        @click.pass_context
        def divide(context, number):
            '''Divide by a number.'''
            click.echo(f"{12 // number} {len(session_of(context).checks)}")

        @hookimpl
        def commands():
            return [divide, click.Command("check", callback=lambda: print("theirs"))]
    """
    site.install("sums", code)
    monkeypatch.setenv("LAMPWRIGHT_PLUGINS", "sums")
    assert call("divide", "4").out == "3 0\n"
    assert re.search(r"^  divide +Divide by a number\.$", call("--help").out, re.MULTILINE)
    assert call("check", plan("HF1")).out.startswith("No findings.")
    done = call("divide", "0")
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith("lampwright: plugin sums 2.5: the command divide raised ZeroDivisionError: ")


def test_tracing_shows_the_plugins_and_their_calls() -> None:
    """On the other stream: the report stays as it is."""
    done = run("--trace-plugins", "check", "-", stdin=b"plan: 1\n", LAMPWRIGHT_PLUGINS="rulebooks")
    assert done.code == 0
    assert done.out.startswith("No findings.")
    assert re.search(r"^loaded builtin .* hooks: commands, reporters$", done.err, re.MULTILINE)
    assert "hook rulebooks.rulebooks() is called\n" in done.err
    assert "commands() is called" not in done.err


def test_an_interrupted_run_is_quiet() -> None:
    """130, as shells have it, and no traceback."""
    process = start("--trace-plugins", "check", "-")
    assert process.stderr is not None
    assert process.stderr.readline().startswith(b"loaded builtin")
    process.send_signal(signal.SIGINT)
    out, err = process.communicate()
    assert (process.returncode, out) == (130, b"")
    said = [line for line in err.splitlines() if not line.startswith((b"loaded", b"hook"))]
    assert len(said) == 1
    assert said[0].startswith(b"lampwright: interrupted")


def test_a_reader_that_has_gone_is_no_error() -> None:
    """As in ``lampwright rulebooks gb-colour-light | head -1``."""
    process = start("rulebooks", "gb-colour-light")
    assert process.stdout is not None
    process.stdout.close()
    assert process.stderr is not None
    assert process.stderr.read() == b""
    assert process.wait() == 141
    process.stderr.close()
    assert process.stdin is not None
    process.stdin.close()


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a disk that is always full")
def test_a_full_disk_is_a_failure_and_not_a_finding() -> None:
    """A report that was cut short must not look like a short report."""
    with Path("/dev/full").open("w", encoding="utf-8") as full:
        done = subprocess.run(
            [sys.executable, "-m", "lampwright", "explain"], stdout=full, stderr=subprocess.PIPE, check=False, text=True
        )
    assert done.returncode == 2
    assert done.stderr == "lampwright: no space left on device\n"


def test_closed_streams_do_no_harm() -> None:
    """As some services start their programs."""
    command = f"exec {sys.executable} -m lampwright check - >&- 2>&-"
    done = subprocess.run(["/bin/sh", "-c", command], input=b"plan: 1\n", capture_output=True, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (0, b"", b"")


def test_a_terminal_that_cannot_show_a_character_gets_an_escape() -> None:
    """A name in another script does not end the report."""
    content = "plan: 1\nsignals: {信号: {frm: x}}\n".encode()
    done = run("check", "-", stdin=content, PYTHONIOENCODING="ascii")
    assert done.code == 1
    assert r"signals: {\u4fe1\u53f7: {frm: x}}" in done.out
    assert done.err == ""


def test_colour_is_for_those_who_want_it() -> None:
    """Not in a pipe, unless it is asked for; what is said is the same."""
    plain = run("check", "-", stdin=b"plna: 1\n")
    coloured = run("check", "-", stdin=b"plna: 1\n", FORCE_COLOR="1")
    assert "\x1b" not in plain.out
    assert "\x1b[1;31merror[unknown-kind]\x1b[0m" in coloured.out
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured.out) == plain.out
    assert run("check", "-", stdin=b"plna: 1\n", FORCE_COLOR="1", NO_COLOR="1").out == plain.out


@pytest.mark.parametrize("name", ["no\x1b[31mred", "right\u202eleft", "a\nb"])
def test_a_name_from_the_command_line_does_not_act_on_the_terminal(name: str) -> None:
    """Wherever it is repeated."""
    for arguments in (
        ("check", name),
        (name,),
        ("explain", name),
        ("rulebooks", name),
        ("check", "-", "--format", name),
    ):
        done = call(*arguments)
        assert done.code == 2
        assert done.err.replace("\n", "").isprintable()


def test_what_goes_wrong_in_lampwright_itself_is_no_finding(monkeypatch: pytest.MonkeyPatch) -> None:
    """2, with what is needed to mend it."""
    monkeypatch.setattr("lampwright.commands.chosen.find", lambda *_: 1 / 0)
    done = call("check", "-")
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith("Traceback")
    assert "ZeroDivisionError: division by zero\nlampwright: this is a mistake in Lampwright itself" in done.err


def test_a_sound_plan_does_not_pay_for_what_only_a_slip_needs() -> None:
    """Nothing of these is imported: a check of a small plan should not take longer than a glance."""
    code = """if True:
        import sys
        from lampwright.commands import main
        try:
            main(["check", "-"])
        except SystemExit as end:
            print(end.code, sorted({"jsonschema", "difflib", "importlib.metadata", "traceback"} & set(sys.modules)))
    """
    given = b"plan: 1\nrulebook: gb-colour-light\nyear: 1978\nsignals: {HF1: {form: three-aspect}}\n"
    done = subprocess.run([sys.executable, "-c", code], input=given, capture_output=True, check=True)
    assert done.stdout.decode().splitlines()[-1] == "0 []"
