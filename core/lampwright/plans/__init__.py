"""Plans: the model of what the modeller wrote."""

from lampwright.plans.load import load
from lampwright.plans.model import BuiltLamp, Carried, Indication, Plan, Route, Shown, Signal

__all__ = ["BuiltLamp", "Carried", "Indication", "Plan", "Route", "Shown", "Signal", "load"]
