"""More of what is to be done, in German: before the cable is pulled, photos, before one goes."""

from __future__ import annotations

from fieldapp.words.english.steps import StepWords
from fieldapp.words.german.figures import NBSP, _hundred, decimal, metres, point, spot, with_unit
from fieldapp.words.german.steps import step_words

_metres = metres
"""where a part has the same name"""


@step_words("step-walk")
def _walk(stops: tuple[str, ...], far: str, metres: float) -> StepWords:
    return StepWords(
        f"Mit dem Plan bis **{far}** gehen, {_metres(metres)}. Fotografieren, was da ist.",
        "Pläne lügen. Jetzt berichtigt kostet eine Minute, später einen Tag.",
        "Gegangen, Plan stimmt",
        f"Weg bis {far} abgehen, mit Foto",
    )


@step_words("step-reel")
def _reel(span: str, length_m: float, title: str, ohms: float | None) -> StepWords:
    long, its = _hundred(ohms or 0.0)
    pair = (
        f" **{long} Paar: etwa {decimal(its)}{NBSP}Ω**, fernes Ende kurzgeschlossen."
        if ohms
        else ""
    )
    return StepWords(
        f"Trommel für **{span}** ansehen: Aufdruck, {metres(length_m)} und Reserve.{pair}",
        "Kupferkaschiertes abzulehnen ist billig, es wieder herauszuziehen teuer.",
        f"Trommel für {span} stimmt",
        f"Trommel für {span}, {metres(length_m)}",
    )


@step_words("step-rehearse")
def _rehearse(boxes: tuple[str, ...]) -> StepWords:
    return StepWords(
        "Auf dem Tisch mit **kurzen Leitungen** proben: alles an, alles verbunden.",
        "Eine tote oder verkehrte Box kostet am Tisch eine Minute, am Mast eine Stunde.",
        "Auf dem Tisch lief alles",
        "Auf dem Tisch proben",
    )


@step_words("step-marks")
def _marks(span: str, length_m: float) -> StepWords:
    return StepWords(
        f"Längenmarken von **{span}** an beiden Enden ablesen. Im Plan: {metres(length_m)}.",
        "Die wahre Länge; später sagt sie, wie weit weg ein Fehler ist.",
        f"Länge von {span} tippen",
        f"Längenmarken von {span}",
    )


@step_words("step-screens")
def _screens(span: str, here: str, there: str) -> StepWords:
    return StepWords(
        f"Volt zwischen Schirm von **{span}** und Erdschiene messen. "
        f"Mehr als 1{NBSP}V: **nicht verbinden**.",
        f"{here} und {there} können auf zwei Spannungen liegen; der Unterschied flösse über den Schirm.",
        f"{span}: bis 1{NBSP}V, gemessen",
        f"Schirm von {span} zur Erdschiene",
    )


@step_words("step-photo")
def _photo(box: str, kind: str) -> StepWords:
    return StepWords(
        f"**{box}** fotografieren: beide Seiten und ihre Leitungen.",
        "Wie herum sie sitzt, zeigt kein Messwert.",
        f"{box} ist fotografiert",
        f"Foto von {box}",
    )


@step_words("step-photo-bond")
def _photo_bond(box: str, earth: str | None) -> StepWords:
    return StepWords(
        f"Erdleitung von **{box}** fotografieren, beide Enden.",
        "Wer wiederkommt, sieht, ob sie noch ist wie zuvor.",
        f"Erdung {box} fotografiert",
        f"Foto der Erdleitung von {box}",
    )


@step_words("step-clear")
def _clear() -> StepWords:
    return StepWords(
        "Keine Hand am Kupfer: **frei gemeldet**, laut, von allen.",
        "Niemand sieht das andere Ende der Linie.",
        "Frei gemeldet, von allen",
        "Frei melden, laut",
    )


@step_words("step-load")
def _load(box: str, watts: float) -> StepWords:
    return StepWords(
        f"Bekannte Last von etwa **{watts:.0f}{NBSP}W** statt {box}: an jeder Box Volt und Ampere messen. "
        f"Dann {box} anstecken.",
        "Sie zieht immer gleich viel: dahinter versteckt sich kein schlechter Verbinder.",
        f"{box} ist wieder angesteckt",
        f"Bekannte Last statt {box}",
    )


@step_words("step-settings")
def _settings(box: str, name: str) -> StepWords:
    return StepWords(
        f"Einstellungen von **{box}** dauerhaft ablegen: auch Vorrang und Grenze des Ports.",
        "Ein Switch, der sie vergisst, ist nach dem ersten Stromausfall dunkel.",
        f"{box} vergisst sie nicht",
        f"Einstellungen von {box} abgelegt",
    )


@step_words("step-after-close")
def _after_close(stop: str, at: str) -> StepWords:
    return StepWords(
        f"{stop} ist zu: an {spot(at)} **noch einmal** Volt und LEDs.",
        "Ein Deckel quetscht, was der Handschuh nicht spürt.",
        f"{spot(at)} ist wie vorher",
        f"Nach dem Schließen messen, {stop}",
    )


@step_words("step-tell")
def _tell() -> StepWords:
    return StepWords(
        "Dem Kunden zeigen, was **normal** ist, was nach Sturm zu prüfen ist, wo Ersatz liegt.",
        "Er sieht zuerst, wenn etwas nicht stimmt.",
        "Der Kunde weiß Bescheid",
        "Dem Kunden zeigen, was normal ist",
    )


@step_words("step-copy")
def _copy() -> StepWords:
    return StepWords(
        "Den Bericht **vom Handy** kopieren.",
        "Ein Handy im Wasser nimmt den Bericht mit.",
        "Bericht kopieren",
        "Bericht vom Handy kopieren",
    )


@step_words("step-sign")
def _sign() -> StepWords:
    return StepWords(
        "Bericht unterschreiben. **Abgemeldet, Tor zu.**",
        "Da steht, wer dafür einsteht.",
        "Signiert, abgemeldet",
        "Bericht unterschreiben",
    )


AGAIN = {
    "volts": "Volt",
    "milliamps": "Milliampere",
    "watts": "Watt",
    "mbps": "Tempo",
    "loop_ohms": "Schleifenohm",
    "earth_ohms": "Erde",
    "error_count": "defekte Frames",
}


@step_words("step-again")
def _again(at: str, kind: str, was: float | None) -> StepWords:
    then = f" Vorher: {with_unit(was, kind)}." if was is not None else ""
    return StepWords(
        f"{AGAIN[kind]} an **{point(at)}** noch einmal messen.{then}",
        "Was gedriftet ist, zeigt der Unterschied, lange bevor es außerhalb liegt."
        if was is not None
        else "Hier wurde nie gemessen. Es zeigt, was davor gedriftet ist.",
        f"{AGAIN[kind]} an {spot(at)} messen",
        f"Noch einmal: {AGAIN[kind]} an {point(at)}",
    )


@step_words("step-look-over")
def _look_over(
    stop: str, boxes: tuple[str, ...], earthed: tuple[str, ...], reason: str
) -> StepWords:
    shows = (
        "Wasser, Dichtungen, Schilder?" if reason == "yearly" else "Verschmort, ausgelöst, nass?"
    )
    lead = "Erdleitung" if len(earthed) == 1 else "Erdleitungen"
    leads = f" {lead} fest?" if earthed else ""
    return StepWords(
        f"**{', '.join(boxes)}** durchsehen. {shows}{leads}",
        "Einen verbrauchten Ableiter oder eine offene Leitung zeigt kein Messwert.",
        f"{stop} ist durchgesehen",
        f"{stop} durchsehen",
    )
