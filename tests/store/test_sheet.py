"""The sample sheet on disk: forgiving in form, strict in meaning, and nothing is ever lost."""

import codecs
import datetime
import errno
import os
import re
import sys
import time
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kilnlib import units
from kilnlib.cases.tamarack import CHARGES
from kilnlib.errors import BadInput, CannotSave, KilnError, sentence
from kilnlib.physics.samples import Air, Note, Recut, SampleBoard, Section, Sheet, Weighing
from kilnlib.store import files as user_files
from kilnlib.store import sheet
from kilnlib.store.csv_cells import guarded, shortest, unguarded
from kilnlib.store.csv_table import BadRow
from kilnlib.store.sheet import SampleSheet
from kilnlib.store.sheet_read import read_csv
from kilnlib.store.sheet_write import write_csv

DATA = CHARGES
PLAIN = """\
item,board,date,weight,oven-dry,unit,dry bulb F,wet bulb F,note
species,,,,,,,,red oak
thickness,,,,,,,,4/4 inch
target,,,,,,,,7
board,1,,,,,,,pocket 3
section,1,,98.55,59.20,g,,,
section,1,,86.92,55.02,g,,,
air,,2026-03-12 07:30,,,,110,106,
weight,1,2026-03-12 07:30,4.460,,lb,,,
weight,1,2026-03-13 07:30,4.381,,lb,,,
weight,1,2026-03-25 07:30,4.140,,lb,,,door open
"""


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path / "home"))


@pytest.fixture
def opened(tmp_path):
    path = tmp_path / "one.csv"
    path.write_text(PLAIN, encoding="utf-8")
    one = SampleSheet.open(path)
    yield one
    one.close()


def moment(day, hour=7, minute=30):
    return datetime.datetime(2026, 3, day, hour, minute)


# --- a sheet comes back as it was -----------------------------------------------------------------------------------

kilograms = st.one_of(
    st.floats(1e-3, 900.0), st.decimals(1, 900, places=3).map(lambda pounds: float(pounds) * units.LB_KG)
)
texts = st.text(max_size=40) | st.sampled_from(
    ["=1+1", "'=x", "@sum", '"', "a,b;c\td", "#1", "-3", "''", "4/4", "sep=;"]
)
moments = st.datetimes(datetime.datetime(2000, 1, 1), datetime.datetime(2000, 12, 30)).map(
    lambda when: when.replace(microsecond=0)
)
sections = st.builds(
    lambda dry, ratio, known: Section(dry * ratio, dry if known else None),
    st.floats(1e-3, 300.0),
    st.floats(1.001, 3.0),
    st.booleans(),
)


@st.composite
def boards(draw, name):
    times = sorted(draw(st.lists(moments, max_size=5, unique=True)))
    weighings = tuple(Weighing(when, draw(kilograms), draw(texts)) for when in times)
    cuts = draw(st.lists(st.sampled_from(weighings), max_size=2, unique=True)) if weighings else []
    recuts = tuple(
        Recut(cut.when, cut.weight_kg * 0.9, tuple(draw(st.lists(sections, min_size=1, max_size=2))), draw(texts))
        for cut in sorted(cuts, key=lambda cut: cut.when)
    )
    return SampleBoard(name, tuple(draw(st.lists(sections, min_size=1, max_size=3))), weighings, recuts, draw(texts))


@st.composite
def sheets(draw):
    names = draw(
        st.lists(texts.map(lambda t: f"{t} x".strip()), max_size=3, unique_by=lambda n: " ".join(n.split()).casefold())
    )
    times = sorted(draw(st.lists(moments, max_size=3, unique=True)))
    some = st.none() | st.floats(0, 40)
    airs = tuple(
        Air(when, 50 + draw(st.floats(0, 60)), draw(st.floats(0, 50)), draw(st.none() | st.floats(50, 90)), draw(some),
            draw(st.none() | st.just(0.0) | st.floats(1e-6, 100)))
        for when in times
    )  # fmt: skip
    notes = tuple(Note(draw(moments), f"n{draw(texts)}") for _ in range(draw(st.integers(0, 2))))
    made = []
    for name in names:
        board = draw(boards(name))
        if board.name.casefold() not in {other.name.casefold() for other in made}:
            made.append(board)
    return Sheet(
        draw(texts), draw(texts), draw(texts), draw(st.none() | st.floats(3, 30)), tuple(made), airs, notes,
        *(draw(st.sampled_from(kinds)) for kinds in (["lb", "oz", "g", "kg"], ["lb", "oz", "g", "kg"], ["F", "C"])),
    )  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(sheets())
