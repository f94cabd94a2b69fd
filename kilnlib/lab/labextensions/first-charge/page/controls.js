// What our controls need beyond what they bring: names for a screen reader, and keys.

// A presenter's keys, and a clicker's: each presses the button that it stands for.
const KEYS = {
  ArrowRight: "next", PageDown: "next", ArrowLeft: "back", PageUp: "back", ArrowDown: "reveal", r: "reset", R: "reset",
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

export const serveControls = () => {
  new MutationObserver(nameControls).observe(document.body, { childList: true, subtree: true, characterData: true });
  document.addEventListener("keydown", goDown, true);
  document.addEventListener("keydown", present, true);
};
