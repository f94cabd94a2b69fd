// The way from page to page: links, the browser's Back and Forward, and what is left behind.

import { config, wait } from "./said.js";


// The notebook that an address of this server names, or nothing.
const fileOf = (address) => {
  const found = new URL(address, location.href).pathname.match(/\/(?:doc|lab)(?:\/workspaces\/[^/]+)?\/tree\/(.+)$/);
  return found ? decodeURIComponent(found[1]) : null;
};

// The folder of a file, as the server names it.
export const folderOf = (path) => path.split("/").slice(0, -1).join("/");

// JupyterLab writes an address anew even where it stands already, which would cut off the way forward.
const keepHistory = () => {
  const push = history.pushState.bind(history);
  history.pushState = (state, title, address) => {
    const same = new URL(address, location.href).pathname === location.pathname;
    return same ? history.replaceState(state, title, address) : push(state, title, address);
  };
};

export class Way {
  constructor(app, watches, PageConfig) {
    this.app = app;
    this.PageConfig = PageConfig;
    this.watches = watches; // page: what watches it
    this.ending = new Map(); // path: when its kernel is gone; a page opened before would be given the dying one
    this.left = new Map(); // path: a page that is not shown any more and has not ended yet, and how it is told so
    this.going = new Set(); // path: a page that was asked for and is not shown yet; it may be one that was left
    keepHistory();
    window.addEventListener("popstate", () => {
      const file = fileOf(location.href);
      if (file && file !== app.shell.currentWidget?.context?.path) {
        this.go(file);
      }
    });
    document.addEventListener("click", (event) => this.follow(event), true);
  }

  // JupyterLab begins to write addresses seconds after the first page was there, so the address is written here.
  async go(file) {
    history.pushState(history.state, "", this.PageConfig.getUrl({ treePath: file }));
    this.going.add(file);
    const left = this.left.get(file);
    const shown = this.app.shell.currentWidget;
    if (left && shown?.hasClass("first-charge-home") && !left.panel.isDisposed && !this.unsaved(left.panel)) {
      await this.part(left.panel, left.tell); // somebody else may sit here now: not the page of who sat here before
    }
    if (this.ending.has(file)) {
      await Promise.race([this.ending.get(file), wait(10000)]);
    }
    await this.app.commands.execute("docmanager:open", { path: file }).catch(() => {});
    await wait(100); // by then it is the page that is shown
    this.going.delete(file);
  }

  // A link to a notebook of ours opens in place; with a key held down the browser makes its own tab.
  follow(event) {
    const link = event.target.closest?.(".first-charge a[href]");
    const href = link?.getAttribute("href");
    if (!href || event.ctrlKey || event.metaKey || event.shiftKey || event.button) {
      return;
    }
    const here = new URL(href, location.href);
    const name = (href.match(/^[\w-]+\.ipynb$/) || here.pathname.match(/\/files\/(?:.+\/)?([\w-]+\.ipynb)$/))?.at(-1);
    if (name && here.origin === location.origin) {
      event.preventDefault();
      event.stopPropagation();
      const folder = folderOf(this.app.shell.currentWidget.context.path);
      const file = folder ? `${folder}/${name}` : name;
      // JupyterLab gives every link in a text that target; in ours it is meant.
      if (link.target === "_blank" && !link.closest(".jp-RenderedMarkdown")) {
        window.open(this.PageConfig.getUrl({ treePath: file }));
      } else {
        this.go(file);
      }
    }
  }

  // What stands in a box and was not taken would be lost with the page.
  unsaved(panel) {
    return Boolean(this.watches.get(panel)?.typed.boxes.size);
  }

  // A page that is not shown any more ends, and its kernel with it, if nothing on it is unsaved. In a window that is not
  // ours alone it is a tab among others, and the person closes it.
  async leave(panel, tell) {
    if (!config.firstChargeOwn) {
      return;
    }
    const { path } = panel.context;
    const back = () => panel.isDisposed || this.app.shell.currentWidget === panel;
    const stays = () => back() || this.going.has(path);
    const opening = () => document.querySelector(".jp-NotebookPanel:not(.lm-mod-hidden)[data-status=opening]");
    this.left.set(path, { panel, tell });
    for (let tries = 0; tries < 60 && !back(); tries += 1) {
      await wait(1000); // the page that was opened comes first
      const watch = this.watches.get(panel);
      if (stays() || !watch?.process || watch.locked || opening() || this.unsaved(panel)) {
        continue; // one of the two is still beginning, and the server has no more than two hands; or something waits
      }
      await this.part(panel, tell, stays);
    }
    if (this.left.get(path)?.panel === panel) {
      this.left.delete(path);
    }
  }

  // The kernel writes down what it has not yet, and the page ends.
  async part(panel, tell, stays = () => panel.isDisposed) {
    await Promise.race([tell({ leave: true }), wait(3000)]).catch(() => {});
    if (panel.context.model.dirty) {
      await panel.context.save().catch(() => {});
    }
    if (!stays() && !panel.context.model.dirty) {
      await this.end(panel);
    }
  }

  async end(panel) {
    const { path } = panel.context;
    const context = panel.sessionContext;
    const id = context.session?.id;
    context.kernelPreference = { ...context.kernelPreference, shutdownOnDispose: false };
    const gone = new Promise((done) => panel.disposed.connect(done));
    const ended = Promise.race([gone, wait(2000)])
      .then(() => id && panel.isDisposed && this.app.serviceManager.sessions.shutdown(id))
      .catch(() => {});
    this.ending.set(path, ended);
    panel.close();
    await ended;
    this.ending.delete(path);
  }
}
