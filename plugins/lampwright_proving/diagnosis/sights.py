"""What can be seen of one light, and rows of it: four bits for each command, packed into one integer.

A mask with several bits says that any of them may be seen. So one comparison of two integers compares a light over all
commands at once.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterable

DARK, LIT, DIM, FLASH = 1, 2, 4, 8
ANY: Final = DARK | LIT | DIM | FLASH
WORDS: Final = {"dark": DARK, "lit": LIT, "dim": DIM, "flashing": FLASH}
"""What a person says was seen."""
WIDTH: Final = 4


def words(mask: int) -> str:
    """Return a mask as a person says it: ``lit or dim``."""
    return " or ".join(word for word, bit in WORDS.items() if mask & bit)


def packed(masks: Iterable[int]) -> int:
    """Return a row of masks, the first command in the lowest bits."""
    row = 0
    for number, mask in enumerate(masks):
        row |= mask << (WIDTH * number)
    return row


def at(row: int, command: int) -> int:
    """Return the mask of one command."""
    return row >> (WIDTH * command) & ANY


class Rows:
    """Works on rows of a given number of commands."""

    def __init__(self, length: int) -> None:
        self.ones = packed([1] * length)
        self.dark = self.ones * DARK
        self.lit = self.ones * LIT
        self.any = self.ones * ANY

    def filled(self, row: int) -> int:
        """Return a 1 for each command of which the row holds any bit."""
        return (row | row >> 1 | row >> 2 | row >> 3) & self.ones

    def empty(self, row: int) -> int:
        """Return a 1 for each command of which the row holds no bit."""
        return self.filled(row) ^ self.ones

    def dimmed(self, row: int) -> int:
        """Return a row in which whatever would be lit is dim."""
        return row & ~self.lit | (row & self.lit) << 1

    def steadied(self, row: int) -> int:
        """Return a row in which whatever would flash is lit."""
        flashing = row & self.ones * FLASH
        return row ^ flashing | flashing // FLASH * LIT

    def flickering(self, row: int) -> int:
        """Return a row in which whatever would be lit flashes."""
        lit = row & self.lit
        return row ^ lit | lit // LIT * FLASH

    def joined(self, rows: Iterable[int]) -> int:
        """Return what is seen of a light on wires that touch, from what each of them alone would show.

        Where they agree it is that; where one is live and another is not, or one flashes, the light may be full or
        dim, and may flash.
        """
        held = list(rows)
        union = 0
        for row in held:
            union |= row
        same = self.ones
        for bit in (DARK, FLASH):
            here = [row // bit & self.ones for row in held]
            some, every = 0, self.ones
            for ones in here:
                some |= ones
                every &= ones
            same &= every | ~some
        mixed = same ^ self.ones
        return union & same * ANY | mixed * (LIT | DIM) | union & mixed * FLASH
