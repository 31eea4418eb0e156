"""Makes plans of any size: a double line with stations, each with a loop that trains of both directions use."""

from __future__ import annotations

from typing import Any

Values = dict[str, Any]
LEDS: Values = {
    "red": {"kind": "red-3mm", "resistor": "330 ohm"},
    "yellow": {"kind": "yellow-3mm", "resistor": "330 ohm"},
    "green": {"kind": "traffic-green-3mm", "resistor": "180 ohm"},
    "white": {"kind": "warm-white-3mm", "resistor": "680 ohm"},
}
OUTPUTS = 16
"""Outputs of a board."""
SIGNALS = 11
"""Signals of one station and of the line up to the next."""


def plan(signals: int, *, wired: bool = False) -> Values:
    """Return the values of a plan with about so many signals, rounded up to whole stations.

    With ``wired`` it also says how they are built: three boards and a controller for each station.
    """
    stations = max(1, -(-signals // SIGNALS))
    made: Values = {
        "plan": 1,
        "rulebook": "gb-colour-light",
        "year": 1978,
        "lines": {"down": {"speed": "75 mph"}, "up": {"speed": "75 mph"}, "loop": {"speed": "25 mph"}},
        "sections": {},
        "ends": {
            "down-in": {"kind": "off-stage"},
            "up-in": {"kind": "off-stage"},
            "down-out": {"kind": "off-stage", "assume": ["danger", "caution", "clear"]},
            "up-out": {"kind": "off-stage", "assume": ["danger", "caution", "clear"]},
        },
        "signals": {},
    }
    for number in range(stations):
        _station(made, number, stations)
    if wired:
        made |= {"supplies": {}, "controllers": {}, "boards": {}, "leds": LEDS}
        for number in range(stations):
            _wire(made, f"S{number}")
    return made


def _station(made: Values, number: int, stations: int) -> None:
    """Add a station: home signals, starters on main line and loop, automatic signals on the way to the next."""
    s = f"S{number}"
    after = f"S{number + 1}DH" if number + 1 < stations else "down-out"
    before = f"S{number - 1}UH" if number else "up-out"
    for name in ("DA", "DB", "DC", "DD", "DE", "UA", "UB", "UC", "UD", "UE"):
        made["sections"][f"{s}{name}"] = {"line": "down" if name[0] == "D" else "up"}
    made["sections"][f"{s}LP"] = {"line": "loop"}
    straight: Values = {"turns": "straight"}
    down, up, loop = {f"{s}p": "normal"}, {f"{s}q": "normal"}, "25 mph"
    signals = {
        "DH": [
            _route(f"{s}DM", [f"{s}DA", f"{s}DB"], down, straight),
            _route(f"{s}DL", [f"{s}DA", f"{s}LP"], {f"{s}p": "reverse"}, _turning("left", loop)),
        ],
        "DM": [_route(f"{s}D1", [f"{s}DC"], {f"{s}r": "normal"}, straight)],
        "DL": [_route(f"{s}D1", [f"{s}DC"], {f"{s}r": "reverse"}, {"speed": loop, **straight})],
        "D1": [_route(f"{s}D2", [f"{s}DD"], {}, straight)],
        "D2": [_route(after, [f"{s}DE"], {}, straight)],
        "UH": [
            _route(f"{s}UM", [f"{s}UA", f"{s}UB"], up, straight),
            _route(f"{s}UL", [f"{s}UA", f"{s}DC", f"{s}LP"], _across(s), _turning("right", loop)),
        ],
        "UM": [_route(f"{s}U1", [f"{s}UC"], {f"{s}v": "normal"}, straight)],
        "UL": [
            _route(
                f"{s}U1", [f"{s}DA", f"{s}UC"], {f"{s}p": "reverse", f"{s}v": "reverse"}, {"speed": loop, **straight}
            )
        ],
        "U1": [_route(f"{s}U2", [f"{s}UD"], {}, straight)],
        "U2": [_route(before, [f"{s}UE"], {}, straight)],
    }
    made["signals"] |= {f"{s}{name}": {"form": "three-aspect", "routes": routes} for name, routes in signals.items()}
    made["signals"][f"{s}D1R"] = {"form": "banner-repeater", "repeats": f"{s}D1"}
    if not number:
        made["signals"]["S0DH"]["from"] = "down-in"
    if number + 1 == stations:
        made["signals"][f"{s}UH"]["from"] = "up-in"


def _across(s: str) -> dict[str, str]:
    """Return the lies of the points by which an up train crosses the down line into the loop."""
    return {f"{s}q": "reverse", f"{s}r": "reverse"}


def _turning(side: str, speed: str) -> Values:
    """Return what else is said of a route into the loop."""
    position = "position-1" if side == "left" else "position-4"
    return {"turns": side, "speed": speed, "indicator": position, "release": {"from": "red"}}


def _route(to: str, over: list[str], points: dict[str, str], more: Values) -> Values:
    """Return a route."""
    return {"to": to, "over": over, **({"points": points} if points else {}), **more}


def _wire(made: Values, s: str) -> None:
    """Put the lamps of a station on outputs, in the order of its signals."""
    made["supplies"][s] = {"kind": "usb-2"}
    made["controllers"][s] = {"kind": "microcontroller-8bit", "supply": s, "bus": "400 kHz", "step": "20 ms"}
    own = {"kind": "pwm-16", "controller": s, "frequency": "1500 Hz", "drive": "sink", "held-dark": True}
    made["boards"] |= {f"{s}{board}": {**own, "address": f"0x4{board}"} for board in range(3)}
    outputs = (f"{s}{number // OUTPUTS}.{number % OUTPUTS}" for number in range(3 * OUTPUTS))
    for name in ("DH", "DM", "DL", "D1", "D2", "UH", "UM", "UL", "U1", "U2"):
        signal = made["signals"][f"{s}{name}"]
        signal |= {"wiring": "common-anode", "lamps": [{lamp: next(outputs)} for lamp in ("green", "yellow", "red")]}
        arms = [route["indicator"] for route in signal["routes"] if "indicator" in route]
        if arms:
            signal["carries"] = {arm: {"output": next(outputs), "leds": "5 parallel"} for arm in arms}
