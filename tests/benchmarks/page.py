"""Times the page of plans of growing size: how it is made, how large it is, how a browser opens it and works it.

PYTHONPATH=tests python -m benchmarks.page
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import TYPE_CHECKING, Final

from benchmarks.generate import plan
from browser import CHROMIUM, opened
from command_line import call
from lampwright.edits.notation import entry

if TYPE_CHECKING:
    from playwright.sync_api import Browser

SIZES: Final = (30, 300, 1_000)
MOVES: Final = 20
PRESS: Final = """
(number) => {
  const all = document.querySelectorAll("#worked-signals button[aria-pressed]");
  const start = performance.now();
  all[(number * 7) % all.length].click();
  document.body.offsetHeight;
  return performance.now() - start;
}
"""
"""Sets or takes back a route, and waits until everything has its place again."""


def main() -> None:
    """Print a line for each size of plan."""
    from playwright.sync_api import sync_playwright

    sys.stdout.write(f"{'signals':>8}{'s to make':>12}{'kB':>8}{'s to open':>12}{'ms a move':>12}{'the longest':>12}\n")
    with sync_playwright() as driver, tempfile.TemporaryDirectory() as folder:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        for size in SIZES:
            sys.stdout.write(_row(browser, Path(folder), size))
            sys.stdout.flush()
        browser.close()


def _row(browser: Browser, folder: Path, size: int) -> str:
    """Return the line of one size of plan."""
    values = plan(size)
    text = "".join(f"{entry(key, value, '', chr(10))}\n" for key, value in values.items())
    (folder / "plan.yaml").write_text(text, encoding="utf-8")
    start = perf_counter()
    assert call("report", folder / "plan.yaml", "-o", folder / "page.html").code == 0
    made = perf_counter() - start
    start = perf_counter()
    page = opened(browser, folder / "page.html")
    shown = perf_counter() - start
    moves = [float(page.evaluate(PRESS, number)) for number in range(MOVES)]
    page.close()
    kilobytes = (folder / "page.html").stat().st_size / 1000
    signals = len(values["signals"])
    return f"{signals:>8}{made:>12.1f}{kilobytes:>8.0f}{shown:>12.1f}{median(moves):>12.0f}{max(moves):>12.0f}\n"


if __name__ == "__main__":
    main()
