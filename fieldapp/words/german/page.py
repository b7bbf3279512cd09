"""Was die Seite unter der App sagt, bevor die App da ist, oder wo sie nicht ist."""

from __future__ import annotations

PAGE_SAYS = {
    "starting": "Startet. Netz braucht es keins.",
    "first": "Startet. Der erste Besuch holt alles, ein Mal.",
    "elsewhere": "In einem anderen Fenster offen",
    "elsewhere-more": "Nur ein Fenster schreibt. Schließ das andere, oder mach hier weiter: "
    "Was behalten ist, bleibt.",
    "here": "Hier weiter",
    "moved": "Jetzt anderswo offen",
    "moved-more": "Ein anderes Fenster dieses Handys macht von hier an weiter. "
    "Alles Behaltene ist dort.",
    "failed": "Farend ist nicht gestartet",
    "failed-more": "Was behalten wurde, ist noch auf diesem Handy. Lade die Seite neu; "
    "hilft das nicht, sichere es und sag es denen, von denen du sie hast:",
    "again": "Neu laden",
    "copy": "Behaltenes als Datei",
    "save": "In eine Datei",
    "save-more": "Sie ist fertig. Ein Tippen noch, und sie liegt bei den Downloads.",
    "share": "Datei teilen",
    "share-more": "Sie ist fertig. Ein Tippen noch, und das Handy fragt, womit.",
    "not-now": "Nicht jetzt",
}
"""nach dem, was zu sagen ist; darüber setzt die Seite den Namen einer Datei"""
