"""What is wrong with a document that its schema does not accept: of one slip, one fault."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.schema import SchemaFault
from lampwright.schema.sites import judged, wrong_sites
from lampwright.schema.wording import SENTENCES, named, shown, told
from lampwright.words import counted, did_you_mean, listed, nearest, with_article

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Path
    from lampwright.schema.files import Schema
from lampwright.schema.sites import Site

CAP = 50
"""Most faults that are told of one file."""


def explained(schema: Schema, values: Any) -> list[SchemaFault]:
    """Return what is wrong, in the order of the file; past the cap the places left are counted."""
    sites = wrong_sites([schema], values)
    first: dict[tuple[Path, bool], SchemaFault] = {}
    unmade = 0
    for site in sites:
        for fault in _faults_of(site):
            first.setdefault((fault.path, fault.on_key), fault)
            if len(first) >= CAP and site.breaking("additionalProperties"):
                unmade = len(_unknown(site)) - len({path for path, _ in first if path[:-1] == site.path})
                break
        if len(first) >= CAP:
            break
    faults = list(first.values())
    if left := unmade + sum(1 for _ in sites):
        message = f"{counted(left, 'more place')} in this file {'is' if left == 1 else 'are'} not as the format has it"
        faults.append(SchemaFault((), on_key=False, message=message, tip="mend those told first"))
    return faults


def _faults_of(site: Site) -> Iterator[SchemaFault]:
    """Yield the faults of one value: a wrong type hides all else, an unknown key hides the ones it lacks.

    One after the other: a map may have a hundred thousand keys that are unknown, and the few that are told cost most.
    """
    if site.breaking("additionalProperties"):
        for key in _unknown(site):
            yield _unknown_key(site, key)
    elif site.breaking("required"):
        yield _missing_keys(site)
    else:
        keyword, schema = next((slip for slip in site.slips if slip[0] == "type"), site.slips[0])
        message, tip = SENTENCES[keyword](site, schema.node)
        yield SchemaFault(site.path, site.is_key, message, tip)


def _unknown(site: Site) -> list[str]:
    """Return the keys of a map that it may not have."""
    return [key for key in site.value if any(one.forbids(key) for one in site.judging)]


def _unknown_key(site: Site, key: str) -> SchemaFault:
    """Return the fault of a key; it may stand for one that is missing, so that is no fault of its own."""
    closed = next(one for one in site.judging if one.forbids(key))
    free = [name for one in (closed, *site.judging) for name in _keys(one) if name not in site.value]
    near = nearest(shown(key), free)
    missing = [] if near else _missing(site)
    what = with_article(closed.node.get("title") or told(site.judging, "title"))
    message = f"{shown(key)} is not a key of {what}" + (f", which lacks {listed(missing)}" if missing else "")
    tip = did_you_mean(shown(key), dict.fromkeys(free), "its other keys")
    if site.value[key] is None and not near:
        tip = "a text with a comma in it needs quotes"
    return SchemaFault((*site.path, key), on_key=True, message=message, tip=tip)


def _keys(schema: Schema) -> Iterator[str]:
    """Yield every key a map of this node may have, whatever else it says."""
    yield from schema.node.get("properties", {})
    for branch in ("then", "else"):
        if branch in schema.node:
            yield from _keys(schema.inner(schema.node[branch]))


def _missing(site: Site) -> list[str]:
    """Return the keys that are required and not there."""
    return [key for one in site.breaking("required") for key in one.node["required"] if key not in site.value]


def _missing_keys(site: Site) -> SchemaFault:
    """Return one fault for all that is missing from a map; it stands on the map's own key."""
    on_key = bool(site.path) and isinstance(site.path[-1], str)
    needing, missing = site.breaking("required")[0], _missing(site)
    if needing.node.keys() == {"title", "required"}:  # one key of several would do: the title says which
        return SchemaFault(site.path, on_key, f"{named(site.path)} does not say {needing.node['title']}")
    keys = f"the key {missing[0]}" if len(missing) == 1 else f"the keys {listed(missing)}"
    return SchemaFault(site.path, on_key, f"{named(site.path)} lacks {keys}", _wanted(site, missing[0]))


def _wanted(site: Site, key: str) -> str:
    """Say what a missing key is for."""
    entry = next((inner for one in site.judging if (inner := one.entry(key))), None)
    if entry is None:
        return ""
    nodes = list(judged(entry, None))
    if words := told(nodes, "enum"):
        return f"{key} is one of {listed(map(str, words), 'or')}"
    return f"{key}: {told(nodes, 'description') or told(nodes, 'title')}".removesuffix(".")
