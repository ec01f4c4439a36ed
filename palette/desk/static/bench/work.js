// A picture at work: tools, one or two panes, what is under the hand, and what is marked.
import { address, get, newest, post } from "./api.js";
import { colourField, paintLine, typedText } from "./colours.js";
import { announce, eachFrame, html, isTyping, keyed, labText, n, nothing, numeral, option, plural, said, svg, swatch } from "./dom.js";
import { Pane } from "./pane.js";
import { referenceForm } from "./pictures.js";
import * as regions from "./regions.js";
import { openPart } from "./scheme.js";
import { change, changed, desk, loadPicture, onChange, onNews, part as partOf, putAway, reference, sameMark, tell } from "./state.js";

const TOOLS = [
  ["move", "Look about", "h", "M8 1v14M1 8h14M8 1 6 3m2-2 2 2M8 15l-2-2m2 2 2-2M1 8l2-2M1 8l2 2M15 8l-2-2m2 2-2 2"],
  ["box", "Box", "b", "M2.5 4.5h11v7h-11z"],
  ["outline", "Outline", "o", "M3 12 2 5l6-3 6 5-3 7z"],
  ["spot", "Spot", "s", "M8 2.5a5.5 5.5 0 1 0 0 11 5.5 5.5 0 1 0 0-11z"],
];
const VIEWS = [["as-is", "As it is"], ["corrected", "Corrected"], ["painted", "In the scheme’s paints"]];
const BESIDE = [["alone", "Alone"], ["split", "Side by side"], ["wipe", "Wipe"]];
const ANCHOR = " anchor"; // no part has an id with a space before it

let panes = []; // the first, and the second where two stand side by side
let shownRef = null;
let reading = null; // the newest readout
let readingOf = null; // what it is of: "pointer", "mark" or "draft"
let readingAsked = null; // the question that it answers
let drafting = false;
let corners = 0;
let pending = null; // a mark drawn and not answered yet
let failed = null; // the picture's problems, where it cannot be shown

const read = newest(
  ({ ref, point, region }) => (region ? post("api/read", { ref, region })
    : get("api/read", { ref, x: point[0].toFixed(1), y: point[1].toFixed(1), r: 3 })),
  (answer, question) => {
    if (!answer || question.ref !== shownRef || question.from === "gone") return;
    reading = answer;
    readingOf = question.from;
    readingAsked = question;
    changed();
  });
// A correction, or what grey leaves, came after the readout was answered: it is asked for again.
onNews("picture", data => {
  if (data.ref !== shownRef) return;
  if (chosenMark()) readChosen();
  else if (reading && readingAsked?.ref === shownRef) read(readingAsked);
});

const readPoint = eachFrame(point => {
  if (!shownRef || drafting || desk.mark) return;
  if (point) read({ ref: shownRef, point, from: "pointer" });
});
const readRegion = eachFrame((region, from) => { if (shownRef) read({ ref: shownRef, region, from }); });

export function openPicture(id) {
  if (shownRef !== id) {
    reading = null;
    pending = null;
    failed = null;
    if (desk.mark && desk.mark.ref !== id) desk.mark = null;
  }
  shownRef = id;
  loadPicture(id).catch(error => {
    failed = error.problems ?? [{ what: error.message, remedy: "" }];
    changed();
  });
  if (desk.mark) readChosen();
}

export function closePicture() {
  for (const pane of panes) {
    pane.settle();
    pane.remember();
  }
  shownRef = null;
}

// ---- marks ----

const labelOf = (array, index, part) => (array === "anchor" ? `A${index + 1}` : String(partOf(part)?.number ?? "?"));

function marksOf(entry) {
  const marks = [];
  for (const array of ["anchor", "sample"]) {
    (array === "anchor" ? entry.anchors : entry.samples).forEach((mark, index) => {
      const where = { ref: entry.id, array, index };
      marks.push({
        ...where, key: `${array}-${index}`, region: mark.region, part: mark.part ?? null, label: labelOf(array, index, mark.part),
        chosen: sameMark(desk.mark, where), lit: Boolean(desk.lit && array === "sample" && mark.part === desk.lit), source: mark,
      });
    });
  }
  if (pending && pending.ref === entry.id) marks.push({ ...pending, key: "pending", label: "…", pending: true });
  return marks;
}

