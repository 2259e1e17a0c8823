"""The limits: rulebooks and the checks against them."""
