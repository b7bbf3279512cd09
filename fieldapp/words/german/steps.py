"""What is to be done, in German: the deed, its reason, its caution."""

from __future__ import annotations

from collections.abc import Callable

from engine.say import Say
from fieldapp.words import codes
from fieldapp.words.english.steps import StepWords
from fieldapp.words.german.figures import NBSP, _printed, metres, point, side_of, spot, wire
from fieldapp.words.german.sheetnames import _titled

STEPS: dict[str, Callable[..., StepWords]] = {}
OUTLINES = {"long-span": "runde Seite", "exposed": "gezahnte Seite", "equipment": "eckige Seite"}
TURNED = {
    "long-span": "Strom, keine Daten.",
    "arrestor": "er hält nichts auf, und kein Messwert zeigt es.",
    "repeater": "dahinter läuft nichts.",
    "splitter": "dahinter läuft nichts.",
}

step_words = codes.entered_in(STEPS)


def step(said: Say) -> StepWords:
    """The words of a step."""
    return STEPS[said.code](**said.parts)


@step_words("step-announce")
def _announce() -> StepWords:
    return StepWords(
        "Sich vorstellen. Die **Abschaltung** absprechen.",
        "Jemand muss wissen, dass der Port ausgeht und wo du bist.",
        "Sie wissen Bescheid",
        "Vorstellen, Abschaltung absprechen",
        "Donner oder Blitz: keine Hand an Kupfer im Freien, bis 30 Minuten nach dem letzten.",
    )


@step_words("step-meter")
def _meter() -> StepWords:
    return StepWords(
        "**Messgerät** prüfen: Spitzen zusammen, bekannte Spannung, DC gewählt.",
        "Jedes Urteil heute hängt daran.",
        "Das Messgerät stimmt",
        "Messgerät prüfen",
    )


@step_words("step-feed")
def _feed(box: str, name: str, volts: float, granted: float | None) -> StepWords:
    grant = f" Sie gewährt mindestens {granted:.0f}{NBSP}W." if granted else ""
    return StepWords(
        f"**{box}** am Port ablesen: eine Quelle, **eingeschaltet**.{grant}",
        "Draußen hat nichts eigenen Strom. Ohne das sagt kein Messwert etwas.",
        f"{box} speist, eingeschaltet",
        f"{box} ablesen: Quelle, an",
        "Die Netzseite eines Netzteils gehört der Elektrofachkraft. Nicht öffnen.",
    )


@step_words("step-off")
def _off(box: str) -> StepWords:
    return StepWords(
        f"**{box}** ausschalten, abstecken, Schild mit deinem Namen dran.",
        "Niemand darf die Linie einschalten, solange Hände am Kupfer sind.",
        f"{box} ist aus, Schild dran",
        f"{box} aus, abgesteckt, Schild dran",
        "Aus ist erst ein Wort. Nachweisen: bekannte Spannung, hier, bekannte Spannung.",
    )


@step_words("step-pull")
def _pull(span: str, length_m: float, near: str, far: str, outdoor: bool) -> StepWords:
    return StepWords(
        f"**{span}** ziehen, {metres(length_m)}, {near} bis {far}. **Enden verschlossen.**",
        "In ein offenes Ende kriecht Wasser weit hinein. An beiden Enden Reserve lassen.",
        f"{span} liegt, Enden dicht",
        f"{span} ziehen, {metres(length_m)}",
        "Abstand zu Netzleitungen. Bevor du hochsteigst, weiß jemand, wo du bist."
        if outdoor
        else "",
    )


@step_words("step-terminate")
def _terminate(span: str) -> StepWords:
    return StepWords(
        f"Stecker an **{span}**: beide Enden gleich belegt, Verschraubung **vorher** aufs Kabel.",
        "Ein gekreuztes oder gesplittetes Paar zeigt sich an keiner Spannung.",
        f"{span}: beide Enden fertig",
        f"Stecker an {span}, beide Enden",
    )


