"""The plan as one page for the site: drawn to scale, printed on two sheets, with nothing to load or to run."""
