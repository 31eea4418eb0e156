"""Python's collector of objects that only refer to each other, switched off for a while."""

from __future__ import annotations

import gc
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator


@contextmanager
def collector_off() -> Iterator[None]:
    """Switch it off while things are made that are all there to stay: it would look again and again at every one.

    Afterwards they count as old, so that it does not look at all of them at once.
    """
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collecting:
            gc.freeze()
            gc.unfreeze()
            gc.enable()
