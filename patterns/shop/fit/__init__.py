"""The boat put together on paper: parts folded back and held against what they meet."""
