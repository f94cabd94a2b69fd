"""What a person put into the file of a sample sheet stays there, whatever is typed at the desk."""

import datetime
import random
from dataclasses import replace

import pytest

from kilnlib.physics.samples import Air, Note, Recut, SampleBoard, Section, Sheet, Weighing
from kilnlib.store.csv_table import END, START
from kilnlib.store.sheet import SampleSheet
from kilnlib.store.sheet_keep import keep, keep_sheet
from kilnlib.store.sheet_read import read_csv
from kilnlib.store.sheet_write import facts
from kilnlib.units import LB_KG

OWN = """\
# Our mill: ask Pat before moving boards.
operator,item,board,date,weight,oven-dry,unit,pin meter,dry bulb F,wet bulb F,note
,species,,,,,,,,,red oak
,thickness,,,,,,,,,1 in
# boards of pack 1
Pat,board,1,,,,,,,,pocket 3
Pat,section,1,,98.550,59.20,g,"31, 32",,,
Pat,section,1,,86.92,55.02,g,,,,

Sam,weight,1,2026-03-12 07:30,4.460,,lb,,,,"door ""wide"", open"
Sam,air,,2026-03-12 07:30,,,,,110,106,
Lee,weight,1,3/13/2026 7:30 AM,4 lb 6 oz,,,28.5,,,
   # the last remark
Lee,,,,,,,only ours,,,
"""


def moment(day, hour=7, minute=30):
    return datetime.datetime(2026, 3, day, hour, minute)


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path / "home"))


@pytest.fixture
def opened(tmp_path):
    path = tmp_path / "own.csv"
    path.write_text(OWN, encoding="utf-8")
    one = SampleSheet.open(path)
    yield one
    one.close()


def lines(opened):
    return opened.path.read_bytes().decode().split("\n")


OURS = [OWN.split("\n")[0], START, *OWN.split("\n")[1:-1], END, ""]


def test_one_weight_more_is_one_row_more_and_nothing_else(opened):
    opened.weigh("1", moment(14), 4.30 * LB_KG, "now")
    after = lines(opened)
    (new,) = [line for line in after if line not in OURS]
    assert new == ",weight,1,2026-03-14 07:30,4.3,,lb,,,,now"
    assert [line for line in after if line != new] == OURS
    assert after.index(new) == after.index("Lee,weight,1,3/13/2026 7:30 AM,4 lb 6 oz,,,28.5,,,") + 1


def test_a_corrected_weight_changes_its_own_cells_only(opened):
    opened.weigh("1", moment(13), 4.30 * LB_KG)
    changed = [line for line in lines(opened) if line not in OURS]
    assert changed == ["Lee,weight,1,3/13/2026 7:30 AM,4.3,,lb,28.5,,,"]
    opened.undo()
    assert lines(opened) == OURS


def test_a_row_taken_out_and_brought_back_by_undo_is_the_same_row(opened):
    opened.change(opened.sheet.with_board(opened.sheet.board("1").without(moment(13))))
    assert "Lee,weight" not in opened.path.read_text()
    opened.undo()
    assert lines(opened) == OURS


def test_settings_boards_and_sections_find_their_place(opened):
    sheet = replace(opened.sheet, target_pct=7.0, thickness="8/4")
    one = sheet.board("1")
    sheet = sheet.with_board(replace(one, sections=(one.sections[0], Section(0.08692, 0.0550), Section(0.09))))
    sheet = sheet.with_board(SampleBoard("2", (Section(0.1, 0.06),)))
    opened.change(sheet)
    after = lines(opened)
    at = {line: number for number, line in enumerate(after)}
    assert at[",target,,,,,,,,,7"] == at[",thickness,,,,,,,,,8/4 inch"] + 1
    assert at["Pat,section,1,,86.92,55,g,,,,"] == at[",section,1,,90,,g,,,,"] - 1
    assert at[",board,2,,,,,,,,"] == at[",section,2,,100,60,g,,,,"] - 1 < at["Sam,air,,2026-03-12 07:30,,,,,110,106,"]
    assert SampleSheet.open(opened.path).sheet == sheet


