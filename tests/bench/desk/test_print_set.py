"""The pages to print: what stands on them, and that each fits one sheet (tests/browser/test_print_set.py)."""

import csv
import datetime
import os
import re
import stat
from dataclasses import replace
from pathlib import Path

import pytest

from kilnlib import units
from kilnlib.__main__ import main
from kilnlib.bench.desk import print_set
from kilnlib.cases import core
from kilnlib.physics.air import emc
from kilnlib.store import kiln
from kilnlib.units import FT_M, f_to_c
from kilnlib.words import first_aid, glossary, text
from kilnlib.words import print_set as words

DAY = datetime.date(2026, 5, 4)
FIRM = "\u00a0"  # a space at which no line ends
DATA = Path(__file__).parents[2] / "data"


def cells(altitude_ft):
    """RH and EMC of the printed table, by dry bulb and depression [°F]."""
    page = print_set.pages(replace(kiln.ThisKiln(), altitude_m=altitude_ft * FT_M), DAY)["air"].decode()
    found = {}
    for row in re.findall(r"<tr><td>(\d+)</td>(.*?)</tr>", page):
        for depression, cell in zip(print_set.DEPRESSIONS_F, re.findall(r"<td>(.*?)</td>", row[1]), strict=True):
            if cell:
                rh, wood = re.fullmatch(r"<b>(\d+)</b><br>([\d.]+)", cell).groups()
                found[int(row[0]), depression] = int(rh), float(wood)
    return found


@pytest.mark.parametrize(("band", "altitude_ft"), [("0-500", 0), ("501-1900", 1200)])
def test_rh_of_the_table_is_that_of_a_printed_psychrometer_table(band, altitude_ft):
    with open(DATA / "psychrometer_tables.csv", encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["elevation_band_ft"] == band]
    printed = {(int(row["dry_bulb_f"]), int(row["wet_bulb_f"])): int(row["rh_pct"]) for row in rows}
    ours = {(dry, dry - gap): rh for (dry, gap), (rh, _) in cells(altitude_ft).items()}
    both = printed.keys() & ours.keys()
    assert len(both) > 20
    assert max(abs(printed[bulbs] - ours[bulbs]) for bulbs in both) <= 1


def test_emc_of_the_table_is_that_of_its_own_air():
    table = cells(0)
    for (dry, _), (rh, wood) in table.items():
        low, high = (emc.emc_pct(f_to_c(dry), rh + way) for way in (-0.5, 0.5))
        assert low - 0.051 <= wood <= high + 0.051
    assert (80, 50) not in table  # no such air: the wet bulb would be at 30 °F


def test_no_line_ends_between_a_number_and_its_unit():
    for name, page in print_set.pages(kiln.ThisKiln(), DAY).items():
        body = re.sub(r"<[^>]*>", "", page.decode().partition("<body>")[2])
        assert re.findall(r"\d+ (?:[%°]|in\b|ft\b)", body) == [], name
    assert f"90{FIRM}%" in print_set.pages(kiln.ThisKiln(), DAY)["storage"].decode()


def test_the_entry_steps_are_those_of_every_lesson():
    plain = re.sub(r"</?li>|</?ol>", "", print_set.pages(kiln.ThisKiln(), DAY)["entry"].decode())
    for step in text("entry.steps").rstrip(".").split(". "):
        assert step in plain


def test_the_component_check_is_there_in_spanish_line_for_line_and_says_who_has_not_checked_it():
    pages = print_set.pages(kiln.ThisKiln(), DAY)
    english, spanish = (pages[name].decode() for name in ("component_check", "component_check_spanish"))
    assert '<html lang="es">' in spanish and '<html lang="en">' in english
    assert [part.count("<li>") for part in english.split("<h2>")] == [
        part.count("<li>") for part in spanish.split("<h2>")
    ]
    assert "ningún hablante nativo" in spanish and words.SPANISH_ENTRY in spanish
    assert not set(re.findall(r"<li>(.*?)</li>", english)) & set(re.findall(r"<li>(.*?)</li>", spanish))


def test_spanish_is_given_for_words_of_the_glossary_only():
    assert set(words.SPANISH) <= {one.word for one in glossary.WORDS}
    pages = print_set.pages(kiln.ThisKiln(), DAY)
    for one in glossary.WORDS:
        assert sum(f"<b>{one.word}</b>" in pages[name].decode() for name in ("glossary", "glossary_2")) == 1
    assert '<i lang="es">(mecha)</i>' in pages["glossary_2"].decode()


def test_first_aid_has_a_first_step_a_warning_and_a_look_for_each_trouble():
    pages = print_set.pages(kiln.ThisKiln(), DAY)
    sheets = [pages[name].decode().replace(FIRM, " ") for name in ("first_aid", "first_aid_2")]
    assert all(text("entry.steps") in sheet for sheet in sheets)
    for number, trouble in enumerate(first_aid.TROUBLES):
        page = sheets[number >= first_aid.URGENT]
        assert len(trouble) == 4
        for said in trouble:
            assert said in page


