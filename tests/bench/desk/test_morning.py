"""This morning, a page of the sample sheet, without a browser: what is typed, kept, worked out and said."""

import datetime
import re
from dataclasses import replace

import follow_charge
import pytest

from kilnlib import units
from kilnlib.bench.desk.sheet import panel as sample_sheet
from kilnlib.physics.daily import own_morning
from kilnlib.physics.daily.review import with_degrade
from kilnlib.physics.samples import Air, SampleBoard, Section, Sheet, Weighing
from kilnlib.physics.setpoint import Change
from kilnlib.store.kiln import ThisKiln
from kilnlib.store.sheet import SampleSheet, free_path

F = units.f_to_c


def made_charge(days=3, bulbs_on_last=True):
    """A sheet of so many days after the first, with or without the bulbs of the last."""
    charge = follow_charge.Charge(5, ("red oak", "4/4"), (48.0, 48.0))
    for _ in range(days):
        charge.dry(1)
    sheet = charge.sheet
    return sheet if bulbs_on_last else replace(sheet, air=sheet.air[:-1])


@pytest.fixture
def opened(tmp_path, monkeypatch):
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path / "home"))
    desks = []

    def open_sheet(sheet=None):
        if sheet is not None:
            SampleSheet.create(free_path(sheet.charge), sheet).close()
        desk = sample_sheet.Panel()
        desks.append(desk)
        if sheet is not None:
            desk.weights.round = desk.weights._rounds()[-1]
        desk.turn_to("morning")
        return desk

    yield open_sheet
    for desk in desks:
        if desk.view is not None:
            desk.close()


def fill(desk, name, **texts):
    row = desk.morning.rows[name]
    for box, typed in texts.items():
        row.boxes[box].value = typed
    desk.flush()
    return row


def on_disk(desk):
    return SampleSheet.open(desk.open_sheet.path).sheet


def plain(words):
    return re.sub(r"<[^>]+>", " ", words)


def test_bulbs_of_both_sides_and_the_bucket_are_on_disk_as_typed(opened):
    desk = opened(made_charge(bulbs_on_last=False))
    fill(desk, "bulbs", dry="110", wet="106")
    fill(desk, "leaving", leaving_dry="108.5", leaving_wet="106")
    fill(desk, "drained", bucket="12.5")
    last = on_disk(desk).air[-1]
    assert last.when == desk.weights.round.when and last == desk.sheet.air[-1]
    assert (last.dry_bulb_c, last.wet_bulb_c) == (F(110), F(106)) and last.leaving_dry_bulb_c == pytest.approx(F(108.5))
    assert last.bucket_m3 == pytest.approx(12.5 * 3.785411784e-3) and desk.last_error is None
    fill(desk, "bulbs", wet="60 %")
    assert on_disk(desk).air[-1].wet_bulb_c < F(98) and on_disk(desk).air[-1].leaving_wet_bulb_c == F(106)


def test_one_bulb_alone_and_a_bucket_without_bulbs_wait_and_are_there_again(opened):
    desk = opened(made_charge(bulbs_on_last=False))
    count = len(desk.sheet.air)
    assert "Type both bulbs" in fill(desk, "bulbs", dry="110").said.value
    assert "waits" in fill(desk, "drained", bucket="9 gal").said.value
    assert len(on_disk(desk).air) == count
    desk.close()
    desk = opened()
    rows = desk.morning.rows
    assert rows["bulbs"].boxes["dry"].value == "110" and rows["drained"].boxes["bucket"].value == "9 gal"
    fill(desk, "bulbs", wet="106")
    last = on_disk(desk).air[-1]
    assert len(on_disk(desk).air) == count + 1 and last.bucket_m3 == pytest.approx(9 * 3.785411784e-3)
    assert rows["drained"].refusal is None


def test_a_slip_stays_beside_its_box_and_changes_nothing(opened):
    desk = opened(made_charge(bulbs_on_last=False))
    row = fill(desk, "bulbs", dry="106", wet="110")
    assert row.refusal is not None and row.boxes["wet"].value == "110" and len(on_disk(desk).air) == 3
    row = fill(desk, "bulbs", dry="43", wet="41")
    assert "43 C" in row.said.value
    fill(desk, "bulbs", dry="110", wet="106")
    assert row.refusal is None and len(on_disk(desk).air) == 4


def test_emptied_boxes_take_the_reading_away_and_undo_brings_it_back(opened):
    desk = opened(made_charge())
    fill(desk, "drained", bucket="9")
    row = fill(desk, "bulbs", dry="", wet="")
    assert "hangs on" in row.said.value and len(on_disk(desk).air) == 4
    fill(desk, "drained", bucket="")
    assert on_disk(desk).air[-1].bucket_m3 is None
    fill(desk, "bulbs", wet="105")
    desk.undo()
    assert "the readings of" in desk.told.value and desk.page.value == "morning"
    assert on_disk(desk).air[-1].wet_bulb_c == made_charge().air[-1].wet_bulb_c
    fill(desk, "bulbs", dry="", wet="")
    assert len(on_disk(desk).air) == 3
    desk.undo()
    assert len(on_disk(desk).air) == 4 and desk.morning.rows["bulbs"].boxes["dry"].value != ""


