// What a page is held to, measured in the page. Returns a list of sentences: what falls short, and by how much.
([leastTarget, leastText]) => {
  const wrong = [];
  const told = (element) => {
    const text = (element.getAttribute("aria-label") || element.textContent || element.name || "").trim();
    return `<${element.tagName.toLowerCase()}> ${text.replace(/\s+/g, " ").slice(0, 40)}`;
  };
  const seen = (element) => {
    const box = element.getBoundingClientRect();
    return box.width > 0 && box.height > 0 && box.right > 0 && getComputedStyle(element).visibility !== "hidden";
  };

  const page = document.documentElement;
  if (page.scrollWidth > page.clientWidth) {
    const wide = [...document.body.querySelectorAll("*")].filter((each) =>
      !each.closest(".wide") && each.getBoundingClientRect().right > page.clientWidth + 1);
    wrong.push(`page is ${page.scrollWidth} px wide, ${page.clientWidth} fit: ${wide.slice(0, 3).map(told).join("; ")}`);
  }

  const inText = (link) => {
    if (link.tagName !== "A" || getComputedStyle(link).display !== "inline") return false;
    const around = link.parentElement;
    return [...around.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim());
  };
  const touched = "a[href], button, input:not([type=hidden]), select, textarea, summary, [role=button], [role=slider]";
  for (const each of document.querySelectorAll(touched)) {
    if (!seen(each) || inText(each)) continue;
    const small = ["radio", "checkbox"].includes(each.type);
    const target = small ? each.closest("label") || each : each;
    const box = target.getBoundingClientRect();
    // A hundredth of a pixel is rounding of the browser's own.
    if (Math.min(box.width, box.height) < leastTarget - 0.01)
      wrong.push(`target of ${box.width.toFixed(1)} x ${box.height.toFixed(1)} px: ${told(each)}`);
  }

  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const small = new Map();
  while (walk.nextNode()) {
    const element = walk.currentNode.parentElement;
    if (!walk.currentNode.textContent.trim() || ["SCRIPT", "STYLE", "TITLE", "DESC"].includes(element.tagName.toUpperCase())
        || !seen(element)) continue;
    const drawn = element.closest("svg");
    const scale = drawn && element.getScreenCTM ? Math.hypot(element.getScreenCTM().a, element.getScreenCTM().b) : 1;
    const size = parseFloat(getComputedStyle(element).fontSize) * scale;
    if (size < leastText - 0.01) small.set(`${size.toFixed(1)} px`, told(element));
  }
  for (const [size, text] of small) wrong.push(`text of ${size}: ${text}`);
  return wrong;
}
