// Parts and kit: everything that kit.toml says of them.
import { dialogue, fields, html, keyed, nothing, numeral, option, plural, repeat, said, swatch } from "./dom.js";
import { change, changed, desk, part as partOf } from "./state.js";

const numbers = text => text.split(/[\s,;]+/).filter(Boolean).map(numeral);
const kelvin = text => (/^\d+\s*k?$/i.test(text) ? parseInt(text, 10) : text);

const KIT = [
  ["title", "Title", { wide: true }], ["maker", "Maker", {}], ["version", "Version", { size: 8 }], ["date", "Date of this edition", { size: 11, place: "2026-05-01" }],
  ["scale", "Scale", { size: 8 }], ["licence", "Licence", {}], ["tolerance", "A match is within (CIEDE2000)", { size: 5 }, numeral],
  ["light", "Judged under", { size: 10, list: "lights" }, kelvin], ["page", "Address of the web edition", { wide: true }],
  ["year", "Livery of the year", { size: 6 }, numeral], ["repainted", "Repainted in the years", { size: 16, place: "1931, 1948" }, numbers],
  ["shade", "Shades darker by L*", { size: 5 }, numeral], ["highlight", "Highlights lighter by L*", { size: 5 }, numeral], ["tone_hue", "Their hue turns by degrees", { size: 5 }, numeral],
];

const shown = value => (value === null || value === undefined ? "" : Array.isArray(value) ? value.join(", ") : String(value));

function input(label, value, how, set) {
  return html`<label class=${how.wide ? "grow" : ""}>${label}<input .value=${shown(value)} size=${how.size ?? 20} list=${how.list ?? nothing}
    placeholder=${how.place ?? nothing} autocomplete="off" @change=${event => set(event.target.value.trim())}></label>`;
}

export const examplesView = () => (desk.kit.examples ? html`<section class="panel"><p><b>This kit still holds the examples</b> that it was started with.</p>
  <p class="actions"><button @click=${() => change([{ op: "examples.clear" }], "Clear the examples")}>Clear the examples</button></p></section>` : nothing);

export function partsView(open) {
  const { kit } = desk.kit, { options } = desk.kit;
  const set = (key, value, label) => change([{ op: "kit.set", values: { [key]: value } }], `${label} of the kit`);
  return html`<section class="page" aria-labelledby="parts-title">
    <h1 id="parts-title" tabindex="-1">Parts and kit</h1>
    ${examplesView()}
    <h2>Parts <span class="soft">${desk.kit.parts.length}</span></h2>
    <p class="help">A part is a surface that gets one colour. Drag a part by its handle, or use its arrows, to put it elsewhere.</p>
    <ol class="part-list" role="list">${repeat(desk.kit.parts, part => part.id, (part, i) => partItem(part, i, open === part.id))}</ol>
    <form class="fields add" @submit=${async event => {
      event.preventDefault();
      const form = event.target, { name, finish } = fields(form);
      if (await change([{ op: "part.add", name, finish }], `Add ${name}`)) { form.reset(); form.elements.name.focus(); }
    }}><label>A new part<input name="name" required placeholder="Waist panels" autocomplete="off"></label>
      <label>Finish<select name="finish">${(options.finishes ?? []).map(finish => html`<option>${finish}</option>`)}</select></label><button>Add the part</button></form>
    <h2>Kit</h2>
    <div class="fields"><label>Stage<select @change=${event => set("stage", event.target.value, "Stage")}>${(options.stages ?? []).map(stage =>
        option(stage, stage, stage === (kit.stage ?? "draft"), desk.sending))}</select></label>
      ${KIT.map(([key, label, how, convert]) => input(label, kit[key], how, text => set(key, text === "" ? null : convert ? convert(text) : text, label)))}
      <label>Picture that shows where parts are<select @change=${event => set("cover", event.target.value || null, "Cover")}>${option("", "the best one", !kit.cover, desk.sending)}${desk.kit.references.map(
        entry => option(entry.id, entry.id, entry.id === kit.cover, desk.sending))}</select></label>
      <label class="choice"><input type="checkbox" .checked=${Boolean(kit.scale_effect)} @change=${event => set("scale_effect", event.target.checked || null, "Scale effect")}> Lighten for the scale</label></div>
    <h2>Lists of paints</h2>
    <ul class="plain">${(desk.kit.lists ?? []).map((list, i) => html`<li><b>${said(list.file)}</b> <span class="soft">${plural(list.paints ?? 0, "paint")}</span>
      ${i ? html`<button class="quiet" @click=${() => change([{ op: "list.move", file: list.file, to: i - 1 }], `Move ${list.file} up`)}>Earlier</button>` : nothing}
      <button class="quiet" @click=${() => change([{ op: "list.remove", file: list.file }], `Take out the list ${list.file}`)}>Take out<span class="hidden"> ${list.file}</span></button></li>`)}</ul>
    <form class="fields" @submit=${async event => { event.preventDefault(); const form = event.target;
      if (await change([{ op: "list.add", file: fields(form).file }], "Add a list")) form.reset(); }}>
      <label>A CSV, or an instrument’s export, seen from the kit’s folder<input name="file" required placeholder="swatches/own.csv" size="28" autocomplete="off"></label><button>Add the list</button></form>
    <h2>Files that go with the kit</h2>
    ${filesView(kit, set)}
    <p class="help">${said(desk.kit.path)} may be open in an editor at the same time. What is saved there shows here at once.</p>
  </section>`;
}

