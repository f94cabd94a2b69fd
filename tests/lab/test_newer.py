"""A newer folder of the project over an older one: what the user wrote, typed and did is there afterwards."""

import dataclasses
import json
import shutil

from starting import Started

from kilnlib.cases import tamarack
from kilnlib.lab import books
from kilnlib.store import kiln
from kilnlib.store.record import FILE_NAME, open_record

NOTE = "My own note: the wick at our kiln is changed on Mondays."


def change_text(path, number, change):
    """Change the source of one cell of a notebook file."""
    book = json.loads(path.read_text(encoding="utf-8"))
    book["cells"][number]["source"] = change("".join(book["cells"][number]["source"]))
    path.write_text(json.dumps(book, indent=1), encoding="utf-8")


def start_and_stop(home, workbooks=None):
    started = Started(home, workbooks=workbooks)
    assert started.url, started.printed
    assert started.stop() == 0
    return started


def test_a_newer_folder_keeps_all_that_is_the_users(tmp_path, monkeypatch):
    home = tmp_path / "Müller’s mill"
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(home))
    older = start_and_stop(home)

    kiln.save(dataclasses.replace(kiln.load(), name="Mühle Nord"))
    sheet = home / "sheets" / "Oak of March.csv"
    sheet.parent.mkdir()
    shutil.copyfile(tamarack.CHARGES / "red_oak_4_4.csv", sheet)
    record = open_record(home / FILE_NAME)
    record.sit_down("JT")
    record.answered("wood-a", "0.8", False, "first", "01_water_in_wood", {"wet": 151.2})
    record.answered("wood-a", "80", True, None, "01_water_in_wood", {"wet": 151.2})
    record.ticked("Find both bulbs.", True, "00_start_here")
    record.finished("00_start_here", "00_start_here")
    record.leave("02_air/air", {"dry_bulb_c": 48.9})
    before = record.events(), record.done(), record.ticks("00_start_here"), record.left("02_air/air"), record.learner()
    files = {path: path.read_bytes() for path in (kiln.kiln_file(), sheet)}
    change_text(older.lessons / "02_air.ipynb", 2, lambda words: f"{words}\n\n{NOTE}")
    change_text(older.lessons / "03_emc.ipynb", 1, lambda code: f"{code}\nprint('mine')")

    newer = tmp_path / "newer"
    shutil.copytree(books.WORKBOOKS, newer)
    for name in ("02_air", "03_emc", "04_sample_boards"):
        change_text(newer / f"{name}.ipynb", 0, lambda words: f"{words}\n\nA sentence of the newer folder.")
    after = start_and_stop(home, workbooks=newer)

    assert {path: path.read_bytes() for path in files} == files
    assert kiln.load().name == "Mühle Nord"
    record = open_record(home / FILE_NAME)
    assert before == (
        record.events(), record.done(), record.ticks("00_start_here"), record.left("02_air/air"), record.learner()
    )  # fmt: skip
    for name, mine in (("02_air", NOTE), ("03_emc", "print('mine')")):
        assert mine in (home / "workbooks" / f"{name} (yours).ipynb").read_text(encoding="utf-8")
        assert f"{name}.ipynb" in after.printed
    for name in ("02_air", "03_emc", "04_sample_boards"):
        assert "A sentence of the newer folder." in (home / "workbooks" / f"{name}.ipynb").read_text(encoding="utf-8")
    assert not (home / "workbooks" / "04_sample_boards (yours).ipynb").exists()
