"""The work: what is bought, mixed, laid and waited for."""
