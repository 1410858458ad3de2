// The page: a notebook of the course, read through the server and never written, its text drawn
// and its cells run in this window's kernel, in order.

// `turn` counts the runs of pages in this window, so that what comes late for an earlier one is left
// out. `kernel` is the window's own, null while it starts; `process` is its name of itself when the
// page was opened, empty until then. `texts` and `outputs` are how to take away what is drawn.
const here = { path: "", title: "Cubital", turn: 0, kernel: null, process: "", texts: [], outputs: [] };

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
  const { news, say } = makeNews();
  frame.append(skip, bar.bar, columns, news);
  document.body.append(frame, makeHelp());
  return { main, bar, rail, say };
};

const DRAWN_SOON_MS = 1000; // after its cells have run, all of a page is drawn
const READY_SOON = "The page is being made ready …";

const waiting = (words) => {
  const told = element("p", "cubital-waiting", words);
  told.setAttribute("role", "status");
  return told;
};

const readNotebook = async (services, path) => {
  const { cells } = await place.read(services, path);
  return cells.map((cell) => ({ ...cell, source: [cell.source].flat().join("") }));
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
  const { ServerConnection } = await part("@jupyterlab/services");
  const keeping = makeKeeping();
  let laid = { path: "", cells: [] }; // a page's cells, with the elements they are drawn into
  let live = null; // the process whose live parts are shown, and how to end that
  let starting = null;
  let isFirst = true;

  const takeAway = (drawings) => drawings.splice(0).forEach((one) => one());

  const clear = () => {
    endAllEarly();
    takeAway(here.texts);
    takeAway(here.outputs);
    frame.main.replaceChildren();
  };

  const tell = (error, words) => {
    console.error(error);
    frame.main.prepend(notShown(words));
  };

  const isCutOff = (error) =>
    error instanceof ServerConnection.NetworkError || error?.response?.status >= 502;

  // Try until the server can be reached, as long as that is still wanted.
  const reached = async (what, isWanted = () => true) => {
    for (;;) {
      try {
        return await what();
      } catch (error) {
        if (!isWanted() || !isCutOff(error)) throw error;
        frame.say("away");
        await pause(RETRY_MS);
      }
    }
  };

  const makeKernel = async () => {
    const make = isFirst ? () => ownKernel(services, aheadOfAll) : () => startKernel(services);
    isFirst = false;
    here.kernel = await reached(make);
    watch.follow(here.kernel);
    return here.kernel;
  };

  const haveKernel = async () => {
    if (here.kernel) return here.kernel;
    starting ??= makeKernel().finally(() => (starting = null));
    return starting;
  };

  const predictions = makePredictions(haveKernel);

  const drawTexts = async (cells, turn) => {
    for (const cell of cells.filter(({ cell_type: type }) => type === "markdown")) {
      const away = await drawText(cell.source, cell.host, drawn);
      if (turn !== here.turn) return away();
      here.texts.push(away);
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
    frame.main.append(...foldNumbers(cells));
    await drawTexts(cells, turn);
    if (turn !== here.turn) return null;
    nameFolds(frame.main);
    predictions.draw(cells);
    const title = frame.main.querySelector("h1")?.textContent ?? path;
    document.title = here.title = `${title} · Cubital`;
    frame.bar.show(path, title);
    frame.rail.show([...frame.main.querySelectorAll("h2")]);
    laid = { path, cells, isEarly: !here.kernel };
    return true;
  };

  // Show what there is of the page's parts before the kernel answers, where there is such.
  const layEarly = async (turn) => {
    const isWanted = () => turn === here.turn && !here.kernel;
    if (!place.early || !isWanted() || laid.path !== here.path) return;
    frame.say("opening");
    const drawing = place.early.draw(here.path, laid.cells, drawn, isWanted);
    const reviewed = await drawing.catch((error) => console.warn(error));
    if (reviewed && isWanted()) tellReviews(reviewed);
  };

  // Whether the page's text, laid before the kernel could read it, is what the learner's file holds.
  const isAsLaid = async () => {
    if (!place.early || !laid.isEarly) return true;
    const told = (cells) => JSON.stringify(cells.map(({ id, source }) => [id, source]));
    return told(await readNotebook(services, here.path)) === told(laid.cells);
  };

  // Who has reviewed the page, under its first text, and what nobody has.
  const tellReviews = (notices) => {
    frame.main.querySelector(".cubital-reviewed")?.remove();
    const first = frame.main.querySelector(".cubital-markdown");
    if (!first || !notices.length) return;
    const told = element("div", "cubital-reviewed");
    told.append(...notices.map((words) => element("p", "", words)));
    first.append(told);
  };

  const runCells = async (turn, kernel) => {
    if (live && live.process !== here.process) live.end();
    if (live?.process !== here.process) {
      live = { process: here.process, ...(await drawLive(kernel, drawn, resolver)) };
    }
    for (const cell of laid.cells.filter(({ cell_type: type }) => type === "code")) {
      if (turn !== here.turn) return;
      const { away, outputs } = await drawOutput(cell.source, cell.host, drawn, kernel, watch.waited);
      cell.outputs = outputs;
      if (turn !== here.turn) away();
      else here.outputs.push(away);
    }
  };

  // Open the page in the kernel and run its cells. What is missing on the disk may be put back there.
  const run = async (turn, missing = null) => {
    const kernel = await haveKernel();
    if (turn !== here.turn) return;
    const asked = place.open(kernel, here.path, live ? "True" : "False");
    const opened = await watch.waited(asked).catch((error) => { throw missing ?? error; });
    if (turn !== here.turn) return;
    here.process = opened.process;
    document.dispatchEvent(new CustomEvent("cubital-opened", { detail: opened }));
    if (missing && !opened.restored) throw missing;
    if (opened.restored || laid.path !== here.path || !(await isAsLaid())) {
      if (laid.path === here.path) keeping.take();
      if (!(await reached(() => lay(here.path, turn), () => turn === here.turn))) return;
    }
    laid.reviewed = opened.reviewed;
    tellReviews(opened.reviewed);
    await runCells(turn, kernel);
  };

  const begin = () => {
    here.turn += 1;
    here.process = "";
    frame.main.setAttribute("aria-busy", "true");
    watch.forget();
    return here.turn;
  };

  // Whatever ends a run is told in words, but for the end of the kernel: then the page is run again.
  const finish = (turn, error) => {
    if (turn !== here.turn) return false;
    if (error && !isSaid(error)) {
      console.warn(error);
      watch.undone();
      return false;
    }
    if (error) tell(error, wordsFor(error));
    frame.main.removeAttribute("aria-busy");
    return true;
  };

  const show = async ({ path, hash, top, stepped }) => {
    if (here.path) keeping.leave();
    here.path = path;
    const turn = begin();
    frame.bar.begin();
    frame.bar.show(path, "");
    keeping.open(path);
    if (stepped) {
      scrollTo(0, 0);
      frame.main.focus({ preventScroll: true });
    }
    const isWanted = () => turn === here.turn;
    let missing = null;
    const error = await reached(() => lay(path, turn), isWanted)
      .catch((reason) => void (missing = reason))
      .then(() => layEarly(turn))
      .then(() => run(turn, missing))
      .then(() => null, (reason) => reason);
    if (!finish(turn, error)) return;
    frame.say("");
    if (hash) document.getElementById(decodeURIComponent(hash.slice(1)))?.scrollIntoView();
    else if (top) scrollTo(0, top);
    loosen(turn);
    keepEarly(turn);
  };

  // Blocks that kept their height while they were drawn anew have their own again.
  const loosen = async (turn) => {
    await pause(DRAWN_SOON_MS);
    if (turn === here.turn) laid.cells.forEach(({ host }) => (host.style.minHeight = ""));
  };

  // What the page shows is kept for when it is opened again, before the kernel answers.
  const keepEarly = async (turn) => {
    await pause(DRAWN_SOON_MS);
    const isWanted = () => turn === here.turn;
    if (!place.early || !isWanted()) return;
    await place.early.opened(here.path, laid, live.modelOf, isWanted).catch((error) => console.warn(error));
  };
  let keepingSoon = null;
  document.addEventListener("cubital-saving", ({ detail: { state } }) => {
    if (state !== "saved" || frame.main.hasAttribute("aria-busy")) return;
    clearTimeout(keepingSoon);
    keepingSoon = setTimeout(keepEarly, 0, here.turn);
  });

  // Run the page again, with what was set and typed; in a new kernel if the old one is gone.
  const heal = async ({ fresh }) => {
    frame.say("healing");
    const focus = focusPlace();
    const heights = laid.cells.map(({ host }) => host.offsetHeight);
    keeping.take();
    const turn = begin();
    if (fresh) here.kernel = null;
    takeAway(here.outputs);
    frame.bar.forgetParts();
    frame.main.querySelectorAll(":scope > .cubital-told").forEach((told) => told.remove());
    laid.cells.forEach(({ host, cell_type: type }, n) => {
      if (type !== "code") return;
      early.delete(host);
      host.replaceChildren();
      host.style.minHeight = `${heights[n]}px`; // what is read stays where it is
    });
    const error = await run(turn).then(() => null, (reason) => reason);
    if (!finish(turn, error)) return;
    frame.say("healed");
    focusAgain(focus);
    await loosen(turn);
  };

  const watch = makeWatch(services, { heal, say: frame.say });
  haveKernel().catch(() => {}); // told where it is waited for
  mendLinks(frame.main);
  followLinks(show);
  await show({ path: place.course(), hash: location.hash, top: history.state?.top ?? 0 });
};

// An error of the page itself; all others come from a kernel that ended.
const isSaid = (error) => error instanceof NoAnswerError || error?.response !== undefined;

const wordsFor = (error) =>
  error?.response?.status === 404
    ? "There is no such page in this course. Go to the first page: press “Cubital”, top left."
    : "The page could not be made ready.";
