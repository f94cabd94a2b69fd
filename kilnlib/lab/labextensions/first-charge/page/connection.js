// Watches one page of ours. Without its kernel nothing that is typed reaches a file, so nothing may look as if it did: the
// page is locked, and what stands in it stays. Once a kernel answers, the page runs again if the old one's memory is lost.

import { bar, wait, words } from "./said.js";
import { Typed } from "./typed.js";

const LOST = new Set(["restarting", "autorestarting", "dead", "terminating"]);

// Whether a path of the server answers: its status, or nothing where no server is.
export const answers = ({ baseUrl, token }, path) =>
  fetch(baseUrl + path, {
    cache: "no-store",
    headers: token ? { Authorization: `token ${token}` } : {},
    signal: AbortSignal.timeout(5000),
  }).then(
    (answer) => answer.status,
    () => null,
  );

export class Watch {
  constructor(settings, panel, run) {
    this.settings = settings;
    this.panel = panel;
    this.context = panel.sessionContext;
    this.run = run; // runs every cell; gives the id of the process that did, or null if the code was changed
    this.typed = new Typed(panel);
    this.locked = false;
    this.silent = 0; // questions in a row that a connected kernel did not answer
    // JupyterLab's own dialogs ("Kernel Restarting", "Error Starting Kernel") would stand over our line and say less.
    this.context.statusChanged.disconnect(panel._onSessionStatusChanged, panel);
    this.context._displayKernelError = () => Promise.resolve();
    panel.disposed.connect(() => this.end());
  }

  async start() {
    for (const signal of [this.context.statusChanged, this.context.connectionStatusChanged, this.context.kernelChanged]) {
      signal.connect(() => this.look());
    }
    this.typed.listen(this.kernel);
    this.process = await this.run();
    this.look();
  }

  get kernel() {
    return this.context.session?.kernel;
  }

  // What is lost: the "server", the "kernel", or nothing.
  lost() {
    if (this.kernel && this.kernel.connectionStatus !== "connected") {
      return "server";
    }
    return !this.kernel || LOST.has(this.kernel.status) || LOST.has(this.context.kernelDisplayStatus) ? "kernel" : null;
  }

  look() {
    this.typed.listen(this.kernel);
    const lost = this.panel.isDisposed ? null : this.lost();
    if (lost && !this.locked && this.process !== null) {
      this.lock(lost);
      this.recover();
    }
  }

  lock(lost) {
    this.locked = true;
    for (const area of this.panel.node.querySelectorAll(".jp-OutputArea")) {
      area.inert = true;
      if (area.contains(document.activeElement)) {
        document.activeElement.blur(); // a key pressed before the next picture would still reach the box, unkept
      }
    }
    this.typed.keep();
    bar.say(this, lost === "server" ? words.server_gone : words.kernel_gone);
  }

  unlock() {
    this.locked = false;
    for (const area of this.panel.node.querySelectorAll(".jp-OutputArea[inert]")) {
      area.inert = false;
    }
    bar.clear(this);
  }

  async recover() {
    let process;
    while (!this.panel.isDisposed && !(process = await this.reach().catch(() => null))) {
      await wait(700);
    }
    if (this.panel.isDisposed) {
      return;
    }
    if (process === this.process) {
      this.unlock(); // only the line was cut: the boxes are as they were
      this.look();
      return;
    }
    this.process = await this.runs();
    if (this.process === undefined) {
      return this.recover();
    }
    if (this.process === null) {
      bar.say(this, words.changed);
      return;
    }
    this.unlock();
    this.look();
    if (!this.locked) {
      bar.say(this, words.again, true);
      this.typed.offer();
    }
  }

  // Runs the page. Gives undefined if the line is cut meanwhile: the answers would never come.
  async runs() {
    let done = false;
    const running = this.run().finally(() => {
      done = true;
    });
    const cut = async () => {
      for (let looks = 0; !done && looks < 5; looks = this.lost() ? looks + 1 : 0) {
        await wait(700);
      }
    };
    return Promise.race([running, cut()]);
  }

  // The id of the kernel's process, once it answers; nothing as long as there is something to wait for.
  async reach() {
    const kernel = this.kernel;
    const status = await answers(this.settings, `api/kernels/${kernel?.id}`);
    const gone = !status || status === 403; // whoever took the place of our server does not know our token
    bar.say(this, gone ? words.server_gone : words.kernel_gone);
    if (gone) {
      return null;
    }
    if (status === 404) {
      this.context.session?.dispose(); // the server does not know it any more
      await this.context.changeKernel({ name: "python3" });
      await this.connected();
      return null;
    }
    if (kernel.connectionStatus !== "connected") {
      kernel.reconnect().catch(() => {}); // JupyterLab tries again too, but after up to a minute
      await this.connected();
      return null;
    }
    if (kernel.status === "dead") {
      await this.context.restartKernel();
      return null;
    }
    const answer = await Promise.race([kernel.requestKernelInfo().catch(() => null), wait(1500)]);
    this.silent = answer ? 0 : this.silent + 1;
    if (this.silent >= 5 && kernel.status !== "busy") {
      this.silent = 0; // the line leads nowhere, and the server gives the same one to whoever connects again
      await this.context.changeKernel({ name: "python3" });
      await this.connected();
      return null;
    }
    return answer && !this.lost() ? answer.header.session : null;
  }

  // Leaves a connection that is being made up to ten seconds: on a busy machine it takes a while.
  async connected() {
    for (let tries = 0; tries < 100 && this.kernel?.connectionStatus === "connecting"; tries += 1) {
      await wait(100);
    }
  }

  end() {
    bar.clear(this);
    this.typed.dispose();
  }
}
