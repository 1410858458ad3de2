// A page is made of blocks, one a cell: a text, or what a cell shows. Each is drawn into an element
// of its own, and gives back how to take it away.

const notShown = (why = "") => {
  const words = why || "Something that belongs here could not be shown.";
  const told = element("p", "cubital-told", `${words} Load the page again; your answers stay. `);
  told.append("If that does not help, see Help above.");
  return told;
};

const attached = (Widget, widget, host) => {
  Widget.attach(widget, host);
  return () => widget.dispose();
};

const drawText = async (source, host, rendermime) => {
  const { Widget } = await part("@lumino/widgets");
  const { MimeModel } = await part("@jupyterlab/rendermime");
  const renderer = rendermime.createRenderer("text/markdown");
  const data = { "text/markdown": source };
  await renderer.renderModel(new MimeModel({ data, trusted: true }));
  renderer.node.querySelectorAll(".jp-InternalAnchorLink").forEach((link) => link.remove());
  renderer.node.querySelectorAll("h1, h2, h3, h4").forEach((heading) => {
    heading.id ||= heading.dataset.jupyterId ?? heading.textContent.trim().replaceAll(" ", "-");
  });
  return attached(Widget, renderer, host);
};

// What the course says in words of its own may be read by anybody; all else is a programmer's.
const SAID_IN_WORDS = new Set(["ValueError"]);

const drawOutput = async (source, host, rendermime, kernel, waited) => {
  const { Widget } = await part("@lumino/widgets");
  const { OutputAreaModel, SimplifiedOutputArea } = await part("@jupyterlab/outputarea");
  const model = new OutputAreaModel({ trusted: true });
  const area = new SimplifiedOutputArea({ model, rendermime });
  const away = attached(Widget, area, host);
  const future = kernel.requestExecute({ code: source, allow_stdin: false, stop_on_error: false });
  future.registerMessageHook(({ header, content }) => {
    if (header.msg_type === "stream" && content.name === "stderr") {
      console.warn(content.text);
      return false;
    }
    if (header.msg_type !== "error") return true;
    console.error(content.traceback.join("\n"));
    host.append(notShown(SAID_IN_WORDS.has(content.ename) ? `${content.evalue}.` : ""));
    return false;
  });
  area.future = future;
  await waited(future.done).catch((error) => {
    away();
    throw error;
  });
  takeOverFromEarly(host, model.toJSON().some(({ data }) => data?.[LIVE]));
  return { away, outputs: model };
};
