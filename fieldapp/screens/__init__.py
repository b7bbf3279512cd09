"""One screen a file: a plain function from the model to controls. ``SCREENS`` is the list."""
