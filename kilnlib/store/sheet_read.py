"""Reading a sample sheet from CSV, row by row; the layout is described in `kilnlib.store.sheet`."""

import datetime
from dataclasses import dataclass, field
from typing import Any

from kilnlib import units
from kilnlib.errors import BadInput, Notice
from kilnlib.physics.samples import Air, Note, Recut, SampleBoard, Section, Sheet, Weighing, check_order, when_text
from kilnlib.store.csv_cells import (
    check_weight_typed,
    day_first,
    decimal_mark,
    is_two_way,
    pounds_ounces,
    read_moment,
    read_number,
    unguarded,
)
from kilnlib.store.csv_table import OF_MORNING, BadRow, Fact, Row, read_table

SETTINGS = ("charge", "species", "thickness", "target", "units", "scale step")
LIMIT_BOARDS = 200  # far more than anybody weighs
ITEMS = (*SETTINGS, "board", "section", "weight", "recut", "recut section", "air", "note")

_Cut = tuple[float, str, list[Section]]  # of a recut: weight after it, note, its sections


@dataclass
class _Draft:
    """A board while its rows are being read."""

    row: Row
    name: str
    note: str
    sections: list[Section] = field(default_factory=list)
    weighings: dict[datetime.datetime, tuple[Row, Weighing]] = field(default_factory=dict)
    recuts: dict[datetime.datetime, tuple[Row, _Cut]] = field(default_factory=dict)


def read_csv(data: str | bytes) -> tuple[Sheet, list[Notice]]:
    """(Sheet, notices) of a sample sheet as text or bytes; raises BadInput or BadRow with a sentence."""
    return Reader(data).sheet()


