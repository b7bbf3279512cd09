"""What is handed over speaks the language that was chosen, and is made anew where that changes."""

from __future__ import annotations

from dataclasses import replace

from handed_page import DOC, at_the_page, model_of, out, row_of
from headless import Phone, drive

from fieldapp.handing import stamp
from fieldapp.words import english, german


def test_a_report_and_labels_are_german_once_german_is_chosen() -> None:
    """Chosen in Settings by a press; in English again by another, and the report is due anew."""

    async def speak(phone: Phone, language: str) -> None:
        await phone.go("/settings")
        await phone.tap(f"language-{language}")
        await phone.go("/j/REEDBED-HIDE/hand")

    async def journey() -> None:
        phone = await at_the_page(DOC)
        await speak(phone, "de")
        assert german.document("report") in row_of(phone, "report")
        await phone.tap("kind-html")
        _, report = await out(phone, "save-report")
        page = report.decode("utf-8")
        assert '<html lang="de">' in page and german.record_title(DOC["title"]) in page
        assert "Record of" not in page
        assert german.sent_same("").rstrip(", ") in row_of(phone, "report")
        _, labels = await out(phone, "save-labels")
        assert b"/Lang (de)" in labels
        await speak(phone, "en")
        _, again = await out(phone, "save-report")
        assert f'<html lang="{english.LANGUAGE}">' in again.decode("utf-8")
        phone.stop()

    drive(journey)


def test_a_stamp_changes_with_the_language_where_words_are_written() -> None:
    """A report and labels are made of other words then; the job's file is the same."""
    model = model_of()
    other = replace(model, settings=replace(model.settings, language="de"))
    for what in ("report", "labels"):
        assert stamp(model, what) != stamp(other, what), what
    assert stamp(model, "whole") == stamp(other, "whole")
