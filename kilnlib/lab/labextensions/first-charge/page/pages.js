// Our notebooks come alive when they open, and again when their kernel was lost. Nobody else's does.

import { serveControls } from "./controls.js";
import { answers, Watch } from "./connection.js";
import { Face } from "./face.js";
import { lockPages } from "./locks.js";
import { bar, config, wait, words } from "./said.js";
import { begin, mine } from "./tabs.js";
import { folderOf, Way } from "./way.js";

const watches = new WeakMap(); // page: what watches it

const codeCells = (panel) => panel.content.widgets.filter((cell) => cell.model.type === "code");
const source = (cell) => cell.model.sharedModel.getSource();

// What a run would send, written as kilnlib.lab.books.fingerprint writes it.
const code = (panel) => JSON.stringify(codeCells(panel).map(source).filter((text) => !/^[ \t\r\n]*$/.test(text)));
const text = (panel) => JSON.stringify(panel.content.widgets.map(source));

const sha256 = async (words) => {
  const bytes = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(words));
  return Array.from(new Uint8Array(bytes), (byte) => byte.toString(16).padStart(2, "0")).join("");
};

// Sends the cells itself: the command for it would scroll the reader to the last cell. An output that was stored in the
// file may be a program: it goes before its cell is trusted, never after. Returns which process answered.
const runAll = async (panel) => {
  panel.model.deleteMetadata("widgets");
  const answers = await Promise.allSettled(
    codeCells(panel).map(async (cell) => {
      cell.model.clearExecution();
      const future = panel.sessionContext.session.kernel.requestExecute({ code: source(cell), stop_on_error: false });
      cell.model.trusted = true;
      cell.outputArea.future = future;
      const answer = await future.done;
      cell.model.executionCount = answer.content.execution_count;
      return answer.header.session;
    }),
  );
  return answers.at(-1)?.value;
};

// Asks the page's own kernel what is done; see kilnlib/bench/kit/progress.py.
const tell = async (panel, message) => {
  const said = JSON.stringify({ page: panel.context.path.split("/").at(-1).replace(/\.ipynb$/, ""), ...message });
  const heard = `__import__("kilnlib.bench.kit.progress", fromlist=["heard"]).heard(${JSON.stringify(said)})`;
  const kernel = panel.sessionContext.session?.kernel;
  if (!kernel || watches.get(panel)?.locked) {
    return null;
  }
  const asked = { code: "", silent: true, store_history: false, user_expressions: { heard } };
  const answer = await kernel.requestExecute(asked).done;
  const found = answer.content.user_expressions?.heard?.data?.["text/plain"];
  const state = found ? JSON.parse(found) : null;
  if (state?.error) {
    bar.say(panel, state.error, true);
  }
  return state;
};

// Jupyter's own menus, bars and tools: hidden while a page of ours is shown, unless the person asked for them.
const chrome = {
  asked: false,

  fit(app) {
    const panel = app.shell.currentWidget;
    const ours = Boolean(panel?.hasClass("first-charge"));
    const shown = !ours || this.asked;
    document.body.classList.toggle("first-charge-shown", ours);
    this.name(panel);
    if (!ours && !this.fitted && !config.firstChargeOwn) {
      return; // nothing of Jupyter's was touched yet
    }
    this.fitted = true;
    const presents = panel?.hasClass("first-charge-present");
    if (app.shell.isTopInSimpleModeVisible() === !shown) {
      app.shell.toggleTopInSimpleModeVisibility();
    }
    for (const widget of app.shell.widgets("menu")) {
      widget.parent.setHidden(!shown);
    }
    // Of plain JupyterLab the side bar stays: it would remember how we left it.
    if (config.firstChargeOwn && app.shell.isSideTabBarVisible("left") !== shown) {
      app.shell.toggleSideTabBarVisibility("left");
    }
    if (ours) {
      panel.toolbar.setHidden(!this.asked || presents);
    }
  },

  // The name of the browser's tab; JupyterLab would write the file's.
  name(panel) {
    const title = panel?.node.dataset.title;
    if (title && document.title !== title) {
      document.title = title;
    }
  },
};

