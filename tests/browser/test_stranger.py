"""A stranger's notebook that carries our code word for word, and a program beside it: the program may never run.

Each payload has a control: the same file, trusted by hand in a plain JupyterLab; or, where JupyterLab never shows
such a thing, the same markup laid into its page. There it has to run, else silence would prove nothing.
"""

import json
import os
import re
import subprocess
import sys
import threading

import nbformat
import pytest
from conftest import wait_until
from nbformat.v4 import new_code_cell, new_markdown_cell, new_output
from playwright.sync_api import expect
from starting import URL, write_book

OURS = '# The slider: move it\nimport ipywidgets as w\nw.FloatSlider(description="Dry bulb")'
# What such a script is after: the page's kernel, and a file written through it.
PROGRAM = """window.ran = [...(window.ran || []), 'NAME']; (async () => {
  for (let tries = 0; tries < 20; tries += 1) {
    const kernel = window.jupyterapp.shell.currentWidget?.sessionContext?.session?.kernel;
    if (kernel) {
      await kernel.requestExecute({code: `open('taken_NAME.txt', 'w').close()`}).done;
      window.taken = [...(window.taken || []), 'NAME'];
      break;
    }
    await new Promise(done => setTimeout(done, 300));
  }
})()"""
ATTRIBUTE = PROGRAM.replace("&", "&amp;").replace("\n", " ")  # it holds no double quote
ERROR = f'<img src="x:" onerror="{ATTRIBUTE}">'
SCRIPT = f"<script>{PROGRAM}</script>"
BEGIN = f'<animate attributeName="x" dur="1s" onbegin="{ATTRIBUTE}"/>'
SVG = f'<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><rect width="9" height="9">{BEGIN}</rect></svg>'
AS_PARENT = f"(() => {{const window = parent, fetch = parent.fetch; {ATTRIBUTE}}})()"
FRAME = f'<iframe srcdoc="<script>{AS_PARENT}</script>"></iframe>'
LINK = f'<a class="payload" href="javascript:void({ATTRIBUTE.split("; ", 1)[0]})">weights</a>'
VIEW, STATE = "application/vnd.jupyter.widget-view+json", "application/vnd.jupyter.widget-state+json"


def shown(kind="display_data", **data):
    """An output with data of some types; a name's __ stands for / and a _ for +."""
    data = {key.replace("__", "/").replace("_", "+"): value for key, value in data.items()}
    return new_output(kind, data=data, **({"execution_count": 1} if kind == "execute_result" else {}))


def widget(book):
    """A stored widget with its state: a line of HTML, as a notebook saved with its widgets has it."""
    common = {"model_module_version": "2.0.0"}
    controls = {"model_module": "@jupyter-widgets/controls", **common}
    state = {
        "lay": {"model_module": "@jupyter-widgets/base", "model_name": "LayoutModel", **common, "state": {}},
        "sty": {"model_name": "HTMLStyleModel", **controls, "state": {}},
        "htm": {
            "model_name": "HTMLModel",
            **controls,
            "state": {"value": ERROR, "layout": "IPY_MODEL_lay", "style": "IPY_MODEL_sty"},
        },
    }
    book.metadata["widgets"] = {STATE: {"version_major": 2, "version_minor": 0, "state": state}}
    view = {"version_major": 2, "version_minor": 0, "model_id": "htm"}
    book.cells[-1].outputs = [new_output("display_data", data={VIEW: view, "text/plain": "HTML()"})]


def output(*outputs):
    return lambda book: book.cells[-1].update(outputs=list(outputs))


def markdown(text, **more):
    return lambda book: book.cells.insert(1, new_markdown_cell(text, **more))


def extra_cell(book):
    book.cells.append(new_code_cell("", outputs=[shown(application__javascript=PROGRAM)], execution_count=2))


def metadata(book):
    book.metadata |= {"title": ERROR, "authors": [{"name": SCRIPT}], "text/html": ERROR}


def cell_metadata(book):
    for cell in book.cells:
        cell.metadata |= {"tags": [ERROR], "name": ERROR, "text/html": ERROR, "slideshow": {"slide_type": SCRIPT}}


def attachment(book):
    markdown("![weights](attachment:w.svg)", attachments={"w.svg": {"image/svg+xml": SVG}})(book)


