"""What an install brings: a wheel with the notebooks in it, and lessons that come alive in plain `jupyter lab`."""

import re
import subprocess
import zipfile
from dataclasses import dataclass
from pathlib import Path
from urllib.request import urlopen

import installed
import pytest
from playwright.sync_api import expect

from kilnlib.lab import server

SHOWN = ".jp-NotebookPanel:not(.lm-mod-hidden)"
PAGES = "kilnlib/lab/labextensions/first-charge/page/pages.js"


@dataclass
class Plain:
    """A running `jupyter lab`: its process, address, the project's folder, and the folder the lessons lie in."""

    process: subprocess.Popen
    address: str
    project: Path
    folder: str
    python: Path


@pytest.fixture(scope="module")
def project(tmp_path_factory):
    return installed.copy_project(tmp_path_factory.mktemp("project"))


@pytest.fixture(scope="module")
def wheel(project, tmp_path_factory):
    return installed.build_wheel(project, tmp_path_factory.mktemp("wheel"))


def run_plain(python, root, home):
    """Start plain JupyterLab on a folder; returns it once it answers, with its address."""
    home.mkdir(exist_ok=True)
    port = server.free_port(9310)
    words = [
        "--no-browser",
        f"--port={port}",
        "--ServerApp.port_retries=0",
        "--IdentityProvider.token=",
        "--allow-root",
    ]
    log = (home / "log.txt").open("wb")
    process = subprocess.Popen(
        [python, "-m", "jupyterlab", *words, "--ServerApp.password=", str(root)],
        stdin=subprocess.DEVNULL, stdout=log, stderr=log, env=installed.environment(home), cwd=root,
    )  # fmt: skip
    for _ in range(300):
        try:
            urlopen(f"http://127.0.0.1:{port}/api", timeout=5).read()
            return process, f"http://127.0.0.1:{port}"
        except OSError:
            assert process.poll() is None, (home / "log.txt").read_text("utf-8")
            try:
                process.wait(0.2)
            except subprocess.TimeoutExpired:
                continue
    process.kill()
    raise AssertionError((home / "log.txt").read_text("utf-8"))


@pytest.fixture(scope="module", params=["editable", "wheel"])
def plain(request, project, tmp_path_factory):
    """Plain JupyterLab beside the lessons that came with an install."""
    folder = tmp_path_factory.mktemp("plain")
    python = installed.make_python(folder / "python")
    if request.param == "editable":
        installed.pip("install", "-e", str(project), python=python)
        root, lessons = project, "workbooks"
    else:
        installed.pip("install", str(request.getfixturevalue("wheel")), python=python)
        root = next((folder / "python").rglob("site-packages/kilnlib"))
        lessons = "workbooks"
    process, address = run_plain(python, root, folder / "home")
    yield Plain(process, address, root, lessons, python)
    process.terminate()
    try:
        process.wait(10)
    except subprocess.TimeoutExpired:
        process.kill()  # Jupyter waits for its file service's threads; its kernels end when it is gone
        process.wait(10)


def test_a_wheel_carries_all_we_ship(wheel, project):
    held = set(zipfile.ZipFile(wheel).namelist())
    ours = {path.relative_to(project).as_posix() for path in (project / "kilnlib").rglob("*") if path.is_file()}
    notebooks = {
        f"kilnlib/{path.relative_to(project).as_posix()}"
        for folder in ("workbooks", "answers")
        for path in (project / folder).rglob("*")
        if path.is_file()
    }
    assert len(notebooks) > 30
    ours = {name for name in ours if "__pycache__" not in name}
    shipped = {name for name in held if not re.match(r"first_charge-[^/]+(dist-info|data)/", name)}
    assert shipped == ours | notebooks
    assert any(name.endswith("etc/jupyter/jupyter_server_config.d/first-charge.json") for name in held)


def test_an_install_says_that_it_is_ready(plain, tmp_path):
    checked = subprocess.run(
        [plain.python, "-m", "kilnlib", "check"],
        capture_output=True, encoding="utf-8", timeout=60, check=False, cwd=tmp_path,
        env=installed.environment(tmp_path) | {"PYTHONIOENCODING": "utf-8"},
    )  # fmt: skip
    assert checked.returncode == 0, checked.stdout + checked.stderr
    assert re.search(r"✓ .*first-charge", checked.stdout)


def test_a_lesson_is_alive_in_plain_jupyterlab(plain, visit):
    visited = visit(f"{plain.address}/lab/tree/{plain.folder}/02_air.ipynb").wait_live().wait_idle()
    page = visited.page
    expect(page.locator(f"{SHOWN} .fc-bar .fc-title")).to_have_text("02 · How thirsty is the air?")
    expect(page.locator(f"{SHOWN} .fc-parts")).to_contain_text("parts done")
    visited.press(0, "ArrowRight", 3)
    expect(page.locator(".lm-MenuBar")).to_be_hidden()
    page.locator(f"{SHOWN} .fc-bar .fc-next").click()
    expect(page.locator(f"{SHOWN} .fc-bar .fc-title")).to_have_text("03 · The number wood chases")
    expect(page.locator(f"{SHOWN} .jp-OutputArea .jupyter-widgets").first).to_be_visible()
    assert (
        page.locator(f"{SHOWN} :is(.jp-cell-toolbar, .jp-InputPrompt, .jp-Placeholder, .jp-Toolbar):visible").count()
        == 0
    )
    assert visited.dialogs == []
    assert visited.outside() == []


def test_a_notebook_of_somebody_else_in_plain_jupyterlab_is_left_alone(plain, visit):
    """Not even where it holds the code of a lesson: a kilnlib of that somebody's may lie beside it."""
    source = plain.project / plain.folder / "02_air.ipynb"
    elsewhere = plain.project / "elsewhere" / "02_air.ipynb"
    elsewhere.parent.mkdir(exist_ok=True)
    elsewhere.write_bytes(source.read_bytes())
    visited = visit(f"{plain.address}/lab/tree/elsewhere/02_air.ipynb")
    expect(visited.page.locator(f"{SHOWN} .jp-Notebook-ExecutionIndicator[data-status=idle]")).to_be_attached()
    visited.page.wait_for_timeout(1000)
    expect(visited.page.locator(".lm-MenuBar")).to_be_visible()
    expect(visited.page.locator(".jp-SideBar.jp-mod-left")).to_be_visible()
    expect(visited.page.locator(f"{SHOWN}.first-charge")).to_have_count(0)
    expect(visited.page.locator(f"{SHOWN} .jp-OutputArea .jupyter-widgets")).to_have_count(0)
    folded = visited.page.locator(f"{SHOWN} .jp-MarkdownOutput details")
    assert folded.evaluate("details => details.open") is False
    folded.get_by_text("If nothing moves below").click()
    assert folded.evaluate("details => details.open") is True
    expect(folded).to_contain_text("Choose Run ▸ Run All Cells in the menu.")


def test_a_newer_folder_is_what_runs(plain):
    """The extension is read from the package and from nowhere else, and no browser may keep the one of before."""
    package = plain.project if plain.project.name == "kilnlib" else plain.project / "kilnlib"
    with (package.parent / PAGES).open("a", encoding="utf-8") as file:
        file.write("\n// newer\n")
    address = f"{plain.address}/lab/extensions/{PAGES.removeprefix('kilnlib/lab/labextensions/')}"
    with urlopen(address, timeout=10) as answer:
        assert answer.headers["Cache-Control"] == "no-cache"
        assert answer.read().endswith(b"// newer\n")