def test_sheet_to_csv_and_back_is_the_same_sheet(made):
    text = write_csv(made)
    assert read_csv(text) == (made, [])
    assert read_csv(text.encode("utf-8"))[0] == made
    assert write_csv(read_csv(text)[0]) == text


@given(texts)
def test_words_are_guarded_and_come_back(text):
    tidy = Note(moment(1), f"x{text}").text[1:].strip()
    assert unguarded(guarded(tidy)) == tidy
    assert guarded(tidy)[:1] not in tuple("=+-@\t\r")


@given(st.floats(1e-6, 1000), st.sampled_from(["lb", "oz", "g", "kg"]))
def test_the_shortest_number_reads_back_exactly(kg, unit):
    text = shortest(kg, units.units_for("weight")[unit])
    if text is not None:
        assert units.units_for("weight")[unit].to_si(float(text)) == kg
    assert unit != "kg" or text is not None


def test_formulas_are_not_exported():
    note = Note(moment(1), '=HYPERLINK("x")')
    made = Sheet("@charge", "+species", notes=(note,), boards=(SampleBoard("-1", (Section(0.05),), note="=2+2"),))
    for line in write_csv(made).splitlines()[2:]:
        for cell in line.split(","):
            assert cell.strip('"')[:1] not in tuple("=+-@")
    assert read_csv(write_csv(made))[0] == made


# --- forgiving in form ----------------------------------------------------------------------------------------------


def semicolons(text):
    return (line.replace(",", ";") for line in text.splitlines())


def comma_decimals(text):
    rows = []
    for line in text.splitlines():
        cells = line.split(",")
        rows.append(";".join(cell.replace(".", ",") if n in (3, 4) else cell for n, cell in enumerate(cells)))
    return "\n".join(rows)


OTHER = "Kind,Sample,When,Green_Weight,Oven dry,Units,DB (°F),WB (°F),Text"
FORMS = {
    "BOM": lambda t: codecs.BOM_UTF8 + t.encode(),
    "UTF-16 with tabs, as a spreadsheet saves Unicode text": lambda t: t.replace(",", "\t").encode("utf-16"),
    "semicolons": lambda t: "\n".join(semicolons(t)),
    "semicolons and decimal commas": comma_decimals,
    "sep line of a spreadsheet": lambda t: "sep=;\n" + comma_decimals(t),
    "quoted decimal commas": lambda t: re.sub(r"(?<=,)(\d+)\.(\d+)(?=,)", r'"\1,\2"', t),
    "Windows line ends": lambda t: t.replace("\n", "\r\n"),
    "old Mac line ends": lambda t: t.replace("\n", "\r"),
    "blank lines and remarks": lambda t: t.replace("\nboard", "\n\n,,,,,,,,\n# a remark, with a \" in it\nboard"),
    "a remark a spreadsheet has quoted": lambda t: '"# a, remark",,,\n' + t,
    "more columns": lambda t: "\n".join(f"{line},{n},x" for n, line in enumerate(t.splitlines())),
    "columns in another order": lambda t: "\n".join(",".join(line.split(",")[::-1]) for line in t.splitlines()),
    "other headings": lambda t: "\n".join([OTHER, *t.splitlines()[1:]]),
    "capitals and blanks": lambda t: t.replace("weight,1,", " WEIGHT , 1 , ").replace("section", "Section"),
    "grams": lambda t: t.replace("4.460,,lb", "2023.02199,,g").replace("4.381,,lb", "1987.1881980,,g"),
    "ounces in the cell": lambda t: t.replace("4.460,,lb", "71.36 oz,,").replace("4.381,,lb", "70.096oz,,oz"),
    "kilograms": lambda t: t.replace("4.460,,lb", "2.0230219902,,kg"),
    "pounds in the heading": lambda t: t.replace("date,weight", "date,weight lb").replace(",lb,", ",,"),
    "Celsius in the heading": lambda t: t.replace("bulb F", "bulb [°C]").replace("110,106", "43.3333333,41.1111111"),
    "Celsius in the cell": lambda t: t.replace("110,106", "43.3333333 C,41.1111111°C"),
    "month first": lambda t: dates(t, "{m}/{d}/{y}"),
    "month first, short year, AM": lambda t: dates(t, "{m}/{d}/26", " 7:30 AM"),
    "day first with points": lambda t: dates(t, "{d}.{m}.{y}"),
    "day first with strokes": lambda t: dates(t, "{d}/{m}/{y}"),
    "month in words": lambda t: dates(t, "{d} Mar {y}"),
    "month in words, first": lambda t: dates(t, '"March {d}, {y}', ' 7:30 am"'),
    "month in words, as a spreadsheet": lambda t: dates(t, "{d}-Mar-26"),
    "ISO with T": lambda t: dates(t, "{y}-0{m}-{d}", "T07:30:00"),
    "old code page": lambda t: t.replace("pocket 3", "pocket\u20133").encode("cp1252"),
}  # fmt: skip