export function pick(where, { look = false } = {}) {
  desk.mark = where;
  if (where) {
    const entry = reference(where.ref), mark = entry && (where.array === "anchor" ? entry.anchors : entry.samples)[where.index];
    if (mark && where.array === "sample") desk.lit = mark.part;
    if (look && mark) panes.forEach(pane => pane.look(mark.region));
    readChosen();
  }
  panes.forEach(pane => { pane.corner = null; });
  changed();
}

const chosenMark = () => {
  if (!desk.mark) return null;
  const entry = reference(desk.mark.ref);
  return (entry && (desk.mark.array === "anchor" ? entry.anchors : entry.samples)[desk.mark.index]) ?? null;
};

function readChosen() {
  const mark = chosenMark();
  if (mark && desk.mark.ref === shownRef) readRegion(mark.region, "mark");
}

// The colour of a surface has been said: of the mark that waits for it, or of those that are drawn next.
function known() {
  if (pending?.held) add(pending.region);
  else {
    if (desk.tool === "move") setTool("box");
    panes[0]?.host.focus();
  }
}

async function add(region) {
  const ref = shownRef, { array, part } = desk.target;
  drafting = false;
  const op = { op: "mark.add", ref, array, region };
  const hold = problems => { // the mark stays, and its colour can be typed again
    pending = { ref, array, region, held: true };
    tell(problems, "#known input");
  };
  let words;
  if (array === "anchor") {
    op.colour = typedText("known-colour").trim();
    if (!op.colour) {
      hold([{ where: "", what: "the colour of that surface is not said", remedy: "type it beside the tools; the mark stays" }]);
      return;
    }
    words = `Mark a surface of known colour on ${ref}`;
  } else {
    if (!part) {
      tell([{ where: "", what: "the kit has no part to mark yet", remedy: "add one under Parts and kit" }]);
      return;
    }
    op.part = part;
    words = `Mark ${partOf(part).name} on ${ref}`;
  }
  putAway();
  pending = { ref, array, region, part };
  changed();
  try {
    const answer = await change([op], words, { quiet: array === "anchor" });
    pending = desk.unsent.length ? pending : null;
    taken(answer, ref);
  } catch (error) {
    if (!error.problems) throw error;
    if (ref === shownRef && desk.target.array === array) hold(error.problems);
    else {
      pending = null;
      tell(error.problems);
    }
  }
}

function taken(answer, ref) {
  const made = answer?.marks?.find(mark => mark.ref === ref);
  if (made && ref === shownRef) {
    desk.mark = { ref: made.ref, array: made.array, index: made.index };
    if (made.readout) {
      reading = made.readout;
      readingOf = "mark";
      const colour = reading.corrected ?? reading.as_is;
      if (colour) announce(`${colour.words}${reading.radius90 ? `, within ${n(reading.radius90)}` : ""}.`);
    } else readChosen();
  }
  changed();
}

// What was read in a mark that is not there any more says nothing.
function unread() {
  if (readingOf !== "pointer") reading = readingOf = readingAsked = null;
}
onChange(() => { if (!desk.mark && !pending && !drafting) unread(); });

const nameOf = (mark, where) => (where.array === "anchor" ? `known surface A${where.index + 1}` : partOf(mark.part)?.name ?? mark.part);

async function setMark(where, values, what) {
  const mark = (where.array === "anchor" ? reference(where.ref).anchors : reference(where.ref).samples)[where.index];
  const answer = await change([{ op: "mark.set", ref: where.ref, array: where.array, index: where.index, ...values }],
    `${what} ${nameOf(mark, where)} on ${where.ref}`);
  taken(answer, where.ref);
}

// A mark whose colour was asked for is left out after all.
function letGo() {
  if (!pending?.held) return false;
  pending = null;
  unread();
  putAway();
  announce("The mark is left out.");
  changed();
  return true;
}

async function remove(where) {
  const mark = (where.array === "anchor" ? reference(where.ref).anchors : reference(where.ref).samples)[where.index];
  desk.mark = null;
  await change([{ op: "mark.remove", ref: where.ref, array: where.array, index: where.index }], `Take ${nameOf(mark, where)} off ${where.ref}`);
}

// ---- panes ----

