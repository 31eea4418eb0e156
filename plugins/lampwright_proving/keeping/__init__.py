"""Keeping signals right over the years: what was proved, what has changed since, and names that change."""
