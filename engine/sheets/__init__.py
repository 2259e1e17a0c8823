"""The sheets: a plan as text and as JSON."""
