"""JUnit XML: what build servers show as tests. A file is a suite; what fails the check fails in it."""

from __future__ import annotations

from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

from lampwright.reports import Options as _Options
from lampwright.reports import ordered
from lampwright.reports.capped import remainders
from lampwright.reports.printable import printable
from lampwright.reports.text import told

if TYPE_CHECKING:
    from collections.abc import Callable

    from lampwright.documents import Place
    from lampwright.findings import Finding
    from lampwright.project import Result
    from lampwright.reports import Options


def report(result: Result, write: Callable[[str], object], options: Options) -> None:
    """Print a suite for each file; one without findings has one test, which passes."""
    suites: dict[str, list[tuple[Finding, Place | None]]] = {file: [] for file in result.files}
    for finding, place in ordered(result):
        suites.setdefault(finding.spot.file, []).append((finding, place))
    root = ET.Element("testsuites", name="lampwright")
    for file, found in suites.items():
        root.append(_suite(file or "lampwright", found, result, options))
    if result.unshown:
        root.append(_rest(result, options))
    _count(root, list(root.iter("testcase")))
    ET.indent(root)
    write('<?xml version="1.0" encoding="utf-8"?>\n' + ET.tostring(root, encoding="unicode") + "\n")


def _suite(file: str, found: list[tuple[Finding, Place | None]], result: Result, options: Options) -> ET.Element:
    """Return the suite of one file."""
    suite = ET.Element("testsuite", name=printable(file))
    if not found:
        ET.SubElement(suite, "testcase", name="no findings", classname=printable(file))
    for finding, place in found:
        where = f" at {place.line}:{place.column}" if place else ""
        case = ET.SubElement(suite, "testcase", name=f"{finding.rule}{where}", classname=printable(file))
        lines = "\n".join(told(finding, result.documents, _Options(width=options.width)))
        if finding.level >= options.fail_on:
            message = printable(finding.message)
            ET.SubElement(case, "failure", type=str(finding.level), message=message).text = lines
        else:
            ET.SubElement(case, "system-out").text = lines
    _count(suite, list(suite))
    return suite


def _rest(result: Result, options: Options) -> ET.Element:
    """Return the suite of what is counted and not shown; it fails like the others."""
    suite = ET.Element("testsuite", name="not shown")
    worst = max(finding.level for finding in result.unshown)
    for line in remainders(result):
        case = ET.SubElement(suite, "testcase", name=printable(line), classname="not shown")
        if worst >= options.fail_on:
            ET.SubElement(case, "failure", type=str(worst), message=printable(line))
    _count(suite, list(suite))
    return suite


def _count(suite: ET.Element, cases: list[ET.Element]) -> None:
    """Set what readers of such files expect to be told."""
    suite.set("tests", str(len(cases)))
    suite.set("failures", str(sum(case.find("failure") is not None for case in cases)))
    suite.set("errors", "0")
