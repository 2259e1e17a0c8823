"""The job: what a person measured and chose, and the file it is kept in."""