def test_the_storage_card_gives_the_degrees_of_the_reference():
    """Outdoors 60 °F: 21, 15, 10; 25, 19, 15; 29, 23, 18 and at 90 %, dawn, about 32, 27, 22 for 6, 7 and 8 %."""
    page = print_set.pages(kiln.ThisKiln(), DAY)["storage"].decode().replace(FIRM, " ")
    rows = {int(rh): [int(cell) for cell in re.findall(r"(\d+) °F", row)]
            for rh, row in re.findall(r"<tr><td>(\d+) %</td>(.*?)</tr>", page)}  # fmt: skip
    reference = {60: (21, 15, 10), 70: (25, 19, 15), 80: (29, 23, 18), 90: (32, 27, 22)}
    assert rows.keys() == reference.keys()
    for rh, degrees in reference.items():
        assert rows[rh] == pytest.approx(degrees, abs=1), rh
    for _, lines in words.CHECKLISTS["storage"]:
        assert all(line in page for line in lines)


def test_the_core_record_holds_what_an_inspector_asks_and_promises_nothing():
    """What lesson 12 says a record holds; the needed reading is 56 °C plus what a probe of the protocol may be off."""
    page = print_set.pages(kiln.ThisKiln(), DAY)["core"].decode().replace(FIRM, " ")
    for _, lines in words.CHECKLISTS["core"]:
        assert all(line in page for line in lines)
    needed = units.show(core.NEEDED_C, "temperature", "trade", more=1)
    assert needed == "133.7 °F" and needed in page
    for part in ("Thickest piece", "may be off", "from the end", "Coldest core", "Who ran it", "Who looked it over"):
        assert part in page, part
    assert "never by minutes that were computed" in page and "agency" in page
    assert text("entry.steps") in page
    assert not re.search("certif|complian|safe to enter", page, re.I)


def test_the_command_writes_every_page_into_the_users_folder(tmp_path, monkeypatch, capfd):
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path))
    assert main(["print"]) == 0
    names = {path.stem for path in (tmp_path / "print").glob("*.html")}
    assert names == {*print_set.pages(kiln.ThisKiln(), DAY), print_set.ALL}
    assert str(tmp_path / "print" / f"{print_set.ALL}.html") in capfd.readouterr().out
    assert main(["print"]) == 0  # over those of before


@pytest.mark.skipif(os.name == "nt", reason="Windows keeps the rights of files in another way")
def test_the_first_command_of_all_opens_the_users_folder_to_nobody_else(tmp_path, monkeypatch):
    """On a server of many users: what comes later into that folder must not lie in one that everybody may read."""
    home = tmp_path / "First Charge"
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(home))
    before = os.umask(0o022)
    try:
        assert main(["print"]) == 0
    finally:
        os.umask(before)
    for path in (home, home / "print", *(home / "print").iterdir()):
        assert stat.S_IMODE(path.stat().st_mode) & 0o077 == 0, path


def test_the_wall_card_is_that_of_the_sheet_used_last(tmp_path, monkeypatch, capfd):
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path))
    file = tmp_path / "print" / "wall_card.html"
    assert main(["print"]) == 0 and not file.exists()
    assert "wall card of this charge is not among them" in capfd.readouterr().out
    sheet = tmp_path / "sheets" / "May.csv"
    sheet.parent.mkdir()
    for species, thickness in (("red oak", "8/4"), ("yellow poplar", "4/4")):
        sheet.write_text(
            f"item,board,date,weight,oven-dry,unit,note\nspecies,,,,,,{species}\nthickness,,,,,,{thickness}\n"
        )
        assert main(["print"]) == 0
        page = file.read_text(encoding="utf-8")
        assert (
            species.replace(" ", "-" if "poplar" in species else " ").split()[-1] in page.lower() and thickness in page
        )
        assert text("entry.steps") in page and "not among them" not in capfd.readouterr().out
    sheet.write_text("item,board,date,weight,oven-dry,unit,note\nspecies,,,,,,ponderosa pine\nthickness,,,,,,4/4\n")
    assert main(["print"]) == 0 and not file.exists()  # no schedule, so none of an earlier charge either
    assert "is not among them" in capfd.readouterr().out


def test_a_folder_that_cannot_be_made_gets_a_sentence(tmp_path, monkeypatch, capfd):
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path))
    (tmp_path / "print").write_text("a file", encoding="utf-8")
    assert main(["print"]) == 1
    assert str(tmp_path / "print") in capfd.readouterr().err
    (tmp_path / "print").unlink()
    (tmp_path / "print" / "entry.html").mkdir(parents=True)  # in the way of a page
    assert main(["print"]) == 1
    assert "irectory" in capfd.readouterr().err
