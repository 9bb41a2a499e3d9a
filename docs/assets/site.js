// What every page has: buttons that copy code, a filter for long lists, and the worker
// that keeps the site for use without a network.
"use strict";
(() => {
  const root = new URL("..", document.currentScript.src);

  // copy puts a text on the clipboard; a page from a folder may have no clipboard to ask.
  const copy = async (text) => {
    try {
      await navigator.clipboard.writeText(text);
    } catch {
      const area = document.createElement("textarea");
      area.value = text;
      document.body.append(area);
      area.select();
      document.execCommand("copy");
      area.remove();
    }
  };

  for (const code of document.querySelectorAll("main pre > code")) {
    const pre = code.parentElement;
    if (pre.classList.contains("source-file")) continue;
    const button = document.createElement("button");
    button.type = "button";
    button.className = "copy";
    button.textContent = "Copy";
    button.setAttribute("aria-live", "polite");
    button.addEventListener("click", async () => {
      await copy(code.textContent);
      button.textContent = "Copied";
      setTimeout(() => { button.textContent = "Copy"; }, 2000);
    });
    const box = document.createElement("div");
    box.className = "copied";
    pre.replaceWith(box);
    box.append(pre, button);
  }

  // A filter leaves the rows that hold all of its words, and the headings above them.
  for (const list of document.querySelectorAll("[data-filter]")) {
    const rows = [...list.querySelectorAll("tbody tr, :scope > div")];
    const field = document.createElement("p");
    field.className = "search-form";
    field.innerHTML = '<label for="filter">Show only what holds</label> <input id="filter" type="search" autocomplete="off"/> <span role="status"></span>';
    list.before(field);
    const [input, count] = [field.querySelector("input"), field.querySelector("span")];
    const texts = rows.map((r) => {
      const table = r.closest(".wide");
      return `${r.textContent} ${table?.previousElementSibling?.textContent || ""}`.toLowerCase();
    });
    input.addEventListener("input", () => {
      const words = input.value.toLowerCase().split(/\s+/).filter(Boolean);
      let left = 0;
      rows.forEach((r, i) => {
        r.hidden = !words.every((w) => texts[i].includes(w));
        if (!r.hidden) left++;
      });
      for (const table of list.querySelectorAll(".wide")) {
        const empty = ![...table.querySelectorAll("tbody tr")].some((r) => !r.hidden);
        table.hidden = empty;
        if (/^H[23]$/.test(table.previousElementSibling?.tagName)) table.previousElementSibling.hidden = empty;
      }
      count.textContent = words.length ? `${left} of ${rows.length}` : "";
    });
  }

  if (location.protocol !== "file:" && "serviceWorker" in navigator) {
    addEventListener("load", () => navigator.serviceWorker.register(new URL("offline.js", root)).catch(() => {}));
  }
})();
