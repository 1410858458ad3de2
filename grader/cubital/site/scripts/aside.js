// What is said beside the page, and stays until it is dealt with.

const NOTHING_STORED =
  "This browser stores nothing here, as in a private window: what you enter is gone when you close it. " +
  "Press “Save my file” before you do.";

const NOT_STORED =
  "This browser has not stored what you entered or chose last; it may have no room. The page tries again by itself. " +
  "Press “Save my file” before you close this window.";

// Say it; where there is something to press, return that.
const tellAside = (words, press = "") => {
  document.querySelector(".cubital-aside")?.remove();
  const told = element("div", "cubital-aside");
  told.setAttribute("role", "status");
  told.append(element("p", "", words));
  const pressed = press && button(press, () => {});
  if (pressed) told.append(pressed);
  document.querySelector(".cubital-page").append(told);
  return { told, pressed };
};
