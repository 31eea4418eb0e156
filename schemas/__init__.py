"""JSON Schemas of every format Lampwright reads or writes: data only."""
