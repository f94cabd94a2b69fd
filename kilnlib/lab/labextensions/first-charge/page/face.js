// What stands around a page of ours: the bar, the contents, the end of the page; and the marks on its text.

import { config, fill, words } from "./said.js";

const PAGES = config.firstChargePages || [];
const TURNED = PAGES.filter((page) => page.kind !== "trainer"); // no learner's door leads there
const GLOSSARY = config.firstChargeGlossary || [];
const MARK = `<svg viewBox="0 0 34 26" width="34" height="26" aria-hidden="true"><g fill="#c8925a" stroke="#7a5227" stroke-width=".8">
  <rect x="3" y="2" width="20" height="4.4"/><rect x="3" y="10.6" width="20" height="4.4"/><rect x="3" y="19.2" width="20" height="4.4"/></g>
  <g fill="#8d6a43"><rect x="5" y="6.4" width="3" height="4.2"/><rect x="18" y="6.4" width="3" height="4.2"/>
  <rect x="5" y="15" width="3" height="4.2"/><rect x="18" y="15" width="3" height="4.2"/></g>
  <g fill="none" stroke="#1d5b99" stroke-width="1.8"><path d="M9.5 8.5h20M26 5.600l4 2.900l-4 2.900M9.500 17.100h20M26 14.200l4 2.900l-4 2.900"/></g></svg>`;

const READ_MS = 1000;

const make = (kind, look, ...inside) => {
  const node = document.createElement(kind);
  if (look) {
    node.className = look;
  }
  node.append(...inside);
  return node;
};

const named = (page) => `${page.number} ${page.title}`.trim();

const link = (page, look, ...inside) => {
  const node = make("a", look, ...inside);
  node.href = page.file;
  return node;
};

// A number is not torn from its unit at the end of a line. A line to tick keeps its words: they are its name in the record.
const TEXTS = ".jp-MarkdownOutput :is(p, td, li:not(.fc-item)), .widget-radio-box label";
const keepUnits = (element) => {
  const texts = document.createTreeWalker(element, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) {
    const kept = texts.currentNode.data.replace(/(\d) (?=[%°])/g, "$1\u00a0");
    if (kept !== texts.currentNode.data) {
      texts.currentNode.data = kept;
    }
  }
};
const plain = (heading) => heading.textContent.replace(/¶\s*$/, "").trim();

export class Face {
  // `tell(message)` asks the page's kernel and resolves to what is done; `jupyter()` shows or hides Jupyter's own menus.
  constructor(panel, Widget, tell, jupyter) {
    this.panel = panel;
    this.tell = tell;
    const file = panel.context.path.split("/").at(-1);
    this.at = TURNED.findIndex((page) => page.file === file);
    this.page = PAGES.find((page) => page.file === file) || { file, kind: "", number: "", title: file, after: [] };
    this.previous = TURNED[this.at - 1];
    this.next = this.at < 0 || this.page.kind === "home" ? undefined : TURNED[this.at + 1];
    this.read = new Set();
    this.since = new Map(); // when the end of a part came into the window
    this.state = { parts: [], ticks: [], done: false };
    this.ticking = new Map(); // items whose tick, or its end, the kernel has not taken yet
    panel.addClass(`first-charge-${this.page.kind}`);
    panel.node.dataset.title = this.page.kind === "home" ? words.name : `${named(this.page)} · ${words.name}`;
    this.bar(Widget, jupyter);
    this.contents = make("nav", "fc-contents");
    this.contents.setAttribute("aria-label", words.on_this_page);
    panel.node.append(this.contents);
    this.end = make("div", "fc-end");
    panel.node.addEventListener("change", (event) => this.tick(event.target));
    panel.node.addEventListener("keydown", (event) => event.key === "Escape" && this.fold());
    for (const kind of ["pointerup", "keyup", "change"]) {
      panel.content.node.addEventListener(kind, (event) => event.target.closest?.(".fc-view") && this.moved());
    }
    panel.content.node.addEventListener("click", (event) => this.explain(event.target), true);
    this.observer = new MutationObserver(() => this.soon());
    this.observer.observe(panel.content.node, { childList: true, subtree: true });
    panel.disposed.connect(() => this.observer.disconnect());
    panel.content.node.addEventListener("scroll", () => this.look(), { capture: true, passive: true });
    this.dress();
  }

  // The bar ------------------------------------------------------------------------------------------------------

