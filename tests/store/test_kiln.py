"""This kiln's file: round trips, hand edits, broken files, folders that refuse, and the form that edits it."""

import os
from dataclasses import astuple, replace

import ipywidgets
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kilnlib import units
from kilnlib.bench.panels import open_panel
from kilnlib.errors import BadInput, CannotSave, KilnError, OutOfRange
from kilnlib.store import kiln
from kilnlib.store.kiln import LINES, ThisKiln


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """A user's folder with a space and accents in its path; it does not exist yet."""
    home = tmp_path / "Sägemühle Zoë" / "First Charge"
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(home))
    return home


def edit(old, new):
    """Change this kiln's file by hand."""
    text = kiln.kiln_file().read_text(encoding="utf-8")
    assert old in text
    kiln.kiln_file().write_text(text.replace(old, new, 1), encoding="utf-8")


def problem():
    """What the file's reader says, in trade units."""
    return kiln.load_with_problem()[1].sentence()


def test_default_is_tamarack_ford_in_trade_numbers():
    this = ThisKiln()
    shown = {line.key: line.written(getattr(this, line.field)) for line in LINES}
    assert shown["name"] == '"Tamarack Ford"'
    assert (shown["altitude_ft"], shown["top_dry_bulb_f"], shown["coil_wet_bulb_limit_f"]) == ("900", "160", "120")
    assert shown["driest_rh_pct"] == "25"


def test_default_stack_holds_about_four_thousand_board_feet():
    # 42 courses x 8 ft x 12 ft, 1 in nominal: one square foot of a course is one board foot
    assert ThisKiln().board_feet == pytest.approx(42 * 8 * 12)
    assert 3900 <= 0.98 * ThisKiln().board_feet <= 4100


@pytest.mark.parametrize(("board_in", "nominal_in"), [(0.75, 1), (1.0, 1), (1.125, 1), (1.375, 1.25), (2.125, 2)])
def test_board_feet_count_by_the_quarter_inch(board_in, nominal_in):
    this = replace(ThisKiln(), board_thickness_m=board_in * units.IN_M)
    assert this.board_feet == pytest.approx(42 * 8 * 12 * nominal_in)


def test_folder_is_in_the_home_unless_told_otherwise(monkeypatch, tmp_path, folder):
    assert kiln.user_folder() == folder
    monkeypatch.delenv("FIRST_CHARGE_HOME")
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    assert kiln.user_folder() == tmp_path / "First Charge"


def test_reading_makes_no_folder(folder):
    assert kiln.load() == ThisKiln()
    assert kiln.load_with_problem()[1] is None
    assert not folder.exists()


def test_saving_makes_folder_and_a_file_with_a_remark_on_each_line(folder):
    path = kiln.save(ThisKiln())
    assert path == folder / "this_kiln.toml"
    rows = [row for row in path.read_text(encoding="utf-8").splitlines() if row and not row.startswith("#")]
    assert len(rows) == len(LINES)
    assert all("  # " in row for row in rows)
    assert kiln.load() == ThisKiln()
    assert os.listdir(folder) == ["this_kiln.toml"]


def si(line):
    """Any value a line allows, with the digits a person would type."""
    if line.kind == "count":
        return st.integers(int(line.low), int(line.high))
    decimals = 3 if line.kind == "thickness" else 1
    return st.decimals(line.low, line.high, places=decimals).map(lambda v: units.to_si(float(v), line.kind))


NAMES = st.text(st.characters(exclude_categories=["C", "Z"]), min_size=1, max_size=60)
KILNS = st.fixed_dictionaries({"name": NAMES} | {line.field: si(line) for line in LINES[1:]}).filter(
    lambda values: values["coil_wet_bulb_limit_c"] <= values["top_dry_bulb_c"]
)


@settings(deadline=None, max_examples=60)
@given(KILNS, KILNS)
def test_round_trip_of_any_kiln_and_over_an_older_file(tmp_path_factory, first, second):
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FIRST_CHARGE_HOME", str(tmp_path_factory.mktemp("kiln")))
        for values in (first, second):
            path = kiln.save(ThisKiln(**values))
            back, trouble = kiln.load_with_problem()
            assert trouble is None
            assert back.name == values["name"]
            assert astuple(back)[1:] == pytest.approx(astuple(ThisKiln(**values))[1:], rel=1e-9, abs=1e-9)
            text = path.read_bytes()
            kiln.save(back)
            assert path.read_bytes() == text
        assert os.listdir(path.parent) == ["this_kiln.toml"]


