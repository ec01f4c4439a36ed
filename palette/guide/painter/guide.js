// The web guide's own script: ticks that stay, and the reader's own paints matched in the page. Nothing is sent.
// Colours are reckoned by palette/typeset/colours.js, which stands before this.
"use strict";
(function () {
  const data = JSON.parse(document.getElementById("guide-data").textContent);
  const one = (selector, from) => (from || document).querySelector(selector);
  const all = (selector, from) => Array.from((from || document).querySelectorAll(selector));
  document.documentElement.classList.add("scripted");

  // Colour

  const { toLab, difference } = colours;
  const hexToLab = (text) => colours.hexToLab(text, data.srgb, data.white);

  function reflectanceToLab(values) {
    const xyz = [0, 1, 2].map((k) => values.reduce((sum, v, i) => sum + v * data.weights[i][k], 0));
    return toLab(xyz, data.weightsWhite);
  }

  function labToHex(lab) {
    const fy = (lab[0] + 16) / 116;
    const f = [fy + lab[1] / 500, fy, fy - lab[2] / 200];
    const xyz = f.map((v, i) => data.white[i] * (v > 6 / 29 ? v ** 3 : (116 * v - 16) / (29 / 3) ** 3));
    return "#" + data.xyzToSrgb.map((row) => {
      const linear = row.reduce((sum, v, i) => sum + v * xyz[i], 0);
      const v = linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055;
      return Math.round(255 * Math.min(1, Math.max(0, v))).toString(16).padStart(2, "0");
    }).join("");
  }

  // Lists: CSV as a spreadsheet writes it, with commas, semicolons or tabs

  function cells(text) {
    const head = text.slice(0, text.search(/\r?\n|$/));
    const mark = [",", ";", "\t"].sort((a, b) => head.split(b).length - head.split(a).length)[0];
    const rows = [];
    let row = [], cell = "", quoted = false;
    for (let i = 0; i < text.length; i++) {
      const c = text[i];
      if (quoted) {
        if (c !== '"') cell += c;
        else if (text[i + 1] === '"') { cell += '"'; i++; } else quoted = false;
      } else if (c === '"') quoted = true;
      else if (c === mark) { row.push(cell); cell = ""; }
      else if (c === "\n") { row.push(cell); rows.push(row); row = []; cell = ""; }
      else if (c !== "\r") cell += c;
    }
    if (cell !== "" || row.length) { row.push(cell); rows.push(row); }
    return rows.filter((r) => r.some((v) => v.trim() !== ""));
  }

  const number = (cell) => (cell === undefined || cell.trim() === "" ? NaN : Number(cell.trim().replace(",", ".").replace("\u2212", "-")));

  function readList(text) {
    const [head, ...rows] = cells(text.replace(/^\ufeff/, ""));
    if (!head) return { paints: [], skipped: 0 };
    const names = head.map((name) => name.trim().toLowerCase().replace(/[^a-z0-9]+/g, "_").replace(/^_+|_+$/g, ""));
    const at = (row, name) => { const i = names.indexOf(name); return i < 0 || row[i] === undefined ? "" : row[i].trim(); };
    const spectral = Array.from({ length: 31 }, (_, i) => names.indexOf("nm" + (400 + 10 * i)));
    let readings = spectral.includes(-1) ? [] : rows.map((row) => spectral.map((i) => number(row[i])));
    const largest = readings.filter((r) => r.every(Number.isFinite)).map((r) => Math.max(...r)).sort((a, b) => a - b);
    const middle = (largest[(largest.length - 1) >> 1] + largest[largest.length >> 1]) / 2;
    if (middle > 1.5) readings = readings.map((r) => r.map((v) => v / 100));
    const paints = [];
    let skipped = 0;
    rows.forEach((row, k) => {
      let lab = null;
      if (readings.length && readings[k].every(Number.isFinite)) lab = reflectanceToLab(readings[k]);
      const given = ["lab_l", "lab_a", "lab_b"].map((name) => number(at(row, name)));
      const light = at(row, "illuminant").toUpperCase();
      if (!lab && given.every(Number.isFinite) && (light === "" || light === "D65")) lab = given;
      if (!lab && at(row, "hex")) lab = hexToLab(at(row, "hex"));
      const gone = /^(yes|y|true|1|x)$/i.test(at(row, "retired"));
      if (!lab || !at(row, "id") || gone) { skipped++; return; }
      const finish = at(row, "finish").toLowerCase();
      const kind = /^(metallic|fluorescent|clear|varnish)$/.test(finish) ? finish : "plain";
      paints.push({ id: at(row, "id"), name: at(row, "name") || at(row, "id"), range: at(row, "range"), lab, kind });
    });
    return { paints, skipped };
  }

  function nearest(target, paints) {
    const want = target.metallic ? "metallic" : "plain";
    const suited = paints.filter((p) => p.kind === want);
    const among = suited.length ? suited : paints;
    let best = null, least = Infinity;
    for (const paint of among) {
      const off = difference(target.lab, paint.lab);
      if (off < least) { best = paint; least = off; }
    }
    return best && { paint: best, difference: least };
  }

  function match(text) {
    const list = readList(text);
    return { ...list, found: data.targets.map((target) => nearest(target, list.paints)) };
  }
  window.guidePaints = { difference, hexToLab, reflectanceToLab, readList, match };

  const status = one("#own-status");
  function show(text, name) {
    const result = match(text);
    if (!result.paints.length) { status.textContent = name + ": " + data.words.none; return; }
    const made = new Intl.NumberFormat(document.documentElement.lang, { minimumFractionDigits: 1, maximumFractionDigits: 1 });
    all(".own").forEach((box) => {
      const hit = result.found[Number(box.dataset.target)];
      box.replaceChildren();
      if (!hit) return;
      const face = document.createElement("span");
      face.className = "face small";
      face.style.background = labToHex(hit.paint.lab);
      const code = document.createElement("b");
      code.textContent = hit.paint.id;
      box.append(data.words.nearest + ": ", face, " ", code, " " + hit.paint.name + ", " + data.words.off + " " + made.format(hit.difference));
      box.hidden = false;
    });
    status.textContent = data.words.done + " " + name + ": " + result.paints.length + " " + data.words.paints
      + (result.skipped ? ", " + result.skipped + " " + data.words.skipped : "") + ".";
    document.documentElement.classList.add("with-own");
  }
  function read(file) {
    if (file) file.text().then((text) => show(text, file.name)).catch(() => { status.textContent = file.name + ": " + data.words.none; });
  }
  const chooser = one("#own-file");
  chooser.addEventListener("change", () => { read(chooser.files[0]); });
  one("#own-reset").addEventListener("click", () => {
    all(".own").forEach((box) => { box.hidden = true; box.replaceChildren(); });
    chooser.value = "";
    status.textContent = "";
    document.documentElement.classList.remove("with-own");
  });
  document.addEventListener("dragover", (event) => { event.preventDefault(); document.body.classList.add("dropping"); });
  document.addEventListener("dragleave", (event) => { if (!event.relatedTarget) document.body.classList.remove("dropping"); });
  document.addEventListener("drop", (event) => {
    event.preventDefault();
    document.body.classList.remove("dropping");
    read(event.dataTransfer.files[0]);
  });

  // Ticks: kept by the page's own title and edition, where the browser lets a page keep anything

  const key = "palette-guide:" + data.edition;
  let ticked = {};
  try { ticked = JSON.parse(localStorage.getItem(key)) || {}; } catch (error) { ticked = {}; }
  const boxes = all("input.tick");
  function count() {
    const steps = boxes.filter((box) => box.dataset.step);
    const done = steps.filter((box) => box.checked).length;
    one("#progress").textContent = data.words.progress + ": " + done + " / " + steps.length;
    one("#progress-bar").value = done;
    steps.forEach((box) => box.closest("article").classList.toggle("done", box.checked));
  }
  function keep() {
    boxes.forEach((box) => { if (box.checked) ticked[box.id] = true; else delete ticked[box.id]; });
    try { localStorage.setItem(key, JSON.stringify(ticked)); } catch (error) { /* private windows keep nothing */ }
    count();
  }
  boxes.forEach((box) => { box.checked = ticked[box.id] === true; box.addEventListener("change", keep); });
  one("#clear-ticks").addEventListener("click", () => { boxes.forEach((box) => { box.checked = false; }); keep(); });
  count();
})();