  bar(Widget, jupyter) {
    const home = link({ file: "home.ipynb" }, "fc-home-link", words.name);
    home.insertAdjacentHTML("afterbegin", MARK);
    home.title = words.home;
    const title = make("span", "fc-title", this.page.number ? `${this.page.number} · ${this.page.title}` : this.page.title);
    this.parts = make("span", "fc-parts");
    this.parts.setAttribute("role", "status");
    this.opener = make("button", "fc-contents-button", words.contents);
    this.opener.setAttribute("aria-expanded", "false");
    this.opener.addEventListener("click", () => this.unfold());
    const own = make("button", "fc-jupyter", words.jupyter);
    own.title = words.jupyter_tip;
    own.addEventListener("click", jupyter);
    const turn = make("nav", "fc-turn", ...this.turning(true, this.opener));
    turn.setAttribute("aria-label", words.turn);
    const dictionary = PAGES.find((page) => page.kind === "words");
    const node = make("div", "fc-bar", home, this.page.kind === "home" ? "" : title, this.parts, make("span", "fc-gap"), turn);
    if (dictionary && dictionary !== this.page && dictionary !== this.next) {
      const open = link(dictionary, "fc-step fc-dictionary", words.words);
      open.title = words.words_tip;
      node.append(open);
    }
    node.append(own);
    const widget = new Widget({ node: make("div", "fc-bar-holder", node) });
    widget.node.style.minHeight = this.page.kind === "present" ? "30px" : "47px"; // the layout asks before the sheet is there
    this.panel.contentHeader.addWidget(widget);
    this.panel.fit();
  }

  // Previous, what stands between, next: short in the bar, with titles at the end of the page.
  turning(short, between) {
    const one = (page, name, arrow, look) => {
      if (!page) {
        return "";
      }
      const title = short ? page.number || page.title.split(":")[0] : named(page);
      const step = link(page, `fc-step ${look}`, arrow < 0 ? `◀ ${title}` : `${title} ▶`);
      step.setAttribute("aria-label", `${name}: ${named(page)}`);
      step.title = `${name}: ${named(page)}`;
      return step;
    };
    return [one(this.previous, words.previous, -1, "fc-previous"), between, one(this.next, words.next, 1, "fc-next")];
  }

  // The text -----------------------------------------------------------------------------------------------------

