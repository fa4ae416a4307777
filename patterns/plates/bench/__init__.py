"""Drawings for bench pages: saw set-ups, boards, bevel boards, layout drawings, setting up."""
