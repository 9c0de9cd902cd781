"""The generated module as a shell meets it."""

import time

import pytest
from player.bindings import coldlug_phone as api
from player.play import Player
from player.shell import Drawer, Http, Told
from small_script import JOB


def entries(player: Player, phone: str) -> list[str]:
    return [entry["event"]["id"] for entry in player.entries(JOB, phone)]


def test_a_job_is_begun_on_two_phones_that_end_alike(played):
    assert entries(played, "phone-pad") == entries(played, "phone-house")
    # The opening, the briefing, and eight stays begun and ended.
    assert len(entries(played, "phone-pad")) == 18
    phone, _ = played.phone("phone-pad")
    jobs = phone.jobs().screen
    assert jobs.is_job_list() and [line.job for line in jobs.jobs] == [JOB]


def test_a_screen_is_drawn_for_its_person_with_acts_and_what_they_ask(played):
    phone, _ = played.phone("phone-pad")
    shown = phone.screen(JOB, "lineworker-1")
    assert shown.physical and shown.headline.text
    assert any(offer.permitted and offer.asks for offer in shown.acts)
    assert all(api.act_named(api.act_name(offer.act)) == offer.act for offer in shown.acts)


def test_an_answer_that_does_not_fit_names_its_field(played):
    phone, _ = played.phone("phone-pad")
    shown = phone.screen(JOB, "lineworker-1")
    offer = next(offer for offer in shown.acts if any(ask.required for ask in offer.asks))
    before = phone.record(JOB)
    with pytest.raises(api.PhoneError.Unfit) as unfit:
        phone.draft(JOB, "lineworker-1", offer.act, [])
    assert unfit.value.field in {ask.field for ask in offer.asks}
    assert unfit.value.said.text
    assert phone.record(JOB) == before


def test_errors_are_told_apart(desk, played):
    phone, _ = played.phone("phone-pad")
    with pytest.raises(api.PhoneError.NoSuchJob):
        phone.screen("J-9999", "lineworker-1")
    with pytest.raises(api.PhoneError.Invalid):
        phone.act(JOB, "lineworker-1", ["not a statement"])
    desk.kill()
    way = Http()
    with pytest.raises(api.PhoneError.Offline):
        phone.sync(way)
    phone.suspend()
    with pytest.raises(api.PhoneError.Asleep):
        phone.jobs()
    phone.resume()
    phone.close()
    with pytest.raises(api.PhoneError.Closed):
        phone.jobs()


def test_a_watch_tells_changes(tmp_path):
    heard = []

    class Ear(api.Observer):
        def changed(self, revision: int) -> None:
            heard.append(revision)

    phone = api.Phone.open(str(tmp_path), Told(), Drawer(tmp_path, "new"))
    watch = phone.watch(Ear())
    for _ in range(200):
        if heard:
            break
        time.sleep(0.01)
    watch.stop()
    assert heard == [phone.revision()]
    assert phone.enrolment() is None
