"""The plan as one page for the site: to scale, on two printed sheets, with nothing to load or run."""