def test_a_renamed_board_and_a_moved_day_keep_their_own_columns(opened):
    board = replace(opened.sheet.board("1"), name="A")
    board = replace(board, weighings=(board.weighings[0], replace(board.weighings[1], when=moment(15))))
    opened.change(replace(opened.sheet, boards=(board,)))
    after = lines(opened)
    assert "Lee,weight,A,2026-03-15 07:30,4 lb 6 oz,,,28.5,,," in after
    assert 'Pat,section,A,,98.550,59.20,g,"31, 32",,,' in after


def test_a_sheet_taken_in_and_a_copy_keep_them_too(opened, tmp_path):
    taken = SampleSheet.take_in(tmp_path / "taken.csv", OWN.encode())
    assert lines(taken) == OURS
    taken.weigh("1", moment(14), 1.9)
    taken.save_copy(tmp_path / "copy.csv")
    assert taken.path.name == "copy.csv" and "# boards of pack 1" in taken.path.read_text()
    assert taken.text() == taken.path.read_text()
    taken.close()


@pytest.mark.parametrize("end", ["\r\n", "\r", "\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_line_ends_decimal_commas_and_separators_stay(tmp_path, end, mark):
    text = OWN.replace('"31, 32"', "31").replace('"door ""wide"", open"', "door").replace("4 lb 6 oz,,", "4.38,,lb")
    text = mark + text.replace("Our mill:", "Our mill").replace(",", ";").replace(".", ",").replace("\n", end)
    path = tmp_path / "semicolons.csv"
    path.write_bytes(text.encode())
    one = SampleSheet.open(path)
    one.weigh("1", moment(14), 4.35 * LB_KG)
    rows = path.read_bytes().decode().split(end)
    assert ";weight;1;2026-03-14 07:30;4,35;;lb;;;;" in rows
    assert [row for row in text.split(end) if row not in rows] == []
    assert SampleSheet.open(path).sheet == one.sheet
    one.close()


def test_a_file_without_the_columns_for_it_gets_them(tmp_path):
    path = tmp_path / "narrow.csv"
    path.write_text(
        "item,board,date,weight,oven-dry\nboard,1\nsection,1,,98 g,59 g\nweight,1,2026-03-12,4.46 lb,,,,x\n"
    )
    one = SampleSheet.open(path)
    sheet = one.sheet.with_board(one.sheet.board("1").weigh(moment(13), 4.4 * LB_KG, "wet"))
    sheet = replace(sheet, species="red oak", air=(Air(moment(13), 45.0, 40.0),))
    one.change(sheet)
    rows = path.read_text().split("\n")
    assert "weight,1,2026-03-12,4.46 lb,,,,x" in rows and "section,1,,98 g,59 g" in rows
    assert SampleSheet.open(path).sheet == sheet
    one.close()


def test_rows_sorted_in_a_spreadsheet_are_read():
    rows = OWN.split("\n")
    table = [row for row in rows[2:] if row and not row.strip().startswith("#")]
    wanted = read_csv(OWN)[0]
    generator = random.Random(7)
    for _ in range(20):
        generator.shuffle(table)
        found = read_csv("\n".join([rows[1], *table]))[0]
        sections = [replace(board, sections=tuple(sorted(board.sections, key=str))) for board in found.boards]
        assert replace(found, boards=tuple(sections)) == replace(
            wanted, boards=tuple(replace(b, sections=tuple(sorted(b.sections, key=str))) for b in wanted.boards)
        )


def random_sheet(generator, sheet):
    """A sheet after one thing that a person may do at the desk."""
    pick = generator.choice(["weigh", "weigh", "drop", "note", "target", "board", "gone", "recut", "dry", "unit", "air",
                             "rename", "move"])  # fmt: skip
    board = generator.choice(sheet.boards) if sheet.boards else None
    free = moment(generator.randrange(1, 29), generator.randrange(24), generator.randrange(60))
    words = generator.choice(["", "x", '=1+"1"', "#7", "a;b,c\td", "sep=,", "'", "1,5", END])
    if pick == "board" or board is None:
        name = f"{words}{generator.randrange(1000)}"
        known = {one.name.casefold() for one in sheet.boards}
        return sheet if name.casefold() in known else sheet.with_board(SampleBoard(name, (Section(0.09, 0.05),)))
    if pick == "weigh":
        return sheet.with_board(board.weigh(free, round(generator.uniform(1, 2), 3), words))
    if pick == "drop" and board.weighings:
        return sheet.with_board(board.without(generator.choice(board.weighings).when))
    if pick == "move" and board.weighings:
        old = generator.choice(board.weighings)
        return sheet.with_board(board.without(old.when).weigh(free, old.weight_kg, old.note))
    if pick == "note":
        return replace(sheet, notes=(*sheet.notes, Note(free, f"{words}.")))
    if pick == "target":
        return replace(sheet, target_pct=generator.choice([None, 7.0, 8.5]), species=words)
    if pick == "gone":
        return sheet.without_board(board.name)
    if pick == "recut" and board.weighings:
        last = generator.choice(board.weighings)
        if last.when not in {recut.when for recut in board.recuts}:
            cut = Recut(last.when, last.weight_kg * 0.9, (Section(0.08), Section(0.07, 0.05)), words)
            recuts = tuple(sorted((*board.recuts, cut), key=lambda recut: recut.when))
            return sheet.with_board(replace(board, recuts=recuts))
    if pick == "dry":
        return sheet.with_board(replace(board, sections=(*board.sections[:-1], Section(0.0915, 0.0512), Section(0.08))))
    if pick == "unit":
        return replace(sheet, sample_unit=generator.choice(["lb", "kg", "g", "oz"]))
    if pick == "air":
        more = generator.choice([(), (44.0, 40.0), (None, None, 0.05)])
        one = Air(free, 45.0, 40.0, *more)
        return replace(sheet, air=tuple(sorted({air.when: air for air in (*sheet.air, one)}.values(),
                                               key=lambda air: air.when)))  # fmt: skip
    if pick == "rename" and words:
        names = {one.name.casefold() for one in sheet.boards}
        if f"{words}r".casefold() not in names:
            boards = tuple(replace(one, name=f"{words}r") if one is board else one for one in sheet.boards)
            return replace(sheet, boards=boards)
    return sheet


@pytest.mark.parametrize("seed", range(40))
def test_whatever_is_done_the_file_says_the_sheet_and_own_cells_and_remarks_stay(seed, monkeypatch):
    """Never by the last resort, a file written from nothing."""
    generator = random.Random(seed)
    kept = keep(OWN if seed % 2 else OWN.replace('"31, 32"', "31").replace(",", "\t"))
    monkeypatch.setattr(
        "kilnlib.store.sheet_keep.write_csv", lambda sheet: pytest.fail("the file was written from nothing")
    )
    sheet = kept.sheet
    for _ in range(25):
        sheet = random_sheet(generator, sheet)
        kept = kept.with_sheet(sheet)
        assert kept.sheet == sheet
        for remark in ("# Our mill: ask Pat before moving boards.", "# boards of pack 1", "   # the last remark"):
            assert remark in kept.text
        assert "only ours" in kept.text and kept.text.count(END) >= 1


def test_a_new_sheet_is_kept_as_it_was_written():
    empty = keep_sheet(Sheet())
    assert [fact.item for fact in facts(empty.sheet)] == ["charge", "species", "thickness", "units"]
    named = empty.with_sheet(Sheet("Charge 1", "red oak", "4/4", 7.0))
    assert named.text.split("\n")[4:9] == [
        "charge,,,,,,,,Charge 1", "species,,,,,,,,red oak", "thickness,,,,,,,,4/4 inch", "units,,,,,,,,lb g F",
        "target,,,,,,,,7"]  # fmt: skip


def test_a_day_that_tells_how_dates_are_read_may_go(tmp_path):
    """Without 25/3 the other dates could be read month first: they are written year first then."""
    text = OWN.replace("2026-03-12 07:30", "2/3/2026").replace("3/13/2026 7:30 AM", "25/3/2026")
    kept = keep(text)
    assert [w.when.day for w in kept.sheet.boards[0].weighings] == [2, 25]
    sheet = kept.sheet.with_board(kept.sheet.boards[0].without(datetime.datetime(2026, 3, 25)))
    after = kept.with_sheet(sheet)
    assert after.sheet == sheet and "2026-03-02" in after.text and "Sam" in after.text and "# boards" in after.text


# --- a sheet cut short ----------------------------------------------------------------------------------------------


def test_a_sheet_cut_short_anywhere_is_refused_or_asked_about(opened):
    opened.weigh("1", moment(14), 1.9)
    whole = opened.path.read_text()
    assert read_csv(whole)[1] == []
    asked = refused = 0
    first = whole.index(START) + len(START)
    for end in range(first, len(whole) - 1):
        try:
            notices = read_csv(whole[:end])[1]
        except ValueError:
            refused += 1
            continue
        assert [notice.code for notice in notices] == ["sheet_cut_short"], whole[:end][-30:]
        asked += 1
    assert asked > 20 and refused > 20


def test_a_sheet_of_somebody_else_needs_no_end_mark_and_a_spreadsheet_may_change_it():
    assert read_csv(OWN)[1] == []
    assert [notice.code for notice in read_csv(f"{START}\n{OWN}")[1]] == ["sheet_cut_short"]
    assert read_csv(f'"{START}",,,\n{OWN}{END},,,,\n')[1] == []


# --- dates ----------------------------------------------------------------------------------------------------------


def test_the_day_comes_first_by_one_answer(tmp_path):
    text = OWN.replace("2026-03-12 07:30", "3/2/2026 7:30").replace("3/13/2026", "4/2/2026")
    path = tmp_path / "dates.csv"
    path.write_text(text)
    one = SampleSheet.open(path)
    assert one.questions()[0].code == "ask_date" and one.sheet.boards[0].weighings[0].when.month == 3
    one.weigh("1", datetime.datetime(2026, 4, 9, 7), 1.9)
    one.read_dates(day_comes_first=True)
    assert [f"{w.when:%m-%d}" for w in one.sheet.boards[0].weighings] == ["02-03", "02-04", "04-09"]
    assert "ask_date" not in {notice.code for notice in one.questions()}
    again = SampleSheet.open(path)
    assert again.sheet == one.sheet and "ask_date" not in {notice.code for notice in again.questions()}
    assert "Lee,weight,1,2026-02-04 07:30,4 lb 6 oz,,,28.5,,," in lines(one)
    one.undo()
    assert one.sheet.boards[0].weighings[0].when.month == 3 and one.questions()[0].code == "ask_date"
    one.read_dates(day_comes_first=False)
    assert "2026-03-02 07:30" in path.read_text() and "ask_date" not in {notice.code for notice in one.questions()}
    one.close()
    again.close()


def test_dates_to_come_in_a_csv_are_asked_about_and_the_clock_is_named(opened):
    assert "ask_future" not in {notice.code for notice in opened.questions()}
    year = datetime.datetime.now().year + 1
    later = [Weighing(datetime.datetime(year, 1, day), 2.0 - day / 100) for day in (5, 6)]
    opened.load(keep_sheet(replace(opened.sheet, boards=(SampleBoard("1", (Section(0.1),), tuple(later)),))).text)
    (asked,) = [notice.sentence() for notice in opened.questions() if notice.code == "ask_future"]
    assert f"{year}-01-06" in asked and "computer's clock" in asked


def test_the_bulbs_of_the_morning_and_the_bucket_stand_where_the_version_before_looks_away():
    """That version knows the headings below and the rows named there, and leaves other columns alone."""
    old_headings = ["item", "board", "date", "weight", "oven-dry", "unit", "dry bulb F", "wet bulb F", "note"]
    when = datetime.datetime(2026, 3, 12, 7, 30)
    sheet = Sheet("c", "red oak", "4/4", boards=(SampleBoard("1", (Section(0.09, 0.05),)).weigh(when, 2.0),))
    bare = keep_sheet(replace(sheet, air=(Air(when, 45.0, 40.0),)))
    rows = [line.split(",") for line in bare.text.splitlines() if not line.startswith("#")]
    assert rows[0] == old_headings  # a sheet without them is written as before
    full = replace(sheet, air=(Air(when, 45.0, 40.0, 43.0, 40.0, 0.02),))
    for text in (bare.with_sheet(full).text, keep_sheet(full).text):
        rows = [line.split(",") for line in text.splitlines() if not line.startswith("#")]
        assert rows[0][:9] == old_headings and len(rows[0]) == 12
        assert {row[0] for row in rows[1:]} <= {
            *old_headings,
            "charge",
            "species",
            "thickness",
            "units",
            "section",
            "air",
        }
        (reading,) = [row for row in rows if row[0] == "air"]
        assert reading[6:8] == ["113", "104"] and all(reading[9:])
        before = "\n".join(",".join(row[:9]) for row in rows)  # as that version reads it
        assert keep(before).sheet == replace(sheet, air=(Air(when, 45.0, 40.0),))
        assert keep(text).sheet == full
