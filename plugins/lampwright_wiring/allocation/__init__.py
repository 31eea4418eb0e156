"""Outputs for lamps that have none: what is needed, where it may go, the search, and what is written into the plan."""
