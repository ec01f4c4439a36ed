// The lists of paints as chips in an order for the eye, and mixing by hand beside the recipes found.
import { get, newest, post } from "./api.js";
import { colourField, recipe, typedText } from "./colours.js";
import { announce, dialogue, fields, html, labText, n, nothing, option, plural, problemList, repeat, said, swatch } from "./dom.js";
import { change, changed, desk, onChange, onNews, part as partOf } from "./state.js";

let lists = null;
let asking = false;
let problems = [];
const look = { text: "", list: "", owned: false, retired: true };
const bowl = new Map(); // swatch -> drops
let every = false; // whether recipes may take paints that are not owned
let target = null; // part id, or "" for a typed colour
let mixed = null;
let best = null; // the recipes of the desk
let bestFor = "";

onChange(answer => { if (answer.lists || answer.changed?.lists?.length) loadLists(true); });
onNews("recipes", () => { bestFor = ""; changed(); });
onNews("kit", () => loadLists(true));

export function loadLists(again = false) {
  if (asking || (lists && !again)) return;
  asking = true;
  get("api/lists").then(answer => { lists = answer.lists; problems = []; }, error => { lists ??= []; problems = error.problems ?? []; })
    .finally(() => { asking = false; changed(); });
}

const mix = newest(question => post("api/mix", question), (answer, question, error) => {
  mixed = answer ?? { problem: error?.problems?.[0]?.what ?? "" };
  changed();
});

const asTarget = () => (target ? { part: target } : typedText("mix-colour").trim() ? { colour: typedText("mix-colour").trim() } : null);

function stir() {
  if (bowl.size) mix({ drops: Object.fromEntries(bowl), target: asTarget() });
  else mixed = null;
  changed();
}

export function drop(id, by) {
  const drops = Math.min(99, Math.max(0, (bowl.get(id) ?? 0) + by));
  if (drops) bowl.set(id, drops);
  else bowl.delete(id);
  stir();
}

function search() {
  const wanted = asTarget();
  const key = JSON.stringify([every, wanted, wanted?.part ? desk.rows.get(wanted.part)?.colour?.hex : null]);
  if (!wanted || key === bestFor || (wanted.part && !desk.rows.get(wanted.part)?.colour)) return;
  bestFor = key;
  get("api/recipes", every ? { ...wanted, all: 1 } : wanted).then(answer => { best = answer; changed(); }, error => { best = { problem: error.problems ?? [] }; changed(); });
}

const everyRow = () => (lists ?? []).flatMap(list => list.rows.map(row => ({ ...row, list: list.file })));

export function paintsView(part) {
  loadLists();
  if (part !== undefined && part !== paintsView.part) {
    paintsView.part = part;
    if (part && partOf(part)) { target = part; stir(); }
  }
  target ??= desk.kit.parts[0]?.id ?? "";
  search();
  const words = look.text.toLowerCase().split(/\s+/).filter(Boolean);
  const rows = everyRow().filter(row => (!look.list || row.list === look.list) && (!look.owned || row.owned) && (look.retired || !row.retired) &&
    words.every(word => Object.values(row.cells).join(" ").toLowerCase().includes(word))).sort((a, b) => (a.place ?? 0) - (b.place ?? 0));
  const wrong = [...problems, ...(lists ?? []).flatMap(list => list.problems ?? [])];
  return html`<section class="page paints" aria-labelledby="paints-title">
    <h1 id="paints-title" tabindex="-1">Paints</h1>
    ${mixingView()}
    <h2>Your lists <span class="soft">${lists ? plural(everyRow().length, "paint") : "…"}</span></h2>
    ${problemList(wrong, wrong.length ? "What is wrong in the lists" : "")}
    <div class="fields filter" role="search" aria-label="Which paints are shown">
      <label>Find<input type="search" .value=${look.text} autocomplete="off" @input=${event => { look.text = event.target.value; changed(); }}></label>
      <label>List<select @change=${event => { look.list = event.target.value; changed(); }}>${option("", "all", !look.list)}${(lists ?? []).map(list => option(list.file, list.file, list.file === look.list))}</select></label>
      <label class="choice"><input type="checkbox" .checked=${look.owned} @change=${event => { look.owned = event.target.checked; changed(); }}> Only what I own</label>
      <label class="choice"><input type="checkbox" .checked=${look.retired} @change=${event => { look.retired = event.target.checked; changed(); }}> Retired ones, too</label>
      <button @click=${() => editRow(null)} ?disabled=${!lists?.length}>Add a paint</button></div>
    <ul class="chips" role="list">${repeat(rows, row => `${row.list} ${row.id} ${row.line}`, chipView)}</ul>
    ${bowl.size ? html`<div class="bowl-bar" aria-hidden="true">${swatch((target ? desk.rows.get(target)?.colour : best?.target)?.hex ?? null, { kind: "plain" })}${swatch(mixed?.colour?.hex ?? null, { kind: "plain" })}<span><b>${mixed?.colour
      ? html`<span class="number">${n(mixed.difference)}</span> off` : "Mixing …"}</b> <span class="soft">${[...bowl].map(([id, drops]) => `${drops} ${id}`).join(" + ")}</span></span></div>` : nothing}
    ${lists && !rows.length ? html`<p class="help">${everyRow().length ? "No paint is like that." : html`The kit has no paints yet. <a href="#/parts">Add a list of yours</a>: a CSV with the columns id, name and hex.`}</p>` : nothing}
  </section>`;
}

