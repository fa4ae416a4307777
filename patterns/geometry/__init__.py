"""Battens, rulings, developments, cuts, outlines: curves and surfaces. Knows no boat."""