function filesView(kit, set) {
  const files = kit.files ?? [];
  return html`<ul class="plain">${files.map((file, i) => html`<li><b>${said(file.file)}</b> ${said(file.what ?? "")} <button class="quiet"
      @click=${() => set("files", files.length > 1 ? files.filter((_, at) => at !== i) : null, "Files")}>Take out<span class="hidden"> ${file.file}</span></button></li>`)}</ul>
    <form class="fields" @submit=${async event => { event.preventDefault(); const form = event.target, { file, what } = fields(form);
      if (await set("files", [...files, { file, ...(what ? { what } : {}) }], "Files")) form.reset(); }}>
      <label>File, seen from the kit’s folder<input name="file" required placeholder="meshes/waist.stl" autocomplete="off"></label>
      <label>What it is<input name="what" autocomplete="off"></label><button>Add the file</button></form>`;
}

let dragged = null;

function partItem(part, i, open) {
  const row = desk.rows.get(part.id), { options } = desk.kit, last = desk.kit.parts.length - 1, values = part.values ?? {};
  const set = (values, label) => change([{ op: "part.set", id: part.id, values }], `${label} of ${part.name}`);
  const move = to => change([{ op: "part.move", id: part.id, to }], `Move ${part.name}`).then(() =>
    document.getElementById(`part-${part.id}`)?.querySelector(to < i ? ".up" : ".down")?.focus());
  const others = desk.kit.parts.filter(other => other.id !== part.id), after = part.after ?? [];
  return html`<li id="part-${part.id}" class="part-item" @dragover=${event => { if (dragged && dragged !== part.id) event.preventDefault(); }}
      @drop=${event => { if (!dragged) return; event.preventDefault(); event.stopPropagation(); change([{ op: "part.move", id: dragged, to: i }], `Move ${partOf(dragged).name}`); dragged = null; }}>
    <div class="part-line"><span class="grip" draggable="true" aria-hidden="true" title="Drag to move" @dragstart=${event => { dragged = part.id; event.dataTransfer.effectAllowed = "move"; }}
        @dragend=${() => { dragged = null; }}>⠿</span><span class="no">${part.number}</span>${swatch(row?.colour?.hex ?? null, { kind: "plain", inferred: row && ["grey", "hint"].includes(row.basis) })}
      <label class="grow"><span class="hidden">Name of part ${part.number}</span><input .value=${part.name} @change=${event => set({ name: event.target.value.trim() }, "Name")}></label>
      <label><span class="hidden">Finish of ${part.name}</span><select @change=${event => set({ finish: event.target.value }, "Finish")}>${(options.finishes ?? []).map(
        finish => option(finish, finish, finish === part.finish, desk.sending))}</select></label>
      <button class="quiet up" ?disabled=${i === 0} aria-label="Move ${part.name} up" @click=${() => move(i - 1)}>↑</button>
      <button class="quiet down" ?disabled=${i === last} aria-label="Move ${part.name} down" @click=${() => move(i + 1)}>↓</button>
      <button class="quiet" aria-label="Take out ${part.name}" @click=${() => removePart(part)}>Take out</button></div>
    <details ?open=${open}><summary>More of it<span class="hidden">: ${part.name}</span></summary>${keyed(part.id, html`<div class="fields">
      <label>Short id<input size="12" .value=${part.id} @change=${event => change([{ op: "part.rename", id: part.id, to: event.target.value.trim() }], `Call ${part.id} ${event.target.value.trim()}`)}></label>
      ${input("Area, cm²", part.area_cm2, { size: 7 }, text => set({ area_cm2: text === "" ? null : numeral(text) }, "Area"))}
      ${input("or a mesh, an STL", values.mesh ?? part.mesh, { size: 18, place: "meshes/waist.stl" }, text => set({ mesh: text || null }, "Mesh"))}
      <label>The same paint as<select @change=${event => set({ same_as: event.target.value || null }, "Paint")}>${option("", "no other part", !part.same_as, desk.sending)}${others.map(
        other => option(other.id, other.name, other.id === part.same_as, desk.sending))}</select></label>
      ${["clear", "bare", "lit"].map(key => html`<label class="choice"><input type="checkbox" .checked=${part.finish === key || Boolean(values[key])} @change=${event =>
        set({ [key]: event.target.checked || null }, { clear: "Clear", bare: "Bare", lit: "Lamp" }[key])}> ${{ clear: "clear, not painted", bare: "left bare", lit: "a lamp: its colour is its light" }[key]}</label>`)}
      ${["shade", "highlight"].map(key => input(key === "shade" ? "Its shade, darker by L*" : "Its highlight, lighter by L*", values[key], { size: 5 }, text => set({ [key]: text === "" ? null : numeral(text) }, key === "shade" ? "Shade" : "Highlight")))}</div>
      <fieldset><legend>Painted after</legend><div class="fields tight">${others.map(other => html`<label class="choice"><input type="checkbox" .checked=${after.includes(other.id)}
        @change=${event => set({ after: event.target.checked ? [...after, other.id] : after.length > 1 ? after.filter(id => id !== other.id) : null }, "Order")}> ${said(other.name)}</label>`)}</div></fieldset>`)}
    </details></li>`;
}

async function removePart(part) {
  const marks = desk.kit.references.reduce((sum, entry) => sum + entry.samples.filter(sample => sample.part === part.id).length, 0);
  if (marks) {
    const sure = await dialogue(close => html`<h2>Take ${said(part.name)} out?</h2><p>${plural(marks, "mark")} and all that names it would go with it. Undo brings everything back.</p>
      <p class="actions"><button class="main" @click=${() => close(true)}>Take out</button><button autofocus @click=${() => close(false)}>Leave</button></p>`, { label: "Take out?" });
    if (!sure) return;
  }
  await change([{ op: "part.remove", id: part.id }], `Take out ${part.name}`);
  changed();
}
