"""What a driver would read if one thing of a signal failed: a lamp, an output, a common wire, a board, an indicator."""
