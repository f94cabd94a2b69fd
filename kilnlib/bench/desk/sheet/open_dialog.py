"""Where a sample sheet comes from: the user's own, an invented charge, a CSV from elsewhere, or an empty one."""

import ipywidgets as widgets

from kilnlib.bench.desk.sheet.files import FILED, RESCUE, examples, folder, own_sheets, place
from kilnlib.bench.kit.parts import button, on_enter
from kilnlib.bench.kit.screen import after_pause, line
from kilnlib.words import text


class Shelf:
    """The page for opening, starting and putting away. Public for tests: `choice`, `name`, `own_name`, `show`."""

    def __init__(self, desk):
        self.desk = desk
        self.choice = widgets.Dropdown(description=text("sheet.own"))
        self.name = widgets.Text(description=text("sheet.new_charge"), tooltip=text("sheet.new_charge_tip"))
        on_enter(self.name, lambda: after_pause(lambda: desk.start(self.name.value)))
        self.uploaded = widgets.FileUpload(accept=".csv,.txt,.tsv", description=text("sheet.upload"))
        self.uploaded.tooltip = text("sheet.upload_tip")
        self.uploaded.observe(self._take, "value")
        self.uploaded.add_class("fc-upload")
        self.own_name = widgets.Text(description=text("sheet.this_charge"), tooltip=text("sheet.this_charge_tip"))
        self._named = None  # what stands there of the sheet
        self.where = widgets.HTML()
        opening = [self.choice, button("sheet.open", self._open)]
        loading = [self.uploaded, widgets.HTML(line(text("sheet.upload_limit")))]
        starting = [self.name, button("sheet.start", lambda: desk.start(self.name.value))]
        ways = {"put_down_button": desk.put_down, "file_away": desk.file_away, "delete": desk.delete}
        self.ways = [button(f"sheet.{key}", action) for key, action in ways.items()]
        own = [self.own_name, button("sheet.rename", lambda: desk.rename(self.own_name.value)), *self.ways]
        rows = [widgets.HBox(row) for row in (opening, loading, starting, own)]
        self.view = widgets.VBox([*rows, self.where])
        self.view.add_class("fc-shelf")

    def show(self):
        """List what there is now."""
        options = [(text("sheet.own_one", name=path.stem), path) for path in own_sheets()]
        for key, where in (("filed", FILED), ("rescued", RESCUE)):
            options += [(text(f"sheet.{key}_one", name=path.stem), path) for path in own_sheets(place(where))]
        options += [(text("sheet.example_one", name=text(f"sheet.example_{path.stem}")), path) for path in examples()]
        if list(self.choice.options) != options:
            self.choice.options = options
            self.choice.index = 0
        opened = self.desk.open_sheet
        name = self.desk.sheet.charge or opened.path.stem
        if self._named != (opened.path, name):
            self._named, self.own_name.value = (opened.path, name), name
        for way in self.ways:
            way.disabled = not opened.path.exists()
        self.where.value = line(text("sheet.folder", path=folder()))

    def _open(self):
        self.desk.open_path(self.choice.value)

    def _take(self, change):
        """A file has come from the browser; what it left in the button goes, so that it can be chosen again."""
        if change["new"]:
            given = change["new"][0]
            self.uploaded.value = ()
            self.desk.upload(given["name"], bytes(given["content"]))
