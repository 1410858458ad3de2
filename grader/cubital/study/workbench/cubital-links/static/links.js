// Links between the course's pages are steps in the browser: one address, one page, and Back and
// Forward lead from one to the other. JupyterLab by itself opens a linked notebook in the same
// page and adds addresses to the browser's history that it does not come back to.

(() => {
  "use strict";
  const settings = document.getElementById("jupyter-config-data");
  const base = JSON.parse(settings.textContent).baseUrl;
  const files = `${base}files/`;

  history.pushState = history.replaceState.bind(history);

  const follow = (event) => {
    const link = event.target.closest?.(".jp-RenderedMarkdown a[href]");
    const elsewhere = event.ctrlKey || event.metaKey || event.shiftKey || event.altKey;
    if (!link || elsewhere || event.button !== 0) return;
    const to = new URL(link.href);
    if (to.origin !== location.origin || !to.pathname.endsWith(".ipynb")) return;
    if (!to.pathname.startsWith(files)) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    location.assign(`${base}doc/tree/${to.pathname.slice(files.length)}${to.hash}`);
  };
  document.addEventListener("click", follow, { capture: true });

  // JupyterLab asks every part for its plugins; this one needs none.
  window._JUPYTERLAB = window._JUPYTERLAB || {};
  window._JUPYTERLAB["cubital-links"] = {
    init: async () => {},
    get: async () => () => ({ default: [], __esModule: true }),
  };
})();
