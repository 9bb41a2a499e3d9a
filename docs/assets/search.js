// The search: words are looked up in an index that was made with the site. All words must
// stand in a section; a word may be the beginning of one. Headings count more than text,
// and written pages more than lists.
"use strict";
(() => {
  const { pages, sections, words } = self.bwIndex;
  const list = Object.keys(words).sort();
  const input = document.getElementById("q");
  const found = document.getElementById("found");
  const count = document.getElementById("found-count");
  const shown = 40;

  // first is the place of the first word that is not before w.
  const first = (w) => {
    let lo = 0;
    let hi = list.length;
    while (lo < hi) {
      const mid = (lo + hi) >> 1;
      if (list[mid] < w) lo = mid + 1;
      else hi = mid;
    }
    return lo;
  };

  // standing gives each section that holds a word, or one that begins so, its weight.
  const standing = (w) => {
    const weights = new Map();
    for (let i = first(w); i < list.length && list[i].startsWith(w); i++) {
      const whole = list[i] === w ? 2 : 1;
      let at = 0;
      for (const place of words[list[i]].split(" ")) {
        const head = place.endsWith("!");
        at += parseInt(head ? place.slice(0, -1) : place, 36);
        weights.set(at, Math.max(weights.get(at) || 0, whole * (head ? 4 : 1)));
      }
    }
    return weights;
  };

  const kind = (path) => (/^(reference|checked)\//.test(path) ? 1 : 1.6);

  const look = () => {
    const asked = input.value.toLowerCase().split(/[^\p{L}\p{N}]+/u).filter(Boolean);
    found.replaceChildren();
    count.textContent = "";
    if (!asked.length) return;
    const phrase = input.value.toLowerCase().trim();
    const each = asked.map(standing);
    const hits = [];
    for (const [at, weight] of each[0]) {
      if (!each.every((m) => m.has(at))) continue;
      const [page, anchor, heading] = sections[at];
      const whole = heading.toLowerCase().includes(phrase) ? 12 : 0;
      const sum = each.reduce((s, m) => s + m.get(at), whole);
      hits.push({ at, weight: sum * kind(pages[page][0]) * (anchor ? 1 : 1.3) });
    }
    hits.sort((a, b) => b.weight - a.weight || a.at - b.at);
    count.textContent = hits.length === 0 ? "Nothing found." : `${hits.length} found${hits.length > shown ? `, the first ${shown} shown` : ""}.`;
    for (const { at } of hits.slice(0, shown)) {
      const [page, anchor, heading, text] = sections[at];
      const item = document.createElement("li");
      const link = document.createElement("a");
      link.href = pages[page][0] + (anchor ? `#${anchor}` : "");
      link.textContent = anchor ? `${pages[page][1]}: ${heading}` : heading;
      const begin = document.createElement("p");
      begin.textContent = text;
      item.append(link, begin);
      found.append(item);
    }
  };

  input.value = new URLSearchParams(location.search).get("q") || "";
  input.addEventListener("input", look);
  look();
  input.focus();
})();
