"""Rulebooks, one folder each: data only, handed over by the plugin ``lampwright_rulebooks``."""
