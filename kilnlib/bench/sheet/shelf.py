"""Where a sample sheet comes from: the user's own, an invented charge, a CSV from elsewhere, or an empty one."""

import ipywidgets as widgets

from kilnlib.bench.screen import after_pause, line
from kilnlib.bench.sheet.files import examples, folder, own_sheets
from kilnlib.bench.words import text


class Shelf:
    """The page for opening and starting. Public for tests: `choice`, `name`, `uploaded`, `show`."""

    def __init__(self, desk):
        self.desk = desk
        self.choice = widgets.Dropdown(description=text("sheet.own"))
        self.name = widgets.Text(description=text("sheet.new_charge"), tooltip=text("sheet.new_charge_tip"))
        self.name.on_msg(self._key)
        self.uploaded = widgets.FileUpload(accept=".csv,.txt,.tsv", description=text("sheet.upload"))
        self.uploaded.tooltip = text("sheet.upload_tip")
        self.uploaded.observe(self._take, "value")
        self.where = widgets.HTML()
        opening = [self.choice, desk.button("sheet.open", self._open)]
        loading = [self.uploaded, widgets.HTML(line(text("sheet.upload_limit")))]
        starting = [self.name, desk.button("sheet.start", lambda: desk.start(self.name.value))]
        rows = [widgets.HBox(row) for row in (opening, loading, starting)]
        self.view = widgets.VBox([*rows, self.where])
        self.view.add_class("fc-shelf")

    def show(self):
        """List what there is now."""
        options = [(text("sheet.own_one", name=path.stem), path) for path in own_sheets()]
        options += [(text("sheet.example_one", name=text(f"sheet.example_{path.stem}")), path) for path in examples()]
        if list(self.choice.options) != options:
            self.choice.options = options
            self.choice.index = 0
        self.where.value = line(text("sheet.folder", path=folder()))

    def _open(self):
        self.desk.open_path(self.choice.value)

    def _take(self, change):
        """A file has come from the browser; what it left in the button goes, so that it can be chosen again."""
        if change["new"]:
            given = change["new"][0]
            self.uploaded.value = ()
            self.desk.upload(given["name"], bytes(given["content"]))

    def _key(self, box, content, buffers):
        if content.get("event") == "submit":
            after_pause(lambda: self.desk.start(box.value))
