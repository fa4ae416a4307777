"""Long pieces ripped with a hand saw: set-ups, guides, boards, scarfs, how a piece is bent."""
