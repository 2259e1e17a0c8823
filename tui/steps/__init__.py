"""The wizard's steps, one file each."""