def dates(text, form, hour=" 7:30"):
    for day in (12, 13, 25):
        text = text.replace(f"2026-03-{day} 07:30", form.format(d=day, m=3, y=2026) + hour)
    return text


@pytest.mark.parametrize("form", FORMS)
def test_forgiving_in_form(form):
    found, notices = read_csv(FORMS[form](PLAIN))
    wanted, _ = read_csv(PLAIN)
    assert notices == []
    assert (found.species, found.thickness, found.target_pct) == ("red oak", "4/4", 7)
    (board,), (air,) = found.boards, found.air
    assert board.name == "1" and board.note.startswith("pocket")
    assert [w.when for w in board.weighings] == [w.when for w in wanted.boards[0].weighings]
    assert [w.weight_kg for w in board.weighings] == pytest.approx([w.weight_kg for w in wanted.boards[0].weighings])
    assert [s.mc_pct for s in board.sections] == pytest.approx([s.mc_pct for s in wanted.boards[0].sections])
    assert board.weighings[-1].note == "door open"
    assert (air.dry_bulb_c, air.wet_bulb_c) == pytest.approx((43.3333333, 41.1111111))


def test_doubtful_dates_are_read_month_first_and_say_so():
    text = PLAIN.replace("2026-03-12", "3/2/2026").replace("2026-03-13", "3/3/2026").replace("2026-03-25", "3/5/2026")
    found, notices = read_csv(text)
    assert [w.when.day for w in found.boards[0].weighings] == [2, 3, 5]
    assert "3/2/2026" in notices[0].sentence() and "2026-03-02" in notices[0].sentence()


def test_a_thousand_in_a_file_with_points_is_a_thousand():
    found, _ = read_csv(PLAIN.replace("4.460,,lb", '"2,023.0",,g'))
    assert found.boards[0].weighings[0].weight_kg == pytest.approx(2.023)


# --- strict in meaning ----------------------------------------------------------------------------------------------

