// A JupyterLab extension written by hand: a module-federation container with one plugin. No npm, no build.
(() => {
  const tabs = import(new URL("tabs.js", document.currentScript.src).href);

  // Our notebooks only: a 940 px panel must fit a 1024 px window, and a stranger's folded code stays visible.
  const STYLE = `
    .first-charge {--jp-cell-prompt-width: 8px; --jp-notebook-padding: 4px;}
    .first-charge .jp-MarkdownOutput {max-width: 940px;}
    .first-charge .jp-MarkdownOutput li:has(> input[type=checkbox]) {list-style: none; margin-left: -1.3em;}
    .first-charge .jp-MarkdownOutput li > input[type=checkbox] {vertical-align: -1px; margin: 0 6px 0 0;}
    .first-charge .jp-InputPrompt, .first-charge .jp-OutputPrompt {visibility: hidden;}
    .first-charge .jp-Notebook-footer {display: none;}
    .first-charge .jp-Cell-inputWrapper:has(> .jp-Placeholder) {display: none;}
    .first-charge-present {--jp-cell-prompt-width: 0px; --jp-notebook-padding: 0px; --jp-cell-padding: 2px; --fc-bars: 6px;}
    .first-charge-present .jp-WindowedPanel-outer {overflow: hidden !important; background: #ffffff;}
    .first-charge-present .jp-MarkdownCell, .first-charge-present .jp-Cell:has([data-mime-type$=stdout]),
    .first-charge-present .jp-InputPrompt, .first-charge-present .jp-OutputPrompt {display: none;}
    .first-charge-present .jp-OutputArea-output {padding: 0;}`;

  // A presenter's keys, and a clicker's: each presses the button that it stands for.
  const KEYS = {
    ArrowRight: "next", PageDown: "next", ArrowLeft: "back", PageUp: "back", ArrowDown: "reveal", r: "reset", R: "reset",
  };

  const codeCells = (panel) => panel.content.widgets.filter((cell) => cell.model.type === "code");
  const source = (cell) => cell.model.sharedModel.getSource();

  // What a run would send, written as kilnlib.lab.books.fingerprint writes it.
  const code = (panel) => JSON.stringify(codeCells(panel).map(source).filter((text) => !/^[ \t\r\n]*$/.test(text)));
  const text = (panel) => JSON.stringify(panel.content.widgets.map(source));

  const sha256 = async (words) => {
    const bytes = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(words));
    return Array.from(new Uint8Array(bytes), (byte) => byte.toString(16).padStart(2, "0")).join("");
  };

  // Sends the cells itself: the command for it would scroll the reader to the last cell.
  const runAll = (panel) =>
    Promise.allSettled(
      codeCells(panel).map(async (cell) => {
        const future = panel.sessionContext.session.kernel.requestExecute({ code: source(cell), stop_on_error: false });
        cell.model.trusted = true;
        cell.outputArea.future = future;
        cell.model.executionCount = (await future.done).content.execution_count;
      }),
    );

  // A presenter has the window but for the menus, the way out; any other notebook gets the bars back.
  const fill = (app, panel) => {
    const whole = panel.hasClass("first-charge-present");
    if (app.shell.isTopInSimpleModeVisible() === whole) {
      app.shell.toggleTopInSimpleModeVisibility();
    }
    if (app.shell.isSideTabBarVisible("left") === whole) {
      app.shell.toggleSideTabBarVisibility("left");
    }
  };

  // The list holds hashes of code. The code that was loaded is hashed, and it runs only if it still stands there word for
  // word once the kernel is up. Only in the top folder: a kernel imports from its notebook's folder first, so a copy of
  // our notebook beside a stranger's kilnlib.py would run the stranger's code.
  const open = async (app, panel, listed, words) => {
    await panel.context.ready;
    const loaded = code(panel);
    const opened = text(panel);
    const hash = await sha256(loaded);
    if (panel.context.path.includes("/") || !Object.hasOwn(listed, hash)) {
      return;
    }
    panel.addClass("first-charge");
    if (listed[hash].startsWith("present_")) {
      panel.addClass("first-charge-present");
      panel.toolbar.hide();
      fill(app, panel);
    }
    await panel.sessionContext.ready;
    await (await tabs).mine(panel, words);
    if (code(panel) !== loaded) {
      return;
    }
    await runAll(panel);
    if (text(panel) === opened) {
      panel.context.model.dirty = false; // nothing to save, so closing the window asks nothing
    }
  };

  // A slider's handle takes the name that stands beside it, and a box without a label of its own takes its tip. Keys
  // pressed there stay there: an arrow in a list of choices would else move on to the next cell.
  const nameControls = () => {
    for (const control of document.querySelectorAll(".fc-view :is(select, input):not([data-lm-suppress-shortcuts])")) {
      control.setAttribute("data-lm-suppress-shortcuts", "true");
    }
    for (const box of document.querySelectorAll(".jupyter-widgets input[title]:not([aria-label])")) {
      box.setAttribute("aria-label", box.title);
    }
    for (const handle of document.querySelectorAll('.jupyter-widgets [role="slider"]')) {
      const words = handle.closest(".widget-inline-hbox")?.querySelector(".widget-label")?.textContent.trim();
      if (words && handle.getAttribute("aria-label") !== words) {
        handle.setAttribute("aria-label", words);
      }
    }
  };

  // Enter in a column of boxes goes to the next box at once; through the kernel, a fast typist's next digit would be late.
  const goDown = (event) => {
    const box = event.target;
    if (event.key !== "Enter" || !box.matches(".fc-down input")) {
      return;
    }
    const boxes = [...box.closest(".fc-down").querySelectorAll("input")];
    const next = boxes.slice(boxes.indexOf(box) + 1).find((other) => !other.disabled && !other.closest(".fc-skip"));
    if (next) {
      event.preventDefault();
      event.stopPropagation();
      next.focus();
      next.select();
    }
  };

  const present = (event) => {
    const button = document.querySelector(`.first-charge-present:not(.lm-mod-hidden) .fc-key-${KEYS[event.key]}`);
    if (button && !(event.ctrlKey || event.altKey || event.metaKey || event.target.matches("input, textarea"))) {
      event.preventDefault();
      event.stopPropagation();
      button.click();
    }
  };

  const activate = (app) => {
    const config = JSON.parse(document.getElementById("jupyter-config-data").textContent);
    const listed = config.firstChargeBooks || {};
    const seen = new WeakSet();
    const look = () => {
      const panel = app.shell.currentWidget;
      if (panel) {
        fill(app, panel);
      }
      if (panel?.sessionContext && panel.content?.widgets && !seen.has(panel)) {
        seen.add(panel);
        open(app, panel, listed, config.firstChargeWords);
      }
    };
    tabs.then(({ begin, STYLE }) => {
      document.head.appendChild(document.createElement("style")).textContent = STYLE;
      new MutationObserver(begin).observe(document.body, { childList: true, subtree: true });
    });
    document.head.appendChild(document.createElement("style")).textContent = STYLE;
    new MutationObserver(nameControls).observe(document.body, { childList: true, subtree: true, characterData: true });
    document.addEventListener("keydown", goDown, true);
    document.addEventListener("keydown", present, true);
    app.shell.currentChanged.connect(look);
    app.restored.then(() => {
      app.shell.collapseLeft();
      if (app.shell.isSideTabBarVisible("right")) {
        app.shell.toggleSideTabBarVisibility("right");
      }
      look();
      // JupyterLab opens the notebook in its address by itself, but 0.75 s later: first it waits to save its workspace.
      if (config.treePath?.endsWith(".ipynb")) {
        app.commands.execute("docmanager:open", { path: config.treePath }).catch(() => {});
      }
    });
  };

  const plugin = { id: "first-charge:open", autoStart: true, activate };
  const module = { __esModule: true, default: plugin };
  window._JUPYTERLAB = window._JUPYTERLAB || {};
  window._JUPYTERLAB["first-charge"] = { init: () => {}, get: async () => () => module };
})();
