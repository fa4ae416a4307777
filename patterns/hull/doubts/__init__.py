"""Figures of the table that the rest contradicts: found, weighed, worded. Nothing here moves a line."""