def test_it_says_what_to_do_why_and_what_the_boards_should_weigh(opened):
    sheet = made_charge(5)
    desk = opened(sheet)
    wanted = own_morning(sheet, ThisKiln())
    said, table = plain(desk.morning.answer.value), plain(desk.morning.boards.value)
    assert desk.morning.result == wanted
    heading = {"hold": "Hold", "ease": "Ease off", "advance": "Move on"}[wanted.daily.action]
    assert heading in said and said.count("Source:") == len(wanted.reasons) == 2
    dial = units.show(wanted.change.wet_bulb_c, "temperature")
    assert dial in said and isinstance(wanted.change, Change)
    for one, miss in zip(wanted.tomorrow, wanted.missed, strict=True):
        for kg in (one.weight_kg, miss.expected.weight_kg):
            assert f"{units.from_si(kg, 'weight'):.2f}" in table
    assert f"{wanted.ready.likely:%Y-%m-%d}" in table and f"{wanted.ready.late:%Y-%m-%d}" in table
    assert "The weighing before said" in table


def test_an_earlier_round_shows_its_own_morning(opened):
    desk = opened(made_charge(4))
    desk.weights.earlier()
    desk.turn_to("morning")
    assert desk.morning.result.daily.when == desk.weights.round.when == made_charge(3).days[-1].when


def test_without_bulbs_or_weights_it_says_what_is_missing(opened):
    bare = replace(made_charge(), air=())
    assert "bulb" in plain(opened(bare).morning.answer.value)


def test_an_old_sheet_opens_and_is_not_written_anew(opened):
    desk = opened(made_charge())
    before = desk.open_sheet.path.read_bytes()
    assert b"leaving" not in before
    desk.turn_to("weights")
    desk.turn_to("morning")
    desk.close()
    assert desk.open_sheet.path.read_bytes() == before


def test_a_metric_sheet_is_asked_in_celsius_and_liters(opened):
    desk = opened(replace(made_charge(), temperature_unit="C", sample_unit="kg"))
    assert "°C" in desk.morning.heads["bulbs"].value
    assert desk.morning.rows["drained"].boxes["bucket"].description == "Water, L"
    fill(desk, "bulbs", dry="43", wet="41")
    assert on_disk(desk).air[-1].dry_bulb_c == 43.0 and "°C" in desk.morning.answer.value


def test_dates_are_moved_with_their_readings(opened):
    desk = opened(made_charge())
    desk.turn_to("weights")
    to = desk.weights.round.when + datetime.timedelta(hours=-2)
    desk.weights.when_row.boxes["when"].value = f"{to:%Y-%m-%d %H:%M}"
    desk.flush()
    assert on_disk(desk).air[-1].when == to == on_disk(desk).boards[0].weighings[-1].when


def test_when_a_charge_ends_it_is_reviewed_beside_the_last_of_its_wood(opened):
    mcs = {"1": (30.0, 8.0, 6.9), "2": (28.0, 7.5, 6.0)}

    def ended(name, start, wood="red oak"):
        rows = []
        for board, dried in mcs.items():
            cut = Section(0.02 * (1 + dried[0] / 100), 0.02)
            weights = [Weighing(start + datetime.timedelta(n), 1.2 * (1 + mc / 100)) for n, mc in enumerate(dried)]
            rows.append(SampleBoard(board, (cut, cut), tuple(weights)))
        air = (Air(start, F(150), F(115)),)
        return Sheet(name, wood, "4/4", 7.0, tuple(rows), air)

    before = with_degrade(ended("Oak 13", datetime.datetime(2026, 1, 5, 7)), "end checks 4")
    SampleSheet.create(free_path("Oak 13"), before).close()
    SampleSheet.create(free_path("Ash 2"), ended("Ash 2", datetime.datetime(2026, 2, 5, 7), "white ash")).close()
    desk = opened(ended("Oak 14", datetime.datetime(2026, 3, 2, 7)))
    assert desk.morning.result.daily.action == "stop"
    row = fill(desk, "degrade", degraded="surface checks")
    assert "no number of boards" in row.said.value
    fill(desk, "degrade", degraded="warp 3, Surface checks 12; warp 1")
    assert row.refusal is None and on_disk(desk).notes[-1].text == "Degrade: warp 3, Surface checks 12; warp 1"
    said = plain(desk.morning.review.value)
    assert "1: 30 % to 6.9 %; 2: 28 % to 6.0 %" in said and "0.9 points apart" in said
    assert "Degrade: surface checks 12, warp 4." in said
    assert said.index("Oak 14") < said.index("Oak 13") < said.index("end checks 4") and "Ash" not in said
    fill(desk, "degrade", degraded="")
    assert on_disk(desk).notes == ()
