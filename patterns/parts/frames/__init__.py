"""Frames and moulds: outline on both faces, notches, limbers, the timbers they are made of."""
