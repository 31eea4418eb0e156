"""What follows from a plan's routes and lengths, for every capability that asks: aspects, conflicts, distances."""
