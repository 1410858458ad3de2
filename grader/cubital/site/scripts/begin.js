// The first script of a site: it gives JupyterLab what it is told, with full addresses, since a site
// may lie in any folder of a server, and loads it.

"use strict";

(async () => {
  const root = new URL(".", location.href).href;
  const full = (path) => new URL(path, root).href;
  const told = await (await fetch(full("site.json"))).json();
  told.baseUrl = new URL(root).pathname;
  for (const key of ["appUrl", "fullLabextensionsUrl", "fullStaticUrl"]) {
    told[key] = new URL(told[key], root).pathname.replace(/\/$/, "");
  }
  document.getElementById("jupyter-config-data").textContent = JSON.stringify(told);
  const script = document.createElement("script");
  script.src = full("build/lab/bundle.js");
  script.main = "index";
  document.head.append(script);
})();
