"""A part made ready for a router: lines to cut, score, drill, letter; proved before they are written."""
