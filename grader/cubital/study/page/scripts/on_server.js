// Where the course runs: here, on a server of JupyterLab. `in_browser.js` says the same where there
// is no server.

const MODULE = "cubital.study.page_kernel";

const place = {
  // Which page the address names, or null for an address that is not ours.
  course: () => named("course"),
  // How an address says a page, and which page it means by that.
  said: (path) => path,
  meant: (said) => said,
  // What JupyterLab is given beside the page.
  parts: async () => [],
  // A page's notebook.
  read: async (services, path) => {
    const { content } = await services.contents.get(path, { type: "notebook", content: true });
    return content;
  },
  // The kernel of this id that runs, as the server tells it, or null.
  running: async (services, id) => {
    const { KernelAPI } = await part("@jupyterlab/services");
    const running = await KernelAPI.listRunning(services.serverSettings);
    return running.find((one) => one.id === id && one.execution_state !== "dead") ?? null;
  },
  // What the server knows of a kernel: its state, or "gone".
  state: async (services, id) => {
    const { KernelAPI } = await part("@jupyterlab/services");
    const model = await KernelAPI.getKernelModel(id, services.serverSettings);
    return !model || model.execution_state === "dead" ? "gone" : model.execution_state;
  },
  // Wait until this window may have a kernel: here any may.
  alone: async () => {},
  // Make a new kernel ready for pages.
  ready: async () => {},
  // Open a page in the kernel.
  open: (kernel, path, known) => ask(kernel, `open_page(${JSON.stringify(path)}, known=${known})`),
};

// Ask the kernel by one expression of the course's own module; what comes back is plain data.
const ask = async (kernel, expression) => {
  const future = kernel.requestExecute({
    code: `import ${MODULE} as cubital_page`,
    silent: true,
    store_history: false,
    user_expressions: { answer: `cubital_page.${expression}` },
  });
  const { content } = await future.done;
  const answer = content.user_expressions?.answer;
  if (answer?.status !== "ok") {
    throw new NoAnswerError(answer?.evalue ?? content.evalue ?? `no answer to ${expression}`);
  }
  return answer.data["application/json"];
};
