"""The checks of wiring, a module for each family; apart, so that a plan without electrics pays for nothing else."""
