"""Whole drawings side by side, on a roll of paper or small on card."""