@step_words("step-pairs")
def _pairs(span: str) -> StepWords:
    return StepWords(
        f"**{span}** messen: fernes Ende kurzgeschlossen, nichts gesteckt.",
        "Kupferkaschiertes, dünnes oder zu langes Kabel zeigt sich hier, bevor etwas daran hängt.",
        f"Schleifenohm von {span} messen",
        f"Schleifenohm von {span}",
        "Nie Ohm an einem Paar unter Spannung messen.",
    )


@step_words("step-sheet")
def _sheet(box: str, title: str) -> StepWords:
    return StepWords(
        f"Typenschild von **{box}** lesen. Im Plan steht: {_titled(title)}.",
        "Die falsche Variante ist die häufigste Überraschung.",
        f"{box} ist wie im Plan",
        f"Typenschild von {box} mit Datenblatt",
    )


@step_words("step-speeds")
def _speeds(
    start: str,
    start_mbps: tuple[int, ...],
    end: str,
    end_mbps: tuple[int, ...],
    gigabit_only: tuple[str, ...],
) -> StepWords:
    ends = " und ".join(spot(end) for end in gigabit_only)
    only = f" **{ends}: nur Gigabit.**" if gigabit_only else ""
    a, b = start.rpartition(".")[0], end.rpartition(".")[0]
    return StepWords(
        f"Haben **{a}** und **{b}** ein gemeinsames Tempo?{only}",
        "Zwei Enden ohne gemeinsames Tempo: Strom, LEDs, keine Daten.",
        f"{a} und {b}: Tempo passt",
        f"Tempo von {a} und {b}",
    )


@step_words("step-bond")
def _bond(
    box: str, earth: str | None, lead_m: float | None, mm2: float | None, volts: float | None
) -> StepWords:
    to = f"an **{earth}** " if earth else ""
    thick = f", {wire(mm2)}" if mm2 else ""
    adds = (
        f" Diese Leitung lässt bei 3{NBSP}kA etwa {volts:.0f}{NBSP}V mehr durch." if volts else ""
    )
    return StepWords(
        f"Erdleitung von **{box}** {to}anbringen{thick}: kurz, gerade.",
        f"Überspannung braucht einen Weg, bevor sie ein Ziel hat.{adds}",
        f"{box} geerdet, Leitung dran",
        f"Erdleitung von {box}",
        "Über Erdung entscheiden örtliche Vorschriften und die Elektrofachkraft. "
        "Nie eine Erde auftrennen.",
    )


@step_words("step-earth")
def _earth(earth: str, target: float | None) -> StepWords:
    goal = f" Im Plan: höchstens {target:.0f}{NBSP}Ω." if target else ""
    return StepWords(
        f"Erde an **{earth}** messen.{goal}",
        "Die Leitung ist angebracht, nicht gemessen.",
        f"Erde an {earth} messen",
        f"Erdmessung an {earth}",
        "Wo es einen Wert der Elektrofachkraft gibt, den nehmen. "
        "Nie eine Erde zum Messen auftrennen.",
    )


@step_words("step-fit")
def _fit(box: str, kind: str, ports: tuple[tuple[str, str, str, str], ...]) -> StepWords:
    if not ports:
        return StepWords(
            f"**{box}** setzen.",
            "Im Plan hängt noch nichts daran.",
            f"{box} sitzt",
            f"{box} setzen",
        )

    def printed(port: str) -> str:
        return port if kind == "joint" else _printed(port)

    port, faces, far, _ = ports[0]
    outline = f"{OUTLINES[faces]}, " if faces in OUTLINES else ""
    name = printed(port)
    rest = [f"{printed(p)} an {side_of(f)}" for p, _, f, _ in ports[1:]]
    then = f" Dann {', '.join(rest)}." if rest else ""
    return StepWords(
        f"**{box}** setzen: {outline}**{name}**, an {side_of(far)}.{then}",
        FIT_WHY.get(faces, "Jede Seite an ihren Nachbarn, wie im Plan."),
        f"{name} liegt an {far.rpartition('.')[0]}",
        f"{box} setzen: {name} an {spot(far)}",
        turned=TURNED.get(kind, ""),
    )