function makePane(host, second) {
  const pane = new Pane(host, {
    point: (point, clicked) => { if (clicked) desk.mark = null; readPoint(point); },
    over: mark => { desk.lit = mark?.part ?? null; changed(); },
    pick: mark => {
      pick(mark && !mark.pending ? { ref: mark.ref, array: mark.array, index: mark.index } : null);
      if (mark?.part && desk.part && desk.part !== mark.part) openPart(mark.part);
      else if (mark?.part) document.getElementById(`row-${mark.part}`)?.scrollIntoView({ block: "nearest" });
    },
    draft: (region, mark) => {
      drafting = Boolean(region);
      if (region) readRegion(region, "draft");
      else corners = 0;
      if (!mark) desk.mark = null;
    },
    corners: count => { corners = count; changed(); },
    add: region => { corners = 0; add(region); },
    reshape: (mark, region) => { drafting = false; setMark(mark, { region }, "Move"); optimistic(mark, region); },
    placedByKey: () => announce("A mark stands in the middle. Arrow keys move it, Alt with arrows makes it larger, Enter keeps it."),
    moved: mover => {
      if (panes.length < 2 || mover.following) return;
      for (const other of panes) {
        if (other === mover) continue;
        other.following = true;
        other.follow(mover);
        other.following = false;
      }
    },
    opened: opened => { if (second && panes[0]) { opened.following = true; opened.follow(panes[0]); opened.following = false; } },
  });
  pane.second = second;
  return pane;
}

// What was moved stays where the hand left it while the desk writes it down.
function optimistic(where, region) {
  const mark = (where.array === "anchor" ? reference(where.ref).anchors : reference(where.ref).samples)[where.index];
  if (mark) mark.region = region;
}

// A view that the picture has not (yet) is shown as it is.
const has = (picture, view) => view === "as-is" || Boolean(picture[view]);

function sync() {
  const stage = document.getElementById("stage"), picture = desk.pictures.get(shownRef), entry = reference(shownRef);
  if (!stage || !picture || !entry) return;
  const { view, beside } = desk.shown, wanted = has(picture, view) ? view : "as-is";
  const hosts = [...stage.querySelectorAll(".pane")];
  const count = beside === "split" ? 2 : 1;
  hosts[1].hidden = count < 2;
  panes = panes.filter((pane, i) => {
    const stays = hosts.includes(pane.host) && i < count;
    if (!stays) pane.destroy();
    return stays;
  });
  hosts.slice(0, count).forEach((host, i) => {
    if (!panes[i]) panes[i] = makePane(host, i === 1);
  });
  const other = wanted === "as-is" ? (has(picture, "corrected") ? "corrected" : "as-is") : wanted;
  panes.forEach((pane, i) => {
    if (i >= count) return;
    pane.show(picture);
    if (beside === "wipe") pane.set({ bottom: "as-is", top: other === "as-is" ? null : other });
    else if (beside === "split") pane.set({ bottom: i ? other : "as-is", top: null });
    else pane.set({ bottom: wanted, top: null });
    pane.setTool(desk.tool);
    pane.setMarks(marksOf(entry), desk.lit);
  });
  if (desk.lookAt && desk.lookAt.ref === shownRef && panes[0]?.opened) {
    const where = desk.lookAt;
    desk.lookAt = null;
    pick(where, { look: true });
  }
  document.getElementById("wipe")?.style.setProperty("--at", `${100 * (panes[0]?.wipe ?? 0.5)}%`);
}

export const afterDraw = () => { if (shownRef) sync(); };

function wipeTo(fraction) {
  panes[0]?.set({ wipe: Math.min(1, Math.max(0, fraction)) });
  changed();
}

const wipeDrag = event => {
  if (event.type === "pointerdown") event.currentTarget.setPointerCapture(event.pointerId);
  if (event.type === "pointermove" && !event.currentTarget.hasPointerCapture(event.pointerId)) return;
  const frame = document.getElementById("stage").getBoundingClientRect();
  wipeTo((event.clientX - frame.left) / frame.width);
};

const wipeKey = event => {
  const by = { ArrowLeft: -0.02, ArrowRight: 0.02, PageDown: -0.1, PageUp: 0.1, Home: -1, End: 1 }[event.key];
  if (!by) return;
  event.preventDefault();
  event.stopPropagation();
  wipeTo((panes[0]?.wipe ?? 0.5) + by);
};

// ---- keys ----

export function setTool(tool) {
  desk.tool = tool;
  for (const pane of panes) pane.setTool(tool); // at once: the next key may come before the next frame
  const name = TOOLS.find(each => each[0] === tool)[1];
  announce(tool === "move" ? "Look about." : `${name}. Draw it on the picture, or press Enter in the picture.`);
  changed();
}

