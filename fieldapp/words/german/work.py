"""The sentences of the work in German: cautions, what it takes, timers, the power-up walk."""

from __future__ import annotations

from fieldapp.words.english.work import clock_left, listed, time_of  # noqa: F401
from fieldapp.words.german.figures import _SHORT_KINDS, KINDS, NBSP, count, spot
from fieldapp.words.german.said import says
from fieldapp.worldclock import clock_of

# ---------------------------------------------------------------- cautions


@says("caution-thunder")
def _thunder() -> str:
    return "**Donner oder Blitz?** Kabel ablegen, runter vom Mast, bis 30 Minuten nach dem letzten."


@says("caution-ladder")
def _ladder(stop: str) -> str:
    return (
        f"**Bevor du bei {stop} hochsteigst**: Wind, Eis, dunkel? Sichern. Weiß jemand, wo du bist?"
    )


@says("caution-live")
def _live() -> str:
    return (
        f"**Bis 57{NBSP}V auf den Paaren.** Bei Nässe oder blanken Kontakten in Reichweite: "
        "erst aus, immer."
    )


@says("caution-off")
def _off(said: tuple[tuple[str, str, str | None], ...]) -> str:
    prove = "**Nachweisen**: bekannte Spannung, hier, bekannte Spannung."
    if not said:
        return f"**Niemand hat gesagt, dass es aus ist.** Ausschalten lassen. {prove}"
    told = ", ".join(
        " ".join(word for word in (box, by, clock_of(t)) if word) for box, by, t in said
    )
    return f"**Soll aus sein**: {told}. Ein Wort, kein Draht. {prove}"


@says("caution-earth")
def _earth() -> str:
    return (
        "**Örtliche Vorschriften und die Elektrofachkraft** entscheiden über Erdung. "
        "Nie eine Erde auftrennen."
    )


@says("caution-mains")
def _mains() -> str:
    return "**Die Netzseite eines Netzteils** gehört der Elektrofachkraft. Nicht öffnen."


@says("caution-dig")
def _dig() -> str:
    return (
        "**Bevor du gräbst**: nach fremden Leitungen fragen, dann orten. "
        "Örtliche Vorschriften entscheiden."
    )


@says("caution-metal")
def _metal() -> str:
    return "**Fremdes Metall**, auch ein Lichtmast: erst auf Spannung prüfen, dann anfassen."


@says("caution-eyes")
def _eyes() -> str:
    return (
        "**Schutzbrille auf**: Aderenden, Kleber, Staub. "
        "Keine Flamme bei Gas, Dämmung oder trockenem Gras."
    )


@says("caution-two-earths")
def _two_earths() -> str:
    return (
        f"**Erst messen, dann anfassen.** Mehr als 1{NBSP}V: nicht verbinden, "
        "die Elektrofachkraft fragen."
    )


@says("caution-unplug")
def _unplug() -> str:
    return (
        "**Port aus, dann ziehen.** Unter Last gezogen funkt der Stecker, die Kontakte brennen ein."
    )


@says("caution-known-load")
def _known_load() -> str:
    return "**Eine Last wird heiß**: fürs Doppelte ausgelegt, weg vom Boden, nichts daneben."


@says("caution-insulation")
def _insulation() -> str:
    return (
        "**Nichts angeschlossen**, keine Ableiter. Nie Ohm an Paaren unter Spannung. "
        "Isolation misst nur die Elektrofachkraft."
    )


def before_step(short: str) -> str:
    """Over the cautions: what they come before."""
    return f"Bevor es weitergeht: {short}"


def understood() -> str:
    """The one slab of the cautions."""
    return "Verstanden"


def asked_once() -> str:
    """Under it."""
    return "einmal je Ort und Tag gefragt"


# ---------------------------------------------------------------- needs and minutes

NEEDS = {
    "ladder": "Leiter",
    "break-out lead": "Messadapter",
    "known load": "bekannte Last",
    "partner": "zweite Person",
    "far-end short": "Kurzschluss am Ende",
    "camera": "Kamera",
}


def takes(minutes: float, needs: tuple[str, ...]) -> str:
    """``6 min, dazu Leiter und zweite Person``"""
    named = [NEEDS.get(one, one) for one in needs]
    last = f"{', '.join(named[:-1])} und {named[-1]}" if len(named) > 1 else "".join(named)
    time = f"{minutes:.0f}{NBSP}min"
    return f"{time}, dazu {last}" if last else time


def by_whom(takes_: str, who: tuple[int, ...]) -> str:
    """The same with which of two people does it."""
    return f"{' und '.join(map(str, who))}: {takes_}" if who else takes_


# ---------------------------------------------------------------- timers


def speak_left(seconds: float) -> str:
    """What is left of a timer, for a screen reader."""
    minutes, rest = map(int, clock_left(seconds).split(":"))
    parts = []
    if minutes:
        parts.append("1 Minute" if minutes == 1 else f"{minutes} Minuten")
    if rest or not minutes:
        parts.append("1 Sekunde" if rest == 1 else f"{rest} Sekunden")
    return f"noch {' '.join(parts)}"


