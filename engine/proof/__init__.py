"""Knowing before and after: how sure the plan is, and whether it was built as planned."""
