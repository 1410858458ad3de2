// The kernel of this window, and of no other. Its id stands in the window's own store, so that a
// reload takes it again; a lock tells a duplicated window that it needs one of its own.

const KEPT = "cubital-kernel";
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
  await place.alone();
  await services.kernelspecs.ready;
  const kernel = await services.kernels.startNew({ name: services.kernelspecs.specs.default, path: "" });
  await hold(kernel.id);
  sessionStorage.setItem(KEPT, kernel.id);
  await place.ready(inOneOrder(kernel));
  return kernel;
};

// Return the window's kernel: the one that was started ahead, or that of before a reload, or new.
const ownKernel = async (services, ahead) => {
  for (const id of [ahead, sessionStorage.getItem(KEPT)]) {
    if (!id || !(await hold(id))) continue;
    const model = await place.running(services, id);
    if (!model) continue;
    sessionStorage.setItem(KEPT, id);
    return inOneOrder(services.kernels.connectTo({ model }));
  }
  return startKernel(services);
};

// What the server knows of a kernel: its state, "gone" if there is none, "unreachable" if the server
// does not answer.
const stateOf = async (services, id) => {
  const state = await within(place.state(services, id), SERVER_MS).catch(() => LATE);
  return state === LATE ? "unreachable" : state;
};

// The kernel answered, but not with what was asked for.
class NoAnswerError extends Error {}
