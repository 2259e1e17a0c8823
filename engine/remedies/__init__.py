"""Remedies: for each finding the smallest single changes that clear it, solved, verified by planning anew."""

from .by_rule import remedies
from .remedy import Answer, Remedy, Superseded, changed

__all__ = ["Answer", "Remedy", "Superseded", "changed", "remedies"]
