"""What to do about a fault, what to look for, what would make it sure; what no reading sees."""

from __future__ import annotations

from collections.abc import Mapping

from fieldapp.words.english.remedies import _MANY
from fieldapp.words.german.figures import NBSP, spot
from fieldapp.words.german.said import says

TO_DO: Mapping[str, str] = {
    "do-nothing": "Nach diesen Messwerten ist nichts zu beheben.",
    "do-again": "**Was außerhalb liegt, noch einmal messen**: Beide Werte zählen.",
    "do-mend-first": "**Beheben, was zuerst außerhalb liegt**, dann neu messen.",
    "do-source": "**Ein anderes Netzteil einsetzen.** Ans Netz darf nur die Elektrofachkraft.",
    "do-source-volts": "**{at} auf die geplante Spannung stellen** oder ersetzen.",
    "do-feed-twice": "**Nur eine Quelle an der Linie von {at} lassen**, die andere abziehen.",
    "do-source-leads": "**Kurze, dicke Zuleitungen** für {at}, oder ersetzen.",
    "do-port-on": "**Den Port von {at} einschalten**, in den Einstellungen.",
    "do-first-box": "**Eine geprüfte Box an {at} stecken**, dann Strecke für Strecke nach außen.",
    "do-port-trip": "**Vom fernen Ende her Boxen abnehmen**, bis {at} hält: Die letzte war es.",
    "do-budget": "**Einen Port abziehen, der weniger zählt**, oder ein größeres Netzteil.",
    "do-span": "**{at} neu verlegen**, wie geplant, oder mit dem planen, was liegt.",
    "do-span-open": "**Beide Enden von {at} neu machen**; wenn weiter offen, neu verlegen.",
    "do-span-short": "**Beide Enden von {at} öffnen und ansehen**; sind sie gut, neu verlegen.",
    "do-ends": "**Die Enden von {at} neu machen** und nach jedem messen.",
    "do-wet": "**Das nasse Ende von {at} kürzen**, bis der Draht blank ist, und abdichten.",
    "do-pairs": "**Die Enden von {at} neu machen**, alle acht Adern.",
    "do-wires": "**Beide Enden von {at} neu machen**, in derselben Farbfolge.",
    "do-load": "**Nachsehen, was {at} gerade tut**, dann so planen.",
    "do-load-off": "**Nachsehen, ob {at} steckt und an ist**; sonst ersetzen.",
    "do-load-varies": "**Bekannte Last statt {at}**, dann neu messen.",
    "do-turn": "**Port aus, dann {at} umdrehen.**",
    "do-box": "**Eine andere Box derselben Art statt {at} einsetzen.**",
    "do-restart": "**Abziehen, was hinter {at} hängt.** Hält es dann: unterversorgt. Sonst ersetzen.",
    "do-no-pass": "**{at} so stellen, dass Strom weitergeht**, oder ersetzen.",
    "do-arrestor": "**Einen anderen Ableiter statt {at}.** Seine Erde: Elektrofachkraft.",
    "do-earth": "**{at} bringt eine Elektrofachkraft in Ordnung.** Nie eine Erde auftrennen.",
    "do-slow-endpoint": "**Eine Box mit 10/100 vor {at}**, oder eine mit Gigabit an die Stelle.",
    "do-too-long": "**Eine Box dazwischen**, oder mit weniger Tempo auskommen.",
    "do-noise": "**{at} weg von Netzleitungen und Leuchten**, oder geschirmtes Kabel legen.",
    "do-data-port": "**Die Daten von {at} einschalten**, beide Enden auf Automatik.",
    "do-repeat": "**{at} noch einmal messen.**",
    "do-ask": "**Fragen, ob {at} an war**, nachsehen, neu messen.",
    "do-tips": "**Messspitzen aneinander**, und die Anzeige von jeder Schleife abziehen.",
    "do-short": "**Das ferne Ende von {at} kurzschließen**, dann die Schleife neu messen.",
}
TO_LOOK_FOR: Mapping[str, str] = {
    "look-unseen": "Richtungen, Erden, Dichtungen, Mäntel: Kein Messwert sieht sie.",
    "look-source": "LED, Stecker, Sicherung, Schalter.",
    "look-source-volts": "Die Einstellung; ein Netzteil, das warm ist oder brummt.",
    "look-feed-twice": "Ein vergessener Einspeiser, ein zweiter Port mit Strom, eine Box, die zurückspeist.",
    "look-source-leads": "Dünne oder lange Zuleitungen, lose Schrauben, eine warme Klemme.",
    "look-port-page": "Seine Einstellungen: an, Klasse, Watt, Grund der Abschaltung.",
    "look-first-box": "Wasser im ersten Stecker; eine erste Box, die nicht im Plan steht.",
    "look-port-trip": "Die angezeigten Watt kurz vor dem Abschalten, gegen die Zusage.",
    "look-span": "Silber unter einer angekratzten Ader; die Längenmarken; Sonne und Hitze am Weg.",
    "look-ends": "Grüne Kontakte, Wasser, Adern nicht am Anschlag, Zug am Kabel.",
    "look-contact": "Eine Ader nicht am Anschlag, ein Kontakt grün oder verbogen.",
    "look-nicks": "Nägel, Klammern, ein gequetschter oder angenagter Mantel, Wasser.",
    "look-wet": "Tropfen im Stecker, offene Dichtung, grüne Kontakte, keine Tropfschlaufe.",
    "look-wires": "Die Farben an beiden Enden, Ader für Ader.",
    "look-load": "Heizung, Licht, Motor, etwas Zweites, das daran steckt.",
    "look-load-off": "LED, Stecker, eigener Schalter.",
    "look-turned": "Welche Seite an welchem Kabel sitzt, neben dem Bild.",
    "look-box": "Die LEDs, Wasser innen, ein aufgehebelter Deckel.",
    "look-warm": "Heiß, innen nass oder nicht die geplante Art.",
    "look-restart": "Die LEDs, eine Minute lang: zusammen aus und wieder an?",
    "look-no-pass": "Schalter oder Einstellung dafür, dass Strom weitergeht.",
    "look-arrestor": "Brandspuren, Geruch, Wasser, zurückgedrückte Stifte.",
    "look-earth": "Die Leitung zur Schiene, ihre Schrauben, der Erder.",
    "look-speeds": "Das Datenblatt: welches Tempo geht.",
    "look-marks": "Die Längenmarken an beiden Enden; ein Ring, der irgendwo liegt.",
    "look-noise": "Netzleitungen, Leuchten, Motoren; Stunden, zu denen es schlimmer ist.",
    "look-digits": "Zwei Ziffern vertauscht, oder das Komma verrutscht.",
    "look-display": "Die Einheit in der Anzeige: m, k oder keine.",
    "look-place": "An welchem Stecker gemessen wurde.",
    "look-dial": "Der Drehschalter: Strich für Gleichspannung, Welle für Wechselspannung.",
    "look-tips": "Die Spitzen aneinander: Die Anzeige geht auf null.",
    "look-short": "Ob der Kurzschluss steckt und Kontakt hat.",
}
TO_BE_SURE: Mapping[str, str] = {
    "sure-box-at-source": "Eine geprüfte Box direkt an {at}.",
    "sure-source-unloaded": "Volt an {at} mit anderer Last: weiter zu wenig, dann ist es die Quelle.",
    "sure-feed-twice": "{at} aus: Steht auf der Linie noch Spannung?",
    "sure-two-loads": "Volt an {at} bei zwei Lasten: Mehr Ampere, weniger Volt.",
    "sure-far-open": "Das ferne Ende der ersten Strecke offen: Hält {at}?",
    "sure-cut-off": "Das ferne Ende von {at} offen: Hält die Einspeisung?",
    "sure-other-port-off": "Ein anderer Port am selben Netzteil aus: Geht {at} an?",
    "sure-span": "Schleifenohm und Länge von {at}: Beides zusammen trennt Draht von Länge.",
    "sure-wire": "Die Längenmarken an beiden Enden von {at}, und eine Ader angekratzt.",
    "sure-wiggle": "Volt hinter {at}, während jemand ein Ende bewegt, dann das andere.",
    "sure-loop-open": "Die Schleife von {at}, Linie aus, Kurzschluss am Ende: Schließt ein Paar?",
    "sure-pairs": "Die Schleife von {at}, Linie aus, alle vier Paare: Ein schlechtes Ende macht sie ungleich.",
    "sure-insulation": "Isolation messen, alles aus und von der Linie ab: nur Fachleute mit Befähigung.",
    "sure-unbalance": "Die Schleife von {at} auf allen vier Paaren, und die Unsymmetrie von jedem.",
    "sure-pair-map": "Die Belegung von {at}; ein Split zeigt sich nur im Übersprechen.",
    "sure-load": "Bekannte Last statt {at}: Kommen die vorhergesagten Volt?",
    "sure-amps": "Ampere an {at} zusammen mit den Volt.",
    "sure-photo": "Beide Seiten von {at} auf einem Foto, mit den Kabeln.",
    "sure-swap": "Eine geprüfte Box statt {at}.",
    "sure-behind-off": "Watt von {at}, wenn alles dahinter abgezogen ist.",
    "sure-through": "Ohm durch {at}, Linie aus, Ader für Ader.",
    "sure-round": "{at} mit kurzem Kabel überbrücken, nur bei gutem Wetter; danach wieder weg.",
    "sure-earth": "Eine Erdmessung an {at}, so wie die Elektrofachkraft es sagt.",
    "sure-near-switch": "{at} direkt an den nahen Switch: Kommt dort eine Verbindung?",
    "sure-marks": "Die Längenmarken von {at} an beiden Enden.",
    "sure-count": f"Defekte Frames über 15{NBSP}min, bei Tag und bei Nacht.",
    "sure-other-box": "Eine andere Box am selben Port: Kommt eine Verbindung?",
}
for _code, _text in {**TO_DO, **TO_LOOK_FOR, **TO_BE_SURE}.items():

    def _said(_text: str = _text, at: str = "", **parts: object) -> str:
        return _text.format(at=spot(at))

    says(_code)(_said)


# ---------------------------------------------------------------- what no reading sees

UNSEEN: Mapping[str, str] = {
    "unseen-arrestor-reversed": "**Die Einbaurichtung** von {at}: Ein Blick oder ein Foto zeigt sie.",
    "unseen-earth-open": "**Die Erdverbindung** von {at}: Leitung verfolgen, Erde messen.",
    "unseen-earth-high": "**Der Widerstand** von {at}: Eine Erdmessung zeigt ihn.",
    "unseen-joint-wet": "**Wasser** in den Enden von {at}, an trockenen Tagen: Dichtungen ansehen.",
    "unseen-port-class": "**Die Zusage** von {at} zur schwersten Stunde: Endpunkt voll belasten.",
    "unseen-feed-twice": "**Eine zweite Quelle** auf der Linie von {at}: nach einem Netzteil suchen.",
}
for _code, _text in UNSEEN.items():

    def _unseen(at: tuple[str, ...], _text: str = _text) -> str:
        shown = ", ".join(at[:_MANY])
        more = f" und {len(at) - _MANY} mehr" if len(at) > _MANY else ""
        return _text.format(at=f"{shown}{more}")

    says(_code)(_unseen)