export function workKey(event) {
  const inStage = event.target.closest?.(".pane");
  if (inStage) {
    const pane = panes.find(one => one.host === inStage);
    if (pane?.key(event)) {
      event.preventDefault();
      changed();
      return true;
    }
  }
  if (isTyping(event.target) || event.altKey || event.ctrlKey || event.metaKey) return false;
  // A mark that is shown as chosen can be removed wherever the focus is.
  if ((event.key === "Delete" || (event.key === "Backspace" && inStage)) && chosenMark() && desk.mark.ref === shownRef) {
    remove(desk.mark);
    return true;
  }
  if (event.key === "Escape") {
    if (panes.some(pane => pane.cancel())) return true;
    if (letGo()) return true;
    if (desk.mark) pick(null);
    else if (desk.tool !== "move") setTool("move");
    else return false;
    return true;
  }
  const tool = TOOLS.find(each => each[2] === event.key);
  if (tool) {
    setTool(tool[0]);
    if (!inStage) document.querySelector("#stage .pane")?.focus();
    return true;
  }
  const view = { c: "view", w: "wipe", v: "split" }[event.key];
  if (view === "view") desk.shown.view = desk.shown.view === "corrected" ? "as-is" : "corrected";
  else if (view) desk.shown.beside = desk.shown.beside === view ? "alone" : view;
  else if (["n", "p"].includes(event.key)) turn(event.key === "n" ? 1 : -1);
  else return false;
  changed();
  return true;
}

function turn(by) {
  const all = desk.kit.references, at = all.findIndex(entry => entry.id === shownRef);
  const next = all[(at + by + all.length) % all.length];
  if (next) location.hash = `#/picture/${encodeURIComponent(next.id)}`;
}

// ---- drawing ----

export function workView(id) {
  const entry = reference(id);
  if (!entry) {
    return html`<section class="page"><h1>No such picture</h1><p>The kit has no picture “${said(id)}” now. <a href="#/pictures">All pictures</a></p></section>`;
  }
  if (desk.target.array !== "anchor") letGo();
  const picture = desk.pictures.get(id), broken = entry.problems?.length ? entry.problems : failed;
  return html`<section class="work" aria-label="Picture ${id}">
    <h1 class="hidden" tabindex="-1">${id}</h1>
    <div class="work-top">${strip(id)}
    ${toolbar(entry, picture)}
    <div class="stage-frame ${desk.shown.beside}">
      <div id="stage" class="stage">
        ${[0, 1].map(i => html`<div class="pane" tabindex="0" role="application" ?hidden=${i === 1 && desk.shown.beside !== "split"}
          aria-label="Picture ${id}${i ? ", the other view" : ""}. Arrow keys move about, plus and minus zoom, Enter puts down a mark with a tool."
          ></div>`)}
        ${desk.shown.beside === "wipe" && picture ? html`<div id="wipe" class="divider" role="slider" tabindex="0" aria-label="Where one view ends and the other begins"
          aria-valuemin="0" aria-valuemax="100" aria-valuenow=${Math.round(100 * (panes[0]?.wipe ?? 0.5))} @pointerdown=${wipeDrag}
          @pointermove=${wipeDrag} @keydown=${wipeKey}><span aria-hidden="true">⇔</span></div>` : nothing}
        ${labels(picture)}
        ${corners >= 1 ? html`<p class="closing"><button @click=${() => panes.forEach(pane => pane.closeOutline())} ?disabled=${corners < 3}>Close the outline</button>
          <button @click=${() => panes.forEach(pane => pane.cancel())}>Leave it</button></p>` : nothing}
        ${pending?.held ? html`<p class="closing"><button class="main" form="known">Keep the mark</button><button @click=${letGo}>Leave it</button></p>` : nothing}
        ${broken?.length ? html`<div class="broken"><h2>This picture cannot be shown</h2>${broken.map(problem => html`<p><b>${said(problem.what)}</b>${
          problem.remedy ? html`<br>${said(problem.remedy)}` : nothing}</p>`)}<p><a class="button" href="#/pictures">Point at the file again</a></p></div>` : nothing}
      </div>
    </div>
    <div class="under">${readoutView(entry)}${desk.mark && desk.mark.ref === id && chosenMark() ? markEditor(chosenMark()) : marksHelp(entry)}</div></div>
    ${aboutPicture(entry, picture)}
  </section>`;
}