class Reader:
    """One reading of a file: `sheet()` says what it holds, `facts` then what each row says, by its number."""

    def __init__(self, data: str | bytes, day_comes_first: bool | None = None) -> None:
        self.table = read_table(data)
        self.rows, self.heading_units = self.table.rows, self.table.heading_units
        dates = [row.cells.get("date", "") for row in self.rows]
        self.day_first = day_first(dates) if day_comes_first is None else day_comes_first
        self.two_way = next((date for date in dates if is_two_way(date)), None) if self.day_first is None else None
        numbers = [
            row.cells.get(c, "")
            for row in self.rows
            for c in ("weight", "oven-dry", "dry bulb", "wet bulb", *OF_MORNING)
        ]
        self.mark = decimal_mark(numbers, self.table.delimiter)
        self.settings: dict[str, Any] = {}
        self.boards: dict[str, _Draft] = {}  # by name in small letters
        self.air: dict[datetime.datetime, tuple[Row, Air]] = {}
        self.notes: list[Note] = []
        self.units: dict[str, str] = {}  # the unit first met of each kind of quantity: setting to label
        self.facts: dict[int, Fact | str] = {}  # of a setting only its name

    def sheet(self) -> tuple[Sheet, list[Notice]]:
        """(Sheet, notices). Rows may stand in any order."""
        by_item: dict[str, list[Row]] = {item: [] for item in ITEMS}
        for row in self.rows:
            item = row.text("item").lower().replace("-", " ").replace("_", " ")
            with row.at("item"):
                if item not in ITEMS:
                    raise BadInput("unknown_item", text=row.text("item")[:40], names=", ".join(ITEMS))
            by_item[item].append(row)
        if len(by_item["board"]) > LIMIT_BOARDS:
            fields = {"count": f"{len(by_item['board']):,}", "limit": f"{LIMIT_BOARDS:,}"}
            raise BadInput("sheet_too_many_boards", **fields)
        for item, rows in by_item.items():
            read = getattr(self, f"_{'setting' if item in SETTINGS else item.replace(' ', '_')}")
            for row in rows:
                read(row)
        target, step_kg = self.settings.pop("target", None), self.settings.pop("scale step", None)
        for name in ("sample_unit", "section_unit", "temperature_unit"):
            if name in self.units:
                self.settings.setdefault(name, self.units[name])
        sheet = Sheet(
            **self.settings,
            target_pct=target,
            scale_step_kg=step_kg,
            boards=tuple(self._finished(draft) for draft in self.boards.values()),
            air=tuple(self._in_order(self.air)),
            notes=tuple(self.notes),
        )
        notices = [Notice("sheet_cut_short")] if self.table.cut_short else []
        if self.two_way:
            notices.append(Notice("ask_date", text=self.two_way, read=when_text(read_moment(self.two_way))))
        return sheet, notices

    def _setting(self, row):
        item, text = row.text("item").lower().replace("-", " ").replace("_", " "), row.text("note")
        with row.at("note"):
            self.facts[row.number] = item
            if item in self.settings or (item == "units" and "sample_unit" in self.settings):
                raise BadInput("item_twice", item=item)
            if item == "target":
                value, _ = read_number(text, "percent", self.mark)
                Sheet(target_pct=value)
                self.settings["target"] = value
            elif item == "scale step":
                value, label = read_number(text, "weight", self.mark)
                self.settings[item] = self._si(value, label, "weight", "")
                Sheet(scale_step_kg=self.settings[item])
            elif item == "units":
                fields = ("sample_unit", "section_unit", "temperature_unit")
                units_named = dict(zip(fields, text.replace(",", " ").split(), strict=False))
                Sheet(**units_named)
                self.settings |= units_named
            else:
                self.settings[item] = text

    def _board(self, row):
        with row.at("board"):
            name = row.text("board")
            if not name:
                raise BadInput("board_no_name")
            if name.casefold() in self.boards:
                raise BadInput("board_twice", board=name)
            self.boards[name.casefold()] = _Draft(row, name, row.text("note"))
            self.facts[row.number] = Fact("board", name, note=row.text("note"))

    def _section(self, row):
        draft, cut = self._draft(row), self._read_section(row)
        draft.sections.append(cut)
        self.facts[row.number] = Fact("section", draft.name, None, cut.green_kg, cut.ovendry_kg)

    def _weight(self, row):
        draft, when, weight = self._draft(row), self._when(row), self._weight_kg(row, "weight", "sample_unit")
        self._once(row, draft.weighings, when)
        with row.at("weight"):
            draft.weighings[when] = row, Weighing(when, weight, row.text("note"))
        self.facts[row.number] = Fact("weight", draft.name, when, weight, note=row.text("note"))

    def _recut(self, row):
        draft, when, weight = self._draft(row), self._when(row), self._weight_kg(row, "weight", "sample_unit")
        self._once(row, draft.recuts, when)
        draft.recuts[when] = row, (weight, row.text("note"), [])
        self.facts[row.number] = Fact("recut", draft.name, when, weight, note=row.text("note"))

    def _recut_section(self, row):
        draft, when = self._draft(row), self._when(row)
        with row.at("date"):
            if when not in draft.recuts:
                raise BadInput("recut_missing", when=when_text(when))
        cut = self._read_section(row)
        draft.recuts[when][1][2].append(cut)
        self.facts[row.number] = Fact("recut section", draft.name, when, cut.green_kg, cut.ovendry_kg)

    def _air(self, row):
        when = self._when(row)
        dry, wet = (self._temperature_c(row, column) for column in ("dry bulb", "wet bulb"))
        self._once(row, self.air, when)
        with row.at("wet bulb"):
            Air(when, dry, wet)
        leaving = {f"leaving_{name}_bulb_c": self._perhaps_c(row, f"{name} bulb leaving") for name in ("dry", "wet")}
        with row.at("wet bulb leaving"):
            Air(when, dry, wet, **leaving)
        with row.at("bucket drained"):
            bucket = self._bucket_m3(row)
            self.air[when] = row, Air(when, dry, wet, **leaving, bucket_m3=bucket)
        self.facts[row.number] = Fact("air", "", when, dry_bulb_c=dry, wet_bulb_c=wet, **leaving, bucket_m3=bucket)

    def _note(self, row):
        when = self._when(row)
        with row.at("note"):
            self.notes.append(Note(when, row.text("note")))
        self.facts[row.number] = Fact("note", "", when, note=row.text("note"))

    @staticmethod
    def _once(row, known, when):
        with row.at("date"):
            if when in known:
                check_order(when, when)

    @staticmethod
    def _in_order(found):
        """What was read at each moment, in order of time, whatever the order of the rows."""
        earlier = None
        for when, (row, what) in sorted(found.items(), key=lambda pair: pair[0]):
            with row.at("date"):
                if earlier is not None:
                    check_order(earlier, when)
            earlier = when
            yield what

    def _draft(self, row):
        name = row.text("board")
        draft = self.boards.get(name.casefold())
        if draft is None:
            names = ", ".join(draft.name for draft in self.boards.values()) or "none yet"
            code = "board_row_missing" if name else "board_not_named"
            raise BadRow(row.number, "board", BadInput(code, board=name[:40], names=names[:200]))
        return draft

    def _when(self, row):
        with row.at("date"):
            return read_moment(unguarded(row.cells.get("date", "")), bool(self.day_first))

    def _read_section(self, row):
        green = self._weight_kg(row, "weight", "section_unit")
        with row.at("weight"):
            section = Section(green)
        if not row.text("oven-dry"):
            return section
        dry = self._weight_kg(row, "oven-dry", "section_unit")
        with row.at("oven-dry"):
            return Section(green, dry)

    def _weight_kg(self, row, column, setting):
        with row.at(column):
            cell = row.cells.get(column, "")
            pounds = pounds_ounces(cell)
            value, label = (pounds, "lb") if pounds is not None else read_number(cell, "weight", self.mark)
        with row.at("unit"):
            stated = row.text("unit")
            if stated and stated.lower().rstrip(".") not in units.SPELLINGS:
                raise BadInput("one_of", what="The unit", text=stated[:20], names="lb, oz, g or kg")
            stated = units.SPELLINGS[stated.lower().rstrip(".")] if stated else None
            if label and stated and label != stated:
                raise BadInput("two_units", first=label, second=stated)
            label = label or stated or self.heading_units.get(column)
            weight_kg = self._si(value, label, "weight", setting)
        with row.at(column):
            check_weight_typed(value, label, weight_kg)
        return weight_kg

    def _temperature_c(self, row, column):
        with row.at(column):
            value, label = read_number(row.cells.get(column, ""), "temperature", self.mark)
            return self._si(value, label or self.heading_units.get(column), "temperature", "temperature_unit")

    def _perhaps_c(self, row, column):
        return self._temperature_c(row, column) if row.text(column) else None

    def _bucket_m3(self, row):
        if not row.text("bucket drained"):
            return None
        value, label = read_number(row.text("bucket drained"), "volume", self.mark)
        return self._si(value, label or self.heading_units.get("bucket drained"), "volume", "")

    def _si(self, value, label, kind, setting):
        known = units.units_for(kind)
        if label is None:
            raise BadInput("no_unit", names=", ".join(known))
        if label not in known:
            raise BadInput("one_of", what="The unit", text=label, names=" or ".join(known))
        if setting:
            self.units.setdefault(setting, label.strip("°"))
        return known[label].to_si(value)

    def _finished(self, draft):
        weighings = tuple(self._in_order(draft.weighings))
        with draft.row.at("board"):
            board = SampleBoard(draft.name, tuple(draft.sections), weighings, (), draft.note)
        for when, (row, (after_kg, note, sections)) in sorted(draft.recuts.items(), key=lambda pair: pair[0]):
            with row.at("weight"):
                recut = Recut(when, after_kg, tuple(sections), note)
                board = SampleBoard(draft.name, board.sections, weighings, (*board.recuts, recut), board.note)
        return board
