"""Reports as blocks, and blocks to HTML, PDF and CSV; what fairing and fit have to say."""
