// The news: how it stands with the page itself, said in words while that is not as usual.

const NEWS = {
  "": "",
  opening: "This page is still starting. What you set and type is kept, and saved once it is up.",
  busy: "Still at work. What you set and type is kept.",
  away: "There is no connection at the moment. What you set and type is kept, and saved as soon as it is back.",
  healing: "The figures and boxes on this page had stopped. They are being started again, with what you set and typed.",
  healed: "Everything on this page works again, with what you set and typed.",
  failed: "The figures and boxes on this page could not be started again. Load the page again: what was saved comes back.",
};
const READ_MS = 5000; // what is good news stays for so long, and until the page is touched after it

const makeNews = () => {
  const news = element("p", "cubital-news");
  news.setAttribute("role", "status");
  let now = "";
  let since = 0;
  const show = (key) => {
    now = key;
    since = performance.now();
    news.dataset.news = key;
    news.textContent = NEWS[key];
  };
  // What was bad and has an end of its own is not taken back because the kernel answers.
  const say = (key) => {
    if (key === now || (key === "" && ["healing", "healed", "failed"].includes(now))) return;
    show(key);
  };
  const touched = () => {
    if (now === "healed" && performance.now() - since > READ_MS) show("");
  };
  for (const name of ["pointerdown", "keydown"]) {
    document.addEventListener(name, touched, { capture: true, passive: true });
  }
  document.addEventListener("cubital-turned", () => show(""));
  return { news, say };
};
