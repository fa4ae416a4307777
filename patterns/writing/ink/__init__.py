"""Drawings, pages and contours to PDF, SVG and DXF. Touch it for how ink looks in a format."""
