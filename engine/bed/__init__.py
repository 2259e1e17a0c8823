"""The bed: what will be built. Reach, surfaces, depth, drain height."""
