// The line across the top of the window, and the small ones beside a box. The words come from kilnlib/words/page.py.

// What the server told the page; see kilnlib/lab/server.py.
export const config = JSON.parse(document.getElementById("jupyter-config-data").textContent);
export const words = config.firstChargeWords || {};

export const wait = (milliseconds) => new Promise((done) => setTimeout(done, milliseconds));

export const fill = (sentence, fields) => sentence.replace(/\{(\w+)\}/g, (_, name) => fields[name]);

// A sentence with buttons, each a [words, action] pair.
export const line = (kind, sentence, ...buttons) => {
  const made = document.createElement(kind);
  made.append(sentence);
  for (const [name, action] of buttons) {
    const button = document.createElement("button");
    button.textContent = name;
    button.addEventListener("click", action);
    made.append(button);
  }
  return made;
};

// One line for each that has something to say: a red one that stays, or calm ones that a person closes.
export const bar = {
  said: new Map(),

  say(who, sentence, calm = false) {
    const close = [words.close, () => this.clear(who)];
    this.said.set(who, { sentence, calm, node: line("p", sentence, ...(calm ? [close] : [])) });
    this.show();
  },

  clear(who) {
    if (this.said.delete(who)) {
      this.show();
    }
  },

  show() {
    document.querySelector(".first-charge-bar")?.remove();
    const all = [...this.said.values()];
    const urgent = all.filter((one) => !one.calm);
    const shown = urgent.length ? urgent : all;
    if (shown.length) {
      const node = document.createElement("div");
      node.className = urgent.length ? "first-charge-bar" : "first-charge-bar first-charge-calm";
      node.setAttribute("role", urgent.length ? "alert" : "status");
      const once = new Map(shown.map((one) => [one.sentence, one.node]));
      node.append(...once.values());
      document.body.append(node);
    }
  },
};
