// Within a page of another site, as in a learning platform: browsers keep what is entered there
// apart from a window of the course's own, and some keep it for the visit only. The page says so,
// with the way out.

const isWithinAnotherSite = () => {
  try {
    return !top.location.href;
  } catch {
    return true; // a page may not read that of another site
  }
};

const tellWithin = () => {
  const link = element("a", "", "Open the course in a window of its own");
  link.href = siteFolder().href;
  link.target = "_blank";
  const told = element("aside", "cubital-within");
  told.append("The course is shown within another page here. A browser may keep what you enter here apart, or for this visit only. ");
  told.append(link, ". If you have begun here, press “Save my file” first: the new window takes your file over.");
  document.querySelector(".cubital-columns").before(told);
};

if (isWithinAnotherSite()) document.addEventListener("cubital-turned", tellWithin, { once: true });
