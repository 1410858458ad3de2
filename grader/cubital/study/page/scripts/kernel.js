// The kernel of this window, and of no other. Its id stands in the window's own store, so that a
// reload takes it again; a lock tells a duplicated window that it needs one of its own.

const KEPT = "cubital-kernel";
const MODULE = "cubital.study.page_kernel";

const hold = (id) =>
  new Promise((resolve) => {
    if (!navigator.locks) return resolve(false);
    return navigator.locks.request(`cubital-${id}`, { ifAvailable: true }, (lock) => {
      resolve(lock !== null);
      return lock && new Promise(() => {}); // held as long as the window is there
    });
  });

const startKernel = async (services) => {
  await services.kernelspecs.ready;
  return services.kernels.startNew({ name: services.kernelspecs.specs.default, path: "" });
};

// Return the window's kernel: the one that was started ahead, or that of before a reload, or new.
const ownKernel = async (services, ahead) => {
  const { KernelAPI } = await part("@jupyterlab/services");
  for (const id of [ahead, sessionStorage.getItem(KEPT)]) {
    if (!id || !(await hold(id))) continue;
    const running = await KernelAPI.listRunning(services.serverSettings);
    const model = running.find((one) => one.id === id);
    if (!model) continue;
    sessionStorage.setItem(KEPT, id);
    return services.kernels.connectTo({ model });
  }
  const kernel = await startKernel(services);
  await hold(kernel.id);
  sessionStorage.setItem(KEPT, kernel.id);
  return kernel;
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
    throw new Error(answer?.evalue ?? content.evalue ?? `no answer to ${expression}`);
  }
  return answer.data["application/json"];
};
