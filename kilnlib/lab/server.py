"""JupyterLab as the learner gets it: on this machine only, quiet, with our settings, and gone after one Ctrl-C."""

import asyncio
import contextlib
import os
import secrets
import signal
import socket
import sys
import threading
import webbrowser
from pathlib import Path
from urllib.parse import quote

from kilnlib.store.files import make_folder
from kilnlib.words import TEXT
from kilnlib.words.glossary import WORDS

HERE = Path(__file__).parent
EXTENSIONS = str(HERE / "labextensions")
LOOPBACK = "127.0.0.1"
PORT = 8721
TRIES = 50
LOG = "log.txt"
OPENS = "open.html"
SECONDS_TO_NOTICE = 0.5  # that a kernel has ended
LONGEST_END_S = 8  # after Ctrl-C, whatever hangs; a kernel that is busy is given 5 s of these
PAGE = {key.removeprefix("page."): words for key, words in TEXT.items() if key.startswith("page.")}
GLOSSARY = [{"word": word.word, "also": word.names[1:], "says": word.says, "lesson": word.lesson} for word in WORDS]
UNWATCHED_S = 90  # a kernel that no page is connected to ends after so long; a page loaded again is back by then
LOOK_EVERY_S = 15
LARGEST_UPLOAD = 100_000_000  # bytes; a file that is too big for a sheet must still arrive, to be refused in words


def free_port(first=PORT):
    """The first free port from `first` on, or None."""
    for port in range(first, min(first + TRIES, 65536)):
        with socket.socket() as probe:
            if os.name != "nt":  # there the option means "share a port that is in use"
                probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind((LOOPBACK, port))
            except OSError:
                continue
            return port
    return None


def find_browser():
    """A browser with a window of its own, or None: a text browser would take over the terminal and shows no sliders."""
    try:
        browser = webbrowser.get()
    except webbrowser.Error:
        return None
    chosen = os.environ.get("BROWSER")
    return browser if chosen or type(browser) is not webbrowser.GenericBrowser else None


def serve(folder, first, listed, settings, port, opened):
    """Serve `folder` until Ctrl-C; `opened(url, redirect)` is called once, when `url` answers, which shows `first`.

    `redirect` is the address of a file that leads to it, without the token: others can read a browser's command line.

    `listed` is the {fingerprint: name} of the notebooks that may run when they open. What Jupyter and the kernels write
    goes to `settings`, and what they say to its LOG: the learner's window shows only sentences.
    """
    make_folder(settings)
    with (settings / LOG).open("wb") as log:
        os.dup2(log.fileno(), 2)
    # The learner's own Jupyter, if there is one, stays out of it: its settings, its extensions, its kernels.
    os.environ |= {
        "JUPYTER_NO_CONFIG": "1",
        "JUPYTER_DATA_DIR": str(settings / "jupyter"),
        "JUPYTER_RUNTIME_DIR": str(settings / "jupyter" / "runtime"),
        "IPYTHONDIR": str(settings / "ipython"),
        "PYTHONSAFEPATH": "1",  # a kilnlib.py beside a lesson must not be taken for ours
        "JUPYTER_WIDGETS_ECHO": "0",  # a control's own value need not come back to it: one message less a key press
    }
    load_no_address_checker()
    ask_no_node()
    from jupyterlab.labapp import LabApp

    app = LabApp.initialize_server(config=_config(folder, listed, settings, port))
    app.no_browser_open_file = True

    def stop(*_):
        signal.signal(signal.SIGINT, signal.default_int_handler)  # pressed again: at once
        app.io_loop.add_callback_from_signal(app.io_loop.call_later, LONGEST_END_S, app.io_loop.stop)
        app.stop(from_signal=True)

    for name in ("SIGINT", "SIGTERM", "SIGHUP", "SIGBREAK"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), stop)

    # /doc rather than /lab: one lesson fills the page (no tabs, no restored layout of last week), links between lessons
    # open in its place, and with the side bar folded 950 px are left for a panel at 1280 × 720 and 125 % zoom.
    app.default_url = f"/doc/tree/{quote(first)}"
    url = f"http://{LOOPBACK}:{app.port}{app.default_url}?token={app.identity_provider.token}"
    app.io_loop.add_callback(opened, url, _write_redirect(app, settings))
    app.io_loop.add_callback(_warm_up, app, first)
    app.start()
    _finish(app.io_loop.asyncio_loop)


