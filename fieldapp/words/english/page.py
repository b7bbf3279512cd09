"""What the page under the app says before the app is there, or where it is not."""

from __future__ import annotations

PAGE_SAYS = {
    "starting": "Starting. It needs no signal.",
    "first": "Starting. The first visit fetches all of it, once.",
    "elsewhere": "Open in another window",
    "elsewhere-more": "One window at a time writes. Close the other, or go on here: "
    "what is kept stays.",
    "here": "Go on here",
    "moved": "Now open elsewhere",
    "moved-more": "Another window of this phone has gone on from here. All that was kept is there.",
    "failed": "Farend did not start",
    "failed-more": "What was kept is still on this phone. Load it again; "
    "if that does not help, copy what is kept and tell who gave it to you:",
    "again": "Load it again",
    "copy": "Copy what is kept",
    "save": "To a file",
    "save-more": "It is made. One more tap, and it is among the downloads.",
    "share": "Share the file",
    "share-more": "It is made. One more tap opens what this phone shares with.",
    "not-now": "Not now",
}
"""by what is to be said; the page puts the name of a file above it"""