RECUT = "\nrecut,1,2026-03-26,4.0,,lb,,,\nrecut section,1,2026-03-26,60,40,g,,,\n"  # no weight at that time
REFUSED = [  # change, row, column, reason
    (("2026-03-13 07:30", "2026-03-12 07:30"), 10, "date", "two entries for 2026-03-12 07:30"),
    (("2026-03-25", "2062-03-25"), 11, "date", "more than a year after"),
    (("2026-03-25", "2026-02-30"), 11, "date", "not a date"),
    (("2026-03-25 07:30", "46106"), 11, "date", "not a date"),
    (("2026-03-25 07:30", "2026-03-25 17:30 pm"), 11, "date", "not a date"),
    (("2026-03-25 07:30", "15/25/2026"), 11, "date", "not a date"),
    (("weight,1,2026-03-25", "weight,7,2026-03-25"), 11, "board", "No row says that there is a board called 7"),
    (("weight,1,2026-03-25", "weight,,2026-03-25"), 11, "board", "The board's name is missing"),
    (("section,1,,98.55,59.20,g,,,\nsection,1,,86.92,55.02,g,,,\n", ""), 5, "board", "has no section"),
    (("98.55,59.20", "59.20,98.55"), 6, "oven-dry", "Swap them"),
    (("59.20", "5.92"), 6, "oven-dry", "no wood does"),
    (("4.381", "heavy"), 10, "weight", "“heavy” is not a number"),
    (("4.381", "4.3.81"), 10, "weight", "not a number"),
    (("4.381", ""), 10, "weight", "Nothing was typed"),
    (("4.381", "0"), 10, "weight", "not above zero"),
    (("4.381", "-4.381"), 10, "weight", "not above zero"),
    (("4.381", "1e400"), 10, "weight", "not a number"),
    (("4.381", "4381"), 10, "weight", "4,381 lb is outside what can be weighed here, which ends at 2,205 lb"),
    (("4.381", '"4,381"'), 10, "weight", "4,381 lb is outside"),
    (("4.381", '"4,38"'), 10, "weight", "Write the decimal with a point: 4.38"),
    (("4.381,,lb", "4.381,,"), 10, "unit", "unit is missing"),
    (("4.381,,lb", "4.381,,stone"), 10, "unit", "Use lb, oz, g or kg"),
    (("4.381,,lb", "4.381,,in"), 10, "unit", "“in” is not known"),
    (("4.381,,lb", "4.381 kg,,lb"), 10, "unit", "says kg, the column unit says lb"),
    (("110,106", "106,110"), 8, "wet bulb", "above dry bulb"),
    (("110,106", "110,x"), 8, "wet bulb", "not a number"),
    (("dry bulb F,wet bulb F", "dry bulb,wet bulb"), 8, "dry bulb", "unit is missing"),
    (("target,,,,,,,,7", "target,,,,,,,,70"), 4, "note", "outside 3.0 % to 30.0 %"),
    (("board,1,,,,,,,pocket 3\n", "board,1,,,,,,,pocket 3\nboard,1,,,,,,,\n"), 6, "board", "two boards called 1"),
    (("board,1,", "board,,"), 5, "board", "Give the board a name"),
    (("target", "species"), 4, "note", "already has a row for species"),
    (("target", "aim"), 4, "item", "“aim” is not a kind of row"),
    (("weight,1,2026-03-25", ",1,2026-03-25"), 11, "item", "not a kind of row"),
    (("item,board,date,weight", "item,board,date,weight,weight"), 1, "weight", "stands there twice"),
    (("oven-dry", "oven"), 1, "oven-dry", "heading is missing"),
    (("door open\n", RECUT), 12, "weight", "right before"),
    (("door open\n", "\nrecut,1,2026-03-25 07:30,4.5,,lb,,,\n"), 12, "weight", "at least one new section"),
    (("door open\n", "\nrecut section,1,2026-03-26,60,40,g,,,\n"), 12, "date", "needs the row of its recut"),
    (("door open\n", "\nnote,,2026-03-26,,,,,,\n"), 12, "note", "no words"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("change", "row", "column", "reason"), REFUSED, ids=[f"{r[3]}-{n}" for n, r in enumerate(REFUSED)]
)
def test_refusals_name_row_column_and_reason(opened, change, row, column, reason):
    assert change[0] in PLAIN
    before, on_disk = opened.sheet, opened.path.read_bytes()
    with pytest.raises(BadRow) as caught:
        opened.load(PLAIN.replace(*change))
    said = sentence(caught.value)
    assert (caught.value.row, caught.value.column) == (row, column)
    assert said.startswith(f"Row {row}, column {column}: ") and reason in said
    assert opened.sheet is before and opened.path.read_bytes() == on_disk


def test_numbers_that_could_be_read_two_ways_are_refused():
    only_thousands = PLAIN.replace("98.55,59.20", '"1,655","1,020"').replace("86.92,55.02", '"1,655","1,020"')
    for pounds in ("4.460", "4.381", "4.140"):
        only_thousands = only_thousands.replace(f"{pounds},,lb", '"2,023",,g')
    with pytest.raises(BadRow, match=r"could be 1\.655 or 1655"):
        read_csv(only_thousands)
    with pytest.raises(BadRow, match="other numbers of this file have a decimal comma"):
        read_csv(PLAIN.replace("98.55", '"98,55"'))


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "holds no rows"),
        ("# only remarks\n\n", "holds no rows"),
        (b"\x00\x01\x02", "not a table of plain text"),
        (b"\xff\xfea", "not a table of plain text"),
        (b"\x81\x8d", "not a table of plain text"),
        (b"PK\x03\x04\x14\x00\x00\x00", "not a table of plain text"),
        (b"x" * 100_000, "heading is missing"),
        (b'"' + b"x" * 200_000, "not a table of plain text"),
        (b"x" * 2_000_001, "stays below 2 MB"),
    ],
)
def test_what_is_no_sheet_gets_a_sentence(opened, data, says):
    before = opened.sheet
    with pytest.raises(BadInput, match=says):
        opened.load(data)
    assert opened.sheet is before


