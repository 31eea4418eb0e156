"""What somebody saw: read from a file, or asked for in the terminal."""
