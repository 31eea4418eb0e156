"""The layout worked, on the page of a plan."""
