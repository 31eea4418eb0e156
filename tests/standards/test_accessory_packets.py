"""Accessory packets against NMRA S-9.2.1 (July 2012), section D, and S-9.2 for the error byte (both verified)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lampwright_wiring.export.packets import BROADCAST, MOST, extended, in_hex

EXTENDED = "10AAAAAA0AAA0AA1000XXXXX"
"""The extended packet as the standard prints it, without preamble and start bits."""


def by_the_book(address: int, aspect: int) -> str:
    """Fill the printed packet bit by bit: the high three bits of the address in ones' complement, in second place."""
    bits = f"{address:011b}"
    high, middle, low = bits[:3], bits[3:9], bits[9:]
    inverted = "".join("10"[int(bit)] for bit in high)
    letters = iter(middle + inverted + low)
    numbers = iter(f"{aspect:05b}")
    filled = "".join(next(letters) if one == "A" else next(numbers) if one == "X" else one for one in EXTENDED)
    found = [int(filled[at : at + 8], 2) for at in (0, 8, 16)]
    return " ".join(f"{byte:02X}" for byte in (*found, found[0] ^ found[1] ^ found[2]))


@pytest.mark.parametrize(("aspect", "packet"), [(0, "BF 07 00 B8"), (31, "BF 07 1F A7")])
def test_the_broadcast(aspect: int, packet: str) -> None:
    """To every signal: 10111111 00000111 000XXXXX (S-9.2.1 section D); the error bytes are derived."""
    assert in_hex(extended(BROADCAST, aspect)) == packet


@given(st.integers(0, MOST), st.integers(0, 31))
def test_every_packet_is_the_printed_one_filled_in(address: int, aspect: int) -> None:
    """And all its bytes together make nought, which is what a decoder looks at (S-9.2)."""
    packet = extended(address, aspect)
    assert in_hex(packet) == by_the_book(address, aspect)
    assert packet[0] ^ packet[1] ^ packet[2] ^ packet[3] == 0


def test_no_two_addresses_or_aspects_share_a_packet() -> None:
    """Eleven bits of address, five of aspect: 2048 x 32 packets, all different."""
    assert len({extended(address, aspect) for address in range(2048) for aspect in range(32)}) == 2048 * 32


@pytest.mark.parametrize(("address", "aspect"), [(-1, 0), (2048, 0), (0, 32), (0, -1)])
def test_what_has_no_place_is_refused(address: int, aspect: int) -> None:
    """An address of twelve bits, an aspect of six."""
    with pytest.raises(ValueError, match="no packet has"):
        extended(address, aspect)