function strip(id) {
  return html`<nav class="strip" aria-label="Pictures"><ul>${desk.kit.references.map(entry => html`<li><a href="#/picture/${encodeURIComponent(entry.id)}"
    aria-current=${entry.id === id ? "page" : nothing} title=${entry.id}>${miniature(entry, 240)}<span class="name">${said(entry.id)}</span></a></li>`)}</ul></nav>`;
}

// A thumbnail with the marks of the lit part on it.
export function miniature(entry, side) {
  if (!entry.v) return html`<span class="none">not to be read</span>`;
  const lit = desk.lit && entry.width ? entry.samples.filter(sample => sample.part === desk.lit) : [];
  return html`<span class="miniature"><img src=${address("thumb", { ref: entry.id, side, v: entry.v })} alt="" loading="lazy" decoding="async"
      width=${entry.width ?? nothing} height=${entry.height ?? nothing}>
    ${lit.length ? html`<svg viewBox="0 0 ${entry.width} ${entry.height}" aria-hidden="true">${lit.map(sample => miniMark(sample.region))}</svg>` : nothing}
    ${desk.lit && entry.samples.some(sample => sample.part === desk.lit) ? html`<span class="seen-here"><span class="hidden">shows this part</span></span>` : nothing}</span>`;
}
const miniMark = region => svg`<path class="case" d=${regions.pathOf(region)}></path><path class="line" d=${regions.pathOf(region)}></path>`;

function toolbar(entry, picture) {
  const { view, beside } = desk.shown, anchor = desk.target.array === "anchor";
  const missing = { corrected: picture && !picture.corrected, painted: picture && !picture.painted };
  const why = { corrected: entry.tone === "grey" ? "A grey picture has no colour to correct" : "Nothing corrects this picture yet", painted: entry.tone === "grey"
    ? "A grey picture is not repainted" : "No part of it has a paint yet" };
  return html`<div class="tools" role="group" aria-label="Tools"><div class="tools-row">
    <div class="group hand" role="group" aria-label="What the hand does">${TOOLS.map(([tool, name, key, path]) => html`<button
      aria-pressed=${desk.tool === tool} title="${name} (${key.toUpperCase()})" @click=${() => setTool(tool)}><svg viewBox="0 0 16 16" aria-hidden="true"><path
      d=${path}></path></svg><span>${name}</span></button>`)}</div>
    <label class="target">Mark <select id="target" @change=${event => {
        const value = event.target.value;
        desk.target = value === ANCHOR ? { array: "anchor", part: desk.target.part } : { array: "sample", part: value };
        if (value !== ANCHOR && desk.part) desk.part = value;
        changed();
      }}><optgroup label="A part">${desk.kit.parts.map(part => option(part.id, `${part.number} ${part.name}`,
        !anchor && part.id === desk.target.part))}</optgroup>${option(ANCHOR, "A surface of known colour", anchor)}</select></label>
    ${anchor ? html`<form id="known" class="known" @submit=${event => { event.preventDefault(); known(); }} @keydown=${event => {
      if (event.key === "Escape" && letGo()) event.preventDefault(); }}>${colourField("known-colour", { label: "Its colour", help: "N 9/, #7f8a66, a paint’s id, or neutral" })}</form>` : nothing}
    </div><div class="tools-row">
    <div class="group" role="group" aria-label="How the picture is shown">${VIEWS.map(([id, name]) => html`<button aria-pressed=${view === id}
      aria-disabled=${missing[id] ? "true" : nothing} title=${missing[id] ? why[id] : nothing}
      @click=${() => { if (missing[id]) { announce(`${why[id]}.`); return; }
        desk.shown.view = id; changed(); }}><span>${name}</span></button>`)}</div>
    <div class="group" role="group" aria-label="Compared with how it is">${BESIDE.map(([id, name]) => html`<button aria-pressed=${beside === id}
      @click=${() => { desk.shown.beside = id; if (id !== "alone" && view === "as-is") desk.shown.view = picture?.corrected ? "corrected" : view; changed(); }}><span>${name}</span></button>`)}</div>
    <div class="group zoom"><button aria-label="Smaller" title="Smaller (−)" @click=${() => panes.forEach(pane => pane.zoom(1 / 1.5))}>−</button>
      <button aria-label="Larger" title="Larger (+)" @click=${() => panes.forEach(pane => pane.zoom(1.5))}>+</button>
      <button title="The whole picture (0)" @click=${() => panes.forEach(pane => pane.fit())}>Whole</button>
      <button title="A pixel of the picture is one of the screen (1)" @click=${() => panes.forEach(pane => pane.pixels(1))}>1 : 1</button></div>
  </div></div>`;
}