function chipView(row) {
  const drops = bowl.get(row.id) ?? 0, name = row.cells.name ?? row.id;
  const mark = (key, on) => change([{ op: "swatch.mark", list: row.list, ids: [row.id], [key]: on }],
    `${name}: ${key === "owned" ? (on ? "owned" : "not owned") : (on ? "retired" : "on sale again")}`);
  return html`<li class="chip ${row.retired ? "retired" : ""}">
    <button class="pot" @click=${() => drop(row.id, 1)} aria-label="One drop of ${row.id} ${name}${drops ? `, ${drops} in the mixture` : ""}" title="Put one drop in">${swatch(row.colour?.hex ?? null, { kind: "fill" })}${
      drops ? html`<span class="count">${drops}</span>` : nothing}</button>
    <span class="id">${said(row.id)}</span><span class="name">${said(name)}</span>
    <span class="ticks"><label class="choice"><input type="checkbox" .checked=${Boolean(row.owned)} @change=${event => mark("owned", event.target.checked)}> own<span class="hidden"> ${name}</span></label>
      <label class="choice"><input type="checkbox" .checked=${Boolean(row.retired)} @change=${event => mark("retired", event.target.checked)}> retired<span class="hidden">: ${name}</span></label>
      <button class="quiet" @click=${() => editRow(row)}>Edit<span class="hidden"> ${row.id}</span></button></span>
  </li>`;
}

function mixingView() {
  const row = target ? desk.rows.get(target) : null, aim = row?.colour ?? (target ? null : best?.target ?? null);
  const names = new Map(everyRow().map(known => [known.id, known]));
  return html`<section class="mixing" aria-labelledby="mixing-title"><h2 id="mixing-title">Mix by hand</h2>
    <div class="fields"><label>For<select @change=${event => { target = event.target.value; bestFor = ""; best = null; stir(); }}>${desk.kit.parts.map(
      part => option(part.id, `${part.number} ${part.name}`, part.id === target))}${option("", "a colour that I type", !target)}</select></label>
      ${target ? nothing : html`<div @input=${() => { clearTimeout(mixingView.later); mixingView.later = setTimeout(stir, 300); }}>${colourField("mix-colour")}</div>`}</div>
    <div class="bench-mix">
      <div class="bowl"><div class="facing" aria-hidden="true">${swatch(aim?.hex ?? null, { kind: "fill" })}${swatch(mixed?.colour?.hex ?? null, { kind: "fill" })}</div>
        <p class="facing-words"><span>Asked</span><span>Mixed</span></p>
        <p role="status" class="verdict">${mixed?.colour ? html`<b class="number">${n(mixed.difference)}</b> off${mixed.shows ? html`, ${mixed.shows}` : nothing}${mixed.expected_error ? html` <span class="soft number">give or take ${n(mixed.expected_error)}</span>` : nothing}`
          : mixed?.problem ? said(mixed.problem) : "Put drops in: press a paint below."}</p>
        <p class="soft number">${mixed?.colour ? labText(mixed.colour.lab) : " "}</p>
        <ul class="drops" role="list">${repeat([...bowl], ([id]) => id, ([id, drops]) => html`<li>${swatch(names.get(id)?.colour?.hex ?? null, { kind: "dot" })}<span class="id">${said(id)}</span> ${said(names.get(id)?.cells.name ?? "")}
          <span class="stepper"><button aria-label="One drop less of ${id}" @click=${() => drop(id, -1)}>−</button><b class="number">${drops}</b><button aria-label="One drop more of ${id}" @click=${() => drop(id, 1)}>+</button></span></li>`)}</ul>
        ${bowl.size ? html`<p class="actions"><button @click=${() => { bowl.clear(); stir(); announce("The mixture is empty."); }}>Empty it</button></p>` : nothing}
        ${mixed?.warning ? html`<p>${said(mixed.warning)}</p>` : nothing}</div>
      <div class="found"><h3>Found by search</h3><label class="choice"><input type="checkbox" .checked=${every} @change=${event => { every = event.target.checked; best = null; changed(); }}> Also paints that I do not own</label>${bestView()}</div>
    </div></section>`;
}

