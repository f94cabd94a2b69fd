// A JupyterLab extension written by hand: a module-federation container with two plugins. No npm, no build.
(() => {
  const beside = (name) => new URL(name, here).href;
  const here = document.currentScript.src;
  let shared;

  const get = async () => {
    const { activate, connectionLost } = await import(beside("pages.js"));
    const { config } = await import(beside("said.js"));
    const of = async (name) => (await Object.values(shared[name])[0].get())();
    const application = await of("@jupyterlab/application");
    const { Widget } = await of("@lumino/widgets");
    const { PageConfig } = await of("@jupyterlab/coreutils");
    const plugins = [
      { id: "first-charge:open", autoStart: true, activate: (app) => activate(app, Widget, PageConfig) },
      // In place of JupyterLab's own dialog, which says nothing of what is saved, and says it after seven seconds.
      { id: "first-charge:gone", autoStart: true, provides: application.IConnectionLost, activate: () => connectionLost },
    ];
    return () => ({ __esModule: true, default: config.firstChargeOwn ? plugins : plugins.slice(0, 1) });
  };

  window._JUPYTERLAB = window._JUPYTERLAB || {};
  window._JUPYTERLAB["first-charge"] = { init: (scope) => void (shared = scope), get };
})();
