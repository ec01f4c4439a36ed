// The references as cards: brought in, found, sorted, and described, one or many at once.
import { get } from "./api.js";
import { dialogue, html, nothing, numeral, option, plural, problemList, repeat, said } from "./dom.js";
import { examplesView } from "./kit.js";
import { addFiles, addPath, change, changed, desk } from "./state.js";
import { miniature } from "./work.js";

const chosen = new Set();
let last = null; // the card that was ticked last, for a range with Shift
const look = { text: "", lacks: "", sort: "order", group: "" };

const LACKS = [
  ["", "All pictures"], ["marks", "No part marked"], ["anchors", "No known surface"], ["light", "Light not said"], ["year", "No year"],
  ["credit", "No credit"], ["licence", "No licence"], ["response", "Grey, film not said"], ["broken", "Missing or broken"],
];
const SORTS = [["order", "As in kit.toml"], ["id", "By name"], ["year", "By year"], ["marks", "By marks, fewest first"], ["size", "Largest first"]];
const GROUPS = [["", "Not grouped"], ["kind", "By kind"], ["tone", "Colour or grey"], ["year", "By year"], ["subject", "Original or painted print"]];
const SUBJECTS = { original: "the original", painted: "the painted print" };

const lacks = {
  marks: entry => !entry.samples.length,
  anchors: entry => !entry.anchors.length,
  light: entry => !entry.light && entry.tone !== "grey",
  year: entry => !entry.year,
  credit: entry => !entry.credit,
  licence: entry => !entry.licence,
  response: entry => entry.tone === "grey" && !("response" in (entry.values ?? {})),
  broken: entry => Boolean(entry.problems?.length),
};

function seen() {
  const words = look.text.toLowerCase().split(/\s+/).filter(Boolean);
  const kept = desk.kit.references.filter(reference => (!look.lacks || lacks[look.lacks](reference)) &&
    words.every(word => `${reference.id} ${reference.file} ${reference.credit} ${reference.kind} ${reference.year ?? ""}`.toLowerCase().includes(word)));
  const marks = reference => reference.samples.length + reference.anchors.length;
  const by = {
    id: (a, b) => a.id.localeCompare(b.id),
    year: (a, b) => (a.year ?? 9999) - (b.year ?? 9999),
    marks: (a, b) => marks(a) - marks(b),
    size: (a, b) => (b.width ?? 0) * (b.height ?? 0) - (a.width ?? 0) * (a.height ?? 0),
  }[look.sort];
  return by ? [...kept].sort(by) : kept;
}

function grouped(list) {
  if (!look.group) return [["", list]];
  const groups = new Map();
  for (const entry of list) {
    const value = entry[look.group];
    const name = value === null || value === undefined || value === "" ? "Not said" : look.group === "subject" ? SUBJECTS[value] : String(value);
    if (!groups.has(name)) groups.set(name, []);
    groups.get(name).push(entry);
  }
  return [...groups].sort(([a], [b]) => a.localeCompare(b, undefined, { numeric: true }));
}

function tick(event, entry, list) {
  const on = event.target.checked;
  const range = event.shiftKey && last ? [last, entry.id].map(id => list.findIndex(known => known.id === id)).sort((a, b) => a - b) : null;
  const ids = range && range[0] >= 0 ? list.slice(range[0], range[1] + 1).map(known => known.id) : [entry.id];
  for (const id of ids) if (on) chosen.add(id); else chosen.delete(id);
  last = entry.id;
  changed();
}

const select = (label, options, value, set) => html`<label>${label}<select @change=${event => { set(event.target.value); changed(); }}>${options.map(
  ([id, name]) => option(id, name, id === value))}</select></label>`;

