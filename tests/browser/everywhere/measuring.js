// What is wrong with how a page stands, as a list of lines: text that its box or the window cuts
// off, text and controls over one another, and controls too small for a finger. Nothing is listed
// of what is folded away or said to screen readers alone.
() => {
  const LEAST = 24; // CSS pixels, WCAG 2.2, 2.5.8
  const faults = [];
  const say = (node) => {
    const words = (node.textContent || node.value || node.ariaLabel || "").trim();
    const kind = node.className?.baseVal ?? node.className ?? "";
    return `${node.tagName.toLowerCase()}.${kind} “${words.replaceAll(/\s+/g, " ").slice(0, 50)}”`;
  };
  const root = document.documentElement;
  if (root.scrollWidth > innerWidth) faults.push(`the page is ${root.scrollWidth} wide`);

  const styles = new Map();
  const style = (node) => {
    if (!styles.has(node)) styles.set(node, getComputedStyle(node));
    return styles.get(node);
  };
  const isSpokenOnly = (node) => [...ancestors(node)].some((one) => style(one).clipPath !== "none");
  const isShown = (node) =>
    node.checkVisibility({ visibilityProperty: true, contentVisibilityAuto: true }) && !isSpokenOnly(node);
  const inner = (a, b) => ({
    left: Math.max(a.left, b.left), right: Math.min(a.right, b.right),
    top: Math.max(a.top, b.top), bottom: Math.min(a.bottom, b.bottom),
  });
  const hides = (value) => value !== "visible";
  const scrolls = (value) => value === "auto" || value === "scroll";

  // The lines of text, each with its box.
  const lines = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const range = document.createRange();
  for (let text = walker.nextNode(); text; text = walker.nextNode()) {
    const holder = text.parentElement;
    if (!text.textContent.trim() || !isShown(holder)) continue;
    if (["SCRIPT", "STYLE", "OPTION", "TITLE", "DESC"].includes(holder.tagName.toUpperCase())) continue;
    range.selectNodeContents(text);
    for (const box of range.getClientRects()) {
      if (box.width > 1 && box.height > 1) lines.push({ holder, box });
    }
  }
  for (const { holder, box } of lines) {
    if (box.left < -1 || box.right > innerWidth + 1) {
      const reached = [...ancestors(holder)].some((one) => scrolls(style(one).overflowX) && one.tabIndex >= 0);
      if (!reached) faults.push(`outside the window: ${say(holder)}`);
    }
    for (const one of ancestors(holder)) {
      const { overflowX: across, overflowY: down } = style(one);
      if (!hides(across) && !hides(down)) continue;
      if (one === document.body || one === root) continue;
      const edge = one.getBoundingClientRect();
      const cutAcross = hides(across) && !scrolls(across) && (box.left < edge.left - 1 || box.right > edge.right + 1);
      const cutDown = hides(down) && !scrolls(down) && (box.top < edge.top - 2 || box.bottom > edge.bottom + 2);
      if (cutAcross || cutDown) {
        faults.push(`cut off by ${say(one).split(" ")[0]}: ${say(holder)}`);
        break;
      }
    }
  }
  function* ancestors(node) {
    for (let one = node; one; one = one.parentElement) yield one;
  }

  // What is pressed, typed into or moved: with its label, and the whole of a link that is no word
  // of a sentence.
  const controls = [...document.querySelectorAll(
    "a[href], button, input, select, textarea, summary, [role='slider'], [role='button']",
  )].filter((node) => isShown(node) && node.getBoundingClientRect().width > 1);
  const inSentence = (node) =>
    node.tagName === "A" && style(node).display === "inline" &&
    node.parentElement.textContent.trim() !== node.textContent.trim();
  const reach = (node) => {
    const boxes = [node, ...(node.labels ?? [])].map((one) => one.getBoundingClientRect());
    const isTicked = node.type === "checkbox" || node.type === "radio";
    return (isTicked ? boxes : boxes.slice(0, 1)).map(({ width, height }) => [width, height]);
  };
  for (const node of controls.filter((one) => !inSentence(one))) {
    const wide = reach(node).some(([width, height]) => width >= LEAST - 0.5 && height >= LEAST - 0.5);
    if (!wide) faults.push(`smaller than ${LEAST}: ${say(node)} ${JSON.stringify(reach(node).map((one) => one.map(Math.round)))}`);
  }

  const isOver = (a, b, least) => {
    const both = inner(a, b);
    return both.right - both.left > least && both.bottom - both.top > least;
  };
  // a link of a sentence that goes on in the next line has a box in each
  const boxesOf = (node) => (inSentence(node) ? [...node.getClientRects()] : [node.getBoundingClientRect()]);
  const boxes = controls.flatMap((node) => boxesOf(node).map((box) => ({ holder: node, box, control: true })));
  const all = [...lines, ...boxes];
  all.sort((a, b) => a.box.top - b.box.top);
  all.forEach((a, place) => {
    for (let other = place + 1; other < all.length && all[other].box.top < a.box.bottom; other += 1) {
      const b = all[other];
      if (a.holder.contains(b.holder) || b.holder.contains(a.holder)) continue;
      if (a.holder.labels && [...a.holder.labels].some((label) => label.contains(b.holder))) continue;
      if (b.holder.labels && [...b.holder.labels].some((label) => label.contains(a.holder))) continue;
      // lines of one sentence may share a pixel or two of their leading
      if (isOver(a.box, b.box, a.control && b.control ? 1 : 3)) faults.push(`over each other: ${say(a.holder)} and ${say(b.holder)}`);
    }
  });
  return [...new Set(faults)];
}
