// The first script of a site: it asks the browser for what the course cannot do without, gives
// JupyterLab what it is told, with full addresses, since a site may lie in any folder of a server,
// and loads it. What is missing is told on the page.

"use strict";

const BEGIN_STYLE = document.getElementById("begin-style");
const NO_PAGE = element("style", ".cubital-page { display: none; }"); // what others still add

const tell = (title, children) => {
  const main = element("main", "", [element("h1", title), ...children]);
  main.dataset.cubital = "";
  document.body.replaceChildren(main);
  document.head.append(BEGIN_STYLE, NO_PAGE);
  document.title = `${title} – Cubital`;
};

const leadTo = (page, words, rest) => {
  const link = element("a", words);
  link.href = page;
  return element("p", "", [link, rest]);
};

const toCheck = () =>
  leadTo("check.html", "Check this browser", " goes through all that the course needs, with what helps.");

const tellMissing = (missing) => {
  const cards = missing.map((need) => {
    const card = element("section", "", [
      element("h2", need.name),
      element("p", need.missing),
      element("p", need.helps),
    ]);
    card.className = "card harm";
    return card;
  });
  const toIt = leadTo("for-it.html", "For the IT department", ": what a web server has to be set to.");
  const out = window.top === window.self ? [] : [element("p", "", [toOwnWindow()])];
  tell("The course cannot begin in this browser", [...cards, ...out, toCheck(), toIt]);
};

const tellUnloaded = (what) =>
  tell("The course could not be loaded", [
    element("p", `The web server did not give out ${what}. Load the page again; if that does not help, tell the IT department: the folder may be incomplete.`),
    toCheck(),
  ]);

// On a page that is isolated from other sites the kernel would take another kind of worker, by which
// its messages come to nothing.
Object.defineProperty(window, "crossOriginIsolated", { value: false });

// A script that was not given out, whoever asked for it, before the page was once ready.
const tellOfMissingScripts = () =>
  addEventListener(
    "error",
    ({ target }) => {
      const isReady = document.querySelector(".cubital-page main:not([aria-busy])");
      if (target instanceof HTMLScriptElement && !isReady) tellUnloaded(new URL(target.src).pathname);
    },
    { capture: true },
  );

(async () => {
  const there = await Promise.all(NEEDS.map(isThere));
  const missing = NEEDS.filter((need, at) => !there[at] && !need.begins);
  if (missing.length) {
    tellMissing(missing[0] === NEEDS[0] ? [NEEDS[0]] : missing);
    return;
  }
  const root = new URL(".", location.href).href;
  const full = (path) => new URL(path, root).href;
  const reply = await fetch(full("site.json")).catch(() => null);
  if (!reply?.ok) {
    tellUnloaded("site.json");
    return;
  }
  const told = await reply.json();
  told.baseUrl = new URL(root).pathname;
  for (const key of ["appUrl", "fullLabextensionsUrl", "fullStaticUrl"]) {
    told[key] = new URL(told[key], root).pathname.replace(/\/$/, "");
  }
  document.getElementById("jupyter-config-data").textContent = JSON.stringify(told);
  tellOfMissingScripts();
  const script = document.createElement("script");
  script.src = full("build/lab/bundle.js");
  script.main = "index";
  script.onload = () => document.querySelectorAll("#begin, #begin-style").forEach((one) => one.remove());
  document.head.append(script);
})();
