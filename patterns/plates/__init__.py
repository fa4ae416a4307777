"""Drawings of single things, full size or reduced. Ink only: pages are made in tiling, files in writing."""
