"""The boat's lines: what the table gives, faired; how far they may be out; what in them is doubted."""
