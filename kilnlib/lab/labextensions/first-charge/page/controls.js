// What our controls need beyond what they bring: names for a screen reader, and keys.

// A presenter's keys, and a clicker's: each presses the button that it stands for.
const KEYS = {
  ArrowRight: "forward", PageDown: "forward", ArrowLeft: "back", PageUp: "back", ArrowDown: "reveal", r: "reset",
  R: "reset", Home: "first", End: "last", Backspace: "undo", 1: "bet-1", 2: "bet-2", 3: "bet-3", 4: "bet-4",
};
const DARK = ["b", "B", "."];
const BROWSERS = ["Tab", "Enter", " ", "Escape", "F5", "F11"]; // these do what they do in any page

// A slider's handle takes the name that stands beside it, and a box without a label of its own takes its tip. Keys
// pressed there stay there: an arrow in a list of choices would else move on to the next cell.
const nameControls = () => {
  for (const control of document.querySelectorAll(":is(.fc-view, .fc-present) :is(select, input):not([data-lm-suppress-shortcuts])")) {
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

// While the screens are shown no key reaches JupyterLab, whose own would insert cells or ask to end the kernel.
const present = (event) => {
  const panel = document.querySelector(".first-charge-present:not(.lm-mod-hidden)");
  const typing = event.target.matches?.("input, textarea, select");
  if (!panel || !(event.target === document.body || panel.contains(event.target))) {
    return;
  }
  if (typing && event.key === "Enter") {
    event.target.blur(); // what is typed is taken, and the keys are the screens' again
    event.stopPropagation();
    return;
  }
  if (typing && !event.key.startsWith("Page")) {
    return;
  }
  if (event.key !== "Escape") {
    event.stopPropagation();
  }
  if (event.ctrlKey || event.altKey || event.metaKey) {
    if (event.key.toLowerCase() === "s") {
      event.preventDefault(); // nothing here is to be saved as a page
    }
    return;
  }
  if (panel.classList.contains("fc-dark") || DARK.includes(event.key)) {
    event.preventDefault();
    panel.classList.toggle("fc-dark"); // a key pressed in the dark does nothing else
    return;
  }
  if (!BROWSERS.includes(event.key)) {
    event.preventDefault();
    panel.querySelector(`.fc-key-${KEYS[event.key]}`)?.click();
  }
};

// A button that carries a page prints it: laid in a frame that nobody sees, so that nothing must be found and opened.
// One that has its page made first (fc-prints) is pressed once too: what comes up within LONGEST_MS is printed.
const LONGEST_MS = 30000;
const CARRIER = "button[data-fc-print]";
let awaited = 0;

const printPressed = (event) => {
  const button = event.target.closest?.(CARRIER);
  if (button) {
    printPage(button);
  } else if (event.target.closest?.("button.fc-prints")) {
    awaited = Date.now() + LONGEST_MS;
    document.querySelectorAll(CARRIER).forEach((old) => old.setAttribute("data-fc-old", ""));
  }
};

const printAwaited = () => {
  const button = Date.now() < awaited && document.querySelector(`${CARRIER}:not([data-fc-old])`);
  if (button) {
    awaited = 0;
    printPage(button);
  }
};

const printPage = (button) => {
  document.querySelector("iframe.fc-printed")?.remove();
  const frame = document.createElement("iframe");
  frame.className = "fc-printed";
  frame.title = button.textContent;
  frame.addEventListener("load", () => frame.contentWindow.print());
  const bytes = Uint8Array.from(atob(button.dataset.fcPrint), (letter) => letter.codePointAt(0));
  frame.srcdoc = new TextDecoder().decode(bytes);
  document.body.append(frame);
};

// A guess that is made takes its button along: what is marked as next (fc-next-in-turn) has the focus once it is shown,
// however late and however often the panel is laid anew, until a key or the mouse is used.
const LOOK_MS = 200;
let turn = 0;

const guessPressed = (event) => {
  turn = 0;
  if (event.type === "click" && event.target.closest?.(".fc-predict button")) {
    turn = Date.now() + LONGEST_MS;
    giveTurn();
  }
};

const giveTurn = () => {
  if (Date.now() > turn) {
    return;
  }
  const marked = [...document.querySelectorAll(".fc-next-in-turn :is(select, input, button)")];
  const shown = marked.find((control) => control.offsetParent);
  if (shown && !document.activeElement?.matches(":is(select, input, button, a, [role=slider])")) {
    shown.focus({ preventScroll: true });
  }
  setTimeout(giveTurn, LOOK_MS);
};

export const serveControls = () => {
  document.addEventListener("click", printPressed, true);
  document.addEventListener("click", guessPressed, true);
  document.addEventListener("keydown", guessPressed, true);
  new MutationObserver(printAwaited).observe(document.body, { childList: true, subtree: true });
  new MutationObserver(nameControls).observe(document.body, { childList: true, subtree: true, characterData: true });
  document.addEventListener("keydown", goDown, true);
  window.addEventListener("keydown", present, true); // before the document, where JupyterLab listens
};
