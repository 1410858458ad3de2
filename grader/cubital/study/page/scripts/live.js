// Figures and forms that live in the kernel, drawn by JupyterLab's own manager of them.

const LIVE = "application/vnd.jupyter.widget-view+json";

// The manager is made for a notebook that is open; this is as much of one as it asks for.
const contextOf = async (kernel, resolver) => {
  const { Signal } = await part("@lumino/signaling");
  return {
    sessionContext: {
      ready: Promise.resolve(),
      session: { kernel },
      kernelChanged: new Signal({}),
      statusChanged: kernel.statusChanged,
      connectionStatusChanged: kernel.connectionStatusChanged,
    },
    model: { getMetadata: () => undefined, setMetadata: () => {} },
    saveState: new Signal({}),
    urlResolver: resolver,
  };
};

// Let a page's outputs show live parts of this kernel's process; return how a part is found by its id,
// and how to end that.
const drawLive = async (kernel, rendermime, resolver) => {
  const { registerWidgetManager } = await part("@jupyter-widgets/jupyterlab-manager");
  const { Panel } = await part("@lumino/widgets");
  const context = await contextOf(kernel, resolver);
  const manager = await new Promise((resolve) => {
    registerWidgetManager(context, rendermime, [{ set manager(made) { resolve(made); } }]);
  });

  class Live extends Panel {
    async renderModel(model) {
      try {
        const live = await manager.get_model(model.data[LIVE].model_id);
        const view = await manager.create_view(live);
        this.addWidget(view.luminoWidget ?? view.pWidget);
      } catch (error) {
        console.error(error);
        this.node.replaceChildren(notShown());
      }
    }
  }
  rendermime.removeMimeType(LIVE);
  rendermime.addFactory({ safe: false, mimeTypes: [LIVE], createRenderer: () => new Live() }, -10);
  const end = () => {
    context.sessionContext.session = null;
    manager.dispose();
  };
  return { end, modelOf: (id) => manager.get_model(id) };
};
