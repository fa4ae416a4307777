"""What closes the boat fore and aft: stem, sternpost, transoms and their framing."""
