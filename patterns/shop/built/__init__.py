"""The boat as it stands on the strongback: what is out, and lines that run through it."""
