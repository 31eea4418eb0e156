"""The plugin host: real distributions in a folder of their own, good ones and broken ones."""

from __future__ import annotations

import os
import subprocess
import sys
import sysconfig
import textwrap
from pathlib import Path
from types import SimpleNamespace

import click
import pytest

import lampwright
from lampwright.host import Host, PluginFailure, hookimpl
from plugin_site import Site

CORE = Path(lampwright.__file__).parents[1]
GOOD = """
    class RedTooHigh(Check):
        name = "red-too-high"

    @hookimpl
    def checks():
        return [RedTooHigh]
"""


@pytest.fixture
def site(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Site:
    """Give an import path on which nothing is installed but what the test installs."""
    standard = [sysconfig.get_path("stdlib"), f"{sysconfig.get_path('platstdlib')}/lib-dynload"]
    made = Site(tmp_path / "site")
    monkeypatch.setattr(sys, "path", [str(made.folder), *standard])
    monkeypatch.setattr(sys, "modules", dict(sys.modules))
    return made


def names(host: Host) -> list[str]:
    """Return the names of the checks brought."""
    return [check.name for check in host.checks()]


def only_failure(host: Host) -> PluginFailure:
    """Ask for everything, expect exactly one failure, and return it."""
    for ask in (host.checks, host.commands, host.reporters, host.rulebook_dirs):
        ask()
        ask()  # a second time changes nothing
    assert len(host.failures) == 1, host.failures
    return host.failures[0]


def test_an_installed_plugin_is_found_named_and_asked(site: Site) -> None:
    """Name and version come from the distribution, the location from the module."""
    module = site.install("lamps", GOOD, dist="lamp-checks")
    host = Host.load()
    assert names(host) == ["red-too-high"]
    (info,) = host.plugins
    assert (info.name, info.distribution, info.version) == ("lamps", "lamp-checks", "2.5")
    assert (info.location, info.hooks) == (str(module), ("checks",))
    assert host.failures == ()


def test_each_hook_reaches_its_own_answer(site: Site, tmp_path: Path) -> None:
    """One plugin may answer every hook."""
    code = f"""
        import click, pathlib
        class Mine(Check):
            name = "a-check"
        @hookimpl
        def checks():
            yield Mine
        @hookimpl
        def rulebooks():
            return [pathlib.Path({str(tmp_path)!r})]
        @hookimpl
        def reporters():
            return {{"loud": print}}
        @hookimpl
        def commands():
            return (click.Command("sing"),)
    """
    site.install("all", code)
    host = Host.load()
    assert names(host) == ["a-check"]
    assert host.rulebook_dirs() == [("all", tmp_path)]
    assert host.reporters() == {"loud": print}
    assert [command.name for command in host.commands()] == ["sing"]
    assert host.failures == ()


def test_a_plugin_may_be_an_object_in_a_module(site: Site) -> None:
    """An entry point may name an attribute, however deep."""
    code = """
        class Lamps:
            lampwright_api = 1
            class Mine(Check):
                name = "from-an-object"
            @hookimpl
            def checks(self):
                return [self.Mine]
        class shelf:
            lamps = Lamps()
    """
    module = site.install("lamps", code, target="plugin_lamps:shelf.lamps")
    host = Host.load()
    assert names(host) == ["from-an-object"]
    assert host.plugins[0].location == str(module)


def test_the_kernels_own_plugins_come_first_and_by_the_same_way(site: Site) -> None:
    """Built-ins are registered like any other, and keep a name that an outsider wants too."""

    class Ours:
        lampwright_api = 1

        @hookimpl
        def commands(self) -> list[click.Command]:
            return [click.Command("check", help="ours")]

    site.install("aaa", "import click\n@hookimpl\ndef commands():\n    return [click.Command('check', help='theirs')]")
    host = Host.load([Ours()])
    assert [command.help for command in host.commands()] == ["ours"]
    assert host.plugins[0].distribution == "lampwright"
    assert host.plugins[0].version == lampwright.__version__
    assert only_failure(host).cause == "the command check is already brought by Ours"


BROKEN = {
    "import error": ("import no_such_module", "cannot be imported: ModuleNotFoundError: No module named"),
    "syntax error": ("def (", "cannot be imported: SyntaxError: invalid syntax"),
    "raises on import": ("1 / 0", "cannot be imported: ZeroDivisionError: division by zero"),
    "leaves on import": ("raise SystemExit(0)", "cannot be imported: SystemExit: 0"),
    "newer API": ("lampwright_api = 2", "needs plugin API 2, and Lampwright {} has plugin API 1"),
    "API as text": ("lampwright_api = '1'", "needs plugin API '1', and Lampwright {} has plugin API 1"),
    "API as truth": ("lampwright_api = True", "needs plugin API True, and Lampwright {} has plugin API 1"),
    "no API": ("del lampwright_api", "states no number of the plugin API, and Lampwright {} has plugin API 1"),
    "misspelt hook": ("@hookimpl\ndef cheks():\n    return []", "answers a hook that does not exist, cheks()"),
    "hook with argument": (
        "@hookimpl\ndef checks(plan):\n    return []",
        "cannot be used: pluggy._manager.PluginValidationError: ",
    ),
    "hook raises": ("@hookimpl\ndef checks():\n    raise KeyError('lens')", "checks() raised KeyError: 'lens'"),
    "hook leaves": ("@hookimpl\ndef checks():\n    raise SystemExit(0)", "checks() raised SystemExit: 0"),
    "hook raises late": ("@hookimpl\ndef checks():\n    yield 1 / 0", "checks() raised ZeroDivisionError"),
    "hook forgets return": ("@hookimpl\ndef checks():\n    []", "checks() returned nothing, not classes of Check"),
    "a number": ("@hookimpl\ndef checks():\n    return 7", "checks() returned 7, not classes of Check with a name"),
    "a text": ("@hookimpl\ndef checks():\n    return 'ab'", "checks() returned 'ab', not classes of Check with a name"),
    "no class": ("@hookimpl\ndef checks():\n    return [7]", "checks() returned 7 among classes of Check with a name"),
    "no check": ("@hookimpl\ndef checks():\n    return [int]", "checks() returned <class 'int'> among classes of"),
    "no name": (
        "class NoName(Check): pass\n@hookimpl\ndef checks():\n    return [NoName]",
        "checks() returned <class 'plugin_bad.NoName'> among classes of Check with a name",
    ),
    "no folder": ("@hookimpl\ndef rulebooks():\n    return ['/']", "rulebooks() returned '/' among paths of folders"),
    "no such folder": (
        "import pathlib\n@hookimpl\ndef rulebooks():\n    return [pathlib.Path('no/such')]",
        "rulebooks() returned PosixPath('no/such') among paths of folders that exist",
    ),
    "no map": (
        "@hookimpl\ndef reporters():\n    return [print]",
        "reporters() returned [<built-in function print>], n",
    ),
    "no reporter": ("@hookimpl\ndef reporters():\n    return {'a': 'b'}", "reporters() returned ('a', 'b') among"),
    "no command": ("@hookimpl\ndef commands():\n    return [print]", "commands() returned <built-in function print> "),
    "wrapper": ("@hookimpl(wrapper=True)\ndef checks():\n    yield\n    return 5", "checks() returned nothing"),
}


@pytest.mark.parametrize(("code", "cause"), BROKEN.values(), ids=BROKEN)
def test_a_broken_plugin_is_one_failure_and_the_rest_goes_on(site: Site, code: str, cause: str) -> None:
    """The failure names plugin, distribution, version and cause; a sound plugin on either side still counts."""
    site.install("before", GOOD.replace("red-too-high", "before"))
    site.install("bad", code, dist="bad-plugin")
    site.install("last", GOOD.replace("red-too-high", "last"))
    host = Host.load()
    failure = only_failure(host)
    assert (failure.plugin, failure.distribution, failure.version) == ("bad", "bad-plugin", "2.5")
    assert failure.cause.startswith(cause.format(lampwright.__version__)), failure.cause
    assert "\n" not in failure.cause
    assert names(host) == ["before", "last"]


@pytest.mark.parametrize("kind", ["import error", "syntax error", "raises on import", "hook raises"])
def test_the_cause_says_where(site: Site, kind: str) -> None:
    """Whoever wrote the plugin finds the file and the line."""
    module = site.install("bad", "\n" + BROKEN[kind][0])
    line = module.read_text(encoding="utf-8").count("\n") + 1
    assert f"({module}:{line})" in only_failure(Host.load()).cause


def test_a_plugin_whose_module_is_missing_is_said_so_without_a_line_of_ours(site: Site) -> None:
    """The distribution is there, its code is not."""
    site.install("gone", "").unlink()
    assert only_failure(Host.load()).cause == "cannot be imported: ModuleNotFoundError: No module named 'plugin_gone'"


def test_a_misspelt_hook_gets_the_right_name(site: Site) -> None:
    """A hook nobody calls would mean checks that never run."""
    site.install("bad", BROKEN["misspelt hook"][0])
    assert only_failure(Host.load()).tip == "did you mean checks?"


def test_what_is_right_in_a_wrong_answer_counts(site: Site) -> None:
    """One bad class does not cost the user the good ones."""
    site.install("half", GOOD.replace("[RedTooHigh]", "[RedTooHigh, 7, None]"))
    host = Host.load()
    assert names(host) == ["red-too-high"]
    assert only_failure(host).cause == "checks() returned 7, None among classes of Check with a name"


def test_what_raises_at_work_is_a_failure_of_the_plugin_it_came_from(site: Site) -> None:
    """A check may be sound by its looks and still fall over a plan."""
    site.install("other", "")
    module = site.install("lamps", GOOD + "\n    def look():\n        1 / 0\n")
    host = Host.load()
    (check,) = host.checks()
    with pytest.raises(ZeroDivisionError) as caught:
        vars(sys.modules[check.__module__])["look"]()
    failure = host.raised("checks", check.name, caught.value)
    assert (failure.plugin, failure.version) == ("lamps", "2.5")
    where = f"({module}:{module.read_text(encoding='utf-8').count(chr(10))})"
    assert failure.cause == f"the check red-too-high raised ZeroDivisionError: division by zero {where}"
    assert host.failures == (failure,)


def test_two_checks_of_one_name_fail_the_later_plugin(site: Site) -> None:
    """The name in ``allow[...]`` must mean one thing."""
    site.install("one", GOOD)
    site.install("two", GOOD)
    host = Host.load()
    assert names(host) == ["red-too-high"]
    failure = only_failure(host)
    assert (failure.plugin, failure.cause) == ("two", "the check red-too-high is already brought by one")


def test_two_plugins_of_one_name_fail_the_later_distribution(site: Site) -> None:
    """Lampwright's own distribution comes first, so an outsider cannot stand in for a bundled plugin."""
    site.install("signals", GOOD, dist="aardvark")
    site.install("signals", GOOD, dist="lampwright")
    host = Host.load()
    assert host.plugins[0].distribution == "lampwright"
    failure = only_failure(host)
    assert failure.distribution == "aardvark"
    assert failure.cause == "the name signals is taken by the plugin of lampwright 2.5"


def test_the_first_of_two_copies_of_a_distribution_counts(site: Site, tmp_path: Path) -> None:
    """As with modules: what stands first on the import path hides the rest."""
    site.install("lamps", GOOD, dist="lamp_checks")
    second = Site(tmp_path / "second")
    second.install("lamps", "1 / 0", dist="Lamp-Checks")
    sys.path.append(str(second.folder))
    host = Host.load()
    assert names(host) == ["red-too-high"]
    assert host.failures == ()


def test_limiting_loads_only_what_is_named(site: Site) -> None:
    """A plugin left out is not even imported."""
    site.install("one", GOOD)
    site.install("two", "1 / 0")
    host = Host.load(limit=" one ,")
    assert [plugin.name for plugin in host.plugins] == ["one"]
    assert host.failures == ()
    assert "plugin_two" not in sys.modules


@pytest.mark.parametrize("limit", ["", " ", None])
def test_an_empty_limit_is_none(site: Site, limit: str | None) -> None:
    """An empty variable of the environment means: not set."""
    site.install("one", GOOD)
    assert [plugin.name for plugin in Host.load(limit=limit).plugins] == ["one"]


def test_limiting_to_a_plugin_that_is_not_there_is_a_failure(site: Site) -> None:
    """A slip in LAMPWRIGHT_PLUGINS must not look like a clean run."""
    site.install("signals", GOOD)
    assert Host.load(limit="signls").failures == (
        PluginFailure("signls", "", "", "no plugin named signls is installed", "did you mean signals?"),
    )


def test_limiting_keeps_the_kernels_own(site: Site) -> None:
    """The kernel's plugins are no installed ones."""
    site.install("one", GOOD)
    host = Host.load([SimpleNamespace(__name__="lampwright.own", lampwright_api=1)], limit="one,own")
    assert [plugin.name for plugin in host.plugins] == ["own", "one"]
    assert host.failures == ()


def test_tracing_shows_plugins_and_every_call(site: Site) -> None:
    """Which plugin, which hook, what came of it, how long it took."""
    site.install("bad", BROKEN["hook raises"][0])
    module = site.install("good", GOOD)
    site.install("old", "lampwright_api = 0")
    host = Host.load()
    lines: list[str] = []
    host.trace(lines.append)
    host.checks()
    host.commands()
    shown = [line.partition(" (")[0] if line.endswith(" ms)") else line for line in lines]
    assert shown[1] == f"loaded good 2.5 from {module}, hooks: checks"
    assert shown[2].startswith("failed old 2.5: needs plugin API 0")
    assert shown[3:] == [
        "hook bad.checks() is called",
        "hook bad.checks() raised KeyError('lens')",
        "hook good.checks() is called",
        "hook good.checks() returned list of 1",
    ]


def run(code: str, *, folder: Path, path: Path, module: bool) -> str:
    """Run Python code in a folder, in the two ways that put the folder on the import path, and return what it says."""
    (path / "runner.py").write_text(textwrap.dedent(code), encoding="utf-8")
    way = ["-m", "runner"] if module else ["-c", "import runner"]
    installed = [str(Path(package.__file__ or "").parents[1]) for package in (click,)]
    environment = os.environ | {"PYTHONPATH": os.pathsep.join([str(path), str(CORE), *installed, ""])}
    done = subprocess.run(
        [sys.executable, *way], cwd=folder, env=environment, capture_output=True, text=True, check=True
    )
    assert done.stderr == ""
    return done.stdout


@pytest.mark.parametrize("module", [True, False])
def test_nothing_is_imported_from_the_working_folder(tmp_path: Path, module: bool) -> None:  # noqa: FBT001
    """A folder to be checked that poses as a plugin, as the module of an installed one, and as one imported late."""
    site, evil = Site(tmp_path / "site"), Site(tmp_path / "plans")
    site.install("honest", GOOD.replace("    return", "    import late_help\n        return"))
    (site.folder / "late_help.py").write_text("")
    evil.install("honest", "print('evil honest')")
    evil.install("intruder", "print('evil intruder')")
    for name in ("late_help", "difflib", "site_of_evil"):
        (evil.folder / f"{name}.py").write_text("print('evil', __name__)")
    code = """
        from lampwright.host import Host
        host = Host.load()
        print([plugin.location for plugin in host.plugins if plugin.distribution != "lampwright"])
        print([check.name for check in host.checks() if check.name == "red-too-high"])
        print(Host.load(limit="honets").failures[-1].tip)
    """
    lines = run(code, folder=evil.folder, path=site.folder, module=module).splitlines()
    assert lines == [repr([str(site.folder / "plugin_honest.py")]), "['red-too-high']", "did you mean honest?"]


def test_a_working_folder_where_python_itself_lives_stays_on_the_path(
    site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Otherwise late imports of the standard library would fail there."""
    site.install("one", GOOD)
    standard = sysconfig.get_path("stdlib")
    monkeypatch.chdir(standard)
    Host.load()
    assert standard in sys.path


def test_a_working_folder_that_is_gone_does_no_harm(
    site: Site, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It may be deleted while a shell stands in it."""
    site.install("one", GOOD)
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()
    assert names(Host.load()) == ["red-too-high"]
    monkeypatch.chdir(tmp_path)


def test_the_older_record_of_a_distribution_is_read_too(site: Site) -> None:
    """Some systems still install ``.egg-info`` folders."""
    site.install("lamps", GOOD)
    info = (site.folder / "lamps-2.5.dist-info").rename(site.folder / "lamps.egg-info")
    (info / "METADATA").rename(info / "PKG-INFO")
    host = Host.load()
    assert host.plugins[0].version == "2.5"
    assert names(host) == ["red-too-high"]
