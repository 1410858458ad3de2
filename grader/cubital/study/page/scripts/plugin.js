// What JupyterLab is given: one part, which acts only where the address names a page of the course.

const shown = place.course() !== null;
const aheadOfAll = named("kernel");
let frame = null;

if (shown) {
  takeOverHistory();
  keepTitle();
  document.documentElement.dataset.cubital = "page";
  const style = element("style");
  style.textContent = STYLE;
  document.head.append(style);
  frame = makeFrame();
  frame.main.append(waiting(READY_SOON));
}

window._JUPYTERLAB = window._JUPYTERLAB || {};
window._JUPYTERLAB["cubital-page"] = {
  init: async (given) => { scope = given; },
  get: async () => {
    if (shown) await ownWorkspace();
    const { IRenderMimeRegistry } = await part("@jupyterlab/rendermime");
    const plugin = {
      id: "cubital-page:page",
      autoStart: true,
      requires: [IRenderMimeRegistry],
      activate: (front, rendermime) => {
        if (!shown) return;
        silence(front);
        start(front, rendermime, frame);
      },
    };
    const parts = shown ? await place.parts() : [];
    return () => ({ default: [...parts, plugin], __esModule: true });
  },
};
