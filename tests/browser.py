"""A real browser for tests: Debian's chromium, driven by playwright; nothing is downloaded for it."""

from __future__ import annotations

import os
import shutil
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Page

CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)

REASON = "no chromium here: apt-get install chromium"
needs_browser = pytest.mark.skipif(CHROMIUM is None and "CI" not in os.environ, reason=REASON)
"""Marks tests that are skipped where there is no browser; continuous integration has to have one."""


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Start the browser, once for a module of tests."""
    from playwright.sync_api import sync_playwright

    assert CHROMIUM is not None, REASON
    with sync_playwright() as driver:
        started = driver.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield started
        started.close()


def opened(browser: Browser, file: Path, *, fragment: str = "", **how: Any) -> Page:
    """Open a file; whatever goes wrong on the page fails the test that asks ``page.troubles``.

    ``how`` is what playwright's ``new_page`` takes: the size of the window, light or dark.
    """
    page = browser.new_page(**how)
    troubles: list[str] = []
    page.on("console", lambda message: troubles.append(message.text) if message.type in ("error", "warning") else None)
    page.on("pageerror", lambda error: troubles.append(str(error)))
    page.on("request", lambda request: troubles.append(request.url) if not request.url.startswith("file:") else None)
    page.goto(file.as_uri() + fragment)
    page.troubles = troubles  # type: ignore[attr-defined]  # kept where the test has it at hand
    return page
