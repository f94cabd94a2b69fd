"""Random use of the sample sheet, and a full disk at every write: nothing is lost that the screen called saved."""

import errno
import html
import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import chaos
import pytest

from kilnlib.bench.desk.sheet import panel as sample_sheet
from kilnlib.bench.desk.sheet.files import UNFINISHED
from kilnlib.errors import CannotSave
from kilnlib.store import kiln
from kilnlib.store.record import Record
from kilnlib.store.sheet import SampleSheet, folder

OAK = chaos.UPLOAD.format(first="2026-03-10 07:30", second="2026-03-11 07:30").encode()
PAGE_BYTES = 4096  # a tmpfs gives room by the page
ROOM = range(13)  # pages left: from nothing to enough for any of our files


@pytest.fixture(scope="module")
def other():
    """Another program that reads sheets."""
    made = chaos.Other()
    yield made
    made.close()


@pytest.mark.filterwarnings("ignore:Glyph")
@pytest.mark.parametrize("seed", [101, 201, 301, 401])
def test_nothing_is_lost_in_ten_thousand_actions(seed):
    """2,500 a seed; the other program reads the file each time the screen says that all is saved."""
    checks = chaos.run(2500, seed)
    assert checks["actions"] >= 2500
    assert min(checks[what] for what in ("saved", "boxes", "rescued", "unfinished", "sheets left")) > 100, checks


def test_the_other_program_and_the_comparison_find_what_is_lost(tmp_path, other):
    path = tmp_path / "oak.csv"
    sheet = SampleSheet.take_in(path, OAK)
    (rows,) = other.facts(path)
    assert chaos.compare(sheet.sheet, rows) == []
    for line in OAK.decode().splitlines()[2:]:
        path.write_text(OAK.decode().replace(line + "\n", ""), encoding="utf-8")
        (rows,) = other.facts(path)
        assert chaos.compare(sheet.sheet, rows), f"nobody misses {line}"
    path.write_text(OAK.decode().replace("4.38", "4.39"), encoding="utf-8")
    assert chaos.compare(sheet.sheet, other.facts(path)[0])


# --- a full disk ------------------------------------------------------------------------------------------------------


@pytest.fixture
def small_disk(tmp_path, monkeypatch):
    """A disk of 256 kB for the user's folder; `fill(pages)` leaves so much room on it."""
    place = tmp_path / "small"
    place.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=256k", "tmpfs", str(place)]
    done = sys.platform == "linux" and shutil.which("mount") and subprocess.run(mount, capture_output=True).returncode
    if done != 0:
        words = "A small disk can be mounted here by nobody but root, so a full one was not tried."
        root_in_ci = os.environ.get("CI") == "true" and sys.platform == "linux" and os.geteuid() == 0
        pytest.fail(words) if root_in_ci else pytest.skip(words)
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(place / "home"))

    def fill(pages):
        (place / "ballast").unlink(missing_ok=True)
        free = os.statvfs(place).f_bavail
        with (place / "ballast").open("wb") as file:
            file.write(bytes(max(0, free - pages) * PAGE_BYTES))
        assert os.statvfs(place).f_bavail == min(pages, free)

    yield fill
    subprocess.run(["umount", "-l", str(place)], check=True)


