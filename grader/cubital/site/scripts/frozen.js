// What a page shows before Python answers. Of a lesson it is what its cells show at their defaults,
// drawn when the site was built; of a worksheet its questions as they stood here last, kept in a
// store of the browser's. A part is drawn by its own script with a stand-in for Python's side.

const PART = "application/vnd.cubital.part+json";
const FIELD = "cubital.worksheet.fields.AnswerField";
const OPENING = "What is saved here is being read. What you enter now is not saved yet.";
const DEPARTMENT = "cubital-department:"; // and the learner's folder

// Python's side of a part as far as the page needs it: what is set stays, what is sent is not heard.
const standIn = (given) => {
  const state = { ...given };
  const told = new Map();
  const each = (names, act) => names.split(" ").forEach(act);
  return {
    get: (name) => state[name],
    set: (name, value) => {
      if (JSON.stringify(state[name]) === JSON.stringify(value)) return;
      state[name] = value;
      [...(told.get(`change:${name}`) ?? [])].forEach((hear) => hear());
    },
    on: (names, hear) => each(names, (name) => told.set(name, (told.get(name) ?? new Set()).add(hear))),
    off: (names, hear) => each(names, (name) => told.get(name)?.delete(hear)),
    save_changes: () => {},
    send: () => {},
    widget_manager: null,
  };
};

const moduleOf = async (text) => {
  const url = URL.createObjectURL(new Blob([text], { type: "text/javascript" }));
  const { default: own } = await import(url);
  URL.revokeObjectURL(url);
  return own;
};

// One style a class of parts, where the live part of the class looks for it.
const putStyle = (id, text) => {
  if (document.getElementById(id)) return;
  const style = element("style", "", text);
  style.id = id;
  document.head.append(style);
};

// `shown` are the parts of the page; JupyterLab's model of an output would copy their bytes as text.
const frozenRenderer = async ({ modules, styles }, shown) => {
  const { Widget } = await part("@lumino/widgets");
  const loaded = modules.map(moduleOf);
  return class extends Widget {
    async renderModel({ data }) {
      const { module, style, state } = shown[data[PART].place];
      putStyle(state._anywidget_id, styles[style]);
      const { render } = await loaded[module];
      if (this.isDisposed) return;
      this.end = await render({ model: standIn(state), el: this.node });
    }

    dispose() {
      this.end?.();
      super.dispose();
    }
  };
};

const drawFrozen = async (frozen, cells, rendermime, isWanted) => {
  const { Widget } = await part("@lumino/widgets");
  const { OutputAreaModel, SimplifiedOutputArea } = await part("@jupyterlab/outputarea");
  const shown = [];
  const Frozen = await frozenRenderer(frozen, shown);
  const asModel = ({ data, ...output }) =>
    data[PART] ? { ...output, data: { [PART]: { place: shown.push(data[PART]) - 1 } } } : { ...output, data };
  const own = rendermime.clone();
  own.addFactory({ safe: false, mimeTypes: [PART], createRenderer: () => new Frozen() }, -20);
  if (!isWanted()) return;
  const isAsWide = frozen.width === innerWidth && frozen.size === document.documentElement.style.fontSize;
  for (const { id, host, cell_type: type } of cells.filter((cell) => cell.cell_type === "code")) {
    if (isAsWide && frozen.heights[id]) host.style.minHeight = `${frozen.heights[id]}px`;
    const values = frozen.cells[id]?.map(asModel);
    if (!values) continue;
    const area = new SimplifiedOutputArea({ model: new OutputAreaModel({ trusted: true, values }), rendermime: own });
    area.addClass("cubital-early");
    putEarly(host, attached(Widget, area, host));
  }
};

// Bytes stand in the file of a page as text.
const bytesOf = (text) => new DataView(Uint8Array.from(atob(text), (one) => one.charCodeAt(0)).buffer);
const withBytes = (key, value) => (typeof value?.$base64 === "string" ? bytesOf(value.$base64) : value);

const done = (request) =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });

const keptPages = async (mode) => {
  const opening = indexedDB.open("cubital-early", 1);
  opening.onupgradeneeded = () => opening.result.createObjectStore("pages");
  return (await done(opening)).transaction("pages", mode).objectStore("pages");
};

const folderOf = (path) => path.split("/").slice(0, -2).join("/");
const pageName = (path) => (folderOf(path) === "_welcome" ? "_welcome" : path.split("/").at(-1).replace(/\.ipynb$/, ""));

const toldOfSite = async () => {
  const { PageConfig } = await part("@jupyterlab/coreutils");
  return JSON.parse(PageConfig.getOption("cubitalFrozen"));
};

// A page as it was kept in this browser, by this edition of the course.
const keptPage = async (path) => {
  const { edition } = await toldOfSite();
  const kept = await keptPages("readonly").then((pages) => done(pages.get(path))).catch(() => null); // a private window
  return kept?.edition === edition ? kept : null;
};