function bestView() {
  const row = target ? desk.rows.get(target) : null;
  if (row && !row.colour && !row.stale) return html`<p class="help">This part has no colour yet. Mark it in a picture, or choose a colour that you type.</p>`;
  if (!best) return html`<p class="help">${asTarget() ? "Looking …" : "Say for which colour."}</p>`;
  if (best.problem) return problemList(best.problem);
  if (best.status === "working" && !best.recipes?.length) return html`<p class="help">Looking for recipes …</p>`;
  return html`<ul class="recipes" role="list">${(best.recipes ?? []).map(one => html`<li>${swatch(one.colour?.hex ?? null, { kind: "plain" })}<span>${recipe(one.drops)}<br><span class="number">off by ${n(one.difference)}${
      one.drops.length > 1 && one.expected_error ? ` ± ${n(one.expected_error)}` : ""}</span> <span class="soft">${one.shows ?? ""}</span>${one.warning ? html`<br><small>${said(one.warning)}</small>` : nothing}</span>
      <button class="quiet" @click=${() => { bowl.clear(); for (const part of one.drops) bowl.set(part.swatch, part.count); stir(); }}>Try it</button></li>`)}</ul>
    ${(best.recipes ?? []).length ? nothing : html`<p class="help">No paint of the lists can be mixed for it.</p>`}
    ${(best.paints ?? []).length ? html`<h3>Nearest straight from the pot</h3><ul class="recipes" role="list">${best.paints.slice(0, 4).map(paint => html`<li>${swatch(paint.colour?.hex, { kind: "plain" })}<span><span
      class="id">${said(paint.swatch)}</span> ${said(paint.name)}<br><span class="number">off by ${n(paint.difference)}</span>${paint.to_hand ? html` <span class="soft">to hand</span>` : nothing}${paint.retired ? html` <span class="tag">Retired</span>` : nothing}</span>
      <button class="quiet" @click=${() => drop(paint.swatch, 1)}>One drop<span class="hidden"> of ${paint.swatch}</span></button></li>`)}</ul>` : nothing}
    ${(best.notes ?? []).map(words => html`<p class="help">${said(words)}</p>`)}
    <p class="help">A drop is a fixed volume, the same for every paint. Mix a test drop first.</p>`;
}

const FIRST = ["id", "name", "hex", "lab_l", "lab_a", "lab_b", "finish", "owned", "retired"];
const COLUMNS = {
  id: "Code", name: "Name", hex: "Colour as hex", lab_l: "L*", lab_a: "a*", lab_b: "b*", finish: "Finish", owned: "Owned: yes or no", retired: "Retired: yes or no",
  range: "Range", opacity: "Opacity", medium: "Thinned with", volume_ml: "Millilitres in a pot", price: "Price", source: "Where the colour is from", notes: "Notes",
  tint_l: "In white: L*", tint_a: "In white: a*", tint_b: "In white: b*", tint_share: "In white: its share, 0 to 1", tint_white: "In white: which white",
};

async function editRow(row) {
  const columns = row ? lists.find(list => list.file === row.list)?.columns ?? Object.keys(row.cells) : lists[0].columns;
  const plain = columns.filter(name => !/^(tint_)?nm\d+$/.test(name) && !(row && ["owned", "retired"].includes(name)));
  const first = FIRST.filter(name => plain.includes(name)), more = plain.filter(name => !FIRST.includes(name));
  const field = name => html`<label>${COLUMNS[name] ?? name}<input name=${name} .value=${row?.cells[name] ?? ""} ?required=${["id", "name"].includes(name)} autocomplete="off"></label>`;
  const measured = row && columns.length > plain.length + 2 && columns.some(name => /^nm\d+$/.test(name) && row.cells[name]);
  let wrong = [];
  await dialogue((close, draw) => html`<h2>${row ? html`Correct ${said(row.id)}` : "Add a paint"}</h2>${problemList(wrong)}
    <form @submit=${async event => {
      event.preventDefault();
      const given = fields(event.target), list = given[" list"] ?? row?.list ?? lists[0].file;
      delete given[" list"];
      const cells = row ? Object.fromEntries(Object.entries(given).filter(([name, text]) => text !== (row.cells[name] ?? "")))
        : Object.fromEntries(Object.entries(given).filter(([, text]) => text !== ""));
      try {
        await change([row ? { op: "swatch.set", list, id: row.id, row: cells } : { op: "swatch.add", list, row: cells }],
          row ? `Correct ${row.id}` : `Add ${given.id}`, { quiet: true });
        close(true);
      } catch (error) {
        wrong = error.problems ?? [{ what: error.message, remedy: "" }];
        draw();
        requestAnimationFrame(() => document.querySelector("dialog .problems")?.focus());
      }
    }}><div class="fields">${row || lists.length < 2 ? nothing : html`<label>List<select name=" list">${lists.map(list => html`<option>${list.file}</option>`)}</select></label>`}
      ${first.map(field)}</div>${measured ? html`<p class="help">Its colour comes from its measured spectrum, which is not shown here.</p>` : nothing}
      ${more.length ? html`<details><summary>More</summary><div class="fields">${more.map(field)}</div></details>` : nothing}
      <p class="actions"><button class="main">${row ? "Correct it" : "Add it"}</button><button type="button" @click=${() => close(null)}>Leave it</button>
      ${row ? html`<button type="button" @click=${() => { close(true); bowl.delete(row.id); change([{ op: "swatch.remove", list: row.list, ids: [row.id] }], `Take out ${row.id}`).then(done => { if (done) announce(`${row.id} is taken out of the list. Undo brings it back.`); }); }}>Take it out of the list</button>` : nothing}</p></form>`,
  { label: row ? "Correct a paint" : "Add a paint", className: "wide" });
}