function labels(picture) {
  const { view, beside } = desk.shown;
  if (!picture || beside === "alone") return nothing;
  const other = view === "as-is" || !picture[view] ? "corrected" : view;
  const name = VIEWS.find(([id]) => id === other)[1];
  return html`<p class="view-label left" aria-hidden="true">As it is</p><p class="view-label right" aria-hidden="true">${picture[other] ? name : "Nothing corrects it yet"}</p>`;
}

function readoutView(entry) {
  const it = reading, of = { pointer: "Under the pointer", mark: "In the mark", draft: "In the mark being drawn" }[readingOf] ?? "Under the pointer";
  const colour = (label, value) => html`<div class="reading">${swatch(value?.hex ?? null, { kind: "wide" })}<div><span class="soft">${label}</span>
    <b>${value ? value.words : it ? "not corrected" : " "}</b><span class="number">${value ? labText(value.lab) : " "}</span></div></div>`;
  return html`<section class="readout" aria-label="Colour under the hand">
    <p class="of"><span>${it ? of : "Point at the picture"}</span>${it ? html`<span class="number soft">${n(it.x, 0)}, ${n(it.y, 0)}${
      it.pixels ? ` · ${plural(it.pixels, "pixel")}` : ""}</span>` : nothing}</p>
    ${entry.tone === "grey" && it ? html`<div class="reading">${swatch(it.as_is?.hex ?? null, { kind: "wide" })}<div><span class="soft">Level</span>
        <b class="number">${n(it.level ?? null, 3)}</b><span class="number">${it.lightness ? `L* ${n(it.lightness[0], 0)} to ${n(it.lightness[1], 0)} remain` : entry.samples.length ? "what remains comes in a moment" : "mark a part in it to learn what remains"}</span></div></div>`
      : html`${colour("As it is", it?.as_is)}${colour("Corrected", it?.corrected)}`}
    <dl class="spread"><div><dt>Sure to</dt><dd class="number">${it?.radius90 ? `±${n(it.radius90)}` : "–"}</dd></div>
      <div title="How far the pixels differ, in hundredths of white"><dt>Grain</dt><dd class="number">${it?.noise?.sd
        ? `${n((100 * (it.noise.sd[0] + it.noise.sd[1] + it.noise.sd[2])) / 3)} %` : "–"}</dd></div></dl>
    <ul class="near" aria-label=${entry.tone === "grey" ? "Paints that remain" : it?.paints?.[0]?.owned ? "Nearest of your paints" : "Nearest paints"}>${(entry.tone === "grey" && it?.likely?.length ? it.likely.slice(0, 3).map(paint => html`<li>${swatch(paint.colour?.hex, { kind: "dot" })}<span
        class="id">${said(paint.swatch)}</span> ${said(paint.name)} <span class="number soft">${Math.round(100 * paint.probability)} %</span></li>`)
      : (it?.paints ?? []).slice(0, 3).map(paint => html`<li>${paintLine(paint)}</li>`))}</ul>
  </section>`;
}

const marksHelp = entry => html`<section class="mark-help">${entry.anchors.length + entry.samples.length ? nothing
  : html`<p><b>Start with what you know</b>: a grey card, a white sign, an enamel plate that survives. Beside Mark, choose “A surface of known colour”. ${
    entry.tone === "grey" ? "It tells how light the greys are." : "It corrects the whole picture."}</p>`}<p class="help">${desk.tool === "move"
  ? "Drag to look about, wheel or pinch to zoom. Choose Box, Outline or Spot to mark. Click a mark to move or reshape it."
  : desk.tool === "outline" ? "Click each corner; click the first again to close it. Backspace takes the last one back."
  : desk.tool === "spot" ? "Drag from the middle outwards, or click. Enter puts one down by keyboard."
  : "Drag from corner to corner. Enter puts one down by keyboard."}</p></section>`;

