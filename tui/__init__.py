"""The wizard and the commands."""