def test_fifty_megabytes_are_refused_unread(tmp_path, monkeypatch):
    path = tmp_path / "big.csv"
    with path.open("wb") as stream:
        stream.truncate(50_000_000)
    monkeypatch.setattr(Path, "read_bytes", lambda self: pytest.fail("it was read"))
    with pytest.raises(BadInput, match=r"The file has 50\.0 MB; a sample sheet stays below 2 MB"):
        SampleSheet.open(path)


def answers_or_refuses(data):
    try:
        found, _ = read_csv(data)
    except KilnError as refusal:
        assert sentence(refusal).endswith((".", "…"))
        return
    assert read_csv(write_csv(found))[0] == found


@settings(max_examples=300, deadline=None)
@given(st.binary(max_size=300))
def test_byte_soup_gets_a_sentence(data):
    answers_or_refuses(data)


@settings(max_examples=300, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(0, len(PLAIN) - 1), st.sampled_from("0123456789.,;\"'-/:#=\n\t abcxé\u2028\x1c")),
        min_size=1, max_size=8,
    ),
    st.booleans(),
)  # fmt: skip
def test_a_sheet_with_slips_is_read_or_gets_a_sentence(slips, cut):
    text = list(PLAIN)
    for place, character in slips:
        text[place] = "" if cut else character
    answers_or_refuses("".join(text))


# --- nothing is lost ------------------------------------------------------------------------------------------------


def test_every_entry_is_on_disk_at_once(opened):
    opened.weigh("1", moment(26), 1.85)
    assert opened.saved
    assert read_csv(opened.path.read_bytes())[0] == opened.sheet
    assert SampleSheet.open(opened.path).sheet.board("1").weighings[-1].weight_kg == 1.85


def test_undo_takes_back_entries_one_by_one_on_disk_too(opened):
    first = opened.sheet
    assert not opened.can_undo
    opened.weigh("1", moment(26), 1.85)
    second = opened.sheet
    opened.load(PLAIN.replace("pocket 3", "pocket 4"))
    assert opened.sheet.board("1").note == "pocket 4"
    opened.undo()
    assert opened.sheet == second == read_csv(opened.path.read_bytes())[0]
    opened.undo()
    assert opened.sheet == first == read_csv(opened.path.read_bytes())[0]
    opened.undo()
    assert opened.sheet == first and not opened.can_undo


def test_a_change_that_changes_nothing_is_no_step_to_undo(opened):
    opened.weigh("1", moment(12), opened.sheet.board("1").weighings[0].weight_kg)
    assert not opened.can_undo


def test_a_refused_entry_leaves_everything_as_it_was(opened):
    before = opened.sheet
    for weight in (0, -1, float("nan"), 1e6):
        with pytest.raises(KilnError):
            opened.weigh("1", moment(26), weight)
    with pytest.raises(KilnError):
        opened.weigh("9", moment(26), 1.0)
    assert opened.sheet is before and opened.saved and not opened.can_undo


def fail_with(code):
    def fail(*args, **kwargs):
        raise OSError(code, os.strerror(code))

    return fail


