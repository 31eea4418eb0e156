"""What findings on wiring say in full, where there are more than are shown."""

from __future__ import annotations

import pytest

from full_findings import full


@pytest.mark.parametrize(
    ("number", "rest"),
    [(2, []), (5, []), (6, ["because so has 1 more signal"]), (7, ["because so have 2 more signals"])],
)
def test_signals_of_one_address_are_one_finding(number: int, rest: list[str]) -> None:
    """At the second of them; the first and three more stand beside it, the others are counted."""
    names = [f"HF{one}" for one in range(1, number + 1)]
    signals = "".join(f"  {name}: {{form: three-aspect, address: 4}}\n" for name in names)
    found = full(f"plan: 1\nrulebook: gb-colour-light\nsignals:\n{signals}", rule="signal-address-clash")
    assert found[0] == "signal-address-clash at signals/HF2/address"
    assert found[1].endswith(f" {'both' if number == 2 else 'all'} have address 4")
    assert found[2:] == [
        *rest,
        "tip 5 is free",
        *(f"beside signals/{name}/address: and this one" for name in (names[0], *names[2:5])),
    ]