  soon() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.panel.isDisposed || this.dress(), 60);
  }

  // Marks that a style sheet cannot set: which part a cell belongs to, cautions, check boxes, words of the trade.
  dress() {
    const viewport = this.panel.content.node.querySelector(".jp-WindowedPanel-viewport, .jp-WindowedPanel-inner");
    if (viewport && !this.end.isConnected) {
      viewport.after(this.end);
    }
    for (const first of this.panel.content.node.querySelectorAll(".jp-MarkdownOutput p:not([data-fc])")) {
      first.dataset.fc = "";
      if (first.textContent.trim().startsWith("⚠")) {
        first.classList.add("fc-caution");
      }
    }
    for (const cell of this.panel.content.widgets) {
      cell.node.dataset.cell = cell.model.id;
      cell.node.setAttribute("role", "article"); // of the feed that JupyterLab says they stand in
    }
    for (const box of this.panel.content.node.querySelectorAll(".jp-MarkdownOutput li > input[type=checkbox]")) {
      this.box(box);
    }
    for (const strong of this.panel.content.node.querySelectorAll(".jp-MarkdownOutput strong:not([data-fc])")) {
      this.word(strong);
    }
    for (const folded of this.panel.content.node.querySelectorAll(".jp-showHiddenCellsButton > :last-child")) {
      if (folded.textContent !== words.folded) {
        folded.textContent = words.folded; // JupyterLab counts cells, which a reader does not know
      }
    }
    this.panel.content.node.querySelectorAll(TEXTS).forEach(keepUnits);
    this.tasks();
    const feedback = this.panel.content.node.querySelectorAll(".fc-feedback");
    const said = [...feedback].map((one) => one.textContent).join();
    if (said !== this.said && this.alive) {
      this.said = said;
      this.ask();
    }
    this.list();
    this.look();
  }

  // What to look for stands between the controls' frame and the picture's top, one task at a time, once the picture is open.
  tasks() {
    const items = [...this.panel.content.node.querySelectorAll('[data-cell="look"] .jp-MarkdownOutput > ol > li')];
    const view = this.panel.content.node.querySelector('[data-cell="predict-look"] .fc-view:has(> .widget-hbox .fc-controls)');
    const shown = view?.querySelector(":scope > .fc-tasks");
    if (!items.length || !view || shown || view.querySelector(".fc-stage .fc-predict")) {
      return;
    }
    const name = make("b", ""), task = make("span", "fc-task");
    task.setAttribute("role", "status");
    const step = (words, steps) => {
      const button = make("button", "fc-step", words);
      button.addEventListener("click", () => show(this.task + steps));
      return button;
    };
    const before = step(words.task_before, -1), next = step(words.task_next, 1);
    const show = (number) => {
      this.task = number;
      name.textContent = fill(words.task, { number: number + 1, total: items.length });
      const copy = items[number].cloneNode(true);
      copy.querySelectorAll(".fc-says").forEach((one) => one.remove());
      copy.querySelectorAll("button").forEach((one) => one.replaceWith(...one.childNodes));
      task.replaceChildren(...copy.childNodes);
      before.disabled = number === 0;
      next.disabled = number === items.length - 1;
    };
    const bar = make("div", "fc-tasks", name, task, make("span", "fc-turn", before, next));
    bar.setAttribute("role", "group");
    bar.setAttribute("aria-label", words.tasks);
    show(this.task || 0);
    view.insertBefore(bar, view.querySelector(":scope > .widget-hbox"));
  }

  box(box) {
    const item = box.parentElement.textContent.trim();
    const on = this.ticking.get(item) ?? this.state.ticks.includes(item);
    if (box.dataset.fc !== "own") {
      box.dataset.fc = "own";
      box.setAttribute("aria-label", fill(words.tick, { item }));
      box.parentElement.classList.add("fc-item");
    }
    box.disabled = !this.alive;
    box.checked = on;
  }

  tick(box) {
    if (box.matches?.(".jp-MarkdownOutput li > input[type=checkbox]")) {
      const item = box.parentElement.textContent.trim();
      this.ticking.set(item, box.checked);
      this.keepTick(item);
    }
  }

  // A tick whose kernel is lost before it answers is told to the next one.
  async keepTick(item) {
    const on = this.ticking.get(item);
    if ((await this.ask({ tick: { item, on } })) && this.ticking.get(item) === on) {
      this.ticking.delete(item);
      this.dress();
    }
  }

  word(strong) {
    strong.dataset.fc = "";
    const name = strong.textContent.trim().toLowerCase().replace(/[.,:;]$/, "");
    const found = GLOSSARY.find((one) => [one.word, ...one.also].some((other) => other.toLowerCase() === name));
    if (found && !strong.closest("a, button")) {
      const button = make("button", "fc-word", ...strong.childNodes);
      button.title = fill(words.find, { word: found.word });
      button.setAttribute("aria-expanded", "false");
      button.fcWord = found;
      strong.append(button);
    }
  }

  // A word of the trade opens in place, below the line it stands in; pressed again, it closes.
  explain(target) {
    const button = target.closest?.(".fc-word");
    if (!button) {
      return;
    }
    const block = button.closest("p, li, td, h1, h2, h3") || button.parentElement;
    const open = block.querySelector(":scope > .fc-says") || (block.nextElementSibling?.matches(".fc-says") && block.nextElementSibling);
    const same = open && open.fcWord === button.fcWord;
    if (open) {
      open.remove();
      block.querySelectorAll(".fc-word").forEach((one) => one.setAttribute("aria-expanded", "false"));
    }
    if (!same) {
      const { word, says, lesson } = button.fcWord;
      const page = PAGES.find((one) => one.number === lesson);
      const where = page && page !== this.page ? link(page, "", fill(words.taught, { lesson })) : "";
      const note = make("span", "fc-says", make("b", "", word), " ", says, " ", where);
      note.fcWord = button.fcWord;
      note.setAttribute("role", "status");
      button.setAttribute("aria-expanded", "true");
      block.append(note);
    }
  }

  // The contents -------------------------------------------------------------------------------------------------

  headings() {
    return [...this.panel.content.node.querySelectorAll(":is(.jp-MarkdownOutput, .fc-words-page) h2")];
  }

  list() {
    const headings = this.headings();
    const done = new Map(this.state.parts.map((part) => [part.title, part.done]));
    const key = JSON.stringify([headings.map(plain), [...done]]);
    if (key === this.listed) {
      return;
    }
    this.listed = key;
    const items = headings.map((heading) => {
      const title = plain(heading);
      const button = make("button", "", title);
      button.prepend(make("span", "fc-mark", done.get(title) ? "✓" : ""));
      if (done.has(title)) {
        button.classList.toggle("fc-is-done", done.get(title));
        button.setAttribute("aria-label", `${title}, ${done.get(title) ? words.part_done : words.part_open}`);
      }
      button.addEventListener("click", () => {
        this.fold();
        const now = this.headings().find((one) => plain(one) === title);
        now.scrollIntoView({ block: "start" });
        now.tabIndex = -1;
        now.focus({ preventScroll: true });
      });
      return make("li", "", button);
    });
    const here = items.length ? [make("h2", "", words.on_this_page), make("ol", "", ...items)] : [];
    const all = PAGES.map((page) => {
      const to = link(page, "", named(page));
      if (page === this.page) {
        to.setAttribute("aria-current", "page");
      }
      return make("li", "", to);
    });
    this.contents.replaceChildren(...here, make("div", "fc-all", make("h2", "", words.all_pages), make("ol", "", ...all)));
  }

  unfold() {
    const open = this.contents.classList.toggle("fc-open");
    this.opener.setAttribute("aria-expanded", String(open));
    if (open) {
      this.contents.querySelector("button, a")?.focus();
    }
  }

  fold() {
    if (this.contents.classList.contains("fc-open")) {
      this.unfold();
      this.opener.focus();
    }
  }

  // What is done -------------------------------------------------------------------------------------------------

  // The kernel is up: from now on it is asked, and boxes can be ticked.
  wake() {
    this.alive = true;
    [...this.ticking.keys()].forEach((item) => this.keepTick(item));
    return this.ask();
  }

  // A panel was moved: its part is asked for once the kernel has written that down.
  moved() {
    clearTimeout(this.asking);
    if (this.alive && this.state.parts.some((part) => part.asks && !part.done)) {
      this.asking = setTimeout(() => this.panel.isDisposed || this.ask(), 2500);
    }
  }

  async ask(more = {}) {
    const answer = await this.tell(more).catch(() => null);
    if (answer && !this.panel.isDisposed) {
      this.state = answer;
      this.say();
      this.dress();
    }
    return answer;
  }

  say() {
    const { parts, done } = this.state;
    const lesson = this.page.kind === "lesson";
    const finished = parts.filter((part) => part.done).length;
    this.parts.textContent = lesson && parts.length ? fill(words.parts, { done: finished, total: parts.length }) : "";
    this.parts.style.setProperty("--done", parts.length ? finished / parts.length : 0);
    this.finish(lesson, parts, done);
  }

  finish(lesson, parts, done) {
    const inside = [];
    if (lesson) {
      const open = parts.filter((part) => !part.done).map((part) => part.title);
      const sentence = done ? fill(words.finished, { title: named(this.page) }) : fill(words.not_finished, { parts: open.join(", ") });
      inside.push(make("p", done ? "fc-finished" : "fc-unfinished", `${done ? "✓ " : ""}${sentence}`));
    }
    if (lesson && this.next?.kind !== "lesson") {
      inside.push(...this.farewell());
    } else if (this.next) {
      const minutes = this.next.minutes ? ` (${fill(words.minutes, this.next)})` : "";
      inside.push(make("p", "", fill(words.next_is, { title: named(this.next) }), minutes));
    }
    const turn = make("nav", "fc-turn", ...this.turning(false, link({ file: "home.ipynb" }, "fc-step", words.home)));
    turn.setAttribute("aria-label", words.turn_end);
    this.end.replaceChildren(...inside, turn);
  }

  // The last lesson there is ends with all that one can do now.
  farewell() {
    const list = make("ul", "");
    for (const page of PAGES.filter((one) => one.kind === "lesson" && one.after.length)) {
      list.append(make("li", "", make("b", "", page.number), ` ${page.after.join("; ")}.`));
    }
    const tools = PAGES.filter((one) => ["desk", "present"].includes(one.kind));
    const use = make("p", "fc-turn", `${words.end_use} `, ...tools.map((one) => link(one, "fc-step", one.title.split(":")[0])));
    return [make("h2", "", words.end), list, use];
  }

  // Where one is: the part at the top of the window; and a part that asks nothing is done once its end was in the
  // window for a second: what one jumps over is not read.
  look() {
    if (!this.panel.isVisible) {
      return;
    }
    const frame = this.panel.content.node.getBoundingClientRect();
    const headings = this.headings();
    const tops = headings.map((heading) => heading.getBoundingClientRect().top);
    const at = tops.filter((top) => top < frame.top + 0.4 * frame.height).length - 1;
    this.contents.querySelectorAll("li > button").forEach((button, number) => {
      button.toggleAttribute("data-here", number === at);
    });
    const now = performance.now(), in_view = new Map();
    headings.forEach((heading, number) => {
      const end = tops[number + 1] ?? this.end.getBoundingClientRect().top;
      if (end > frame.top + 40 && end < frame.bottom) {
        in_view.set(plain(heading), this.since.get(plain(heading)) ?? now);
      }
    });
    this.since = in_view;
    const open = this.state.parts.filter((part) => !part.asks && !part.done && !this.read.has(part.name) && in_view.has(part.title));
    const fresh = open.filter((part) => now - in_view.get(part.title) >= READ_MS);
    clearTimeout(this.again);
    if (open.length > fresh.length) {
      this.again = setTimeout(() => this.panel.isDisposed || this.look(), READ_MS);
    }
    if (fresh.length && this.alive) {
      fresh.forEach((part) => this.read.add(part.name));
      this.ask({ read: fresh.map((part) => part.name) });
    }
  }
}
