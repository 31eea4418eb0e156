"""What the page of a plan is put together from: parts, which plugins bring."""

from lampwright.page.parts import PagePart, Place

__all__ = ["PagePart", "Place"]
