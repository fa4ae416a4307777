"""A drawing as ink, and where lettering goes on it. Knows no boat and no file format."""
