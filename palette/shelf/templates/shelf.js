// The shelf's own script: search, filters, and what a reader's own paints can do. Nothing is sent.
// Colours are reckoned by palette/typeset/colours.js, which stands before this.
"use strict";
(function () {
  const kits = window.shelfKits || [];
  const one = (id) => document.getElementById(id);
  const form = one("search"), list = one("kits"), told = one("told"), pages = one("pages");
  const MOST = 60;
  let own = null;

  // Search: every word must be found; words for a colour must be found in one part's colour.
  const plain = (text) => text.toLowerCase().normalize("NFD").replace(/[\u0300-\u036f]/g, "");
  const stem = (word) => (word.length > 3 && word.endsWith("s") ? word.slice(0, -1) : word);
  const index = kits.map((kit) => ({
    kit,
    colours: kit.parts.map((part) => plain(part[1])),
    text: plain([kit.title, kit.maker, kit.stage, kit.scale, kit.version,
      ...kit.parts.map((part) => part[0] + " " + part[1]), ...kit.paints].join(" ")),
  }));
  function finds(entry, words) {
    return entry.colours.some((colour) => words.every((word) => colour.includes(word)))
      || (words.every((word) => entry.text.includes(word)) && !coloured(words));
  }
  const known = new Set(index.flatMap((entry) => entry.colours.flatMap((colour) => colour.split(" "))));
  const coloured = (words) => words.length > 1 && words.every((word) => known.has(word));
  function search(text) {
    const words = plain(text).split(/\s+/).filter(Boolean).map(stem);
    return index.filter((entry) => finds(entry, words)).map((entry) => entry.kit);
  }

  // A reader's own paints
  const SRGB = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]; // IEC 61966-2-1
  const { difference } = colours;
  const hexToLab = (text) => colours.hexToLab(text, SRGB, [0.95047, 1, 1.08883]);
  function rowsOf(text) {
    const head = text.slice(0, text.search(/\r?\n|$/));
    const mark = [",", ";", "\t"].sort((a, b) => head.split(b).length - head.split(a).length)[0];
    const rows = [];
    let row = [], cell = "", quoted = false;
    for (let i = 0; i < text.length; i++) {
      const c = text[i];
      if (quoted) { if (c !== '"') cell += c; else if (text[i + 1] === '"') { cell += '"'; i++; } else quoted = false; }
      else if (c === '"') quoted = true;
      else if (c === mark) { row.push(cell); cell = ""; }
      else if (c === "\n") { row.push(cell); rows.push(row); row = []; cell = ""; }
      else if (c !== "\r") cell += c;
    }
    if (cell !== "" || row.length) { row.push(cell); rows.push(row); }
    return rows.filter((r) => r.some((v) => v.trim() !== ""));
  }
  function paintsOf(text) {
    const [head, ...rows] = rowsOf(text.replace(/^\ufeff/, ""));
    if (!head) return [];
    const names = head.map((name) => name.trim().toLowerCase());
    const at = (row, name) => { const i = names.indexOf(name); return i < 0 ? "" : (row[i] || "").trim(); };
    const yes = /^(yes|y|true|1|x)$/i;
    return rows.filter((row) => !yes.test(at(row, "retired")) && (!names.includes("owned") || at(row, "owned") === "" || yes.test(at(row, "owned"))))
      .map((row) => {
        const lab = ["lab_l", "lab_a", "lab_b"].map((name) => parseFloat(at(row, name).replace(",", ".")));
        return { lab: lab.every(Number.isFinite) ? lab : hexToLab(at(row, "hex")), metallic: at(row, "finish").toLowerCase() === "metallic" };
      }).filter((paint) => paint.lab);
  }
  function reached(kit) {
    const open = kit.parts.filter((part) => part[3]);
    return [open.filter((part) => own.some((paint) => paint.metallic === part[4] && difference(part[3], paint.lab) <= kit.tolerance)).length, open.length];
  }

  // The list
  function element(name, text, attributes) {
    const made = document.createElement(name);
    if (text) made.textContent = text;
    for (const [key, value] of Object.entries(attributes || {})) made.setAttribute(key, value);
    return made;
  }
  function card(kit) {
    const item = element("li"), address = "kits/" + encodeURIComponent(kit.slug) + "/index.html";
    const picture = element("a", "", { class: "picture", href: address, tabindex: "-1", "aria-hidden": "true" });
    if (kit.picture) picture.append(element("img", "", { src: "kits/" + encodeURIComponent(kit.slug) + "/" + kit.picture, alt: "", loading: "lazy", width: "320", height: "220" }));
    const heading = element("h2");
    heading.append(element("a", kit.title, { href: address }));
    const strip = element("p", "", { class: "strip", "aria-hidden": "true" });
    for (const part of kit.parts) { const bar = element("span"); bar.style.background = part[2]; strip.append(bar); }
    item.append(picture, heading, element("p", [kit.maker, kit.scale, kit.stage, kit.version].filter(Boolean).join(" · "), { class: "facts" }), strip,
      element("p", [...new Set(kit.parts.filter((part) => part[3]).map((part) => part[1]))].join(", "), { class: "colours" }));
    if (kit.guesses) item.append(element("p", kit.guesses, { class: "facts" }));
    if (kit.since) item.append(element("p", kit.since, { class: "affected" }));
    if (own) { const [done, all] = reached(kit); item.append(element("p", "Your paints reach " + done + " of " + all + " parts.")); }
    if (kit.affected) item.append(element("p", kit.affected + (kit.affected === 1 ? " paint is" : " paints are") + " no longer as listed.", { class: "affected" }));
    if (kit.about) { const more = element("p"); more.append(element("a", "The maker’s own words", { href: "kits/" + encodeURIComponent(kit.slug) + "/about.html" })); item.append(more); }
    return item;
  }
  function show() {
    const stage = one("stage").value, scale = one("scale").value, order = one("order").value;
    let kept = search(one("words").value).filter((kit) => (!stage || kit.stage === stage) && (!scale || kit.scale === scale));
    if (order === "title") kept = kept.sort((a, b) => a.title.localeCompare(b.title));
    if (order === "own" && own) {
      const share = new Map(kept.map((kit) => { const [done, all] = reached(kit); return [kit, all ? done / all : 0]; }));
      kept = kept.sort((a, b) => share.get(b) - share.get(a));
    }
    list.replaceChildren(...kept.slice(0, MOST).map(card));
    if (pages) pages.hidden = true;
    told.textContent = kept.length === 0 ? "No kit has all of that. Try fewer words."
      : kept.length > MOST ? kept.length + " kits; the first " + MOST + " are shown. Add a word to narrow it."
        : kept.length + (kept.length === 1 ? " kit." : " kits.");
  }
  window.shelfSearch = search;
  if (!form || !kits.length) return;
  form.hidden = false;
  form.addEventListener("submit", (event) => event.preventDefault());
  for (const id of ["words", "stage", "scale", "order"]) one(id).addEventListener("input", show);
  one("own").addEventListener("change", async (event) => {
    const file = event.target.files[0];
    if (!file) return;
    own = paintsOf(await file.text());
    if (!own.length) { own = null; told.textContent = "No paint with a colour was found in " + file.name + ". It needs columns lab_l, lab_a, lab_b or hex."; return; }
    one("order").value = "own";
    show();
  });
})();
