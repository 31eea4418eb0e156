"""``lampwright plugins``: what is there, and what is not."""

from __future__ import annotations

from typing import TYPE_CHECKING

import lampwright
from command_line import call

if TYPE_CHECKING:
    import pytest

    from plugin_site import Site


def test_what_is_loaded_and_from_where(site: Site) -> None:
    """A plugin of another distribution says which; what it brings are the hooks it answers."""
    done = call("plugins")
    assert (done.code, done.err) == (0, "")
    rows = [line.split() for line in done.out.splitlines()]
    assert rows[0] == ["plugin", "version", "brings", "from"]
    assert rows[1][:4] == ["builtin", lampwright.__version__, "commands,", "reporters"]
    assert ["names", "names", "2.5", "checks", str(site.folder / "plugin_names.py")] in rows


def test_what_failed_is_told_in_full(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every hook is asked, so that nothing stays hidden until it is needed."""
    site.install("lost", "import no_such_module")
    site.install("half", "@hookimpl\ndef commands():\n    return [7]")
    site.install(
        "needy", "class A(Check):\n    name = 'a'\n    needs = ('b',)\n@hookimpl\ndef checks():\n    return [A]"
    )
    monkeypatch.setenv("LAMPWRIGHT_PLUGINS", "names,lost,half,needy")
    done = call("plugins")
    assert done.code == 1
    told = " ".join(done.out.split())
    assert "error[failed-plugin]: plugin lost 2.5: cannot be imported: ModuleNotFoundError" in told
    assert "error[failed-plugin]: plugin half 2.5: commands() returned 7 among click commands with a name" in told
    assert "error[failed-check]: the check a needs b, which no plugin brings" in told
    names = [line.split()[0] for line in done.out.partition("\n\n")[0].splitlines()]
    assert names == ["plugin", "builtin", "half", "names", "needy"]
