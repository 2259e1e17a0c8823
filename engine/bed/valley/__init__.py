"""Level walls on a floor that the drain does not see whole: valleys from relay to relay, straight facets between."""