// The list holds hashes of code. The code that was loaded is hashed, and it runs only if it still stands there word for
// word once the kernel is up. Only in the folders where our notebooks lie: elsewhere a stranger's kilnlib may lie beside.
const open = async (app, panel, listed, Widget) => {
  await panel.context.ready;
  const loaded = code(panel);
  const opened = text(panel);
  const hash = await sha256(loaded);
  if (!config.firstChargeFolders.includes(folderOf(panel.context.path)) || !Object.hasOwn(listed, hash)) {
    return;
  }
  panel.addClass("first-charge");
  if (listed[hash].startsWith("present_")) {
    panel.addClass("first-charge-present");
  }
  const face = new Face(panel, Widget, (message) => tell(panel, message), () => {
    chrome.asked = !chrome.asked;
    chrome.fit(app);
  });
  chrome.fit(app);
  panel.node.dataset.status = "opening";
  await panel.sessionContext.ready;
  shutdownOnDispose(panel, false); // another tab may be using it
  await mine(panel, words, () => shutdownOnDispose(panel, false));
  shutdownOnDispose(panel, true);
  // For whoever waits for the page: whether everything on it has run, and what its kernel does.
  let begun = false;
  const status = () => {
    panel.node.dataset.status = begun ? panel.sessionContext.kernelDisplayStatus : "opening";
  };
  const watch = new Watch(app.serviceManager.serverSettings, panel, async () => {
    if (code(panel) !== loaded) {
      begun = true;
      status();
      return null;
    }
    const process = await runAll(panel);
    if (text(panel) === opened) {
      panel.context.model.dirty = false; // nothing to save, so closing the window asks nothing
    }
    face.wake();
    begun = true;
    status();
    return process;
  });
  panel.sessionContext.statusChanged.connect(status);
  watches.set(panel, watch);
  watch.start();
};

const shutdownOnDispose = (panel, ends) => {
  const context = panel.sessionContext;
  context.kernelPreference = { ...context.kernelPreference, shutdownOnDispose: ends };
};

// JupyterLab asks the server for news every few seconds. Without a page of ours nothing else says that it is gone.
export const connectionLost = async (manager) => {
  if (!document.querySelector(".first-charge")) {
    bar.say(manager, words.server_gone);
    while (!(await answers(manager.serverSettings, "api"))) {
      await wait(1000);
    }
    bar.clear(manager);
  }
};

export const activate = (app, Widget, PageConfig) => {
  const listed = config.firstChargeBooks || {};
  const seen = new WeakSet();
  const way = new Way(app, watches, PageConfig);
  const leave = (panel) => way.leave(panel, (message) => tell(panel, message));
  let shown = null;
  const look = () => {
    const panel = app.shell.currentWidget;
    chrome.fit(app);
    if (shown && panel && shown !== panel && !shown.isDisposed && shown.hasClass("first-charge")) {
      leave(shown);
    }
    shown = panel;
    if (panel?.sessionContext && panel.content?.widgets && !seen.has(panel)) {
      seen.add(panel);
      open(app, panel, listed, Widget);
    }
  };
  const sheet = document.head.appendChild(document.createElement("link"));
  sheet.rel = "stylesheet";
  sheet.href = new URL("style.css", import.meta.url).href;
  serveControls();
  lockPages(() => document.body.classList.contains("first-charge-shown"));
  new MutationObserver(begin).observe(document.body, { childList: true, subtree: true });
  new MutationObserver(() => chrome.name(app.shell.currentWidget)).observe(document.querySelector("title"), { childList: true });
  app.shell.currentChanged.connect(look);
  app.restored.then(() => {
    look();
    if (!config.firstChargeOwn) {
      return;
    }
    app.shell.collapseLeft();
    if (app.shell.isSideTabBarVisible("right")) {
      app.shell.toggleSideTabBarVisibility("right");
    }
    // JupyterLab opens the notebook in its address by itself, but seconds later, over whatever was opened until then: first
    // it waits to save its workspace. So it is opened here, and JupyterLab is left nothing to open.
    if (config.treePath?.endsWith(".ipynb")) {
      way.go(config.treePath);
      PageConfig.setOption("treePath", "");
    }
  });
};