def test_hand_edits_are_read_in_any_unit_and_kept_when_the_form_saves():
    kiln.save(ThisKiln())
    edit("altitude_ft = 900 ", 'altitude_ft = "275 m" ')
    edit("board_in = 1.125", "board_in = '1-1/8 in'")
    edit("# layers of boards, all packs together", "# we lost a course in March")
    edit("# number of main fans", "# number of main fans\n\nlast_belt_change = 2024-05-01\n")
    with kiln.kiln_file().open("a", encoding="utf-8") as stream:
        stream.write("\n[notes]\nname = 'not the kiln'\n")
    this, trouble = kiln.load_with_problem()
    assert this.altitude_m == pytest.approx(275)
    assert this.board_thickness_m == pytest.approx(0.028575)
    assert "last_belt_change" in trouble.sentence() and "notes" not in trouble.sentence()
    kiln.save(replace(this, name="North kiln", courses=41))
    text = kiln.kiln_file().read_text(encoding="utf-8")
    for kept in ("# we lost a course in March", "last_belt_change = 2024-05-01", "[notes]\nname = 'not the kiln'"):
        assert kept in text
    again = kiln.load()
    assert (again.name, again.courses) == ("North kiln", 41)


def test_a_misspelled_name_is_reported():
    kiln.save(replace(ThisKiln(), altitude_m=1524.0))
    edit("altitude_ft", "altitude_feet")
    assert kiln.load().altitude_m == ThisKiln().altitude_m
    assert "altitude_feet" in problem() and "altitude_ft" in problem()


def test_notepad_marks_and_line_ends_are_read():
    kiln.save(replace(ThisKiln(), name="Säge"))
    text = kiln.kiln_file().read_text(encoding="utf-8")
    kiln.kiln_file().write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    assert kiln.load_with_problem() == (replace(ThisKiln(), name="Säge"), None)


BROKEN = [
    ("courses = 42", "courses = 4,2", "courses = 4,2", "one plain number"),
    ("courses = 42", "courses = 42.5", "courses = 42.5", "not a whole number"),
    ("courses = 42", "courses = -3", "courses = -3", "outside"),
    ("courses = 42", "courses = 42\ncourses = 43", "courses = 43", "twice"),
    ("courses = 42", "courses = true", "courses = true", "not a number"),
    ("board_in = 1.125", "board_in = 1-1/8", "board_in = 1-1/8", "one plain number"),
    ("board_in = 1.125", "board_in = nan", "board_in = nan", "not a number"),
    ("= 160", "= 71", "top_dry_bulb_f = 71", "Is this Celsius"),
    ("= 120", "= 161", "coil_wet_bulb_limit_f = 161", "never above the dry bulb"),
    ('"Tamarack Ford"', "Tamarack Ford", "name = Tamarack Ford", "quotes"),
    ('"Tamarack Ford"', '"Tamarack Ford', 'name = "Tamarack Ford', "quotes"),
    ('"Tamarack Ford"', '" "', 'name = " "', "name of 1 to 60 letters"),
    ("altitude_ft = 900", "altitude_ft = 12000", "altitude_ft = 12000", "outside -1,410 ft to 10,000 ft"),
]


@pytest.mark.parametrize(("old", "new", "line", "why"), BROKEN)
def test_broken_file_names_its_line_and_is_left_alone(old, new, line, why):
    kiln.save(replace(ThisKiln(), fan_count=5))
    edit(old, new)
    before = kiln.kiln_file().read_bytes()
    this, trouble = kiln.load_with_problem()
    assert this == ThisKiln()
    assert isinstance(trouble, CannotSave)
    assert f"line “{line}" in trouble.sentence()
    assert why in trouble.sentence()
    assert str(kiln.kiln_file()) in trouble.sentence()
    assert kiln.kiln_file().read_bytes() == before


@settings(deadline=None, max_examples=60)
@given(st.data())
def test_no_damage_to_the_file_stops_a_lesson(tmp_path_factory, data):
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("FIRST_CHARGE_HOME", str(tmp_path_factory.mktemp("kiln")))
        whole = kiln.save(ThisKiln()).read_bytes()
        start, end = (data.draw(st.integers(0, len(whole))) for _ in range(2))
        scrap = data.draw(st.binary(max_size=8) | st.sampled_from([b'"', b"[", b"=", b"\n", b'"""', b"1e999", b"\x0b"]))
        damaged = whole[: min(start, end)] + scrap + whole[max(start, end) :]
        kiln.kiln_file().write_bytes(damaged)
        this, trouble = kiln.load_with_problem()
        assert trouble is None or (isinstance(trouble, KilnError) and trouble.sentence())
        assert kiln.kiln_file().read_bytes() == damaged
        kiln.save(replace(this, name=" Mended "))
        assert kiln.load().name == "Mended"


