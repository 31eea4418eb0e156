"""Reports: findings as people and programs read them."""

from lampwright.reports.contract import Options, Reporter, ordered, placed

__all__ = ["Options", "Reporter", "ordered", "placed"]
