"""Level walls with valleys, on a floor that the drain does not see whole."""
