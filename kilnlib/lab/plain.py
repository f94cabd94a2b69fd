"""Plain `jupyter lab`: our lessons come alive there too.

Installing lays only `first-charge.json` into Jupyter's folder of settings, and that names this module. The extension
itself is always read from the package, so a newer folder never meets an older copy of it. Its files lie in a folder
`page`: those of a folder `static` a browser is told to keep for a year.
"""

import os
from pathlib import Path

from kilnlib.lab import books, server

HUB = "JUPYTERHUB_SERVICE_PREFIX"  # a server of many users sets it for each one's own


def _jupyter_server_extension_points():
    return [{"module": "kilnlib.lab.plain"}]


def _link_jupyter_server_extension(app):
    """Let JupyterLab find our extension, before it looks."""
    for lab in app.extension_manager.extension_apps.get("jupyterlab", ()):
        lab.extra_labextensions_path = [*lab.extra_labextensions_path, server.EXTENSIONS]
        if HUB in os.environ:  # a learner is asked nothing, and nothing is fetched from outside
            lab.news_url = None
            lab.check_for_updates_class = "jupyterlab.NeverCheckForUpdate"


def _load_jupyter_server_extension(app):
    """Tell the page which notebooks are ours, and in which folders they run by themselves."""
    if HUB in os.environ:
        _copy(app.log)
    data = app.web_app.settings.setdefault("page_config_data", {})
    data.update(server.page_data(books.make_list(books.WORKBOOKS), books.WORKBOOKS, folders(app.root_dir), own=False))


def _copy(log):
    """The learner's own copy of the workbooks, which elsewhere the start command makes."""
    from kilnlib.lab import copies
    from kilnlib.store.kiln import user_folder

    home = user_folder()
    try:
        copies.refresh(books.WORKBOOKS, home / "workbooks", home / "settings")
    except OSError as error:  # the server starts all the same, and its log says why the lessons are not there
        log.warning("First Charge: %s", error)


def folders(root):
    """The folders below the server's whose lessons are ours: those we ship, and the learner's copy of them.

    Nowhere else: the same code in a stranger's folder could find a stranger's kilnlib beside it.
    """
    from kilnlib.store.kiln import user_folder

    root = Path(root).resolve()
    ours = [folder.resolve() for folder in (books.WORKBOOKS, user_folder() / "workbooks")]
    inside = [folder.relative_to(root) for folder in ours if folder.is_relative_to(root)]
    return ["/".join(folder.parts) for folder in inside]