export function picturesView() {
  for (const id of chosen) if (!desk.kit.references.some(entry => entry.id === id)) chosen.delete(id);
  const list = seen(), all = desk.kit.references.length;
  return html`<section class="page pictures" aria-labelledby="pictures-title">
    <div class="page-head"><h1 id="pictures-title" tabindex="-1">Pictures</h1><p class="soft">${list.length === all ? plural(all, "picture") : `${list.length} of ${plural(all, "picture")}`}</p></div>
    ${examplesView()}
    <div class="drop" id="drop"><p><b>Drop pictures or a folder here</b>, or paste one. They are copied into the kit.</p>
      <p class="actions"><label class="button file">Choose files<input type="file" multiple accept="image/*,.tif,.tiff,.heic,.heif" class="over"
        @change=${event => { addFiles(event.target.files); event.target.value = ""; }}></label>
      <label class="button file">Choose a folder<input type="file" webkitdirectory class="over" @change=${event => { addFiles(picturesOf(event.target.files)); event.target.value = ""; }}></label>
      <button @click=${() => point()}>Point at one on this machine</button></p></div>
    ${all ? html`<div class="fields filter" role="search" aria-label="Which pictures are shown">
      <label>Find<input type="search" .value=${look.text} autocomplete="off" @input=${event => { look.text = event.target.value; changed(); }}></label>
      ${select("Show", LACKS, look.lacks, value => { look.lacks = value; })}
      ${select("Sort", SORTS, look.sort, value => { look.sort = value; })}
      ${select("Group", GROUPS, look.group, value => { look.group = value; })}
      <label class="choice"><input type="checkbox" .checked=${list.length > 0 && list.every(entry => chosen.has(entry.id))}
        @change=${event => { for (const entry of list) if (event.target.checked) chosen.add(entry.id); else chosen.delete(entry.id); changed(); }}> Tick all shown</label>
    </div>` : nothing}
    ${chosen.size ? manyForm() : nothing}
    ${grouped(list).map(([name, members]) => html`${name ? html`<h2>${said(name)} <span class="soft">${members.length}</span></h2>` : nothing}
      <ul class="cards" role="list">${repeat(members, entry => entry.id, entry => card(entry, list))}</ul>`)}
    ${all && !list.length ? html`<p class="help">No picture is like that. <button class="link" @click=${() => { Object.assign(look, { text: "", lacks: "" }); changed(); }}>Show all</button></p>` : nothing}
    ${all ? nothing : html`<p class="lead">No pictures yet. Bring what survives: photographs, frames, prints, artwork, the object itself. Each is wrong in its own way; marks say what you know.</p>`}
  </section>`;
}

function card(entry, list) {
  const broken = entry.problems?.length;
  return html`<li class="card ${chosen.has(entry.id) ? "ticked" : ""} ${broken ? "is-broken" : ""}">
    <label class="tick"><input type="checkbox" .checked=${chosen.has(entry.id)} @click=${event => tick(event, entry, list)}><span class="hidden">Tick ${entry.id}</span></label>
    <a class="picture" href="#/picture/${encodeURIComponent(entry.id)}">${broken ? html`<span class="none"><span>${said(entry.problems[0].what)}</span></span>` : miniature(entry, 480)}
      <b class="name">${said(entry.id)}</b></a>
    <p><small>${entry.subject === "painted" ? "the painted print, " : ""}${entry.kind}, in ${entry.tone}${entry.year ? `, ${entry.year}` : ""}${
      entry.width ? `, ${entry.width} × ${entry.height}` : ""}<br>${plural(entry.anchors.length, "known surface")}, ${plural(entry.samples.length, "part")} marked</small></p>
    ${broken ? html`<p class="actions"><label class="button file quiet">Choose the file<input type="file" accept="image/*,.tif,.tiff,.heic,.heif" class="over" aria-label="Choose the file of ${entry.id}"
        @change=${event => { addFiles(event.target.files, entry.id); event.target.value = ""; }}></label>
      <button class="quiet" @click=${() => point(entry.id)}>Point at it<span class="hidden"> for ${entry.id}</span></button></p>`
      : entry.missing?.length ? html`<ul class="missing">${entry.missing.slice(0, 2).map(words => html`<li>${said(words)}</li>`)}</ul>` : nothing}
  </li>`;
}

// ---- describing ----

const light = text => {
  const bare = text.replace(/\s*k$/i, "");
  return /^\d+$/.test(bare) ? Number(bare) : text;
};

// key, label, how it is typed, how kit.toml has it
const FIELDS = [
  ["kind", "Kind", "kinds"], ["tone", "Tone", "tones"], ["subject", "Shows", "subjects"],
  ["year", "Year", { size: 6, mode: "numeric" }, numeral], ["credit", "Credit", {}], ["licence", "Licence", {}],
  ["light", "Light", { list: "lights", place: "D55, or 3200" }, light], ["response", "Film or camera, if grey", "responses"],
  ["trust", "Trust, 0 to 1", { size: 5, mode: "decimal" }, numeral], ["uneven", "Uneven light", { size: 5, mode: "decimal" }, numeral],
  ["filter", "Filter, a CSV", {}], ["print", "Print it in the guide", "yes"],
];

const choices = what => what === "yes" ? [["", "yes"], ["false", "no, describe it only"]]
  : (desk.kit.options[what] ?? []).map(one => (Array.isArray(one) ? one : [one, what === "subjects" ? SUBJECTS[one] : one]));

