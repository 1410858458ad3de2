// Where the course runs: in this browser, without a server. Python is a worker of this page; what a
// learner enters lies in a store of the browser's, and is taken from there when Python starts.

const MODULE = "cubital.study.in_browser";
const LAST = "cubital-last-page";
const WHO = "cubital-who"; // whose pages are shown
const WELCOME = "_welcome";
const FIRST = `${WELCOME}/lessons/00-start-here.ipynb`;

const siteFolder = () => new URL(".", location.href.split(/[?#]/)[0]);

const runningKernel = (services, id) => [...services.kernels.running()].find((one) => one.id === id);

// Where Python was asked for a page's notebook, null before there is one.
let asked = null;

const place = {
  course: () => {
    const said = named("course");
    if (said === null) return localStorage.getItem(LAST) ?? FIRST;
    return history.state?.path ?? place.meant(said);
  },
  // Addresses are sent to the server, which may keep a log: they do not say who learns.
  said: (path) => (path.startsWith(`${WELCOME}/`) ? path : path.split("/").slice(1).join("/")),
  meant: (said) => {
    if (said.split("/").length > 2) return said;
    const who = localStorage.getItem(WHO);
    return who ? `${who}/${said}` : FIRST;
  },
  parts: async () => {
    const { IKernelSpecs } = await part("@jupyterlite/kernel");
    const { ITranslator, nullTranslator } = await part("@jupyterlab/translation");
    const { ISettingRegistry, SettingRegistry } = await part("@jupyterlab/settingregistry");
    // JupyterLab's own registry compiles its schemas to scripts, which a strict policy forbids.
    const settings = () => new SettingRegistry({ connector: noSettings, validator: { validateData: () => null } });
    return [
      { id: "cubital-page:settings", autoStart: true, provides: ISettingRegistry, activate: settings },
      { id: "cubital-page:python", autoStart: true, requires: [IKernelSpecs], activate: givePython },
      { id: "cubital-page:language", autoStart: true, provides: ITranslator, activate: () => nullTranslator },
    ];
  },
  read: async (services, path) => {
    if (asked) return ask(asked, `read_page(${JSON.stringify(path)})`);
    const cells = await place.early.notebook(path);
    if (cells) return { cells };
    const reply = await fetch(new URL(`pages/${pageName(path)}.ipynb`, siteFolder()));
    if (!reply.ok) throw new Error(`there is no page ${path}`);
    return reply.json();
  },
  running: async (services, id) => runningKernel(services, id) ?? null,
  // There is no line to Python that could be cut: where it does not answer it is at work.
  state: async (services, id) => (runningKernel(services, id) ? "busy" : "gone"),
  alone: () => aloneInBrowser(),
  ready: async (kernel) => {
    asked = null;
    const { stored } = await ask(kernel, "begun()", {
      first: `await cubital_page.begin(${JSON.stringify(siteFolder().href)})`,
    });
    asked = kernel;
    tellUp(kernel);
    if (!stored) tellAside(NOTHING_STORED);
    keepWhatIsSent(kernel);
  },
  open: async (kernel, path, known) => {
    if (soon || queued) await stored().catch(() => {}); // what cannot be stored is told by its part
    const needs = await place.early.needs(path);
    const opened = await ask(kernel, `open_page(${JSON.stringify(path)}, known=${known})`, {
      first: `await cubital_page.make_room(${JSON.stringify(path)}, ${JSON.stringify(needs)})`,
    });
    localStorage.setItem(LAST, path);
    const [who] = path.split("/");
    if (who !== WELCOME) localStorage.setItem(WHO, who);
    else localStorage.removeItem(WHO);
    place.early.noteDepartment(path, opened.department);
    return opened;
  },
};

const nothing = { schema: { type: "object" }, data: { composite: {}, user: {} }, raw: "{}", version: "1" };
const noSettings = {
  fetch: async (id) => ({ id, ...structuredClone(nothing) }),
  list: async () => ({ ids: [], values: [] }),
  save: async () => {},
  remove: async () => {},
};

// Give JupyterLab the Python that the site carries, all of it asked for from the site.
const givePython = async (front, kernelspecs) => {
  const { PageConfig } = await part("@jupyterlab/coreutils");
  const { url, packages, started } = JSON.parse(PageConfig.getOption("cubitalPython"));
  const python = new URL(url, siteFolder()).href;
  const folder = new URL(".", python);
  const options = {
    pyodideUrl: python,
    pipliteWheelUrl: "",
    pipliteUrls: [],
    disablePyPIFallback: true,
    mountDrive: false,
    contentsManager: front.serviceManager.contents,
    loadPyodideOptions: { lockFileURL: new URL("pyodide-lock.json", folder).href, packages },
  };
  kernelspecs.register({
    spec: { name: "python", display_name: "Python", language: "python", argv: [], resources: {} },
    create: async (given) => {
      const { PyodideKernel } = await part("@jupyterlite/pyodide-kernel");
      const start = tellOfStart();
      options.loadPyodideOptions._loadSnapshot = started ? await unpacked(new URL(started, folder)) : null;
      const logger = ({ payload }) => payload.level === "critical" && start.failed();
      const kernel = new PyodideKernel({ ...given, ...options, logger });
      kernel._worker.addEventListener("error", start.failed); // its script is missing
      kernel.ready.then(start.done);
      return kernel;
    },
  });
};

// Python's memory just after its start; without it Python starts by itself, which takes longer.
const unpacked = async (url) => {
  try {
    const reply = await fetch(url);
    if (!reply.ok) return null;
    return await new Response(reply.body.pipeThrough(new DecompressionStream("gzip"))).arrayBuffer();
  } catch {
    return null;
  }
};

const NOT_STARTED =
  "Python could not be started: the web server did not give out all of it, or something on the way has changed it. " +
  "What you set or type now is not saved. Load the page again; if that does not help, open check.html at this address, " +
  "and show it to your IT department.";
const STARTS_LATE =
  "Python is not up after a minute. On a slow line it may take longer. If this stays, load the page again; if that does " +
  "not help, open check.html at this address, and show it to your IT department.";
const LATE_MS = 60_000;

// What is said of a kernel until it is up.
const tellOfStart = () => {
  let isUp = false;
  let said = null;
  const tell = (words) => {
    if (!isUp) said = tellAside(words).told;
  };
  const late = setTimeout(() => tell(STARTS_LATE), LATE_MS);
  const failed = () => {
    clearTimeout(late);
    tell(NOT_STARTED);
  };
  const done = () => {
    isUp = true;
    clearTimeout(late);
    said?.remove();
  };
  return { failed, done };
};

// Ask the kernel by one expression of the course's own module, after what is to be done `first`;
// what comes back is plain data. This kernel tells it only by showing it. An error is an answer too:
// where one ends a request, JupyterLite drops all that waits behind it, a learner's answers as well.
const ask = async (kernel, expression, { first = "pass" } = {}) => {
  const code = [
    `import ${MODULE} as cubital_page`,
    "from IPython.display import display as cubital_show",
    "try:",
    `    ${first}`,
    `    cubital_show(cubital_page.${expression})`,
    "except Exception as error:",
    "    cubital_show(cubital_page.failed(error))",
  ].join("\n");
  const future = kernel.requestExecute({ code, silent: true, store_history: false });
  let answer = null;
  let error = null;
  future.onIOPub = ({ header, content }) => {
    if (header.msg_type === "display_data") answer = content.data["application/json"];
    if (header.msg_type === "error") error = content;
  };
  const { content } = await future.done;
  if (answer && !("failed" in answer)) return answer;
  throw new NoAnswerError(answer?.failed ?? error?.evalue ?? content.evalue ?? `no answer to ${expression}`);
};
