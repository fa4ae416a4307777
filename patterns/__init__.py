"""Scrieve: from a small wooden boat's table of offsets to patterns a builder can cut wood to."""

__version__ = "0.1.0"
