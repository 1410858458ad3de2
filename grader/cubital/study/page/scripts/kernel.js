// The kernel of this window, and of no other. Its id stands in the window's own store, so that a
// reload takes it again; a lock tells a duplicated window that it needs one of its own.

const KEPT = "cubital-kernel";
const MODULE = "cubital.study.page_kernel";
const SERVER_MS = 4000; // within which a server answers that can be reached

const LATE = Symbol("late");
const pause = (ms) => new Promise((resolve) => setTimeout(resolve, ms));
const within = (promise, ms) => Promise.race([promise, pause(ms).then(() => LATE)]);

const hold = (id) =>
  new Promise((resolve) => {
    if (!navigator.locks) return resolve(false);
    return navigator.locks.request(`cubital-${id}`, { ifAvailable: true }, (lock) => {
      resolve(lock !== null);
      return lock && new Promise(() => {}); // held as long as the window is there
    });
  });

// Figures and fields are answered in the order in which they are asked, as all else is: so an answer
// tells that everything before it was heard.
const inOneOrder = (kernel) => {
  kernel.commsOverSubshells = "disabled";
  return kernel;
};

const startKernel = async (services) => {
  await services.kernelspecs.ready;
  const kernel = await services.kernels.startNew({ name: services.kernelspecs.specs.default, path: "" });
  await hold(kernel.id);
  sessionStorage.setItem(KEPT, kernel.id);
  return inOneOrder(kernel);
};

// Return the window's kernel: the one that was started ahead, or that of before a reload, or new.
const ownKernel = async (services, ahead) => {
  const { KernelAPI } = await part("@jupyterlab/services");
  for (const id of [ahead, sessionStorage.getItem(KEPT)]) {
    if (!id || !(await hold(id))) continue;
    const running = await KernelAPI.listRunning(services.serverSettings);
    const model = running.find((one) => one.id === id && one.execution_state !== "dead");
    if (!model) continue;
    sessionStorage.setItem(KEPT, id);
    return inOneOrder(services.kernels.connectTo({ model }));
  }
  return startKernel(services);
};

// What the server knows of a kernel: its state, "gone" if there is none, "unreachable" if the server
// does not answer.
const stateOf = async (services, id) => {
  const { KernelAPI } = await part("@jupyterlab/services");
  const asked = KernelAPI.getKernelModel(id, services.serverSettings);
  const model = await within(asked, SERVER_MS).catch(() => LATE);
  if (model === LATE) return "unreachable";
  return !model || model.execution_state === "dead" ? "gone" : model.execution_state;
};

// The kernel answered, but not with what was asked for.
class NoAnswerError extends Error {}

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