def test_a_full_disk_loses_no_weight_and_no_text_of_the_sheet(small_disk, other):
    SampleSheet.take_in(folder() / "oak.csv", OAK).close()
    desk = sample_sheet.Panel()
    row, seen = desk.weights.rows["1"], set()
    for pages in ROOM:
        small_disk(pages)
        for typed in (f"4.2{pages % 10}", f"4.1x{pages}"):
            row.boxes["weight"].value = typed
            said = html.unescape(desk.status.value)
            if chaos.SAVED in said:
                assert chaos.compare(desk.sheet, other.facts(desk.open_sheet.path)[0]) == []
            elif desk.rescue.path and str(desk.rescue.path) in said:
                assert chaos.compare(desk.sheet, other.facts(desk.rescue.path)[0]) == []
            else:
                assert "No rescue file could be written either" in said
            seen.add((chaos.SAVED in said, desk.rescue.path is not None))
            assert row.boxes["weight"].value == typed, "what was typed stands on the screen"
        if not desk.unfinished.unsaved:
            kept = json.loads((folder() / UNFINISHED).read_text(encoding="utf-8"))
            assert kept["oak.csv"][row.key] == {"weight": typed}
        assert [path.name for path in folder().glob(".*.tmp")] == []
    assert {(True, False), (False, False)} <= seen
    small_disk(60)
    desk.save()
    assert chaos.SAVED in html.unescape(desk.status.value)
    assert desk.sheet.boards[0].weighings[-1].weight_kg == pytest.approx(4.22 * 0.45359237)
    assert chaos.compare(desk.sheet, other.facts(desk.open_sheet.path)[0]) == []
    desk.close()


def test_a_full_disk_keeps_the_old_kiln_or_has_the_new_one(small_disk):
    kiln.save(kiln.ThisKiln(name="Before"))
    seen = set()
    for pages in ROOM:
        before = kiln.load()
        small_disk(pages)
        new = kiln.ThisKiln(name=f"Kiln {pages}", fan_count=pages + 1)
        try:
            kiln.save(new)
        except CannotSave as error:
            assert "No space left" in error.sentence()
            assert kiln.load() == before
        else:
            assert kiln.load() == new
        seen.add(kiln.load() == new)
    assert seen == {True, False}


def test_a_full_disk_keeps_every_answer_that_the_record_took(small_disk):
    record, taken, refused = Record(kiln.user_folder() / "record.sqlite"), [], 0
    record.sit_down("Ada")
    for pages in ROOM:
        small_disk(pages)
        for number in range(12):
            typed = f"{pages} {number} " + "long " * 300
            try:
                record.answered("q", typed, True)
            except CannotSave as error:
                refused += 1
                assert "could not be written" in error.sentence()
            else:
                taken.append(typed)
            small_disk(60)
            assert [event.typed for event in record.answers()] == taken
            small_disk(pages)
    assert refused > 5
    assert len(taken) > 5


STEPS = {"make": (Path, "touch"), "fill": (os, "fsync"), "put": (Path, "replace"), "open": (Path, "open")}


@pytest.mark.parametrize("step", STEPS)
def test_a_disk_full_at_this_step_is_said_and_everything_old_stays(step, tmp_path, monkeypatch, other):
    """The same four steps write the sheet, unfinished.json, the rescue file and the kiln's file."""
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path / "home"))
    SampleSheet.take_in(folder() / "oak.csv", OAK).close()
    kiln.save(kiln.ThisKiln(name="Before"))
    desk = sample_sheet.Panel()
    box, real = desk.weights.rows["1"].boxes["weight"], Path.open
    box.value = "4.x"
    before = {path: path.read_bytes() for path in kiln.user_folder().glob("**/*") if path.is_file()}
    assert len(before) == 3

    def full(*given, **named):
        if step == "open" and "w" not in (*given, "r")[1]:
            return real(*given, **named)
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with monkeypatch.context() as patch:
        patch.setattr(*STEPS[step], full)
        box.value = "4.y"
        assert desk.unfinished.unsaved
        box.value = "4.31"
        said = html.unescape(desk.status.value)
        assert chaos.SAVED not in said and "No space left" in said and "No rescue file could be written either" in said
        with pytest.raises(CannotSave, match="No space left"):
            kiln.save(kiln.ThisKiln(name="After"))
        desk.start("Another")
        assert desk.leaving is not None, "it asks before it leaves"
        desk.leave()
        assert desk.open_sheet.path.name == "oak.csv", "and stays, as no rescue file can be written"
    after = {path: path.read_bytes() for path in kiln.user_folder().glob("**/*") if path.is_file()}
    assert after == before
    desk.save()
    assert chaos.compare(desk.sheet, other.facts(desk.open_sheet.path)[0]) == []
    desk.close()
