// No key and no click turns a page of ours into code or raw text, or adds, copies or moves a cell. What has the focus is
// hidden from JupyterLab's shortcuts for the length of one key press; controls and the browser itself get every key.

const SUPPRESS = "data-lm-suppress-shortcuts";

export const lockPages = (shown) => {
  const inside = (node) => node instanceof Element && node.closest(".first-charge");
  const ours = (node) => inside(node) || (shown() && (node === document.body || node === document.documentElement));

  const key = (event) => {
    const target = event.target;
    if (!ours(target) || (event.key === "Enter" && event.ctrlKey)) {
      return; // Ctrl-Enter runs a cell again and changes nothing of it
    }
    if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "s") {
      event.preventDefault(); // the browser would offer to save the page as a file
    }
    if (!target.hasAttribute(SUPPRESS)) {
      target.setAttribute(SUPPRESS, "true");
      setTimeout(() => target.removeAttribute(SUPPRESS));
    }
  };

  const stop = (event) => inside(event.target) && event.stopPropagation();
  window.addEventListener("keydown", key, true);
  for (const kind of ["dblclick", "contextmenu", "dragstart", "lm-dragenter", "paste", "drop"]) {
    window.addEventListener(kind, stop, true); // the browser still selects the word, shows its own menu, pastes
  }
};
