// What was typed on a page and has not been taken by its kernel; offered back beside its box when the kernel is lost.

import { bar, fill, line, words } from "./said.js";

const BOXES = ".jp-OutputArea :is(input:not([type]), input[type=text], input[type=number], textarea)";

const HOLD_MS = 3000; // longer than a slow kernel needs to write; what is held too long is not offered if it stands there

const SENT_MS = 20; // within this a widget sends what it kept back

const label = (box) =>
  (
    box.getAttribute("aria-label") ||
    box.labels?.[0]?.textContent ||
    box.closest(".jupyter-widgets")?.querySelector("label, .widget-label")?.textContent ||
    box.placeholder ||
    ""
  ).trim();

export class Typed {
  constructor(panel) {
    this.panel = panel;
    this.boxes = new Map(); // box: {text, sent: when it left the box, or nothing}
    this.asked = new Set(); // messages that the kernel has not worked off
    this.heard = new WeakSet();
    this.offers = [];
    this.held = []; // buttons that were pressed before the letters typed just before them had all been sent
    panel.node.addEventListener("input", (event) => this.note(event.target), true);
    panel.node.addEventListener("change", (event) => this.note(event.target, performance.now()), true);
    panel.node.addEventListener("click", (event) => this.hold(event, event.target.closest("button")), true);
    panel.node.addEventListener("keypress", (event) => {
      if (event.key === "Enter") {
        this.hold(event, event.target.closest(".fc-card")?.querySelector("button"));
      }
    }, true);
    this.observer = new MutationObserver(() => this.place());
  }

  // A widget keeps its next letters back while the kernel is at work on the ones before, and a button does not: it would
  // overtake them. So it waits until the kernel has worked off what was sent, and is then pressed.
  hold(event, button) {
    const early = this.held.length || (this.asked.size && this.boxes.size);
    if (early && event.isTrusted && button?.matches(".jp-OutputArea button:not([data-fc-print])")) {
      event.preventDefault();
      event.stopImmediatePropagation();
      this.held.push(button);
    }
  }

  release() {
    if (!this.asked.size) {
      this.held.splice(0).forEach((button) => button.click());
    }
  }

  note(box, sent) {
    if (box.matches(BOXES) && (!sent || this.boxes.has(box))) {
      this.boxes.set(box, { text: box.value, sent });
    }
  }

  // A box's text is taken if the kernel still answers HOLD_MS after it has worked off every message that followed it: a
  // widget sends the next of two messages when the first is done, and the kernel writes when typing has paused. It is not
  // taken while a tool says that it waits for such a pause.
  listen(kernel) {
    if (!kernel || this.heard.has(kernel)) {
      return;
    }
    this.heard.add(kernel);
    kernel.anyMessage.connect((_, { msg, direction }) => {
      if (direction === "send" && msg.header.msg_type === "comm_msg") {
        this.asked.add(msg.header.msg_id);
      } else if (msg.content?.execution_state === "idle" && this.asked.delete(msg.parent_header.msg_id)) {
        this.later(kernel, performance.now());
        setTimeout(() => this.release(), SENT_MS);
      }
    });
  }

  later(kernel, before) {
    setTimeout(async () => {
      if (this.panel.isDisposed) {
        return;
      }
      if (this.panel.node.querySelector(".fc-waiting")) {
        this.later(kernel, before);
      } else if (!this.asked.size && (await kernel.requestKernelInfo().catch(() => null))) {
        this.taken(before);
      }
    }, HOLD_MS);
  }

  taken(before) {
    for (const [box, { sent }] of this.boxes) {
      if (sent < before) {
        this.boxes.delete(box);
      }
    }
  }

  cells() {
    return this.panel.content.widgets.map((cell) => [...cell.node.querySelectorAll(BOXES)]);
  }

  // Kept by cell, label, and place among the boxes of that label: the run that follows makes every box anew. Until it
  // has, nothing is placed: the old boxes still show the very text that is to be offered.
  keep() {
    this.observer.disconnect();
    this.cells().forEach((boxes, cell) => {
      for (const box of boxes.filter((one) => this.boxes.has(one))) {
        const name = label(box);
        const place = boxes.filter((one) => label(one) === name).indexOf(box);
        this.offers = this.offers.filter((one) => one.cell !== cell || one.name !== name || one.place !== place);
        this.offers.push({ cell, name, place, typed: box.value });
      }
    });
    this.forget();
  }

  forget() {
    this.boxes.clear();
    this.asked.clear();
    this.held = [];
  }

  offer() {
    this.forget();
    if (this.offers.length) {
      this.observer.observe(this.panel.node, { childList: true, subtree: true });
      this.place();
    }
  }

  // Panels exchange their boxes while one works on them: each line follows its box, or waits in the bar for it.
  place() {
    const cells = this.cells();
    for (const offer of this.offers) {
      const box = cells[offer.cell]?.filter((one) => label(one) === offer.name)[offer.place];
      if (box && box.value === offer.typed && !offer.node) {
        this.drop(offer);
      } else if (box && offer.box !== box) {
        this.lift(offer);
        offer.box = box;
        offer.node = this.line(offer, box);
        (box.closest(".fc-row, .widget-hbox") || box.closest(".jupyter-widgets") || box).after(offer.node);
      } else if (!box && (offer.box || !offer.waits)) {
        this.lift(offer);
        offer.waits = true;
        const elsewhere = { typed: offer.typed, box: offer.name || words.a_box };
        bar.say(offer, fill(words.typed_elsewhere, elsewhere), true);
      }
    }
  }

  line(offer, box) {
    const put = () => {
      this.drop(offer);
      box.focus();
      box.value = offer.typed;
      for (const event of ["input", "change"]) {
        box.dispatchEvent(new Event(event, { bubbles: true }));
      }
    };
    const sentence = fill(words.typed, { typed: offer.typed });
    const made = line("div", sentence, [words.put_back, put], [words.leave_out, () => this.drop(offer)]);
    made.className = "first-charge-typed";
    made.setAttribute("role", "status");
    return made;
  }

  lift(offer) {
    offer.node?.remove();
    bar.clear(offer);
    offer.box = offer.node = offer.waits = undefined;
  }

  drop(offer) {
    this.lift(offer);
    this.offers = this.offers.filter((one) => one !== offer);
    if (!this.offers.length) {
      this.observer.disconnect();
    }
  }

  dispose() {
    this.observer.disconnect();
    this.offers.forEach((offer) => bar.clear(offer));
  }
}
