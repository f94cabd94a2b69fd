"""A class on one server: two learners and a trainer on one JupyterHub, each in a browser window of their own.

    python tests/hub.py            # needs the network once: JupyterHub from PyPI, its proxy from the npm registry, npm

It builds the wheel, installs it with JupyterHub into a Python of its own in a temporary folder, starts the hub with its
simplest local spawner (every server is a process of this user, with a home of its own) and a login without passwords,
and shows: the lessons are alive without our start command, nobody sees another's record, “Hand to my trainer” drops a
CSV into the folder the hub names, and the trainer's page merges it. Prints start time and memory of each learner.
A visitor beside them opens the first page as on Binder: JupyterLab itself at a fresh clone of the last commit, in a
Python with the names and bounds of environment.yml (from pip: there is no conda here), the page chosen by the address.
What it printed is kept in DEVELOPERS.md, “Class on one server”. No part of the tests in pytest: it downloads.
"""

import argparse
import contextlib
import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

import yaml
from installed import build_wheel, copy_project
from playwright.sync_api import expect, sync_playwright

from kilnlib.store.class_book import ClassBook

ROOT = Path(__file__).parent.parent
HUB = "jupyterhub>=5,<6"
PROXY = "configurable-http-proxy@5"
LEARNERS = ("first", "second")
TRAINER = "trainer"
VISITOR = "visitor"
DOORS = 3
COPY, CLONE = "First%20Charge/workbooks", "workbooks"  # where the pages lie below a server's folder
STEP_S = 600  # a ceiling for one step of installing
START_S = 180  # for a server, and for a page to come alive
CONFIG = """
import os
c = get_config()
c.JupyterHub.bind_url = "http://127.0.0.1:{port}/"
c.JupyterHub.hub_port = {hub_port}
c.JupyterHub.data_files_path = {data!r}
c.JupyterHub.authenticator_class = "dummy"  # lets anybody in: for this test alone
c.Authenticator.allow_all = True
c.JupyterHub.spawner_class = "simple"
c.SimpleLocalProcessSpawner.home_dir_template = {homes!r} + "/{{username}}"
c.Spawner.default_url = "/lab/tree/First%20Charge/workbooks/home.ipynb"
c.Spawner.environment = {{"FIRST_CHARGE_HAND_IN": {drop!r}}}
c.Spawner.args = ["--allow-root"]
c.Spawner.http_timeout = c.Spawner.start_timeout = {start}
c.ConfigurableHTTPProxy.command = {proxy!r}
c.ConfigurableHTTPProxy.api_url = "http://127.0.0.1:{proxy_port}"


def as_on_binder(spawner):
    if spawner.user.name != {visitor!r}:
        return
    spawner.home_dir = {clone!r}  # there a visitor's home is the clone
    spawner.port = {visitor_port}
    spawner.cmd = [{binder!r} + "/jupyter-lab"]
    spawner.args = ["--allow-root", "--no-browser", "--ip=127.0.0.1", "--port={visitor_port}", "--ServerApp.token=",
                    "--ServerApp.base_url=" + spawner.server.base_url]
    spawner.environment = {{"PATH": {binder!r} + os.pathsep + os.environ["PATH"]}}


c.Spawner.pre_spawn_hook = as_on_binder
"""


def run(*command, folder=None):
    """One step of installing."""
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, timeout=STEP_S, check=False)
    if done.returncode:
        sys.exit(f"{' '.join(map(str, command))}\n{done.stdout}{done.stderr}")


def install(place):
    """(the hub's Python, the proxy's program) in a folder; what is there already is used again."""
    python = place / "venv" / "bin" / "python"
    proxy = place / "node_modules" / ".bin" / "configurable-http-proxy"
    if not python.exists():
        run(sys.executable, "-m", "venv", place / "venv")
    if not proxy.exists():
        run("npm", "install", "--no-audit", "--no-fund", PROXY, folder=place)
    with tempfile.TemporaryDirectory() as build:
        wheel = build_wheel(copy_project(Path(build)), Path(build))
        run(python, "-m", "pip", "install", "--quiet", HUB, str(wheel))
        run(python, "-m", "pip", "install", "--quiet", "--no-deps", "--force-reinstall", str(wheel))
    return python, proxy


def install_as_binder(place):
    """(the folder of programs, the clone): a clone of the last commit, and a Python from its environment.yml."""
    clone, programs = place / "clone", place / "binder" / "bin"
    shutil.rmtree(clone, ignore_errors=True)
    run("git", "clone", "--quiet", ROOT, clone)
    names = yaml.safe_load((clone / "environment.yml").read_text(encoding="utf-8"))["dependencies"]
    (own,) = (one["pip"] for one in names if isinstance(one, dict))
    others = [one.replace(" ", "") for one in names if isinstance(one, str) and one.split()[0] not in ("python", "pip")]
    if not programs.exists():
        run(sys.executable, "-m", "venv", place / "binder")
    run(programs / "python", "-m", "pip", "install", "--quiet", *others, *" ".join(own).split(), folder=clone)
    return programs, clone


