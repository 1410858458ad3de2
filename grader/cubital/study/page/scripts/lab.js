// JupyterLab's parts, from what it shares with everything that is added to it.

let scope = null;

const part = async (name) => {
  const versions = scope[name];
  if (!versions) throw new Error(`JupyterLab does not share ${name}`);
  const [newest] = Object.keys(versions).reverse();
  return (await versions[newest].get())();
};

// JupyterLab keeps what is open in a workspace, and sends a second window with the same one away:
// each window of the course has its own, and nothing that was open elsewhere comes back in it.
const ownWorkspace = async () => {
  const { PageConfig } = await part("@jupyterlab/coreutils");
  PageConfig.setOption("workspace", `course-${unique()}`);
};

// Nothing of JupyterLab's own is to be seen, heard or reached by a key while the page is shown. Its
// shell stays there, undisplayed, since its parts expect one.
const silence = (front) => {
  front.commands.processKeydownEvent = () => {};
  front.contextMenu.open = () => false;
};

// The window's title is the page's; JupyterLab writes its own name there, late.
const keepTitle = () => {
  const keep = () => {
    if (document.title !== here.title) document.title = here.title;
  };
  new MutationObserver(keep).observe(document.head, { childList: true, subtree: true, characterData: true });
  keep();
};
