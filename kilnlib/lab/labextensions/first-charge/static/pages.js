// Our notebooks come alive when they open, and again when their kernel was lost. Nobody else's does.

import { serveControls } from "./controls.js";
import { answers, Watch } from "./connection.js";
import { bar, STYLE as BAR_STYLE, wait, words } from "./said.js";
import { begin, mine, STYLE as TABS_STYLE } from "./tabs.js";

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
// word once the kernel is up. Only in the top folder, where the start command lays our notebooks.
const open = async (app, panel, listed) => {
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
  await mine(panel, words);
  new Watch(app.serviceManager.serverSettings, panel, async () => {
    if (code(panel) !== loaded) {
      return null;
    }
    const process = await runAll(panel);
    if (text(panel) === opened) {
      panel.context.model.dirty = false; // nothing to save, so closing the window asks nothing
    }
    return process;
  }).start();
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

export const activate = (app) => {
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
      open(app, panel, listed);
    }
  };
  document.head.appendChild(document.createElement("style")).textContent = STYLE + BAR_STYLE + TABS_STYLE;
  serveControls();
  new MutationObserver(begin).observe(document.body, { childList: true, subtree: true });
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
