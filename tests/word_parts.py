"""Parts with which every function of the words is tried."""

from __future__ import annotations

from collections.abc import Mapping
from math import inf
from types import SimpleNamespace
from typing import Any

from test_reel import reels_said

from engine.entries import READING_KINDS
from engine.job import KINDS
from engine.sheets import STARTER
from engine.verdict import INSIDE, NO_BAND, OUTSIDE, UNCLEAR
from fieldapp import words
from fieldapp.words.english import NBSP

POOL: Mapping[str, tuple[Any, ...]] = {
    "kind": READING_KINDS,
    "word": ("", INSIDE),
    "verdict": (INSIDE, UNCLEAR, OUTSIDE, NO_BAND),
    "digits": ("4", "41.0", "1234567"),
    "number": (0, 1, 2, 11),
    "at": ("L2.in", "C4", "14:32"),
    "box": ("L2",),
    "low": (43.7, None),
    "high": (46.0, None),
    "reading": (41.0, None),
    "at_m": (463.0, None),
    "metres_": (0.4, None),
    "lead_m": (0.4, None),
    "volts": (41.0,),
    "mbps": (0, 1000),
    "value": (41.0,),
    "colour": tuple(words.COLOURS),
    "pinout": ("T568B", ""),
    "seconds": (0.0, 1.0, 9.6, 61.0, 900.0),
    "made": (0, 1, 2),
    "state": ("open", "proven", "outside", "dark", "unclear"),
    "people": (1, 2),
    "code": (),
    "said": (),
    "function": (),
}
ODDS = tuple((chance,) for chance in (0.0, 0.03, 0.05, 0.2, 0.45, 0.72, 0.951, 1.0))
SHOWN = (
    ("volts", "J1.b"),
    ("volts", "L2.in"),
    ("mbps", "L2.in"),
    ("loop_ohms", "C4"),
    ("metres", "C4"),
)
"""what a test shows, and where"""
DAY = f"30{NBSP}September{NBSP}2031"
AT = {
    "loop_ohms": "C4",
    "unbalance_ohms": "C4",
    "metres": "C4",
    "earth_ohms": "EB2",
    "celsius": "hide",
}
"""where what is not read at a port is read"""
COME_TO = ("outside", "collapse", "stop", "nothing-read", "unclear", "no-band", "open", "agrees")
"""what a job can come to"""
SPECIAL: Mapping[str, tuple[tuple[Any, ...], ...]] = {
    "cause_name": (*((cause,) for cause in words.CAUSES), ("span.damp",)),
    "often": tuple(
        (cause, rate, unit)
        for cause, unit in (("joint.high", "per span"), *(("x", unit) for unit in words.PLACES))
        for rate in (0.0, 0.0009, 0.02, 0.4, 0.99)
    ),
    "pairs_read": (({"1": 24.9, "2": 1e6},),),
    "altered_line": ((("C4",),), (("C4", "A2.line"),)),
    "said_line": (
        ((("joint.high", "C4"),), (), False),
        ((), ("C4",), False),
        ((), (), True),
        ((), (), False),
    ),
    "truth_line": (
        ("none", "", ""),
        ("joint.high", "C4", "A2.line"),
        *((cause, "C4", "") for cause in words.CAUSES if cause != "none"),
    ),
    "so_far_title": (*((level,) for level in words.PRACTICE_LEVELS), ("",)),
    "went": tuple((one,) for one in ("mended", "named", "shown", "sound", "missed", "left")),
    "speeds": (((1000,),), ((10, 100),)),
    "floor": ((36.0, "L2"),),
    "speak_line": (
        ([("S", 54.0, INSIDE), ("L2", 41.0, OUTSIDE), ("C", None, "")], "36 stops"),
        ([], ""),
    ),
    "speak_box": (("L2", "long-span", (("in", "A2.kit"), ("out", "C.in")), False),),
    "speak_ribbon": (
        (470.0, "Hut", "Sluice", ()),
        (470.0, "Hut", "", ("C4",)),
        (470.0, "", "Sluice", ("C3", "C4", "C5")),
    ),
    "off_by": ((2.7, "volts", True), (2.7, "earth_ohms", False)),
    "within": ((43.7, 46.0, "volts", True), (300.0, 320.0, "milliamps", False)),
    "place_of_path": (("spans/C4/length_m",), ("title",), ("boxes/L2",), ("site/ambient_c",)),
    "conflict_value": tuple(
        ("spans/C4/length_m", value) for value in (262, {"expected": 256}, None, {"id": "C4"})
    ),
    "thing_of": (("spans/C4/length_m",), ("L2.in",), ("title",)),
    "choose_title": (("spans/C4/length_m",), ("title",)),
    "plans_disagree": (("spans/C4/length_m",), ("title",)),
    "written_by": (("Orla", True), ("Orla", False), ("", True)),
    "load_state": (("C", 15.0), ("C", 0.0)),
    "load_slab": (("C", 15.0), ("C", 0.0)),
    "one_after_the_other": (("The loss is real.", "It starts past J1."),),
    "predicted_today": ((43.7, 46.0),),
    "reach_of": tuple((reach, "volts") for reach in (0.04, 0.3, 12.0)),
    "over_range": tuple(("41", kind) for kind in words.MOST),
    "keep_slab": tuple(("41.", kind) for kind in READING_KINDS),
    "would_bear": ((2.25, []), (160.0, [("C", 23.4)]), (6.98, [("P", 105.2), ("G", 104.0)])),
    "predicted": (
        (43.7, 46.0),
        (None, None),
        (None, 46.0),
        (43.7, None),
        *((None, None, state) for state in ("cycling", "starved", "off")),
    ),
    "measure_at": tuple((AT.get(kind, "A2.line"), kind) for kind in READING_KINDS),
    "its": (("volts",), ("milliamps",), ("mbps",), ("error_count",)),
    "meter_reach": tuple(
        (reach, kind)
        for reach in (0.04, 0.3, 12.0)
        for kind in READING_KINDS
        if kind not in ("mbps", "error_count")
    ),
    "spot": (("L2.in",), ("A2.line",), ("C4",)),
    "new_stop_slab": (("230",), ("1234.5",)),
    "capital": (("**nothing** holds.",),),
    "plan_value": ((None,), ("Far unit",)),
    "advice_more": tuple(
        (gained, left, holds)
        for gained, left in ((1.6, 0), (0.01, 1), (-0.4, 3), (None, 2))
        for holds in words.HOLDS
    ),
    "way_line": tuple((12.04, 1.6, holds, left) for holds in words.HOLDS for left in (0, 2)),
    "still_looking": ((0.4,),),
    "figure_title": tuple((name, "C4") for name in words.PLAN_FIGURES),
    "figure_meant": tuple((name, "C4", "J1", "A2") for name in words.FIGURE_MEANT),
    "figure_wanted": (("metres",), ("mm2",)),
    "figure_planned": ((256.0, "metres"), (None, "metres"), (2.5, "mm2")),
    "bond_line": (("EB1", 0.4, 6.0), ("EB1", None, None)),
    "bond_button": ((True,), (False,)),
    "lead_button": ((0.4,), (None,)),
    "mm2_button": ((6.0,), (None,)),
    "earth_choice": (("EB1", "Bar in the hut", "Hut", 0.0), ("EB1", "", "Hut", 0.0)),
    "meter_title": (("M1", "Ida's"), ("M1", "")),
    "takes": ((6.0, ()), (6.0, ("ladder",)), (24.5, tuple(words.NEEDS)), (1.0, ("tongs",))),
    "by_whom": ((f"6{NBSP}min", ()), (f"6{NBSP}min", (2,)), (f"6{NBSP}min", (1, 2))),
    "listed": (([f"53.8{NBSP}V", f"410{NBSP}mA"],), ([f"53.8{NBSP}V"],), ([],)),
    "end_slab": (("J1.b", True), ("J1.b", False)),
    "wires_title": (("C4", "T568A"),),
    "tied": (("4.6 MB",),),
    "before_step": (("Fit A1: line to C3",), ("L1 and S share a speed",)),
    "photo_of": (("L1",), ("bond.A1",)),
    "photographed": (("L1",), ("bond.A1",), ("stop:hide",)),
    "wait_starts": ((3.0,), (120.0,)),
    "start_timer": ((900.0,),),
    "start_off": (("S", 10.0),),
    "off_again": ((10.0,),),
    "time_of": ((10.0,), (900.0,)),
    "note_timer": ((900.0,),),
    "stage_state": tuple((state,) for state in ("open", "proven", "outside", "dark", "unclear")),
    "go_on_to": (("Fit L2: IN to A2's kit side",), ("",)),
    "reopened": (("feed.S",),),
    "odds": tuple((chance,) for chance in (1.0, 0.96, 0.8, 0.5, 0.2, 0.1, 0.01)),
    "sheet_name": (
        *((sheet,) for sheet in STARTER.values()),
        (SimpleNamespace(id="24", title=None),),
    ),
    "sheets_group": tuple((group,) for group in words.GROUPS),
    "sheets_instead": (("repeater",), ("long-span",)),
    "sheet_used_by": ((1,), (4,)),
    "sheet_outcome": (
        (True, True, 36.9, 0),
        (True, True, 36.9, 1),
        (True, True, None, 3),
        (True, False, None, 0),
        (False, False, None, 4),
    ),
    "cable_figures": (("6", 23, "copper", False, 66.8), ("", 0, "clad", True, 133.8)),
    "feed_figures": ((54.0, 90.0, 8, False, 4), (24.0, None, None, True, 2)),
    "box_figures": ((36.0, 2.5, 280.0, None, None), (36.0, 3.0, None, 54.0, 30.0)),
    "passive_figures": ((0.2, (100, 1000)), (0.02, ())),
    "endpoint_figures": ((16.0, 22.0, 36.0, 4), (6.0, 9.0, 16.0, None)),
    "meter_figures": (({"volts": 0.5, "milliamps": 1.0},),),
    "own_title": (("A2", ""), ("A2", "Line arrestor")),
    "own_follow": ((("C4",),), (("C3", "C4"),)),
    "own_question": (
        *((key,) for key in words.ASKED),
        ("ports/in/faces",),
        ("ports/out/reach_m/1000",),
    ),
    "own_meant": (
        *((key, False) for key in words.ASKED if words.ASKED[key][2]),
        ("volts", True),
        ("ports/in/reach_m/1000", False),
    ),
    "own_unit": (
        ("volts", "low"),
        ("ohms_per_km", "expected"),
        ("efficiency", ""),
        ("ports/in/reach_m/1000", ""),
        *(("milliamps", part) for part in ("percent", "digits", "resolution")),
    ),
    "own_part": tuple((part,) for part in words.PARTS),
    "own_choice": (
        *((key, value) for key, known in words.CHOSEN.items() for value in known),
        ("outdoor", True),
        ("outdoor", False),
        ("pairs", 2),
        ("pairs_out", 4),
        ("category", "6A"),
        ("class", 6),
        ("awg", 23),
        ("speeds_mbps", 1000),
    ),
    "own_value": (
        ("volts", None, 1),
        ("volts", 54.0, 1),
        ("efficiency", 0.885, 100),
        ("own_watts", {"low": 2, "expected": 3, "high": 4}, 1),
        ("own_watts", {"low": 3, "expected": 3, "high": 3}, 1),
        ("milliamps", {"percent": 1, "digits": 2, "resolution": 1}, 1),
        ("speeds_mbps", [100, 1000], 1),
        ("speeds_mbps", [], 1),
        ("ports/in/reach_m/1000", 280, 1),
        ("ports/in/faces", "long-span", 1),
        ("material", "clad", 1),
        ("outdoor", True, 1),
        ("class", 4, 1),
        ("category", "6A", 1),
    ),
    "own_type_part": (("",), ("low",), ("resolution",)),
    "own_alone": (("±20 %",), ("0.5 / 0.8 / 1.0 of the sheet's",)),
    "own_default": (("36 V",), ("10 % copper by volume",)),
    "own_change_slab": ((1,), (4,)),
    "own_missing": (("How many volts does it make?",),),
    "own_kind": (("long-span",), ("cable",)),
    "own_note": (
        ("Orla", "Patch lead", ("ohms_per_km",), ("material", "awg")),
        ("", "Patch lead", ("awg",), ()),
        ("", "Patch lead", (), ("awg",)),
    ),
    "reel_finding": tuple(
        (2, length, wire)
        for length in reels_said()
        for wire in reels_said()
        if length.code in words.LENGTHS and wire.code in words.WIRES
    ),
    "reel_how": ((15.0, -5.0, 32.0), (None, -5.0, 32.0)),
    "reel_settle": tuple((way,) for way in ("scrape", "weigh", "tape", "again")),
    "reel_then": tuple((way,) for way in ("scrape", "weigh", "tape", "again", "")),
    **{
        name: tuple((field,) for field in words.REEL_FIELDS)
        for name in ("reel_type", "reel_title", "reel_meant", "reel_unit")
    },
    "reel_taken": (("C4", "14:32"), ("C4", "")),
    "speed": ((0,), (1000,)),
    "size_line": ((312, 0, 0), (24_400, 1, 0), (2_340_000, 11, 1)),
    "bytes_line": ((312,), (24_400,), (2_340_000,)),
    "hand_rows_line": ((0,), (1,), (12,)),
    "sent_at": (("14:50", "2031-06-03", "2031-06-03"), ("14:50", "2031-06-02", "2031-06-03")),
    "sent_newer": (("14:50",), ("",)),
    "sent_same": (("14:50",), ("",)),
    "news": (
        (("N. Adeyo",), 4, 0, ("Sluice",)),
        (("N. Adeyo", "Orla"), 1, 1, ("Hut", "Sluice")),
        (("N. Adeyo", "Orla", "Ivo"), 0, 1, ()),
        ((), 0, 3, ("Sluice",)),
    ),
    "compared": (
        *((code, "") for code in words.COMPARED),
        ("end-volts", "the far end, C"),
        *(("boxes", kind) for kind in KINDS),
        ("cable", "Patch lead"),
    ),
    "compared_value": (
        *((code, value) for code in ("works", "works-at-worst") for value in (True, False)),
        *((code, value) for code in words.COMPARED for value in (23.04, inf, None)),
        *((code, 2) for code in ("boxes", "cable", "end-volts", "end-volts-worst")),
        ("slowest-link", 0),
    ),
    "hours": ((384.08,), (60.0,), (7.2,)),
    "line_end": (("this plan", 48.0), ("this plan", None)),
    "boxes_missing": ((("Q",),), (("Q", "R"),), (tuple("QRSTUVWXYZ"),)),
    "table_problem": (("line 3, to", '"Q.in"', "a box of this plan"),),
    "spans_columns": (("id, from, to, cable, metres",),),
    "in_ten": ODDS,
    "light_foretold": ODDS,
    "cause_at": (("span.high", "C4"), ("link.port-down", "L1.out"), ("other", "")),
    "speak_cause": (("span.high", "sluice to hide", 0.7), ("other", "", 0.02)),
    "rest_of": ((("other", "box.dead", "span.high"),), (("other",),)),
    "of_reading": tuple(("A2.line", kind) for kind in words.KINDS),
    "along": ((("Sluice", "Hide"),), (("Sluice",),)),
    "also": ((("span resists too much all along, C4", "box dead, L2"),),),
    "weighing": ((0.0,), (0.5,), (0.9,)),
    "test_name": SHOWN,
    "then_measure": SHOWN,
    "test_title": SHOWN,
    "range_of": (
        (45.6, 47.0, "volts"),
        (-0.2, 0.01, "volts"),
        (38.9, 41.2, "loop_ohms"),
        (250.0, 262.0, "metres"),
    ),
    "speak_sleeves": (((("J1", "45.6 to 47.0\u00a0V"), ("C4", "none")), "volts at J1"),),
    "walk_to": (("J1", 256.0, True), ("L2", 256.0, False)),
    "find_more": ((5, True, False), (1, False, False), (3, False, False), (1, False, True)),
    "waits_for_off": ((("S",),), (("S", "P1"),)),
    "is_off_said": (("S", "Orla", "14:05"), ("S", "", "14:05"), ("S", "", "")),
    "kinds_told": (((("clad", 0.7), ("long", 0.2), ("thin", 0.08), ("hot", 0.02)),),),
    "ends_told": (((("J1.b", 0.5), ("A2.line", 0.5)),),),
    "test_takes": ((9.0, ("far-end short",)), (3.0, ("known-load",)), (1.0, ())),
    "others_say": ((0, 1), (0, 3), (1, 0), (5, 1), (4, 12)),
    "may_be_in": ((("C3",), 0.4), (("C3", "C4", "C5"), 0.9)),
    "suspect_line": (("box dead, L2", 0.7), ("box dead, L2", 0.03)),
    "here_line": tuple((kind, "hide", 463.0) for kind in READING_KINDS),
    **{
        f"record_{one}": tuple((key,) for key in table)
        for one, table in (
            ("head", words.RECORD_HEADS),
            ("column", words.RECORD_COLUMNS),
            ("nothing", words.RECORD_NOTHING),
            ("weight", words.RECORD_WEIGHTS),
            ("step_state", words.RECORD_STEPS),
        )
    },
    "label_port": (("in", "source", "C1.b"), ("in", "", ""), ("out2", "end", "")),
    "label_ports": (((("in", "source"), ("out1, out2", "end")),), ((("a, b", ""),),)),
    "label_foot": ((230.0, "2031-05-04"), (None, "2031-05-04")),
    "note_handed": ((("reedbed-hide-record.pdf", "reedbed-hide-labels.pdf"),),),
    **{name: tuple((what,) for what in words.DOCUMENTS) for name in ("document", "being_made")},
    "report_line": ((0, 0, 4), (1, 0, 4), (11, 1, 4), (3, 0, 0)),
    "written_line": ((9, 3_100_000, 0), (1, 24_000, 1), (None, 24_000, 0), (12, 2_000_000, 3)),
    "labels_line": ((27, None), (27, 2), (1, 1), (0, None)),
    "sheet_of_labels": ((24, 70.0, 37.0), (1, 70.0, 24.0)),
    **dict.fromkeys(("all_at_once", "all_in_one", "all_named"), ((3,), (2,))),
    "paper": tuple((size,) for size in words.PAPER_NAMES),
    "kind_of_file": tuple((kind,) for kind in words.KIND_NAMES),
    "sign_what": ((1, 0, 41), (12, 40, 41)),
    "sign_as": (("P. Quill", "Site contact", True), ("Orla", "", False)),
    "speak_sign_field": ((0,), (1,), (7,)),
    "signed_who": (("Orla", "Installer"), ("", ""), ("Orla", "")),
    "signed_state": (
        (False, None, 3),
        (True, None, 0),
        (True, False, 0),
        *((True, True, since) for since in (0, 1, 4)),
    ),
    "record_sum": (("Orla", ("0a1b2c3d",) * 8), ("", ("ffffffff",) * 8)),
    "record_people": ((("Ida", "Rafe"),), ((),)),
    "record_stood": (((("L2", 12.0),), ("E",), True), ((), (), False)),
    "record_verdict": tuple((state, number) for state in COME_TO for number in (1, 4)),
    "record_band": (
        (43.7, 44.0, 46.0, "volts"),
        (None, None, 46.0, "volts"),
        (43.7, 44.0, None, "volts"),
        (None, None, None, "volts"),
        (1000.0, 1000.0, 1000.0, "mbps"),
        (53.18, 53.21, 53.24, "volts"),
    ),
    "record_left": ((0, True), (1, True), (6, True), (2, False)),
    "record_found": (("wet joint", "wet joint, C4"), ("wet joint", ""), ("wet joint", "green.")),
    "on_day": tuple(
        (stamp, now)
        for stamp in ("2031-06-03T14:00:00Z", "2030-09-30T14:00:00Z", "soon", None)
        for now in ("2031-11-05T09:00:00Z", "")
    ),
    "then": ((DAY,), ("",)),
    "visit_title": tuple((by, day) for by in ("N. Adeyo", "") for day in (DAY, "")),
    "visit_answered": (
        ("P. Quill", "warden", "lens fogged"),
        ("Orla", "", "rain"),
        ("", "", "rain"),
    ),
    "setting_name": tuple((key,) for key in words.SETTINGS),
    "setting_more": tuple((key,) for key in words.SETTINGS),
    "setting_choice": tuple(
        (key, value) for key, said in words.CHOICES_SAID.items() for value in said
    ),
    "speak_setting": (("L2", "L2", True), ("L2", "L2", False)),
    "sign_group": tuple((key,) for key in words.SIGN_GROUPS),
    **{
        name: tuple((key,) for key in words.SIGN_LINES)
        for name in ("sign_name", "sign_line", "speak_sign")
    },
    "meter_accuracy": (({"volts": (0.5, 2.0), "loop_ohms": (1.0, 3.0)},),),
    "meter_line": (("QX-4471", DAY), ("", DAY), ("QX-4471", ""), ("", "")),
    "meter_day_row": ((DAY,), ("",)),
    "day_said": ((2031, 6, 14), (2031, 12, 1)),
    "day_typed": (("14062031",), ("14",), ("",)),
    "stays_is": ((True,), (False,), (None,)),
    "phone_row": tuple(
        (newer, offline, stays)
        for newer in (True, False)
        for offline in (True, False)
        for stays in (True, False, None)
    ),
    "everything_holds": ((1, 0, 24_000), (3, 1, 2_300_000), (12, 40, 160_000_000)),
    "visit_reason": (*((reason,) for reason in words.VISIT_REASONS), ("moon",)),
    "record_reason": (*((reason,) for reason in words.VISIT_REASONS), ("",)),
    "row_left": ((DAY,), ("",)),
    "since_title": ((DAY,), ("",)),
    "drift_by": tuple(
        (before, now, kind, day)
        for before, now, kind in (
            (43.2, 41.0, "volts"),
            (43.2, 43.21, "volts"),
            (24.1, 33.8, "loop_ohms"),
            (1000, 100, "mbps"),
            (0, 1000, "mbps"),
            (2, 900, "error_count"),
        )
        for day in (DAY, "")
    ),
    "drift_then": ((43.2, "volts", DAY), (43.2, "volts", "")),
    "drift_head": (("volts", "hide, where you stand"), ("volts", "")),
    "drift_sure": ((0.4, "volts"), (0.0, "mbps")),
    "drift_unsure": ((f"0.4{NBSP}V lower than {DAY}",),),
    "drift_altered": tuple(
        (f"0.4{NBSP}V lower than {DAY}", "volts", reads)
        for reads in (None, (43.2, "inside"), (41.0, "outside"))
    ),
    "shorts_first": ((1, "S"), (3, "S")),
    "was_short": ((43.2, "volts"), (1000, "mbps")),
    "was_line": ((43.2, "volts", DAY), (43.2, "volts", ""), (1000, "mbps", DAY)),
    "as_then": tuple((43.2, "volts", DAY, word) for word in words.DRIFTS),
    "drift_meter": tuple((same, ohms) for same in (True, False) for ohms in (4.9, None)),
    "speak_drift": tuple(
        ("L2.in", "volts", 43.2, 41.0, 42.8, 43.6, DAY, word) for word in words.DRIFTS
    ),
    "again_line": tuple(
        (readings, looks, 35.0, reason)
        for readings, looks in ((1, 0), (3, 1), (0, 1), (5, 2))
        for reason in (*words.VISIT_REASONS, "")
    ),
    "record_sure": tuple((word,) for word in words.RECORD_SURE),
    "record_difference": ((-2.2, "volts"), (0.04, "volts"), (9.7, "loop_ohms")),
    "record_since": (("2031-06-03 16:20 UTC",), ("",)),
    "record_length": ((92.0, 92.0, 92.0), (91.0, 92.0, 93.0)),
}
EMPTIABLE = {"by", "why", "stop", "here", "next_stop", "following", "since", "proven"}
EMPTIABLE |= {"suspect", "cutoff"}
INNER = {"step_words", "says", "step", "sentence", "StepWords", "Fixed", "dataclass", "scale_of"}
