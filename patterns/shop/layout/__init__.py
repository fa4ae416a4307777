"""Laying out by tape and batten, bevel boards, setting up."""