function markEditor(mark) {
  const where = desk.mark, kind = regions.kindOf(mark.region), anchor = where.array === "anchor";
  const names = { rect: ["Left", "Top", "Width", "Height"], spot: ["Across", "Down", "Radius"] }[kind];
  const number = (i, text) => {
    const value = numeral(text);
    if (!Number.isFinite(value)) {
      tell([{ where: "", what: `“${text}” is no number`, remedy: "write pixels, such as 120" }]);
      return;
    }
    setMark(where, { region: { [kind]: mark.region[kind].map((old, at) => (at === i ? value : old)) } }, "Move");
  };
  return html`<section class="mark-editor" aria-label="The chosen mark">
    <p class="of"><b>${anchor ? html`A${where.index + 1} ${said(mark.text ?? "")}` : html`${partOf(mark.part)?.number} ${said(nameOf(mark, where))}`}</b>
      <button @click=${() => panes[0]?.look(mark.region)}>Look at it</button><button @click=${() => remove(where)}>Remove</button></p>
    <div class="fields">${anchor ? html`<label>Colour<input size="9" .value=${mark.text ?? ""} @change=${event => setMark(where, { colour: event.target.value }, "Change")}></label>
        <label>Believed within<input size="5" class="number" inputmode="decimal" .value=${String(mark.spread ?? 1)} @change=${event => setMark(where, { spread: numeral(event.target.value) || null }, "Change")}></label>
        <label>On one surface with<input size="8" .value=${mark.surface ?? ""} @change=${event => setMark(where, { surface: event.target.value || null }, "Change")}></label>`
      : html`<label>Shows<select @change=${event => setMark(where, { part: event.target.value }, "Change")}>${desk.kit.parts.map(part => option(part.id, `${part.number} ${part.name}`,
          part.id === mark.part, desk.sending))}</select></label>`}</div>
    <div class="fields">${names ? names.map((name, i) => html`<label>${name}<input class="number" size="6" inputmode="decimal" .value=${String(mark.region[kind][i])}
        @change=${event => number(i, event.target.value)}></label>`) : html`<p class="help">${regions.inWords(mark.region)}. In the picture, the keys , and . choose a corner, arrow keys move it.</p>`}</div></section>`;
}

function aboutPicture(entry, picture) {
  const anchors = new Map((picture?.anchors ?? []).map(anchor => [anchor.label, anchor]));
  const item = (mark, array, index) => {
    const where = { ref: entry.id, array, index }, row = anchors.get(`A${index + 1}`);
    return html`<li class=${sameMark(desk.mark, where) ? "chosen" : ""}><button class="link" aria-pressed=${sameMark(desk.mark, where)} @click=${() => {
        pick(where, { look: true });
        panes[0]?.host.focus();
      }}>${array === "anchor" ? html`A${index + 1} ${said(mark.text ?? "")}` : html`${partOf(mark.part)?.number ?? "?"} ${said(partOf(mark.part)?.name ?? mark.part)}`}</button>
      <span class="soft number">${regions.inWords(mark.region)}</span>
      ${array === "anchor" && row ? html`<span class="pair-swatch">${swatch(row.stated?.hex ?? null, { kind: "dot" })}${swatch(row.found?.hex ?? null, { kind: "dot" })}</span>
        <span class="number">${row.difference === null || row.difference === undefined ? "" : `off by ${n(row.difference)}`}${
          row.left_out === null || row.left_out === undefined ? "" : `, ${n(row.left_out)} left out`}</span> ${row.note ? html`<small>${said(row.note)}</small>` : nothing}` : nothing}</li>`;
  };
  return html`<div class="about">
    <section aria-labelledby="marked"><h2 id="marked">Marked here</h2>
      <ul class="marked">${entry.anchors.map((mark, i) => item(mark, "anchor", i))}${entry.samples.map((mark, i) => item(mark, "sample", i))}</ul>
      ${entry.anchors.length + entry.samples.length ? nothing : html`<p class="help">Nothing yet.</p>`}
      ${entry.missing?.length ? html`<ul class="missing">${entry.missing.map(words => html`<li>${said(words)}</li>`)}</ul>` : nothing}</section>
    <section aria-labelledby="how-read"><h2 id="how-read">How it was read</h2>${picture ? html`${picture.caption ? html`<p>${said(picture.caption)}</p>` : nothing}
      <ul class="notes">${[...(picture.facts ?? []), ...(picture.notes ?? []), ...(picture.problems ?? [])].map(words => html`<li>${said(words.what ?? words)}</li>`)}</ul>` : html`<p class="help">Opening it …</p>`}</section>
    <section aria-labelledby="fields-title"><h2 id="fields-title">About the picture</h2>${keyed(entry.id, referenceForm(entry))}</section>
  </div>`;
}
