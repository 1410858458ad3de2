// The rail lists the page's sections where there is room, and marks the one that is being read: the
// one that has the focus, if that is in view.

const makeRail = () => {
  const rail = element("nav", "cubital-rail");
  rail.setAttribute("aria-label", "Sections of this page");
  let links = [];
  const line = () => {
    const focused = document.activeElement;
    const at = focused?.closest("main") && !focused.matches("main") ? focused.getBoundingClientRect().top : 0;
    return at > 0 && at < innerHeight ? at : innerHeight / 3;
  };
  const mark = () => {
    const at = line();
    const read = links.findLast(({ section }) => section.getBoundingClientRect().top < at);
    for (const { link } of links) {
      if (link === read?.link) link.setAttribute("aria-current", "true");
      else link.removeAttribute("aria-current");
    }
  };
  addEventListener("scroll", mark, { passive: true });
  addEventListener("focusin", mark);
  return {
    rail,
    show: (sections) => {
      const list = element("ol");
      links = sections.map((section) => {
        const item = element("li");
        const link = element("a", "", section.textContent);
        link.href = `#${encodeURIComponent(section.id)}`;
        item.append(link);
        list.append(item);
        return { section, link };
      });
      rail.replaceChildren(...(links.length ? [list] : []));
      rail.hidden = !links.length;
      mark();
    },
  };
};
