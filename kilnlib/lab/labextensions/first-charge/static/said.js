// The line across the top of the window, and the small ones beside a box. The words come from kilnlib/lab/words.py.

export const words = JSON.parse(document.getElementById("jupyter-config-data").textContent).firstChargeWords || {};

export const STYLE = `
  .first-charge-bar {position: fixed; z-index: 20000; inset: 0 0 auto 0; padding: 10px 16px; font-size: 16px; line-height: 1.35;
    color: #ffffff; background: #7a2410; box-shadow: 0 2px 6px rgba(0, 0, 0, 0.4);}
  .first-charge-bar.first-charge-calm {color: #1f1f1f; background: #ffe9b8;}
  .first-charge-bar p {margin: 0; padding: 2px 0;}
  .first-charge-typed {flex: none; margin: 2px 0; padding: 4px 8px; font-size: 14px; line-height: 1.35; white-space: normal;
    color: #1f1f1f; background: #ffe9b8; border-left: 4px solid #7a2410;}
  .first-charge-bar button, .first-charge-typed button {margin: 0 0 0 10px; padding: 2px 10px; font: inherit; color: #1f1f1f;
    background: #ffffff; border: 1px solid #1f1f1f; border-radius: 3px; cursor: pointer;}
  .first-charge .jp-OutputArea[inert] {opacity: 0.55;}`;

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