TABLE = f"<div><style scoped>td {{color: red}}</style><table border='1'><tr><td>4.46{ERROR}</td></tr></table></div>"
ANGRY = new_output("error", ename="E", evalue=ERROR, traceback=[f"\x1b[31m{ERROR}\x1b[0m", SCRIPT])
TRUSTED = {  # where a notebook is trusted, JupyterLab runs these
    "javascript": output(shown("execute_result", application__javascript=PROGRAM)),
    "html_error": output(shown("execute_result", text__html=ERROR)),
    "html_script": output(shown(text__html=SCRIPT)),
    "extra_cell": extra_cell,
    "second_type": output(shown(text__plain="4.46", text__html=ERROR, application__javascript=PROGRAM)),
    "second_output": output(new_output("stream", text="4.46\n"), shown(text__html=ERROR)),
    "table": output(shown("execute_result", text__html=TABLE, text__plain="4.46")),
    "markdown_output": output(shown(text__markdown=ERROR)),
    "widget": widget,
    "same_name": output(shown(text__html=ERROR)),
    "symlink": output(shown(text__html=ERROR)),
    "subfolder": output(shown(text__html=ERROR)),
}
LAID = {  # these it runs for nobody, so the control is their markup
    "markdown_error": (markdown(ERROR), ERROR),
    "markdown_script": (markdown(SCRIPT), SCRIPT),
    "markdown_svg": (markdown(SVG), SVG),
    "markdown_frame": (markdown(FRAME), FRAME),
    "markdown_link": (markdown(LINK), LINK),
    "attachment": (attachment, SVG),
    "svg": (output(shown(image__svg_xml=SVG)), SVG),
    "stream": (output(new_output("stream", text=ERROR), new_output("stream", name="stderr", text=SCRIPT)), ERROR),
    "traceback": (output(ANGRY), ERROR),
    "latex": (output(shown(text__latex=f"$x$ {ERROR} $\\text{{{SCRIPT}}}$")), ERROR),
    "vendor": (output(shown(application__vnd_own_json={"html": ERROR}, text__plain=ERROR)), ERROR),
    "metadata": (metadata, ERROR),
    "cell_metadata": (cell_metadata, ERROR),
}
CHANGES = TRUSTED | {name: change for name, (change, _) in LAID.items()}
PLACES = {"same_name": "01_ours.ipynb", "subfolder": "unzipped/subfolder.ipynb"}


def place(name):
    return PLACES.get(name, f"{name}.ipynb")


def write(folder, name):
    """The stranger's notebook: our code, a payload of that name."""
    path = folder / place(name)
    target = folder.parent / "elsewhere" / path.name if name == "symlink" else path
    write_book(target, ("# Weights",), OURS)
    book = nbformat.read(target, as_version=4)
    CHANGES[name](book)
    target.write_text(nbformat.writes(book).replace("NAME", name), encoding="utf-8")
    if name == "symlink":
        path.symlink_to(target)
    return nbformat.read(target, as_version=4)


# A test steers the page by JupyterLab's own commands, which it lays open to no one else.
EXPOSE = """document.addEventListener('readystatechange', () => {
  const config = document.getElementById('jupyter-config-data');
  if (config) {
    config.textContent = config.textContent.replace(/"exposeAppInBrowser": *false/, '"exposeAppInBrowser": true');
  }
})"""


class Lab:
    """A JupyterLab whose page opens one notebook after the other, and what ran there."""

    def __init__(self, visited, url, folder):
        self.visited, self.page, self.folder = visited, visited.page, folder
        self.page.set_default_timeout(15_000)
        self.page.add_init_script(EXPOSE)
        self.page.goto(url)
        self.page.wait_for_function("window.jupyterapp?.shell.currentWidget?.sessionContext")
        self.visited.wait_idle()
        self.page.wait_for_timeout(2000)  # JupyterLab brings the notebook of its address to the front once more

    def open(self, path):
        self.page.evaluate("path => jupyterapp.commands.execute('docmanager:open', {path}).then(() => null)", path)
        self.page.wait_for_function("path => jupyterapp.shell.currentWidget?.context?.path === path", arg=path)

    def close(self):
        self.page.evaluate(
            "() => {jupyterapp.shell.currentWidget.context.model.dirty = false; jupyterapp.shell.currentWidget.close()}"
        )

    def ran(self, name):
        return name in self.page.evaluate("window.ran || []")

    def taken(self, name):
        return [path.name for path in self.folder.rglob(f"taken_{name}.txt")]

    def click_payload(self):
        for link in self.page.locator("a.payload:visible, a:visible:text('weights')").all():
            link.click()


@pytest.fixture(scope="module")
def mill(start, chromium, tmp_path_factory):
    """Our own start, where a notebook of that code is on the list, and its page."""
    from conftest import Visit

    shipped = tmp_path_factory.mktemp("shipped")
    write_book(shipped / "00_start_here.ipynb", ("# Start",), "print('start')")
    write_book(shipped / "01_ours.ipynb", ("# Ours",), OURS)
    started = start(workbooks=shipped)
    visited = Visit(chromium, "about:blank")
    yield Lab(visited, started.url, started.lessons)
    visited.context.close()


@pytest.fixture(scope="module")
def plain(chromium, tmp_path_factory):
    """A plain JupyterLab that trusts every payload's notebook, and its page."""
    from conftest import Visit

    folder = tmp_path_factory.mktemp("plain") / "books"
    settings = {f"JUPYTER_{name}_DIR": str(folder.parent / name) for name in ("DATA", "CONFIG", "RUNTIME")}
    write_book(folder / "start.ipynb", "print('start')")
    for name in TRUSTED:
        write(folder, name)
    books = [str(path) for path in folder.rglob("*.ipynb")]
    environment = os.environ | settings
    subprocess.run([sys.executable, "-m", "nbformat.sign", *books], env=environment, check=True, timeout=60)
    options = [
        "--no-browser",
        "--ip=127.0.0.1",
        "--allow-root",
        "--LabApp.news_url=None",
        f"--ServerApp.root_dir={folder}",
    ]
    server = subprocess.Popen(
        [sys.executable, "-m", "jupyterlab", *options], env=environment, stderr=subprocess.PIPE, encoding="utf-8"
    )
    url = next(found[0] for line in server.stderr if (found := URL.search(line)))
    threading.Thread(target=server.stderr.read, daemon=True).start()
    visited = Visit(chromium, "about:blank")
    yield Lab(visited, re.sub(r"/lab\?", "/doc/tree/start.ipynb?", url), folder)
    visited.context.close()
    server.terminate()
    server.wait(30)