def free_port():
    """A port that nobody has now."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return one.getsockname()[1]


@contextlib.contextmanager
def hub(python, proxy, binder, clone, place):
    """A running hub: (its address, the folder to hand in to, the homes)."""
    homes, drop = place / "homes", place / "handed in"
    for folder in (homes, drop):
        folder.mkdir()
    port, config = free_port(), place / "jupyterhub_config.py"
    words = CONFIG.format(
        port=port, hub_port=free_port(), proxy_port=free_port(), homes=str(homes), drop=str(drop), start=START_S,
        visitor=VISITOR, visitor_port=free_port(), binder=str(binder), clone=str(clone), proxy=[str(proxy)],
        data=str(python.parents[1] / "share" / "jupyterhub"),
    )  # fmt: skip
    config.write_text(words, encoding="utf-8")
    kept = {key: value for key, value in os.environ.items() if not key.startswith(("JUPYTER", "PYTHON", "FIRST_"))}
    kept["PATH"] = f"{python.parent}{os.pathsep}{kept['PATH']}"
    with (place / "hub.log").open("w") as log:
        process = subprocess.Popen(
            [python, "-m", "jupyterhub", "-f", config], cwd=place, env=kept, stdout=log, stderr=log
        )
        try:
            wait_for(f"http://127.0.0.1:{port}/hub/api/")
            yield f"http://127.0.0.1:{port}", drop, homes
        except BaseException:
            print((place / "hub.log").read_text()[-3000:])
            raise
        finally:
            process.terminate()  # the hub ends its proxy and every learner's server
            with contextlib.suppress(subprocess.TimeoutExpired):
                process.wait(60)
            if process.poll() is None:
                process.kill()


def wait_for(url):
    """Until an address answers."""
    end = time.monotonic() + START_S
    while time.monotonic() < end:
        with contextlib.suppress(OSError), urllib.request.urlopen(url, timeout=5):
            return
        time.sleep(0.5)
    raise TimeoutError(url)


def log_in(browser, url, name, address=""):
    """A window of that learner's own, on the first page, alive; and the seconds that took from the login on.

    `address` is what is asked for where the server does not know the first page."""
    context = browser.new_context(viewport={"width": 1280, "height": 720})
    page = context.new_page()
    page.set_default_timeout(START_S * 1000)
    page.on("dialog", lambda dialog: dialog.accept())  # the browser's own question before a page is left
    page.goto(f"{url}/hub/login" + (f"?next=/hub/user-redirect/{address}" if address else ""))
    page.fill("#username_input", name)
    began = time.monotonic()
    page.click("#login_submit")
    expect(page.locator(".fc-home .fc-door").first).to_be_visible(timeout=START_S * 1000)
    return page, time.monotonic() - began


def open_page(page, url, name, file, folder=COPY):
    """Another page of the workbook."""
    page.goto(f"{url}/user/{name}/lab/tree/{folder}/{file}")


def question(page):
    """The card of a question of lesson 02."""
    return page.locator(".fc-card").filter(has_text="the bulbs read 110 °F and 102 °F").first


def answer(page, url, name, folder=COPY):
    """A wrong answer to a question of lesson 02, whose slider is alive: it moves, and what the panel says changes."""
    open_page(page, url, name, "02_air.ipynb", folder)
    panel = page.locator(".jp-OutputArea .fc-view:has(.fc-controls)").first
    panel.locator(".fc-predict .widget-radio-box label").first.click()
    panel.get_by_role("button", name="Commit").click()
    picture = panel.locator(".fc-stage img[alt]").first
    expect(picture).to_be_visible()
    said = picture.get_attribute("alt") or ""
    panel.locator("[role=slider]").first.focus()
    for _ in range(5):
        page.keyboard.press("ArrowRight")
    expect(picture).not_to_have_attribute("alt", said)  # the words of the picture: the kernel writes them
    card = question(page)
    card.locator("input[type=text]").fill("8")
    card.get_by_role("button", name="Check").click()
    expect(card.locator(".fc-feedback")).to_contain_text("Not yet")


def processes_of(user_home):
    """Numbers of the processes whose home is that folder."""
    mark = f"HOME={user_home}".encode()
    for folder in Path("/proc").iterdir():
        if folder.name.isdigit():
            with contextlib.suppress(OSError):
                if mark in (folder / "environ").read_bytes().split(b"\0"):
                    yield folder


def memory_mb(user_home):
    """Memory of a learner's processes: what is shared is counted by its share (Pss)."""
    total = 0
    for folder in processes_of(user_home):
        with contextlib.suppress(OSError):
            line = next(one for one in (folder / "smaps_rollup").read_text().splitlines() if one.startswith("Pss:"))
            total += int(line.split()[1])
    return total / 1024


