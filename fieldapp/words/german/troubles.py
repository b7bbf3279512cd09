"""What is told when something went otherwise than asked, in German."""

from __future__ import annotations

from fieldapp.words.german.said import says


@says("told-unreadable")
def _told_unreadable(name: str, at: str, more: int) -> str:
    return f"{name} ergibt ab {at} keinen Sinn. Hier wurde nichts geändert."


@says("told-no-start")
def _told_no_start(name: str) -> str:
    return f"{name} beginnt nicht mit einem Plan. Nichts wurde geändert."


@says("told-newer")
def _told_newer(name: str) -> str:
    return f"{name} stammt von einem neueren Farend. Nichts wurde geändert; dort öffnen."


@says("told-here-already")
def _told_here(name: str) -> str:
    return f"{name} ist schon hier. Nichts wurde geändert."


@says("told-full")
def _told_full() -> str:
    return "Das Handy ist voll. Die Ziffern bleiben hier. Platz schaffen, dann Behalten tippen."


@says("told-read-only")
def _told_read_only() -> str:
    return "Hier lässt sich nichts schreiben. Die Ziffern bleiben stehen."


@says("told-failed")
def _told_failed() -> str:
    return "Das ließ sich nicht schreiben. Die Ziffern bleiben hier. Noch einmal Behalten tippen."


@says("told-busy")
def _told_busy() -> str:
    return "Ein anderes Farend hat diese Aufträge offen. Hier nur ansehen; nichts wird behalten."


@says("told-torn")
def _told_torn() -> str:
    return "Beim Schreiben fiel der Strom aus. Die letzte ganze Kopie gilt."


@says("told-no-name")
def _told_no_name(name: str) -> str:
    return f"Hier gibt es keinen Auftrag {name}."


@says("row-newer")
def _row_newer() -> str:
    return "Dieser Auftrag stammt von einem neueren Farend. Hier wurde nichts geändert."


@says("row-unreadable")
def _row_unreadable() -> str:
    return "Diese Datei ergibt keinen Sinn. Hier wurde nichts geändert."
