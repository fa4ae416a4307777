"""Values to files, one module a format."""