def _write_redirect(app, settings):
    """Write the file that leads to the first page, readable by its owner only; the server removes it at its end."""
    file = settings / OPENS
    file.unlink(missing_ok=True)
    file.touch(mode=0o600, exist_ok=False)
    app.browser_open_file = str(file)
    app.write_browser_open_file()
    return file.as_uri()


def load_no_address_checker():
    """Keep out an optional checker of web addresses: it takes 1.7 s to load here, and no notebook needs it."""
    sys.modules.setdefault("rfc3987_syntax", None)


def ask_no_node():
    """Keep JupyterLab from asking Node.js where extensions are built from: 0.3 s, and we build none."""
    from jupyterlab import commands

    commands._yarn_config = lambda logger: {"yarn config": {}}


async def _warm_up(app, first):
    """Start the kernel of the first notebook, with the bench loaded, while the browser is still loading: the page finds
    it running."""
    with contextlib.suppress(Exception):  # without it the page starts one itself
        kernel = await app.kernel_manager.start_kernel(path="", kernel_name="python3")
        await app.session_manager.create_session(path=first, name=first, type="notebook", kernel_id=kernel)


def _finish(loop):
    """End what still waits in the loop: threads of Jupyter's file service live until their task has ended, and Python
    would wait for them for ever."""
    tasks = asyncio.all_tasks(loop)
    for task in tasks:
        task.cancel()
    if tasks:
        loop.run_until_complete(asyncio.wait(tasks, timeout=2))


def open_browser(browser, url):
    """Open a page without waiting for the browser."""
    threading.Thread(target=browser.open, args=(url,), daemon=True).start()


def page_data(listed, shipped, folders, own):
    """What the page must know. In `folders`, as the server names them, a listed notebook runs when it opens; `own`: the
    server is ours alone, and so is the whole window."""
    from kilnlib.store.pages import read_pages

    return {
        "firstChargeOwn": own,
        "firstChargeBooks": listed,
        "firstChargeFolders": folders,
        "firstChargeWords": PAGE,
        "firstChargePages": [_shown(page) for page in read_pages(shipped)],
        "firstChargeGlossary": GLOSSARY,
    }


def _config(folder, listed, settings, port):
    from traitlets.config import Config

    config = Config()
    config.ServerApp.update(
        ip=LOOPBACK,
        port=port,
        root_dir=str(folder),
        open_browser=False,
        allow_root=True,
        log_level="ERROR",
        contents_manager_class="kilnlib.lab.contents.BareContents",
        tornado_settings={
            "websocket_max_message_size": LARGEST_UPLOAD,
            "page_config_data": {
                **page_data(listed, folder, [""], own=True),
                "buildAvailable": False,
                "buildCheck": False,
            },
        },
    )
    config.IdentityProvider.token = secrets.token_urlsafe(24)
    config.LabApp.update(
        app_settings_dir=str(HERE / "settings"),
        extra_labextensions_path=[EXTENSIONS],
        user_settings_dir=str(settings / "lab"),
        workspaces_dir=str(settings / "workspaces"),
        extension_manager="readonly",
        news_url=None,
        check_for_updates_class="jupyterlab.NeverCheckForUpdate",
        log_level="ERROR",
    )
    config.BareContents.listed = listed
    config.ServerApp.kernel_manager_class = "kilnlib.lab.kernels.Kernels"
    config.Kernels.update(cull_idle_timeout=UNWATCHED_S, cull_interval=LOOK_EVERY_S)
    config.KernelManager.transport_encryption = "auto"
    config.KernelRestarter.time_to_dead = SECONDS_TO_NOTICE
    # A kernel that ends in its first seconds comes back at the same ports: a quick page would wait at the old ones.
    config.KernelRestarter.random_ports_until_alive = False
    return config


def _shown(page):
    """What the bar says of a page."""
    return {
        "file": page.file,
        "kind": page.kind,
        "number": page.number,
        "title": page.title,
        "minutes": page.minutes,
        "after": page.after,
    }
