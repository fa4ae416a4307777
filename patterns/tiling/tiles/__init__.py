"""One drawing on many pages that are taped together."""
