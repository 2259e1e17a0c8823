"""The wizard's dialogs."""