def test_wrong_encoding_names_its_line():
    kiln.save(ThisKiln())
    kiln.kiln_file().write_bytes(kiln.kiln_file().read_bytes().replace(b'Tamarack Ford"', b'M\xfchle"'))
    assert "line “name = " in problem() and "UTF-8" in problem()


@pytest.mark.parametrize("new", ["courses = forty-two", "courses = 42 42", "[[courses", '"courses" = 42'])
def test_saving_over_a_file_it_cannot_read_or_edit_keeps_it_beside(new, folder):
    kiln.save(replace(ThisKiln(), fan_count=5))
    edit("courses = 42", new)
    broken = kiln.kiln_file().read_bytes()
    kiln.save(replace(ThisKiln(), courses=40))
    assert kiln.load().courses == 40
    assert (folder / kiln.KEPT_NAME).read_bytes() == broken


@pytest.mark.parametrize(
    ("field", "value", "error"),
    [
        ("altitude_m", 3100.0, OutOfRange),
        ("driest_rh_pct", float("nan"), OutOfRange),
        ("driest_rh_pct", float("inf"), OutOfRange),
        ("fan_count", 2.5, OutOfRange),
        ("coil_wet_bulb_limit_c", 75.0, OutOfRange),
        ("name", "", BadInput),
        ("name", "two\nlines", BadInput),
        ("name", "x" * 61, BadInput),
    ],
)
def test_no_kiln_holds_nonsense(field, value, error):
    with pytest.raises(error) as caught:
        replace(ThisKiln(), **{field: value})
    assert isinstance(caught.value, KilnError)
    assert caught.value.sentence().endswith(".")


@pytest.mark.parametrize("line", LINES[1:], ids=lambda line: line.key)
def test_limits_of_each_line(line):
    low, high = line.limits
    line.check(low)
    line.check(high)
    for beyond in (line.low - 1, line.high + 1):
        with pytest.raises(OutOfRange, match=line.what):
            line.check(units.to_si(beyond, line.kind))


def test_folder_that_cannot_be_made_is_a_sentence(folder):
    folder.parent.parent.mkdir(exist_ok=True)
    folder.parent.write_text("a file stands where the folder should be", encoding="utf-8")
    with pytest.raises(CannotSave) as caught:
        kiln.save(ThisKiln())
    assert "could not be written" in caught.value.sentence()
    this, trouble = kiln.load_with_problem()
    assert this == ThisKiln()
    assert "could not be opened" in trouble.sentence()


@pytest.mark.parametrize("step", ["mkdir", "open", "replace"])
def test_disk_that_refuses_leaves_the_old_file_and_nothing_else(step, monkeypatch, folder):
    kiln.save(ThisKiln())
    before = kiln.kiln_file().read_bytes()

    def refuse(self, *args, **kwargs):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(kiln.Path, step, refuse)
    with pytest.raises(CannotSave, match="Permission denied"):
        kiln.write_file(kiln.kiln_file(), b"new")
    monkeypatch.undo()
    assert (folder / "this_kiln.toml").read_bytes() == before
    assert os.listdir(folder) == ["this_kiln.toml"]


def test_a_folder_in_place_of_the_file_is_a_sentence():
    kiln.kiln_file().mkdir(parents=True)
    assert "could not be opened" in problem()
    with pytest.raises(CannotSave, match="could not be written"):
        kiln.save(ThisKiln())


# the form


@pytest.fixture
def form():
    opened = open_panel("kiln_form")
    yield opened
    opened.close()


def test_form_shows_where_the_file_lies_and_every_box_has_a_label(form, folder):
    assert str(folder / "this_kiln.toml") in form.saying.value
    assert "about 4,032 bf" in form.saying.value
    assert all(box.description and box.tooltip for box in form.boxes.values())
    assert form.boxes["board_thickness_m"].value == "1.125 in"
    assert not folder.exists()


