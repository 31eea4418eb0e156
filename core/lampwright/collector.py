"""Python's collector of objects that only refer to each other, switched off for a while."""

from __future__ import annotations

import gc
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator


@contextmanager
def collector_off(*, for_good: bool = False) -> Iterator[None]:
    """Switch it off while things are made that are all there to stay: it would look again and again at every one.

    With ``for_good`` they count as old afterwards, so that it does not look at all of them at once. That is for a call
    that is nearly done: what has become old so is hardly ever looked for, and an editor's process would only grow.
    """
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collecting and for_good:
            gc.freeze()
            gc.unfreeze()
        if collecting:
            gc.enable()
