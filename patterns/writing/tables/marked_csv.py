"""The run mark on a table."""

from __future__ import annotations


def marked_csv(text: str, run: str) -> str:
    """A table of the job with the run mark in its first row, among the words about it."""
    return f"about,run {run}\n{text}"
