"""This mill's prices in this kiln's file: written, read back, changed by hand, and everything else left alone."""

from dataclasses import replace

import pytest

from kilnlib import units
from kilnlib.errors import CannotSave
from kilnlib.physics.cost import Mill
from kilnlib.store import kiln
from kilnlib.store.mill import KEYS, load_mill, save_mill


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path / "First Charge"))


def by_hand(old, new):
    text = kiln.kiln_file().read_text(encoding="utf-8")
    assert old in text
    kiln.kiln_file().write_text(text.replace(old, new, 1), encoding="utf-8")


def test_without_a_file_the_prices_are_tamarack_fords():
    assert load_mill() == Mill()


def test_written_and_read_back_beside_the_kiln():
    mine = replace(Mill(), electricity_usd_kwh=0.155, wage_usd_h=31.0, dry_usd_m3=units.to_si(1250.0, "lumber_price"))
    kiln.save(replace(kiln.ThisKiln(), courses=30))
    save_mill(mine)
    made = load_mill()
    assert all(getattr(made, name) == pytest.approx(getattr(mine, name)) for name in KEYS)
    assert kiln.load_with_problem() == (replace(kiln.ThisKiln(), courses=30), None)
    assert "dry_usd_1000bf = 1250\n" in kiln.kiln_file().read_text(encoding="utf-8")


def test_the_form_of_the_kiln_leaves_the_prices_alone():
    save_mill(replace(Mill(), wage_usd_h=31.0))
    kiln.save(replace(kiln.ThisKiln(), courses=30))
    assert load_mill().wage_usd_h == 31.0


def test_remarks_and_tables_of_the_users_own_stay():
    save_mill(Mill())
    by_hand("wage_usd_h = 25", "wage_usd_h = 28  # since May")
    kiln.kiln_file().write_text(kiln.kiln_file().read_text() + "\n[mine]\nyears = 3\n", encoding="utf-8")
    save_mill(replace(load_mill(), years=12.0))
    text = kiln.kiln_file().read_text(encoding="utf-8")
    assert "wage_usd_h = 28  # since May" in text and "years = 12" in text and "[mine]\nyears = 3" in text


@pytest.mark.parametrize("bad", ['"a lot"', "9000", "true", "nan", "["])
def test_a_price_that_cannot_be_is_a_sentence(bad):
    save_mill(Mill())
    by_hand("wage_usd_h = 25", f"wage_usd_h = {bad}")
    before = kiln.kiln_file().read_bytes()
    with pytest.raises(CannotSave) as caught:
        load_mill()
    assert "wage" in caught.value.sentence().lower() or "number" in caught.value.sentence()
    assert kiln.kiln_file().read_bytes() == before
