"""The commands, which print what routes mean; apart from the checks, which every run loads."""
