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

  // Lists: CSV as a spreadsheet writes it, with commas, semicolons or tabs; read as the program reads them

  function cells(text) {
    const head = text.split(/\r?\n/).find((line) => line.trim() !== "" && !line.startsWith("#")) || "";
    const mark = [",", ";", "\t"].sort((a, b) => head.split(b).length - head.split(a).length)[0];
    const rows = [];
    let row = [], cell = "", quoted = false, line = 1;
    row.line = 1;
    const end = () => {
      row.push(cell);
      if (row.some((v) => v.trim() !== "")) rows.push(row);
      row = [];
      row.line = line;
      cell = "";
    };
    for (let i = 0; i < text.length; i++) {
      const c = text[i];
      if (c === "\n") line++;
      if (quoted) {
        if (c !== '"') cell += c;
        else if (text[i + 1] === '"') { cell += '"'; i++; } else quoted = false;
      } else if (c === '"') quoted = true;
      else if (c === mark) { row.push(cell); cell = ""; }
      else if (c === "\n") end();
      else if (c !== "\r") cell += c;
    }
    end();
    return rows;
  }

  const number = (cell) => (cell === undefined || cell.trim() === "" ? NaN
    : Number(cell.trim().replace(/[\u00a0\u202f]/g, "").replace(",", ".").replace("\u2212", "-")));
  const plain = (head) => head.toLowerCase().replace(/[-_]/g, " ").trim().replace(/\s+/g, "_");
  const times = (matrix, v) => matrix.map((row) => row.reduce((sum, m, i) => sum + m * v[i], 0));

  // Lab relative to one white carried to D65 by the Bradford transform (ICC.1, annex E)
  function toDay(lab, light) {
    const fy = (lab[0] + 16) / 116;
    const f = [fy + lab[1] / 500, fy, fy - lab[2] / 200];
    const xyz = f.map((v, i) => light.white[i] * (v > 6 / 29 ? v ** 3 : (116 * v - 16) / (29 / 3) ** 3));
    return toLab(times(light.toDay, xyz), data.weightsWhite);
  }

  // Readings at other wavelengths brought to 400 … 700 nm: cubic Lagrange (ASTM E2022), ends held (ASTM E308)
  function toThirtyOne(nm) {
    return Array.from({ length: 31 }, (_, k) => {
      const target = Math.min(nm[nm.length - 1], Math.max(nm[0], 400 + 10 * k));
      const right = nm.findIndex((v) => v >= target);
      if (nm[right] === target) return [[right, 1]];
      const first = Math.min(Math.max(right - 2, 0), Math.max(nm.length - 4, 0));
      const nodes = nm.slice(first, first + 4);
      return nodes.map((at, i) => [first + i, nodes.reduce((made, v, j) => (j === i ? made : made * (target - v) / (at - v)), 1)]);
    });
  }
  function wavelengthsDo(nm) {
    if (!nm.length || nm[0] > 420 || nm[nm.length - 1] < 680 || new Set(nm).size < nm.length) return false;
    const inside = nm.filter((v) => v >= 390 && v <= 710);
    return inside.every((v, i) => i === 0 || v - inside[i - 1] <= 25);
  }

  // What kind of paint it is, by its finish and its words
  const signs = data.kinds;
  const says = (pattern, text) => new RegExp(pattern).test(text);
  function kindOf(paint) {
    const finish = paint.finish.trim().toLowerCase(), name = paint.name.trim().toLowerCase();
    if (finish in signs.finishes) return signs.finishes[finish];
    const words = [paint.name, paint.range, paint.notes].join(" | ").toLowerCase();
    for (const kind in signs.anywhere) {
      if (says("(?<!\\bnot )(?<!\\bnon-)(?<!\\bover )(?<!\\bunder )\\b(?:" + signs.anywhere[kind] + ")\\b", words)) return kind;
    }
    const chroma = Math.hypot(paint.lab[1], paint.lab[2]);
    const colourless = (paint.lab[0] >= 45 && chroma <= 8) || (paint.lab[0] >= 80 && chroma <= 25);
    const hides = Number.isFinite(paint.opacity) ? paint.opacity >= 0.5 : finish !== "" && !colourless;
    const ends = finish !== "" && colourless ? "|\\bclear$" : "";
    const notes = paint.notes.toLowerCase().split(/[.,;:|/]+/).map((note) => note.trim());
    const called = notes.some((note) => says("^(?:(?:" + signs.sheen + ") )?(?:" + signs.clear + ")$", note))
      || (!says("\\b(?:" + signs.colours + ")$", name)
        && [name, paint.range.toLowerCase()].some((text) => says("(?<!\\bnot )(?<!\\bnon-)\\b(?:" + signs.clear + ")\\b" + ends, text)));
    if (called && !hides) return "clear";
    if (finish) return "plain";
    for (const kind in signs.last) {
      if (name.endsWith("medium") && !colourless) continue;
      if (says("\\b(?:" + signs.last[kind] + ")$", name)) return kind;
    }
    return "plain";
  }

  function readList(text) {
    const rows = cells(text.replace(/^\ufeff/, ""));
    let stated = "";
    while (rows.length && rows[0][0].trimStart().startsWith("#")) {
      const light = rows.shift().join(",").match(/#.*\billuminant\b[\s:=]*([^\s,;]+)/i);
      if (light) stated = light[1];
    }
    const head = rows.shift();
    const skipped = {}; // why: lines
    const skip = (why, row) => { (skipped[why] = skipped[why] || []).push(row.line); };
    if (!head) return { paints: [], skipped, missing: [] };
    let names = head.map(plain);
    for (const lab of [["l", "a", "b"], ["l*", "a*", "b*"], ["lab_l*", "lab_a*", "lab_b*"]]) {
      if (lab.every((name) => names.includes(name)) && !names.includes("lab_l")) names = names.map((n) => (lab.includes(n) ? "lab_" + n.replace("lab_", "")[0] : n));
    }
    const missing = names.includes("id") ? [] : ["id"];
    const at = (row, name) => { const i = names.indexOf(name); return i < 0 || row[i] === undefined ? "" : row[i].trim(); };
    const bands = names.map((name, i) => [Number((name.match(/^nm_?(\d+(?:\.\d+)?)$/) || [])[1]), i])
      .filter(([nm]) => nm > 0).sort((a, b) => a[0] - b[0]);
    let readings = [];
    if (wavelengthsDo(bands.map(([nm]) => nm))) {
      const table = toThirtyOne(bands.map(([nm]) => nm));
      readings = rows.map((row) => {
        const given = bands.map(([, i]) => number(row[i]));
        return table.map((weights) => weights.reduce((sum, [i, w]) => sum + w * given[i], 0));
      });
      const largest = readings.filter((r) => r.every(Number.isFinite)).map((r) => Math.max(...r)).sort((a, b) => a - b);
      const middle = (largest[(largest.length - 1) >> 1] + largest[largest.length >> 1]) / 2;
      if (middle > 1.5) readings = readings.map((r) => r.map((v) => v / 100));
    }
    const paints = [];
    rows.forEach((row, k) => {
      if (/^(yes|y|true|1|x|\u2713|\u2714)$/i.test(at(row, "retired"))) return skip("retired", row);
      if (!at(row, "id")) return skip("id", row);
      let lab = null, light = null;
      if (readings.length && readings[k].every(Number.isFinite)) lab = reflectanceToLab(readings[k]);
      const given = ["lab_l", "lab_a", "lab_b"].map((name) => number(at(row, name)));
      if (!lab && given.every(Number.isFinite)) {
        light = (at(row, "illuminant") || stated || "D65").toLowerCase();
        if (light === "d65") lab = given;
        else if (data.lights[light]) lab = toDay(given, data.lights[light]);
      }
      if (!lab && at(row, "hex")) lab = hexToLab(at(row, "hex"));
      if (!lab) return skip(light ? "light" : "colour", row);
      const finish = at(row, "finish").toLowerCase().replace(/-/g, " ").replace(/\s+/g, " ");
      const opacity = number(at(row, "opacity"));
      const paint = { id: at(row, "id"), name: at(row, "name") || at(row, "id"), range: at(row, "range"), notes: at(row, "notes"), lab, opacity,
        finish: finish === "metal" || finish === "metallics" ? "metallic" : finish };
      paint.kind = kindOf(paint);
      return paints.push(paint);
    });
    return { paints, skipped, missing };
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
    return { ...list, matches: data.targets.map((target) => nearest(target, list.paints)) };
  }
  window.guidePaints = { difference, hexToLab, reflectanceToLab, readList, match };

  function notRead(skipped) {
    const said = Object.keys(skipped).map((why) => {
      const lines = skipped[why];
      return data.words.lines + " " + lines.slice(0, 8).join(", ") + (lines.length > 8 ? ", \u2026" : "") + " (" + data.words.why[why] + ")";
    });
    return said.length ? " " + data.words.skipped + ": " + said.join("; ") + "." : "";
  }

  const status = one("#own-status");
  function show(text, name) {
    if (text.includes("\ufffd")) { // what a decoder puts for bytes that are no UTF-8
      status.textContent = name + ": " + data.words.encoding;
      return;
    }
    const result = match(text);
    if (!result.paints.length) {
      const lacks = result.missing.length ? " " + data.words.lacks + ": " + result.missing.join(", ") + "." : "";
      status.textContent = name + ": " + (/^\s*(CGATS|ISO28178)|^BEGIN_DATA/m.test(text) ? data.words.export : data.words.none + lacks);
      return;
    }
    const shows = (off) => data.seen.find(([limit]) => limit === null || off < limit)[1];
    const made = new Intl.NumberFormat(document.documentElement.lang, { minimumFractionDigits: 1, maximumFractionDigits: 1 });
    all(".own").forEach((box) => {
      const hit = result.matches[Number(box.dataset.target)];
      box.replaceChildren();
      if (!hit) return;
      const face = document.createElement("span");
      face.className = "face small";
      face.style.background = labToHex(hit.paint.lab);
      const code = document.createElement("b");
      code.textContent = hit.paint.id;
      box.append(data.words.nearest + ": ", face, " ", code, " " + hit.paint.name + ", " + data.words.off + " " + made.format(hit.difference) + ": " + shows(hit.difference));
      box.hidden = false;
    });
    status.textContent = data.words.done + " " + name + ", " + data.words.paints + ": " + result.paints.length
      + "." + notRead(result.skipped);
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
