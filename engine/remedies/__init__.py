"""Remedies: for each finding the smallest single changes that clear it, solved, verified by planning anew."""

from engine.remedies.by_rule import remedies
from engine.remedies.remedy import Answer, Remedy, Superseded, changed

__all__ = ["Answer", "Remedy", "Superseded", "changed", "remedies"]
