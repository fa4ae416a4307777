"""Drawings cut and set on paper: pages, tiles, a roll, a card model. Knows no boat."""