def start_timer(seconds: float) -> str:
    """The slab that starts a timer: all is on."""
    return f"Alles an: {time_of(seconds)} starten"


def start_off(box: str, seconds: float) -> str:
    """The slab of a cold start."""
    return f"{box} ist aus: {time_of(seconds)}"


def off_again(seconds: float) -> str:
    """The slab that goes on with the second time."""
    return f"Alles da. Wieder aus: {time_of(seconds)}"


def first_time_back() -> str:
    """Under it."""
    return "einmal schon, zweimal soll es sein"


def runs_on() -> str:
    """Under a slab that waits: the phone may sleep."""
    return "läuft auch ohne Handy weiter"


def wait_still(seconds: float) -> str:
    """The slab while a timer runs."""
    return f"Noch {clock_left(seconds)} warten"


def back_by_itself(box: str) -> str:
    """After the seconds of a cold start: what to look for."""
    return f"**{box}** einschalten. Kam alles **von selbst** wieder?"


# ---------------------------------------------------------------- the power-up walk


@says("lights-feed")
def _lights_feed(box: str, within_s: int) -> str:
    return (
        f"Port-LED an {box} geht binnen {within_s}{NBSP}s an. Blinkt langsam: sucht noch. "
        "Dunkel: nichts gewährt."
    )


@says("lights-box")
def _lights_box(box: str, power_s: int, link_s: int) -> str:
    return (
        f"{box}: Strom-LED binnen {power_s}{NBSP}s, Link-LED {link_s}{NBSP}s später. "
        "Jede zeigt nur ihre eigene Seite."
    )


@says("lights-endpoint")
def _lights_endpoint(box: str, from_s: int, to_s: int) -> str:
    return f"{box} braucht {from_s} bis {to_s}{NBSP}s, um von selbst hochzukommen."


def power_title(box: str, number: int, total: int) -> str:
    """The sentence of the power-up walk at one box."""
    return f"**{box}** einschalten, {number} von {total}."


def power_halted(box: str, state: str) -> str:
    """The walk stops here."""
    return {
        "dark": f"**{box} ist dunkel.** Dahinter nichts anstecken.",
        "outside": f"**{box} liegt außerhalb.** Dahinter nichts anstecken.",
    }.get(state, f"**Bei {box} geht es nicht weiter.** Dahinter nichts anstecken.")


def power_halted_why() -> str:
    """Why it stops."""
    return "Eine Box nach der anderen: die erste falsche ist die neueste. Sie oder ihr Kabel."


def power_all_proven(total: int) -> str:
    """The walk is over."""
    if total == 1:
        return "**Die eine Box** läuft, geprüft."
    return f"**Alle {count(total)} Boxen** laufen, jede geprüft."


def power_none() -> str:
    """A plan without a box that power reaches."""
    return "**Nichts einzuschalten** in diesem Plan."


def is_dark() -> str:
    """The press that says that no light came on."""
    return "Bleibt dunkel"


def is_lit() -> str:
    """The press that takes it back."""
    return "Leuchtet jetzt"


def note_dark(box: str) -> str:
    """The text of the entry."""
    return f"{box}: alle LEDs aus"


def note_lit(box: str) -> str:
    """The text of the entry that ends it."""
    return f"{box}: leuchtet"


def note_timer(seconds: float) -> str:
    """The text of the entry that starts a timer."""
    return f"Uhr gestartet, {time_of(seconds)}"


def plug_in(box: str, at: str) -> str:
    """The slab that starts the wait at a box."""
    return f"{spot(at)} ist angesteckt" if at else f"{box} ist an"


def wait_starts(seconds: float) -> str:
    """Under it."""
    return f"dann {time_of(seconds)} auf die LEDs warten"


def lights_are_up() -> str:
    """The quiet way past the rest of the wait."""
    return "LEDs leuchten"


def stage_state(state: str) -> str:
    """A box of the walk, in a word or two."""
    return {
        "open": "dran",
        "proven": "geprüft",
        "outside": "außerhalb",
        "dark": "dunkel",
        "unclear": "unklar",
    }[state]


def stage_waits() -> str:
    """A box behind the one that halts the walk, or behind the next."""
    return "wartet"


def its(kind: str) -> str:
    """The quiet that reads what a box lacks: ``Auch Tempo``."""
    return f"Auch {_SHORT_KINDS.get(kind, KINDS[kind])}"


def see_readings(box: str) -> str:
    """The slab when the walk is halted."""
    return f"Messwerte von {box}"


def measure_again_at(box: str) -> str:
    """The quiet beside it."""
    return f"{box} neu messen"


def power_halted_more() -> str:
    """Under the slab of the halted walk."""
    return "was sie zeigt und zeigen sollte"


def on_to_now() -> str:
    """The slab when the walk, or a page of one step, is over."""
    return "Weiter zu den Schritten"
