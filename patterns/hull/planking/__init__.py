"""The skin laid on faired lines: strakes, the corners where they meet, ends, sections. Parts are taken off it."""
