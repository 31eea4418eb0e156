"""From files to values with places; every limit on hostile input is here."""

from __future__ import annotations

from lampwright.documents.discovery import find
from lampwright.documents.document import Document
from lampwright.documents.faults import Fault, Limits, Unreadable
from lampwright.documents.looks import is_file, is_folder, is_link, is_there
from lampwright.documents.places import Place
from lampwright.documents.reader import read

__all__ = [
    "Document",
    "Fault",
    "Limits",
    "Place",
    "Unreadable",
    "find",
    "is_file",
    "is_folder",
    "is_link",
    "is_there",
    "read",
]
