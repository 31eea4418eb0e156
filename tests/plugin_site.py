"""Distributions that offer a plugin, installed in a folder of their own."""

from __future__ import annotations

import sys
import textwrap
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path
    from types import ModuleType

HEAD = "from lampwright.checks import Check\nfrom lampwright.host import hookimpl\nlampwright_api = 1\n"
"""What most plugins of the tests begin with."""


class Site:
    """A folder of installed distributions."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        folder.mkdir(exist_ok=True)

    def install(self, plugin: str, code: str, *, head: str = HEAD, dist: str = "", target: str = "") -> Path:
        """Install a distribution that offers one plugin, a module of the same name, and return the module's file."""
        module = self.folder / f"plugin_{plugin}.py"
        module.write_text(head + textwrap.dedent(code), encoding="utf-8")
        info = self.folder / f"{dist or plugin}-2.5.dist-info"
        info.mkdir(exist_ok=True)
        (info / "METADATA").write_text(
            f"Metadata-Version: 2.4\nName: {dist or plugin}\nVersion: 2.5\n\nName: a line of the description\n",
            encoding="utf-8",
        )
        (info / "entry_points.txt").write_text(
            "[console_scripts]\nsomething = plugin:main\n\n"
            f"[lampwright]\n\n# a comment = here\n{plugin} = {target or module.stem}\n\n[other]\nnone = of:ours\n",
            encoding="utf-8",
        )
        return module

    def forget(self) -> None:
        """Drop the modules that were imported from here: the next site has others of the same names."""
        for name in [name for name, module in sys.modules.items() if self._holds(module)]:
            del sys.modules[name]

    def _holds(self, module: ModuleType) -> bool:
        """Tell whether a module comes from here."""
        return str(getattr(module, "__file__", None)).startswith(str(self.folder))