function value(key, text, convert) {
  if (key === "print") return text === "false" ? false : null;
  return text === "" ? null : convert ? convert(text) : text;
}

function field([key, label, how, convert], current, set) {
  const changedBy = event => set({ [key]: value(key, event.target.value.trim(), convert) }, label);
  if (typeof how === "string") {
    const now = key === "print" ? (current === false ? "false" : "") : current ?? "";
    const options = choices(how), known = options.some(([id]) => id === now);
    return html`<label>${label}<select @change=${changedBy}>${known ? nothing : option(now, now || (key === "response" ? "not known" : "leave as it is"), true, desk.sending)}${options.map(
      ([id, name]) => option(id, name, id === now, desk.sending))}</select></label>`;
  }
  return html`<label>${label}<input .value=${current === null || current === undefined ? "" : String(current)} size=${how.size ?? 16} inputmode=${how.mode ?? nothing}
    list=${how.list ?? nothing} placeholder=${how.place ?? nothing} autocomplete="off" @change=${changedBy}></label>`;
}

export function referenceForm(entry) {
  const set = (values, label) => change([{ op: "reference.set", ids: [entry.id], values }], `${label} of ${entry.id}`);
  const written = key => (entry.values && key in entry.values ? entry.values[key] : key === "print" ? undefined : entry[key]);
  return html`<div class="fields">${FIELDS.filter(([key]) => entry.tone === "grey" || !["response", "filter"].includes(key)).map(
    one => field(one, written(one[0]), set))}</div>
    <p class="soft"><small>${said(entry.file)}${entry.video ? html`, a frame of ${said(entry.video)} at ${entry.time}` : nothing}</small></p>
    <p class="actions"><button @click=${() => rename(entry)}>Name it otherwise</button><button @click=${() => point(entry.id)}>Another file</button>
      <button @click=${() => remove([entry.id])}>Take it out of the kit</button></p>`;
}

function manyForm() {
  const ids = [...chosen];
  const set = (values, label) => change([{ op: "reference.set", ids, values }], `${label} of ${plural(ids.length, "picture")}`);
  const common = key => {
    const values = new Set(desk.kit.references.filter(entry => chosen.has(entry.id)).map(entry => JSON.stringify(entry.values?.[key] ?? entry[key] ?? null)));
    return values.size === 1 ? JSON.parse([...values][0]) : null;
  };
  return html`<section class="many" aria-label="What is said of the ticked pictures"><h2>${plural(ids.length, "picture")} ticked</h2>
    <div class="fields">${FIELDS.map(one => field(one, common(one[0]), set))}</div>
    <p class="help">A change goes to all of them. An empty field is one in which they differ, or which none has.</p>
    <p class="actions"><button @click=${() => { chosen.clear(); changed(); }}>Tick none</button>
      <button @click=${() => remove(ids)}>Take them out of the kit</button></p></section>`;
}

async function rename(entry) {
  const to = await dialogue(close => html`<h2>Name it otherwise</h2><form @submit=${event => { event.preventDefault(); close(event.target.elements.to.value.trim()); }}>
    <label>Short id<input name="to" .value=${entry.id} required autofocus></label><p class="actions"><button class="main">Name it</button>
    <button type="button" @click=${() => close(null)}>Leave it</button></p></form>`, { label: "Name it otherwise" });
  if (!to || to === entry.id) return;
  const done = await change([{ op: "reference.rename", id: entry.id, to }], `Call ${entry.id} ${to}`);
  if (done && location.hash.startsWith("#/picture/")) location.hash = `#/picture/${encodeURIComponent(to)}`;
}

async function remove(ids) {
  const marks = desk.kit.references.filter(entry => ids.includes(entry.id)).reduce((sum, entry) => sum + entry.samples.length + entry.anchors.length, 0);
  if (marks) {
    const sure = await dialogue(close => html`<h2>Take ${ids.length === 1 ? ids[0] : plural(ids.length, "picture")} out?</h2>
      <p>${plural(marks, "mark")} would go with ${ids.length === 1 ? "it" : "them"}. The files stay in the folder, and Undo brings everything back.</p>
      <p class="actions"><button class="main" @click=${() => close(true)}>Take out</button><button autofocus @click=${() => close(false)}>Leave</button></p>`, { label: "Take out?" });
    if (!sure) return;
  }
  const done = await change([{ op: "reference.remove", ids }], `Take out ${ids.length === 1 ? ids[0] : plural(ids.length, "picture")}`);
  if (done) {
    ids.forEach(id => chosen.delete(id));
    if (location.hash.startsWith("#/picture/")) location.hash = "#/pictures";
  }
}

