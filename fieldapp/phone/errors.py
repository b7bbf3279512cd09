"""What can go wrong while the phone's page is built."""


class BundleError(RuntimeError):
    """The page cannot be built; the text says why in one line."""