def test_form_saves_what_was_typed_in_any_unit(form):
    form.boxes["name"].value = "Our kiln"
    form.boxes["altitude_m"].value = "1,200"
    form.boxes["board_thickness_m"].value = "1-3/8 in"
    form.boxes["top_dry_bulb_c"].value = "60 C"
    form.save()
    assert form.last_error is None
    assert "Saved." in form.saying.value
    back = kiln.load()
    assert (back.name, back.altitude_m) == ("Our kiln", pytest.approx(1200 * 0.3048))
    assert back.board_thickness_m == pytest.approx(1.375 * 0.0254)
    assert back.top_dry_bulb_c == pytest.approx(60)
    assert form.boxes["top_dry_bulb_c"].value == "140 °F"


@pytest.mark.parametrize(
    ("field", "typed", "says"),
    [
        ("altitude_m", "high up", "Altitude: “high up” is not a number"),
        ("altitude_m", "12000", "Altitude 12000 ft is outside"),
        ("altitude_m", "", "Altitude: Nothing was typed"),
        ("top_dry_bulb_c", "71", "Is this Celsius"),
        ("courses", "40.5", "not a whole number"),
        ("driest_rh_pct", "1,5", "Write the decimal with a point"),
        ("coil_wet_bulb_limit_c", "170", "never above the dry bulb"),
        ("name", "  ", "Give the kiln a name"),
    ],
)
def test_form_refuses_in_words_keeps_the_typing_and_writes_nothing(form, field, typed, says):
    form.boxes["fan_count"].value = "4"
    form.boxes[field].value = typed
    form.save()
    assert isinstance(form.last_error, KilnError)
    assert says in form.saying.value
    assert form.boxes[field].value == typed
    assert form.boxes["fan_count"].value == "4"
    assert not kiln.kiln_file().exists()
    form.undo()
    assert form.last_error is None
    assert form.boxes["fan_count"].value == "3"


def test_form_names_everything_that_is_wrong_at_once(form):
    typed = {"name": " ", "altitude_m": "high up", "courses": "40.5", "coil_wet_bulb_limit_c": "170"}
    for field, words in typed.items():
        form.boxes[field].value = words
    form.save()
    assert not kiln.kiln_file().exists()
    assert {field: form.boxes[field].value for field in typed} == typed
    for words in ("Give the kiln a name", "Altitude: “high up” is not", "not a whole number", "never above the dry"):
        assert words in form.saying.value
    assert form.saying.value.count("fc-refusal") == 4
    form.boxes["name"].value = "Our kiln"
    form.save()
    assert "Give the kiln a name" not in form.saying.value and form.saying.value.count("fc-refusal") == 3


def test_form_says_that_what_is_typed_is_not_saved_yet(form):
    opened = form.saying.value
    assert "numbers of the example kiln" in opened
    form.boxes["courses"].value = "40"
    assert "not saved yet" in form.saying.value and "example kiln" not in form.saying.value
    form.boxes["courses"].value = "42"
    assert form.saying.value == opened
    form.boxes["courses"].value = "40"
    form.save()
    assert "Saved." in form.saying.value and "not saved yet" not in form.saying.value
    form.unit_switch.value = "metric"
    assert "not saved yet" not in form.saying.value


def test_form_in_metric_and_back_moves_nothing(form):
    form.unit_switch.value = "metric"
    assert form.boxes["altitude_m"].value == "274 m"
    assert form.boxes["top_dry_bulb_c"].value == "71.1 °C"
    form.boxes["sticker_thickness_m"].value = "thin"
    form.save()
    assert "°F" not in form.saying.value
    form.unit_switch.value = "trade"
    assert form.boxes["altitude_m"].value == "900 ft"
    assert form.boxes["sticker_thickness_m"].value == "thin"
    form.boxes["sticker_thickness_m"].value = "3/4 in"
    form.save()
    assert kiln.load() == ThisKiln()


def test_form_over_a_broken_file_says_so_and_mends_it():
    kiln.save(ThisKiln())
    edit("courses = 42", "courses = many")
    form = open_panel("kiln_form")
    assert "courses = many" in form.last_error.sentence()
    assert "⚠" in form.saying.value
    form.save()
    assert form.last_error is None
    assert kiln.load_with_problem() == (ThisKiln(), None)
    form.close()


def test_form_says_when_the_disk_refuses_and_keeps_the_typing(form, folder):
    folder.parent.write_text("a file stands where the folder should be", encoding="utf-8")
    form.boxes["courses"].value = "40"
    form.save()
    assert "could not be written" in form.last_error.sentence()
    assert form.boxes["courses"].value == "40"


def test_form_leaves_no_widgets_behind():
    registry = ipywidgets.widgets.widget._instances
    before = len(registry)
    for _ in range(5):
        open_panel("kiln_form")
    open_panel("kiln_form").close()
    assert len(registry) == before