const builtPage = async (path) => {
  const { pages } = await toldOfSite();
  if (!pages.includes(pageName(path)) || localStorage.getItem(DEPARTMENT + folderOf(path))) return null;
  const reply = await fetch(new URL(`pages/${pageName(path)}.frozen.json`, siteFolder()));
  return reply.ok ? JSON.parse(await reply.text(), withBytes) : null;
};

// A question as the page shows it until Python has read what is saved of it; none where showing it
// is already a part of the answer.
const asOpened = (state) => ({ ...state, state: "empty", status: OPENING, told_wrong: false, meant: "", there: [] });
const isShownEarly = (model) =>
  model?.get("_anywidget_id") === FIELD &&
  model.get("state") !== "blocked" &&
  !model.get("once") &&
  !["", "trials"].includes(model.get("kind"));

const placeIn = (texts, text) => (texts.includes(text) ? texts.indexOf(text) : texts.push(text) - 1);

// The question of a practice that the site has ready, of that which the learner has, or will have.
const readyPage = async (path) => {
  const { practices } = await toldOfSite();
  const ready = practices[pageName(path)];
  const who = folderOf(path);
  if (!ready || who.includes("/")) return null;
  const names = Object.keys(ready).sort();
  const has = await storedFile(`/learners/${who}/${pageName(path)}/release.json`).catch(() => null);
  const first = [...who].reduce((sum, letter) => sum + letter.codePointAt(0), 0) % names.length;
  const file = ready[has ? JSON.parse(has).name : names[first]];
  const reply = file && (await fetch(new URL(file, siteFolder())));
  if (!reply?.ok) return null;
  const page = JSON.parse(await reply.text(), withBytes);
  for (const { data } of Object.values(page.cells).flat()) data[PART].state = asOpened(data[PART].state);
  return page;
};

// A file that Python has stored in this browser; none where it has stored nothing yet.
const storedFile = async (path) => {
  const opening = indexedDB.open("/learners");
  opening.onupgradeneeded = () => opening.transaction.abort(); // there is none: it is Python's to make
  const store = await done(opening);
  try {
    const found = await done(store.transaction("FILE_DATA").objectStore("FILE_DATA").get(path));
    return found ? new TextDecoder().decode(found.contents) : null;
  } finally {
    store.close();
  }
};

const keepPage = async (path, cells, reviewed, modelOf) => {
  const { edition, pages } = await toldOfSite();
  const name = pageName(path);
  if (pages.includes(name) || name === "finish") return;
  const page = {
    edition,
    width: innerWidth,
    size: document.documentElement.style.fontSize,
    reviewed,
    notebook: cells.map(({ id, cell_type, source, metadata }) => ({ id, cell_type, source, metadata })),
    modules: [],
    styles: [],
    heights: {},
    cells: {},
  };
  for (const { id, host, outputs } of cells.filter((cell) => cell.outputs)) {
    page.heights[id] = host.offsetHeight;
    const shown = outputs.toJSON().find(({ data }) => data?.[LIVE]);
    const model = shown ? await modelOf(shown.data[LIVE].model_id) : null;
    if (!isShownEarly(model)) continue;
    const { _esm, _css, layout, tabbable, tooltip, ...state } = model.attributes;
    const data = { [PART]: { module: placeIn(page.modules, _esm), style: placeIn(page.styles, _css), state: asOpened(state) } };
    page.cells[id] = [{ output_type: "display_data", data, metadata: {} }];
  }
  await done((await keptPages("readwrite")).put(page, path));
};

// What others had on their pages is forgotten, and all of it where somebody finishes.
const forgetPages = async (path) => {
  const own = pageName(path) === "finish" ? null : `${folderOf(path)}/`;
  const keys = await done((await keptPages("readonly")).getAllKeys());
  const others = keys.filter((key) => own === null || !key.startsWith(own));
  if (!others.length) return;
  const pages = await keptPages("readwrite");
  others.forEach((key) => pages.delete(key));
};

// The browser asks before the window closes, as long as something typed waits for Python.
addEventListener("beforeunload", (event) => {
  if (document.querySelector(".cubital-early [data-state='typing']")) event.preventDefault();
});

place.early = {
  // The libraries that a page needs beside those that all have.
  needs: async (path) => (await toldOfSite()).needs[pageName(path)] ?? [],
  notebook: async (path) => (await keptPage(path))?.notebook ?? null,
  draw: async (path, cells, rendermime, isWanted) => {
    const frozen = (await keptPage(path)) ?? (await builtPage(path)) ?? (await readyPage(path));
    if (!frozen || !isWanted()) return null;
    await drawFrozen(frozen, cells, rendermime, isWanted);
    return frozen.reviewed;
  },
  // Python has opened a page and run its cells.
  opened: async (path, { cells, reviewed }, modelOf, isWanted) => {
    if (!window.indexedDB) return;
    await forgetPages(path);
    if (isWanted()) await keepPage(path, cells, reviewed, modelOf);
  },
  noteDepartment: (path, hasOwn) => {
    if (hasOwn) localStorage.setItem(DEPARTMENT + folderOf(path), "yes");
    else localStorage.removeItem(DEPARTMENT + folderOf(path));
  },
};
