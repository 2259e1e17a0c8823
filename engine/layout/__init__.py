"""The layout: what is marked."""
