"""The bench card: what to command, and what must be seen lamp by lamp."""
