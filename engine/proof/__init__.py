"""Knowing before and knowing after: how sure the plan is, and whether what was built is what was planned."""
