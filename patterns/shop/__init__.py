"""Bench work on parts, each trade in a room of its own. Nothing here draws or writes files."""
