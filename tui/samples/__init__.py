"""The worked sample that comes with the tool."""
