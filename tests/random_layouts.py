"""Random small layouts of colour light signals: loops, releases, classes of routes, every kind of end, repeaters."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

STOPS = (
    "two-aspect-stop",
    "two-aspect-red-yellow",
    "three-aspect",
    "four-aspect",
    "searchlight",
    "three-aspect-with-position-light",
)
TELLERS = ("two-aspect-distant", "three-lamp-distant", "fixed-distant", "banner-repeater")
ENDS = {
    "bay": {"kind": "buffer-stop"},
    "yard": {"kind": "unsignalled"},
    "far": {"kind": "off-stage", "assume": ["danger", "clear"]},
    "near": {"kind": "off-stage", "assume": "preliminary-caution"},
}
RELEASES: list[dict[str, Any]] = [
    {"from": "red"},
    {"from": "red", "occupied": "T0"},
    {"from": "yellow", "occupied": ["T1", "T2"]},
    {"from": "yellow", "flashing": True},
]


@st.composite
def layouts(draw: Any) -> dict[str, Any]:
    """Return the values of a plan with up to four stop signals and up to two that tell of them."""
    stops = [f"S{number}" for number in range(draw(st.integers(1, 4)))]
    tellers = [f"D{number}" for number in range(draw(st.integers(0, 2 if len(stops) < 4 else 1)))]
    entries: dict[str, Any] = {}
    for count, name in enumerate(stops):
        most = 2 if len(stops) + len(tellers) < 5 else 1
        routes = [draw(route(stops, tellers, f"T{2 * count + more}")) for more in range(draw(st.integers(1, most)))]
        entries[name] = {"form": draw(st.sampled_from(STOPS)), "routes": routes}
    for name in tellers:
        entries[name] = {"form": draw(st.sampled_from(TELLERS))}
        if draw(st.booleans()):
            entries[name]["repeats"] = draw(st.lists(st.sampled_from(stops), min_size=1, max_size=3, unique=True))
    used = {route["to"] for entry in entries.values() for route in entry.get("routes", ())}
    return {
        "plan": 1,
        "rulebook": "gb-colour-light",
        "year": draw(st.sampled_from([1960, 1978, 1990])),
        "ends": {name: end for name, end in ENDS.items() if name in used},
        "signals": entries,
    }


@st.composite
def route(draw: Any, stops: list[str], tellers: list[str], section: str) -> dict[str, Any]:
    """Return a route over a section of its own, perhaps with points, a release, a class, and distants on the way."""
    found: dict[str, Any] = {"to": draw(st.sampled_from([*stops, *stops, *ENDS]))}
    if draw(st.booleans()):
        found["over"] = [section]
    if draw(st.integers(0, 2)) == 0:
        found["points"] = {draw(st.sampled_from(["P1", "P2"])): draw(st.sampled_from(["normal", "reverse"]))}
    if draw(st.integers(0, 2)) == 0:
        found["release"] = draw(st.sampled_from(RELEASES))
    if draw(st.integers(0, 4)) == 0:
        found["class"] = draw(st.sampled_from(["warner", "shunt", "call-on", "main"]))
    if draw(st.booleans()):
        found["turns"] = draw(st.sampled_from(["straight", "left", "right"]))
    if tellers and draw(st.booleans()):
        found["passes"] = draw(st.lists(st.sampled_from(tellers), min_size=1, max_size=2, unique=True))
    return found
