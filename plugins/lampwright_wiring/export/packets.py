"""Packets for accessories as NMRA S-9.2.1 (July 2012) has them, byte by byte."""

from __future__ import annotations

from functools import reduce
from operator import xor
from typing import Final

BROADCAST: Final = 2047
"""The address that every signal listens to; none can have it."""
MOST: Final = BROADCAST - 1
"""The greatest address a signal can have: eleven bits, less the broadcast."""
MOST_ASPECT: Final = 31
"""The greatest aspect number of a packet: five bits. Nought is stop; every other is the signalling system's."""


def extended(address: int, aspect: int) -> bytes:
    """Return the packet that shows an aspect: ``10AAAAAA 0AAA0AA1 000XXXXX`` and the error byte.

    The three high bits of the address stand in the second byte in ones' complement. Raises ValueError if a number has
    no place in the packet.
    """
    if not 0 <= address <= BROADCAST or not 0 <= aspect <= MOST_ASPECT:
        raise ValueError(f"no packet has address {address} and aspect {aspect}")
    first = 0b1000_0000 | (address >> 2 & 0b11_1111)
    second = (~address >> 8 & 0b111) << 4 | (address & 0b11) << 1 | 1
    return checked(bytes((first, second, aspect)))


def checked(packet: bytes) -> bytes:
    """Return a packet with its error byte: the exclusive or of all before it (S-9.2)."""
    return packet + bytes((reduce(xor, packet),))


def in_hex(packet: bytes) -> str:
    """Return the bytes of a packet as ``BF 07 00 B8``."""
    return packet.hex(" ").upper()
