"""Two jobs of one title in the list: their ids part them, for the eye and for a screen reader."""

from __future__ import annotations

from headless import Phone, drive
from screen_jobs import mill, reedbed

from fieldapp import words


def test_jobs_of_one_title_are_told_apart_by_their_ids_and_no_other_is():
    twin = {**reedbed(), "id": "REEDBED-TWO"}
    title, other = reedbed()["title"], mill()["title"]

    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(), twin, mill()))
        await phone.go("/")
        for one in ("REEDBED-HIDE", "REEDBED-TWO"):
            assert phone.shows(f"{title}, {one}")
            assert words.speak_more(f"{title}, {one}") in phone.speech()
        assert other in phone.texts() and title not in phone.texts()
        await phone.tap("more-REEDBED-TWO")
        assert phone.shows(words.more_title(f"{title}, REEDBED-TWO"))
        phone.stop()

    drive(journey)