FIT_WHY = {
    "long-span": "Nur diese Seite treibt das lange Kabel. Die andere hört auf diese Länge nichts.",
    "exposed": "Nur von dieser Seite hält er Überspannung auf: die Zähne zum Wetter.",
    "source": "Nur diese Seite nimmt Strom an. Verkehrt herum bleibt dahinter alles dunkel.",
    "equipment": "Diese Seite will ein Patchkabel, nicht das lange Kabel.",
}


@step_words("step-mount")
def _mount(box: str, name: str) -> StepWords:
    what = f"**{box}**" if name == box else f"**{box}**, {name},"
    return StepWords(
        f"{what} montieren. **Nicht anstecken.**",
        "Angesteckt wird zuletzt, wenn alles davor geprüft ist.",
        f"{box} hängt, abgesteckt",
        f"{box} montieren, nicht anstecken",
        "Bevor du hochsteigst: Wind, Eis, dunkel? Weiß jemand, wo du bist?",
    )


@step_words("step-look")
def _look() -> StepWords:
    return StepWords(
        "Zurückgehen und **schauen**: wie herum, Verschraubungen, Kurzschluss am Ende raus.",
        "Einen verkehrten Ableiter oder eine offene Leitung zeigt kein Messwert.",
        "Alles angeschaut",
        "Zurückgehen und schauen",
    )


@step_words("step-energise")
def _energise(box: str) -> StepWords:
    return StepWords(
        f"Frei gemeldet, von beiden? **{box}** einschalten. Eine Box nach der anderen.",
        "Die erste falsche Box ist dann die neueste.",
        f"{box} ist an",
        f"{box} einschalten",
        f"Bis 57{NBSP}V. Bei Nässe oder blanken Kontakten in Reichweite: erst aus, immer.",
    )


@step_words("step-volts")
def _volts(at: str) -> StepWords:
    return StepWords(
        f"Volt an **{point(at)}** messen.",
        "Jede Box ist geprüft, bevor die nächste daran hängt.",
        f"Volt an {spot(at)} messen",
        f"Volt an {point(at)}",
        "Messadapter nehmen: blanke Spitzen in der Buchse unter Spannung schließen Paare kurz.",
    )


@step_words("step-link")
def _link(at: str, far: str) -> StepWords:
    return StepWords(
        f"Tempo an **{point(at)}** ablesen.",
        "Strom und Daten fallen einzeln aus.",
        f"Tempo an {spot(at)} ablesen",
        f"Tempo an {point(at)}",
    )


@step_words("step-full")
def _full(box: str, watts: float) -> StepWords:
    return StepWords(
        f"Bei **{box}** alles einschalten, bis {watts:.0f}{NBSP}W, **15 Minuten** lang.",
        "Fehler kommen bei voller Last, und nachts.",
        f"{box} lief unter voller Last",
        f"15 Minuten volle Last, {box}",
    )


@step_words("step-cold")
def _cold(box: str) -> StepWords:
    return StepWords(
        f"**{box}** 10 Sekunden aus, wieder an. **Zweimal.**",
        "Was nur von Hand wiederkommt, ist nach dem ersten Stromausfall dunkel.",
        "Kam zweimal von selbst",
        f"Kaltstart von {box}, zweimal",
    )


@step_words("step-close")
def _close(stop: str, boxes: tuple[str, ...]) -> StepWords:
    return StepWords(
        f"**{', '.join(boxes)}** schließen und abdichten. Freie Ports verschließen.",
        "Wasser findet die eine Verschraubung, die vergessen wurde.",
        "Zu und dicht",
        f"Boxen schließen, {stop}",
    )


@step_words("step-labels")
def _labels(stop: str) -> StepWords:
    return StepWords(
        f"Schilder an jede Box und beide Kabelenden bei **{stop}**.",
        "Wer als Nächster kommt, hat nur sie.",
        f"{stop} hat Schilder",
        f"Schilder bei {stop}",
    )


@step_words("step-take-back")
def _take_back() -> StepWords:
    return StepWords(
        "Zwischenleitung, bekannte Last, **Kurzschlüsse**, Schilder abnehmen. Werkzeug zählen.",
        "Was zum Test drin war, ist ein Fehler, sobald du weg bist.",
        "Von mir ist nichts drin",
        "Leitungen, Lasten, Kurzschlüsse raus",
    )
