"""The plan as one page for the site, drawn to scale."""
