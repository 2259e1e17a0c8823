"""The survey: what is there. Outline, places, rough floor."""
