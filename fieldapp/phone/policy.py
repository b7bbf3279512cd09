"""What a page of ours may load: the one policy of the laptop's server, of ``farend serve``, of the page.

Sources: Content Security Policy Level 3 (W3C); that neither Flutter nor Python in the browser
wants more was run.
"""

from __future__ import annotations

# The page talks to where it came from and to nobody else; Dart needs no eval and CanvasKit only
# WebAssembly.
DIRECTIVES = (
    ("default-src", "'self'"),
    ("script-src", "'self' 'wasm-unsafe-eval' blob:"),
    ("style-src", "'self' 'unsafe-inline'"),
    ("img-src", "'self' blob: data:"),
    ("media-src", "'self' blob: data:"),
    ("font-src", "'self' data:"),
    ("connect-src", "'self' blob: data:"),
    ("worker-src", "'self' blob:"),
    ("manifest-src", "'self'"),
    ("object-src", "'none'"),
    ("base-uri", "'self'"),
    ("form-action", "'none'"),
    ("frame-ancestors", "'none'"),
)
HEADER_ONLY = ("frame-ancestors",)
"""what a page cannot say of itself: a browser complains of it in a ``meta``"""

POLICY = "; ".join(f"{name} {what}" for name, what in DIRECTIVES)
"""as a header; a worker takes it from its own response, so it goes with every file"""

PAGE_POLICY = "; ".join(f"{name} {what}" for name, what in DIRECTIVES if name not in HEADER_ONLY)
"""as a ``meta`` in the page, for hosts where no header can be set"""