@pytest.mark.parametrize(
    ("place", "name", "code"),
    [
        (os, "fsync", errno.ENOSPC),
        (Path, "replace", errno.EACCES),
        (Path, "mkdir", errno.EROFS),
        (Path, "open", errno.EIO),
    ],
)
def test_a_disk_that_refuses_keeps_the_entry_on_screen_and_the_old_file(opened, monkeypatch, place, name, code):
    old = opened.path.read_bytes()
    with monkeypatch.context() as patch:
        patch.setattr(place, name, fail_with(code))
        with pytest.raises(CannotSave, match="Nothing was lost"):
            opened.weigh("1", moment(26), 1.85)
    assert opened.path.read_bytes() == old
    assert opened.sheet.board("1").weighings[-1].weight_kg == 1.85 and not opened.saved
    assert [path.name for path in opened.path.parent.iterdir()] == ["one.csv"]
    opened.save()
    assert opened.saved and read_csv(opened.path.read_bytes())[0] == opened.sheet


def killed_at(path, step):
    """Save one more weight in a child process that dies before executing a line of the save; True if it got through.

    The child leaves by os._exit: no buffer is flushed, no cleanup runs, as when a kernel is killed.
    """
    child = os.fork()
    if child:
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0
    left = [step]

    def trace(frame, event, argument):
        if frame.f_code.co_filename not in (user_files.__file__, sheet.__file__):
            return None
        if event == "line":
            left[0] -= 1
            if left[0] < 0:
                os._exit(1)
        return trace

    try:
        one = SampleSheet.open(path)
        sys.settrace(trace)
        one.weigh("1", moment(26), 1.85)
    finally:
        os._exit(0)


def test_killed_between_any_two_steps_of_a_save_a_readable_sheet_remains(tmp_path):
    path = tmp_path / "one.csv"
    old, new = read_csv(PLAIN)[0], None
    seen = []
    for step in range(200):
        path.write_text(PLAIN, encoding="utf-8")
        through = killed_at(path, step)
        found = read_csv(path.read_bytes())[0]
        seen.append("old" if found == old else "new")
        if seen[-1] == "new":
            new = new or found
            assert found == new and found.boards[0].weighings[-1].weight_kg == 1.85
        again = SampleSheet.open(path)  # and it can be worked on
        again.weigh("1", moment(27), 1.8)
        again.close()
        assert read_csv(path.read_bytes())[0].boards[0].mc_pct == again.sheet.boards[0].mc_pct
        if through:
            break
    assert through and seen[-1] == "new"
    assert seen == sorted(seen, reverse=True), "old until the one step that replaces it, then new"
    assert seen.count("old") >= 10 and seen.count("new") >= 2


