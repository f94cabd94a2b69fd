// A notebook is used in one tab at a time: all tabs have one kernel, and where its cells run again, what another tab shows
// of them ends. A lock of the browser's says who has it; the browser gives it back when a tab is closed or loaded again.

const lock = (panel, options, had, lost) =>
  navigator.locks
    .request(`first-charge ${panel.context.path}`, options, async (given) => {
      had(given !== null);
      if (given !== null) {
        await new Promise((gone) => panel.disposed.connect(gone));
      }
    })
    .catch(() => lost?.()); // taken over by another tab: what the kernel then says stands in the cell

const ask = (panel, words) =>
  new Promise((use) => {
    const bar = document.createElement("div");
    bar.className = "first-charge-elsewhere";
    bar.setAttribute("role", "alert");
    bar.style.top = `${panel.content.node.offsetTop}px`;
    const button = document.createElement("button");
    button.textContent = words.take_over;
    button.addEventListener("click", () => {
      bar.remove();
      use();
    });
    bar.append(words.open_elsewhere, button);
    panel.node.append(bar);
  });

// Resolves when this tab has the notebook: at once, or when the person takes it over from the other one.
export const mine = async (panel, words, lost) => {
  if (!navigator.locks) {
    return;
  }
  const free = await new Promise((had) => lock(panel, { ifAvailable: true }, had, lost));
  if (!free) {
    await ask(panel, words);
    await new Promise((had) => lock(panel, { steal: true }, had, lost));
  }
};

// The cursor stands in the first box of a tool as soon as the tool is there.
export const begin = () => {
  const first = document.querySelector(".fc-begin:not([data-begun]) input:not([disabled])");
  if (first) {
    first.closest(".fc-begin").setAttribute("data-begun", "true");
    first.focus({ preventScroll: true });
  }
};