// ---- bringing in ----

// A chooser for files and folders of this machine. With a reference, its picture becomes the file chosen.
async function point(target = null) {
  let here = null, problems = [];
  const go = async (path, draw) => {
    try {
      here = await get("api/folder", { path });
      problems = [];
    } catch (error) {
      problems = error.problems ?? [{ what: error.message, remedy: "" }];
    }
    draw();
  };
  await dialogue((close, draw) => {
    if (!here && !problems.length) go("", draw);
    const join = name => `${here.path.replace(/\/$/, "")}/${name}`;
    const take = async path => {
      try {
        if (target) {
          if (!(await change([{ op: "reference.relink", id: target, file: path }], `Another file for ${target}`, { quiet: true }))) return;
        } else await addPath(path);
        close(true);
      } catch (error) {
        problems = error.problems ?? [{ what: error.message, remedy: "" }];
        draw();
      }
    };
    return html`<h2>${target ? html`The file of ${said(target)}` : "Pictures on this machine"}</h2>
      ${problemList(problems)}
      <form class="fields" @submit=${event => { event.preventDefault(); go(event.target.elements.path.value, draw); }}>
        <label class="grow">Folder<input name="path" .value=${here?.path ?? ""} autocomplete="off" spellcheck="false"></label><button>Open</button></form>
      ${here ? html`<ul class="chooser" role="list">${here.up ? html`<li><button @click=${() => go(here.up, draw)}>↑ One up</button></li>` : nothing}
        ${here.folders.map(name => html`<li><button @click=${() => go(join(name), draw)}>▸ ${said(name)}</button></li>`)}
        ${here.pictures.map(file => html`<li><button @click=${() => take(join(file.name))}>${said(file.name)} <span class="soft">${Math.max(1, Math.round(file.bytes / 1024)).toLocaleString("en-GB")} KB</span></button></li>`)}</ul>
        ${here.folders.length + here.pictures.length ? nothing : html`<p class="help">No pictures in this folder.</p>`}` : nothing}
      <p class="actions">${!target && here?.pictures.length ? html`<button class="main" @click=${() => take(here.path)}>Add all ${here.pictures.length}</button>` : nothing}
        <button @click=${() => close(null)}>Close</button></p>`;
  }, { label: "Point at a file", className: "wide" });
}

const PICTURE = /\.(jpe?g|png|tiff?|webp|heic|heif|bmp|gif|avif|jp2|dng)$/i;
const picturesOf = files => [...files].filter(file => PICTURE.test(file.name) || file.type.startsWith("image/"));

// Every file that was dropped, those in folders too.
async function dropped(transfer) {
  const entries = [...transfer.items].map(item => item.webkitGetAsEntry?.()).filter(Boolean);
  if (!entries.some(entry => entry.isDirectory)) return [...transfer.files];
  const files = [];
  const walk = async entry => {
    if (entry.isFile) files.push(await new Promise((resolve, reject) => entry.file(resolve, reject)));
    else {
      const reader = entry.createReader();
      for (;;) {
        const some = await new Promise((resolve, reject) => reader.readEntries(resolve, reject));
        if (!some.length) break;
        for (const inner of some) await walk(inner);
      }
    }
  };
  for (const entry of entries) await walk(entry);
  return picturesOf(files);
}

export function takeDrops(target) {
  let depth = 0;
  const files = event => [...(event.dataTransfer?.types ?? [])].includes("Files");
  target.addEventListener("dragenter", event => { if (files(event)) { depth += 1; target.classList.add("dropping"); } });
  target.addEventListener("dragleave", event => { if (files(event)) { depth -= 1; if (depth <= 0) target.classList.remove("dropping"); } });
  target.addEventListener("dragover", event => { if (files(event)) event.preventDefault(); });
  target.addEventListener("drop", async event => {
    if (!files(event)) return;
    event.preventDefault();
    depth = 0;
    target.classList.remove("dropping");
    const list = await dropped(event.dataTransfer);
    if (list.length && await addFiles(list)) {
      if (!location.hash.startsWith("#/guide")) location.hash = "#/pictures";
    }
  });
  addEventListener("paste", event => {
    const list = [...(event.clipboardData?.files ?? [])];
    if (!list.length) return;
    event.preventDefault();
    addFiles(list);
  });
}
