// The page: a notebook of the course, read through the server and never written, its text drawn
// and its cells run in this window's kernel, in order.

// `turn` counts the pages shown in this window, so that what comes late for an earlier one is left
// out; `process` is the kernel's own name of itself when the page was opened.
const here = { path: "", title: "Cubital", turn: 0, process: "", away: [] };

const makeFrame = () => {
  const frame = element("div", "cubital-page");
  frame.dataset.cubital = "";
  const skip = element("a", "cubital-skip", "Skip to the text");
  skip.href = "#cubital-main";
  const bar = makeBar();
  const rail = makeRail();
  const columns = element("div", "cubital-columns");
  const main = element("main", "cubital-main");
  main.id = "cubital-main";
  main.tabIndex = -1;
  main.setAttribute("aria-busy", "true");
  columns.append(rail.rail, main);
  frame.append(skip, bar.bar, columns);
  document.body.append(frame, makeHelp());
  return { main, bar, rail };
};

const READY_SOON = "The page is being made ready …";

const waiting = (words) => {
  const told = element("p", "cubital-waiting", words);
  told.setAttribute("role", "status");
  return told;
};

const readNotebook = async (services, path) => {
  const { content } = await services.contents.get(path, { type: "notebook", content: true });
  return content.cells.map((cell) => ({ ...cell, source: [cell.source].flat().join("") }));
};

// Links of Markdown and addresses of its pictures, seen from the page that is shown.
const resolverOf = (services) => ({
  isLocal: (href) => !/^([a-z][a-z0-9+.-]*:|\/\/|#)/i.test(href),
  resolveUrl: async (href) => new URL(href, ORIGIN + encodeURI(here.path)).pathname.slice(1),
  getDownloadUrl: async (path) =>
    path.endsWith(".ipynb")
      ? addressOf(decodeURIComponent(path))
      : services.contents.getDownloadUrl(decodeURIComponent(path)),
});

const start = async (front, rendermime, frame) => {
  const services = front.serviceManager;
  const resolver = resolverOf(services);
  const drawn = rendermime.clone({ resolver });
  const kernel = ownKernel(services, aheadOfAll);
  kernel.catch(() => {}); // told where it is waited for
  const predictions = makePredictions(kernel);
  let live = null;

  const clear = () => {
    here.away.splice(0).forEach((takeAway) => takeAway());
    frame.main.replaceChildren();
  };

  const tell = (error, words) => {
    console.error(error);
    frame.main.prepend(notShown(words));
  };

  const drawTexts = async (cells, turn) => {
    for (const cell of cells.filter(({ cell_type: type }) => type === "markdown")) {
      const away = await drawText(cell.source, cell.host, drawn);
      if (turn !== here.turn) return away();
      here.away.push(away);
    }
    return undefined;
  };

  // Show the page's text; its code follows when the kernel is there.
  const lay = async (path, turn) => {
    const cells = await readNotebook(services, path);
    if (turn !== here.turn) return null;
    clear();
    for (const cell of cells) {
      cell.host = element("section", `cubital-block cubital-${cell.cell_type}`);
      cell.host.dataset.block = cell.id;
    }
    predictions.fold(cells);
    frame.main.append(...cells.map(({ host }) => host));
    await drawTexts(cells, turn);
    if (turn !== here.turn) return null;
    predictions.draw(cells);
    const title = frame.main.querySelector("h1")?.textContent ?? path;
    document.title = here.title = `${title} · Cubital`;
    frame.bar.show(path, title);
    frame.rail.show([...frame.main.querySelectorAll("h2")]);
    return cells;
  };

  const runAll = async (cells, turn, own) => {
    live ??= drawLive(own, drawn, resolver);
    await live;
    for (const cell of cells.filter(({ cell_type: type }) => type === "code")) {
      if (turn !== here.turn) return;
      const away = await drawOutput(cell.source, cell.host, drawn, own);
      if (turn !== here.turn) away();
      else here.away.push(away);
    }
  };

  const show = async ({ path, hash, top, stepped }) => {
    here.path = path;
    const turn = (here.turn += 1);
    frame.main.setAttribute("aria-busy", "true");
    frame.bar.begin();
    frame.bar.show(path, "");
    if (stepped) {
      scrollTo(0, 0);
      frame.main.focus({ preventScroll: true });
    }
    try {
      let missing = null;
      let cells = await lay(path, turn).catch((error) => void (missing = error));
      if (turn !== here.turn) return;
      const own = await kernel;
      const known = live ? "True" : "False";
      const asked = ask(own, `open_page(${JSON.stringify(path)}, known=${known})`);
      const opened = await asked.catch((error) => { throw missing ?? error; });
      if (turn !== here.turn) return;
      here.process = opened.process;
      document.dispatchEvent(new CustomEvent("cubital-opened", { detail: opened }));
      if (opened.restored) cells = await lay(path, turn);
      else if (missing) throw missing;
      if (cells) await runAll(cells, turn, own);
    } catch (error) {
      if (turn === here.turn) tell(error, wordsFor(error));
    }
    if (turn !== here.turn) return;
    frame.main.removeAttribute("aria-busy");
    if (hash) document.getElementById(decodeURIComponent(hash.slice(1)))?.scrollIntoView();
    else if (top) scrollTo(0, top);
  };

  mendLinks(frame.main);
  followLinks(show);
  await show({ path: named("course"), hash: location.hash, top: history.state?.top ?? 0 });
};

const wordsFor = (error) =>
  error?.response?.status === 404
    ? "There is no such page in this course. Go to the first page: press “Cubital”, top left."
    : "The page could not be made ready.";
