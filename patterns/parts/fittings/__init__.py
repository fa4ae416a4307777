"""Pieces fitted into the planked boat: thwarts, knees, breasthook."""
