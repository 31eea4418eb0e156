"""From what was seen to the least that explains it; knows lights, wires and commands, and no files."""
