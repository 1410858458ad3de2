// Which page the address names, and the way from page to page. The browser's history holds one
// entry a page; JupyterLab, which writes addresses of its own, is kept away from it.

const ORIGIN = "https://course.invalid/";
const push = history.pushState.bind(history);
const replace = history.replaceState.bind(history);

const named = (key) => new URLSearchParams(location.search).get(key);

const addressOf = (path, hash = "") => {
  const address = new URL(location.href);
  address.search = `?course=${encodeURIComponent(place.said(path)).replaceAll("%2F", "/")}`;
  address.hash = hash;
  return address.href;
};

// Where a link on the page at `from` leads: a page of the course, or null if it is none.
const pageOf = (href, from) => {
  const to = new URL(href, ORIGIN + encodeURI(from));
  const isPage = to.href.startsWith(ORIGIN) && to.pathname.endsWith(".ipynb");
  return isPage ? { path: decodeURIComponent(to.pathname.slice(1)), hash: to.hash } : null;
};

// How far down one has read stands in the entry, for a reload and for Back; with it the page.
const keepPlace = () => replace({ top: scrollY, path: here.path }, "", location.href);

const takeOverHistory = () => {
  history.pushState = () => {};
  history.replaceState = () => {};
  history.scrollRestoration = "manual";
  const path = place.course();
  replace({ ...history.state, path }, "", addressOf(path, location.hash)); // no token, no kernel
  addEventListener("pagehide", keepPlace);
};

// The page of the course that a link's address names, or null.
const leadsTo = (link) => {
  const to = new URL(link.href);
  const isHere = to.origin === location.origin && to.pathname === location.pathname;
  const said = isHere ? to.searchParams.get("course") : null;
  const path = said && (link.dataset.course ?? place.meant(said));
  return path ? { path, hash: to.hash, href: to.href } : null;
};

// Links are made addresses of the page as soon as they are there, whoever draws them, and open in
// the same window.
const mendLinks = (root) => {
  const mend = (node) => {
    for (const link of node.querySelectorAll('a[href*=".ipynb"]')) {
      const to = pageOf(link.getAttribute("href"), here.path);
      if (to) link.href = addressOf(to.path, to.hash);
      if (to) link.dataset.course = to.path;
      if (link.target && leadsTo(link)) link.removeAttribute("target");
    }
  };
  const observer = new MutationObserver((changes) => {
    new Set(changes.map(({ target }) => target.parentNode ?? target)).forEach(mend);
  });
  const attributeFilter = ["href", "target"];
  observer.observe(root, { childList: true, subtree: true, attributeFilter });
};

// Follow links between pages without loading JupyterLab again; `show` draws what is named.
const followLinks = (show) => {
  document.addEventListener("click", (event) => {
    const link = event.target.closest?.("a[href]");
    const elsewhere = event.ctrlKey || event.metaKey || event.shiftKey || event.altKey;
    if (!link || link.target || elsewhere || event.button !== 0) return;
    const to = leadsTo(link);
    if (!to) return;
    event.preventDefault();
    if (to.path === here.path && to.hash) {
      location.hash = to.hash;
      return;
    }
    keepPlace();
    push({ path: to.path }, "", to.href);
    show({ path: to.path, hash: to.hash, top: 0, stepped: true });
  });
  addEventListener("popstate", (event) => {
    const path = event.state?.path ?? place.meant(named("course"));
    if (path === here.path) return; // a step inside the page
    show({ path, hash: location.hash, top: event.state?.top ?? 0, stepped: true });
  });
};
