"""Lengths of a piece of wood, each by one name, and what is on hand and to be bought."""
