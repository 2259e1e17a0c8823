"""The wizard's own widgets."""
