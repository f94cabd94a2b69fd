"""Reading a sample sheet from CSV, row by row; the layout is described in `kilnlib.sheet`."""

from dataclasses import dataclass, field

from kilnlib import units
from kilnlib.errors import BadInput, Notice
from kilnlib.physics.entries import check_order, when_text
from kilnlib.physics.samples import Air, Note, Recut, SampleBoard, Section, Sheet, Weighing
from kilnlib.sheet_cells import day_first, decimal_mark, is_two_way, read_moment, read_number, unguarded
from kilnlib.sheet_table import BadRow, Row, read_table

SETTINGS = ("charge", "species", "thickness", "target", "units", "scale step")
ITEMS = (*SETTINGS, "board", "section", "weight", "recut", "recut section", "air", "note")


@dataclass
class _Draft:
    """A board while its rows are being read."""

    row: Row
    note: str
    sections: list = field(default_factory=list)
    weighings: list = field(default_factory=list)
    recuts: list = field(default_factory=list)  # (row, when, weight after, note, sections)


def read_csv(data):
    """(Sheet, notices) of a sample sheet as text or bytes; raises BadInput or BadRow with a sentence."""
    return _Reader(data).sheet()


class _Reader:
    def __init__(self, data):
        delimiter, self.heading_units, self.rows = read_table(data)
        dates = [row.cells.get("date", "") for row in self.rows]
        self.day_first = day_first(dates)
        self.two_way = next((date for date in dates if is_two_way(date)), None) if self.day_first is None else None
        numbers = [row.cells.get(c, "") for row in self.rows for c in ("weight", "oven-dry", "dry bulb", "wet bulb")]
        self.mark = decimal_mark(numbers, delimiter)
        self.settings, self.boards, self.air, self.notes = {}, {}, [], []
        self.units = {}

    def sheet(self):
        for row in self.rows:
            item = row.text("item").lower().replace("-", " ").replace("_", " ")
            with row.at("item"):
                if item not in ITEMS:
                    raise BadInput("unknown_item", text=row.text("item")[:40], names=", ".join(ITEMS))
            getattr(self, f"_{'setting' if item in SETTINGS else item.replace(' ', '_')}")(row)
        target, step_kg = self.settings.pop("target", None), self.settings.pop("scale step", None)
        for name in ("sample_unit", "section_unit", "temperature_unit"):
            if name in self.units:
                self.settings.setdefault(name, self.units[name])
        sheet = Sheet(
            **self.settings,
            target_pct=target,
            scale_step_kg=step_kg,
            boards=tuple(self._finished(name, draft) for name, draft in self.boards.items()),
            air=tuple(self.air),
            notes=tuple(self.notes),
        )
        notices = []
        if self.two_way:
            notices.append(Notice("ask_date", text=self.two_way, read=when_text(read_moment(self.two_way))))
        return sheet, notices

    def _setting(self, row):
        item, text = row.text("item").lower().replace("-", " ").replace("_", " "), row.text("note")
        with row.at("note"):
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
                found = dict(zip(fields, text.replace(",", " ").split(), strict=False))
                Sheet(**found)
                self.settings |= found
            else:
                self.settings[item] = text

    def _board(self, row):
        with row.at("board"):
            name = row.text("board")
            if not name:
                raise BadInput("board_no_name")
            if name.casefold() in {known.casefold() for known in self.boards}:
                raise BadInput("board_twice", board=name)
            self.boards[name] = _Draft(row, row.text("note"))

    def _section(self, row):
        self._draft(row).sections.append(self._read_section(row))

    def _weight(self, row):
        draft, when, weight = self._draft(row), self._when(row), self._weight_kg(row, "weight", "sample_unit")
        with row.at("date"):
            if draft.weighings:
                check_order(draft.weighings[-1].when, when)
        with row.at("weight"):
            draft.weighings.append(Weighing(when, weight, row.text("note")))

    def _recut(self, row):
        draft, when, weight = self._draft(row), self._when(row), self._weight_kg(row, "weight", "sample_unit")
        with row.at("date"):
            if draft.recuts:
                check_order(draft.recuts[-1][1], when)
        draft.recuts.append((row, when, weight, row.text("note"), []))

    def _recut_section(self, row):
        draft, when = self._draft(row), self._when(row)
        with row.at("date"):
            if not draft.recuts or draft.recuts[-1][1] != when:
                raise BadInput("recut_missing", when=when_text(when))
        draft.recuts[-1][4].append(self._read_section(row))

    def _air(self, row):
        when = self._when(row)
        bulbs = [self._temperature_c(row, column) for column in ("dry bulb", "wet bulb")]
        with row.at("date"):
            if self.air:
                check_order(self.air[-1].when, when)
        with row.at("wet bulb"):
            self.air.append(Air(when, *bulbs))

    def _note(self, row):
        when = self._when(row)
        with row.at("note"):
            self.notes.append(Note(when, row.text("note")))

    def _draft(self, row):
        wanted = row.text("board").casefold()
        for name, draft in self.boards.items():
            if name.casefold() == wanted:
                return draft
        names = ", ".join(self.boards) or "none yet"
        raise BadRow(row.number, "board", BadInput("unknown_board", board=row.text("board"), names=names))

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
            value, label = read_number(row.cells.get(column, ""), "weight", self.mark)
        with row.at("unit"):
            stated = row.text("unit")
            if stated and stated.lower().rstrip(".") not in units.SPELLINGS:
                raise BadInput("one_of", what="The unit", text=stated[:20], names="lb, oz, g or kg")
            stated = units.SPELLINGS[stated.lower().rstrip(".")] if stated else None
            if label and stated and label != stated:
                raise BadInput("two_units", first=label, second=stated)
            return self._si(value, label or stated or self.heading_units.get(column), "weight", setting)

    def _temperature_c(self, row, column):
        with row.at(column):
            value, label = read_number(row.cells.get(column, ""), "temperature", self.mark)
            return self._si(value, label or self.heading_units.get(column), "temperature", "temperature_unit")

    def _si(self, value, label, kind, setting):
        known = units.units_for(kind)
        if label is None:
            raise BadInput("no_unit", names=", ".join(known))
        if label not in known:
            raise BadInput("one_of", what="The unit", text=label, names=" or ".join(known))
        if setting:
            self.units.setdefault(setting, label.strip("°"))
        return known[label].to_si(value)

    def _finished(self, name, draft):
        with draft.row.at("board"):
            board = SampleBoard(name, tuple(draft.sections), tuple(draft.weighings), (), draft.note)
        for row, when, after_kg, note, sections in draft.recuts:
            with row.at("weight"):
                recut = Recut(when, after_kg, tuple(sections), note)
                board = SampleBoard(name, board.sections, board.weighings, (*board.recuts, recut), board.note)
        return board
