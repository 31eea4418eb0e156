"""Changes to files of the user: as spans, so that every other character stays; whole or not at all."""

from __future__ import annotations

from lampwright.edits.beside import CannotWrite, stays
from lampwright.edits.changes import Change, changed
from lampwright.edits.files import Written, make_folder, put, put_folder, save
from lampwright.edits.spans import CannotEdit, Edit, applied, difference, edited, edits_of

__all__ = [
    "CannotEdit",
    "CannotWrite",
    "Change",
    "Edit",
    "Written",
    "applied",
    "changed",
    "difference",
    "edited",
    "edits_of",
    "make_folder",
    "put",
    "put_folder",
    "save",
    "stays",
]