@pytest.mark.parametrize("name", TRUSTED)
def test_control_it_runs_where_it_is_trusted(plain, name):
    plain.open(place(name))
    plain.page.wait_for_function("name => (window.taken || []).includes(name)", arg=name, timeout=12_000)
    assert plain.ran(name)
    assert wait_until(lambda: plain.taken(name)), "and through the kernel it wrote a file"
    plain.close()


@pytest.mark.parametrize("name", LAID)
def test_control_it_runs_where_its_markup_stands(plain, name):
    plain.page.evaluate(
        "markup => document.body.append(document.createRange().createContextualFragment(markup))",
        LAID[name][1].replace("NAME", name),
    )
    if name == "markdown_link":
        plain.page.locator("a.payload").dispatch_event("click")
    plain.page.wait_for_function("name => (window.ran || []).includes(name)", arg=name, timeout=10_000)


@pytest.mark.parametrize("name", CHANGES)
def test_it_never_runs_in_our_start(mill, name):
    write(mill.folder, name)
    handed = mill.page.evaluate(
        "path => fetch(`/api/contents/${path}?content=1`).then(answer => answer.text())", place(name)
    )
    mill.open(place(name))
    if name.startswith("markdown_") and name != "markdown_output":
        assert "window.ran" in handed, "the text of a page is the person's own and reaches it"
    else:
        assert "window.ran" not in handed, "nothing of it reaches the page"
    assert_still(mill, name)


@pytest.mark.parametrize("name", TRUSTED)
def test_the_extension_alone_stops_it(mill, name):
    """The same with a server that hands out the file as it lies there."""
    given = json.loads(nbformat.writes(write(mill.folder, f"{name}")))
    path, handed = place(name), []

    def hand_out(route):
        answer = route.fetch()
        model = answer.json()
        if model.get("type") == "notebook" and model.get("content"):
            model["content"] = given
            handed.append(path)
        route.fulfill(response=answer, json=model)

    pattern = re.compile(rf"/api/contents/{re.escape(path)}\?")
    mill.page.route(pattern, hand_out)
    mill.open(path)
    assert_still(mill, name)
    assert handed, "it did reach the page"
    mill.page.unroute(pattern)


def assert_still(mill, name):
    """The page of that notebook is alive, unless it lies in a subfolder, and its payload is not."""
    shown = mill.page.locator(".jp-NotebookPanel:not(.lm-mod-hidden)")
    if name == "subfolder":
        mill.visited.wait_idle()
        expect(shown.get_by_role("slider")).to_have_count(0)
    else:
        expect(shown.get_by_role("slider").first).to_be_visible()
    mill.click_payload()
    mill.page.wait_for_timeout(400)
    assert not mill.ran(name)
    assert mill.page.locator("[onerror], [onbegin]").count() == 0
    mill.close()
    (mill.folder / place(name)).unlink()


def test_no_file_was_written_through_a_kernel(mill):
    mill.page.wait_for_timeout(2500)  # the proof of the first finding took two seconds
    assert mill.taken("*") == []
    assert mill.page.evaluate("window.ran || []") == []


def test_a_button_in_a_text_commands_nothing(mill, plain):
    """JupyterLab lets a button in a text give its commands; a stranger's button would run code at a click."""
    button = ("<button data-commandlinker-command='notebook:run-all-cells'>Weights</button>",)
    for lab in (plain, mill):
        write_book(lab.folder / "button.ipynb", button, OURS)
        lab.open("button.ipynb")
        expect(lab.page.get_by_role("button", name="Weights")).to_be_visible()
    assert plain.page.locator("[data-commandlinker-command]").count() == 1
    assert mill.page.locator("[data-commandlinker-command]").count() == 0


def test_outputs_of_a_notebook_that_is_not_ours_stay(mill):
    """A person's own notebook keeps what it stored, and a program in it stays still, as it is not trusted."""
    write(mill.folder, "second_output")
    path = mill.folder / "second_output.ipynb"
    book = nbformat.read(path, as_version=4)
    book.cells[-1].source += " "
    path.write_text(nbformat.writes(book), encoding="utf-8")
    mill.open(path.name)
    expect(mill.page.get_by_text("4.46", exact=True)).to_be_visible()
    mill.visited.wait_idle()
    assert not mill.ran("second_output")
    mill.page.keyboard.press("Control+s")
    mill.page.wait_for_timeout(500)
    assert len(nbformat.read(path, as_version=4).cells[-1].outputs) == 2
