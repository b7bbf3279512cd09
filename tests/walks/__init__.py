"""Three whole days on made-up sites in a real browser, tapped through by what has a name."""