def check_visitor(browser, url, clone):
    """As on Binder: the first page alive with its doors at an address of ours, a slider, and an answer that is kept."""
    page, seconds = log_in(browser, url, VISITOR, f"lab/tree/{CLONE}/home.ipynb")
    assert page.url.split("?")[0] == f"{url}/user/{VISITOR}/lab/tree/{CLONE}/home.ipynb", page.url
    doors = page.locator(".fc-home .fc-door").all_inner_texts()
    assert len(doors) == DOORS, doors
    print(f"{VISITOR}: as on Binder, first page alive with {len(doors)} doors {seconds:.1f} s after the login")
    answer(page, url, VISITOR, CLONE)
    open_page(page, url, VISITOR, "home.ipynb", CLONE)
    open_page(page, url, VISITOR, "02_air.ipynb", CLONE)
    expect(question(page).locator("input[type=text]")).to_have_value("8")
    (kept,) = ClassBook(clone / "First Charge" / "record.sqlite").answers()
    print(f"{VISITOR}: a slider of lesson 02 is alive; the answer {kept.typed} stands there when it is opened anew")
    page.context.close()


def check(place):
    """The whole walk; raises where something is not as it should be."""
    python, proxy = install(place)
    binder, clone = install_as_binder(place)
    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=os.environ.get("CHROMIUM") or shutil.which("chromium"), args=["--no-sandbox"]
        )
        with hub(python, proxy, binder, clone, Path(scratch)) as (url, drop, homes):
            windows = {}
            expect.set_options(timeout=START_S * 1000)
            check_visitor(browser, url, clone)
            for name in LEARNERS:
                windows[name], seconds = log_in(browser, url, name)
                print(f"{name}: first page alive {seconds:.1f} s after the login")
            for page in windows.values():
                page.get_by_label("Your name").fill("JT")
                page.get_by_label("Your name").press("Enter")
                expect(page.locator(".fc-home")).to_contain_text("is kept for JT")
            for name, page in windows.items():
                answer(page, url, name)
                print(f"{name}: a slider of lesson 02 is alive, an answer was kept")
            for name in LEARNERS:
                print(f"{name}: {memory_mb(homes / name):.0f} MB with two pages opened (shared memory by its share)")
            check_apart(homes)
            for name, page in windows.items():
                open_page(page, url, name, "home.ipynb")
                assert page.locator('a[href*="desk_trainer"]').count() == 0
                page.get_by_role("button", name="Hand to my trainer").click()
                expect(page.locator(".fc-home")).to_contain_text("Handed in")
            assert len(list(drop.glob("*.csv"))) == len(LEARNERS), list(drop.iterdir())
            check_trainer(browser, url)
            for name, page in windows.items():
                assert page.locator(".fc-home").is_visible(), name
            browser.close()
    print("Home opened as on Binder. Two learners worked without seeing each other, and their trainer took in both.")


def check_apart(homes):
    """Each learner has a record of their own, with an id of its own."""
    seen = {name: ClassBook(homes / name / "First Charge" / "record.sqlite") for name in LEARNERS}
    people = {name: book.learners() for name, book in seen.items()}
    assert all(len(one) == 1 for one in people.values()), people
    assert len({one[0].id for one in people.values()}) == len(LEARNERS)
    assert all(len(book.answers()) == 1 for book in seen.values())
    print("apart: each folder has a record of one learner, both called JT, with ids of their own")


def check_trainer(browser, url):
    """The trainer's page takes in what was handed in, and shows two learners of the same initials."""
    page, _ = log_in(browser, url, TRAINER)
    open_page(page, url, TRAINER, "desk_trainer.ipynb")
    page.get_by_role("button", name="Take in what was handed in").click()
    expect(page.locator(".fc-trainer .fc-said")).to_contain_text("new", timeout=START_S * 1000)
    options = page.get_by_label("Learner").locator("option").all_inner_texts()
    assert sum(option.split()[0] == "JT" for option in options) == len(LEARNERS), options
    page.get_by_role("button", name="Take in what was handed in").click()
    expect(page.locator(".fc-trainer .fc-said")).to_contain_text("0 new")
    print("trainer: took in both, twice is once")


def main():
    """Check in a folder that is thrown away, or in one that is kept for the next time."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--keep", type=Path, help="install into this folder and leave it there for the next run")
    given = parser.parse_args()
    if given.keep:
        given.keep.mkdir(parents=True, exist_ok=True)
        check(given.keep.resolve())
    else:
        with tempfile.TemporaryDirectory() as place:
            check(Path(place))


if __name__ == "__main__":
    main()