def test_half_a_write_is_never_the_sheet(opened, monkeypatch):
    """The disk fills up in the middle of the bytes."""
    old = opened.path.read_bytes()
    real = Path.open

    def half(self, mode="r", *rest, **named):
        stream = real(self, mode, *rest, **named)
        if "w" not in mode:
            return stream
        write = stream.write

        class Half:
            def __enter__(self):
                return self

            def __exit__(self, *how):
                stream.close()

            def write(self, data):
                write(data[: len(data) // 2])
                raise OSError(errno.ENOSPC, "No space left on device")

        return Half()

    monkeypatch.setattr(Path, "open", half)
    with pytest.raises(CannotSave):
        opened.weigh("1", moment(26), 1.85)
    assert opened.path.read_bytes() == old


def test_two_windows_on_one_sheet_are_noticed(opened):
    assert [asked.code for asked in opened.questions()] == []
    other = SampleSheet.open(opened.path)
    assert other.open_elsewhere and "open in another window" in other.questions()[0].sentence()
    opened.weigh("1", moment(26), 1.85)
    assert other.changed_elsewhere() and not opened.changed_elsewhere()
    with pytest.raises(CannotSave, match="changed in another window"):
        other.weigh("1", moment(27), 1.80)
    assert read_csv(opened.path.read_bytes())[0] == opened.sheet, "the first window's entry stands"
    assert other.sheet.board("1").weighings[-1].weight_kg == 1.80 and not other.saved
    with pytest.raises(CannotSave):
        other.save()
    copy = sheet.free_path("one")
    other.save_copy(copy)
    assert other.saved and other.path == copy and read_csv(copy.read_bytes())[0] == other.sheet
    other.close()


def test_loading_again_takes_the_other_windows_entry_and_can_be_undone(opened):
    other = SampleSheet.open(opened.path)
    opened.weigh("1", moment(26), 1.85)
    mine = other.sheet
    other.reload()
    assert other.sheet == opened.sheet and other.saved
    other.weigh("1", moment(27), 1.80)
    assert opened.changed_elsewhere()
    other.undo()
    other.undo()
    assert other.sheet == mine
    other.close()


def test_a_closed_window_is_no_other_window(opened):
    opened.close()
    other = SampleSheet.open(opened.path)
    assert not other.open_elsewhere
    other.close()


def test_two_processes_are_noticed_too(opened):
    child = os.fork()
    if not child:
        os._exit(SampleSheet.open(opened.path).open_elsewhere)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 1


def test_a_new_sheet_never_replaces_a_file(tmp_path):
    path = sheet.free_path("../Charge 12: oak.csv")
    assert path == sheet.folder() / "Charge 12_ oak.csv"
    one = SampleSheet.create(path, Sheet("Charge 12"))
    assert one.saved and read_csv(path.read_bytes())[0].charge == "Charge 12"
    with pytest.raises(CannotSave, match="already is a file"):
        SampleSheet.create(path, Sheet())
    assert sheet.free_path("Charge 12_ oak").name == "Charge 12_ oak 2.csv"
    assert sheet.free_path("...").name == "sheet.csv"
    with pytest.raises(CannotSave, match="could not be opened"):
        SampleSheet.open(tmp_path / "none.csv")
    with pytest.raises(CannotSave, match="is a folder or a device"):
        SampleSheet.open(tmp_path)
    one.close()


# --- the shipped charges, and speed ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "species", "days"), [("red_oak_4_4", "red oak", 36), ("yellow_poplar_4_4", "yellow-poplar", 15)]
)
def test_shipped_charges_are_invented_and_plausible(name, species, days):
    data = (DATA / f"{name}.csv").read_bytes()
    assert data.startswith(b"# Invented, Tamarack Ford")
    charge, notices = read_csv(data)
    assert notices == [] and "invented, Tamarack Ford" in charge.charge
    assert (charge.species, charge.thickness, charge.target_pct) == (species, "4/4", 7)
    assert len(charge.days) == days == len(charge.air)
    fastest = [day.fastest[1] for day in charge.days[1:]]
    limit = charge.limit_points_per_day
    slips = [n for n, points in enumerate(fastest, 1) if points > limit]
    assert slips == ([7] if species == "red oak" else [])
    assert charge.days[0].controlling_pct > 75 and max(charge.days[-1].mcs_pct.values()) < 8
    asked = {question.code for question in charge.questions()}
    assert asked == ({"ask_rising", "ask_sections"} if species == "red oak" else {"ask_rising"})
    falling = [day.controlling_pct for day in charge.days]
    assert falling.index(min(falling)) in range(days - 4, days)
    assert all(later < earlier for earlier, later in pairwise(falling[: days - 3]))


def test_the_red_oak_charge_has_a_recut():
    charge, _ = read_csv((DATA / "red_oak_4_4.csv").read_bytes())
    board = charge.board("5")
    assert len(board.recuts) == 1 and len(board.ovendry_kg) == 2
    assert max(abs(board.points_per_day(n - 1, n)) for n in range(1, 36)) < 4.5


def big_sheet():
    made = []
    for number in range(24):
        cut = Section((1.60 + number / 100) * 0.06, 0.06)
        weighings = [
            Weighing(moment(1) + datetime.timedelta(days=day), (3.0 - 0.02 * day + number / 50) * units.LB_KG)
            for day in range(60)
        ]
        made.append(SampleBoard(str(number + 1), (cut, cut), tuple(weighings)))
    return Sheet("big", "red oak", "4/4", 7, tuple(made))


def test_sixty_days_of_twenty_four_boards_are_quick(tmp_path):
    path = tmp_path / "big.csv"
    path.write_text(write_csv(big_sheet()), encoding="utf-8")
    times = []
    for _ in range(3):
        start = time.process_time()
        one = SampleSheet.open(path)
        days, left = one.sheet.days, one.sheet.days_left()
        one.questions()
        times.append(time.process_time() - start)
        one.close()
    assert len(days) == 60 and len(days[-1].mcs_pct) == 24 and left.low_days > 0
    assert min(times) < 0.2
