"""The end of a charge: what is said of the user's kiln follows the kiln's file."""

from dataclasses import replace

import pytest

from kilnlib.bench.panels import panel_class
from kilnlib.store import kiln
from kilnlib.units import f_to_c


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path))


def test_a_kiln_saved_anew_is_read_again_after_reset():
    panel = panel_class("finish")()
    done = {"day": 14.0}
    panel.set(**done)
    assert "120 °F" in panel.saying.value and panel.result.run.coil_limit_c == pytest.approx(f_to_c(120.0))
    kiln.save(replace(kiln.ThisKiln(), coil_wet_bulb_limit_c=f_to_c(170.0), top_dry_bulb_c=f_to_c(180.0)))
    panel.reset()
    panel.set(**done)
    assert panel.last_error is None
    assert "120 °F" not in panel.saying.value and "170 °F" in panel.saying.value
    panel.close()
