// The scheme beside the work: one row a part. A row opens in place.
import { address } from "./api.js";
import { colourField, forgetTyped, recipe } from "./colours.js";
import { announce, fields, html, labText, n, nothing, numeral, option, plural, problemList, repeat, said, squares, swatch } from "./dom.js";
import { change, changed, desk, loadPicture, part as partOf, reference } from "./state.js";

let wanted = ""; // what is typed to find a part
let at = 0; // which of the parts found the arrow keys stand on

export function light(id) {
  if (desk.lit === id) return;
  desk.lit = id;
  changed();
}

export function openPart(id, { focus = false } = {}) {
  desk.part = id;
  if (id) desk.target = { array: "sample", part: id };
  changed();
  requestAnimationFrame(() => requestAnimationFrame(() => {
    const row = document.getElementById(`row-${id}`);
    row?.scrollIntoView({ block: "nearest" });
    if (focus) row?.querySelector("button")?.focus();
  }));
}

const fold = text => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();

function partsShown() {
  const words = fold(wanted).split(/\s+/).filter(Boolean);
  return desk.kit.parts.filter(part => {
    const text = fold(`${part.number} ${part.name} ${part.id}`);
    return words.every(word => text.includes(word));
  });
}

function findKey(event, parts) {
  if (event.key === "ArrowDown" || event.key === "ArrowUp") {
    at = Math.min(Math.max(at + (event.key === "ArrowDown" ? 1 : -1), 0), parts.length - 1);
    if (parts[at]) {
      light(parts[at].id);
      document.getElementById(`row-${parts[at].id}`)?.scrollIntoView({ block: "nearest" });
    }
  } else if (event.key === "Enter" && parts[at]) {
    const { id, name } = parts[at];
    wanted = "";
    event.target.value = "";
    at = 0;
    openPart(id);
    announce(`${name}: the next mark is of this part.`);
  } else if (event.key === "Escape" && (wanted || event.target.value)) {
    wanted = "";
    event.target.value = "";
    at = 0;
    light(null);
  } else return;
  event.preventDefault();
  event.stopPropagation();
  changed();
}

export function schemeView() {
  const parts = partsShown(), conflicts = [...desk.rows.values()].filter(row => row.conflict && partOf(row.part));
  const progress = desk.progress;
  return html`<div class="scheme-head">
      <h2 id="scheme-title">Scheme</h2>
      <p class="state" role="status">${!desk.online ? "the desk does not answer"
        : progress && progress.label ? html`${progress.label}${progress.total ? ` ${progress.done} of ${progress.total}` : " …"}`
        : desk.settled ? plural(desk.kit.parts.length, "part") : "working it out …"}</p>
    </div>
    <label class="find"><span class="hidden">Find a part by its name</span>
      <input type="search" id="find-part" placeholder="Find a part" autocomplete="off"
        aria-controls="rows" aria-describedby="find-help" @input=${event => { wanted = event.target.value; at = 0; changed(); }}
        @keydown=${event => findKey(event, parts)}><kbd aria-hidden="true">/</kbd></label>
    <span class="hidden" id="find-help">Type a part of its name. Enter makes it the part that is marked next.</span>
    ${conflicts.length ? html`<p class="disputed-note"><span class="tag solid">Disputed</span> ${conflicts.map((row, i) => html`${i ? ", " : ""}<button
      class="link" @click=${() => openPart(row.part, { focus: true })}>${said(row.name)}</button>`)}</p>` : nothing}
    ${desk.rowProblems.length ? html`<div class="cannot">${problemList(desk.rowProblems, "The scheme cannot be worked out")}</div>` : nothing}
    ${desk.kit.parts.length ? nothing : html`<p class="help">No parts yet. A part is a surface that gets one colour. <a href="#/parts">Add the
      first</a>.</p>`}
    <ol class="rows" id="rows" role="list">${repeat(parts, part => part.id, (part, i) => rowView(part, Boolean(wanted) && i === at))}</ol>
    ${wanted && !parts.length ? html`<p class="help">No part has that in its name.</p>` : nothing}
    ${desk.warnings?.length ? html`<details class="mind"><summary>${plural(desk.warnings.length, "remark")}</summary><ul>${desk.warnings.map(
      words => html`<li>${said(words)}</li>`)}</ul></details>` : nothing}`;
}

function rowView(part, active) {
  const row = desk.rows.get(part.id), open = desk.part === part.id, colour = row?.colour;
  const chosen = row?.chosen;
  return html`<li id="row-${part.id}" class="row ${open ? "open" : ""} ${desk.lit === part.id ? "lit" : ""} ${active ? "active" : ""} ${
      row?.stale ? "stale" : ""}" @pointerenter=${() => light(part.id)} @pointerleave=${() => light(null)}
      @focusin=${() => light(part.id)} @focusout=${() => light(null)}>
    <button class="row-button" aria-expanded=${open} @click=${() => openPart(open ? null : part.id)}>
      <span class="no" aria-hidden="true">${part.number}</span>
      ${swatch(colour?.hex, { inferred: row && ["grey", "hint"].includes(row.basis), strip: row?.spread?.chips })}
      <span class="name">${said(part.name)}</span>
      <span class="line sure">${row?.sure?.squares ? squares(row.sure.squares) : nothing}${row ? row.sure?.word || "unknown" : "…"}${
        row?.basis_words ? html`<span class="soft">, ${row.basis_words}</span>` : nothing}</span>
      <span class="line chosen-paint">${chosen ? html`${swatch(chosen.colour?.hex, { kind: "dot" })}${recipe(chosen.recipe)}${
        chosen.off ? html`<span class="number">, off by ${chosen.off}</span>` : chosen.likely ? html`<span class="soft">, ${said(chosen.likely)}</span>` : nothing}`
        : html`<span class="soft">${row?.stale || !row ? " " : "no paint yet"}</span>`}</span>
      ${row?.conflict ? html`<span class="tag solid">Disputed</span>` : nothing}
      ${row?.stale ? html`<span class="tag working">Working</span>` : nothing}
    </button>
    ${open ? detail(part, row) : nothing}
  </li>`;
}

// Shows the marks of a part in a picture.
function lookAt(ref, part) {
  const entry = reference(ref);
  const index = entry?.samples.findIndex(sample => sample.part === part) ?? -1;
  desk.mark = index >= 0 ? { ref, array: "sample", index } : null;
  desk.lookAt = desk.mark;
  location.hash = `#/picture/${encodeURIComponent(ref)}`;
  changed();
}

// A mark cut out of its picture, as it is and, where the picture has been corrected by now, corrected.
function crops(ref, region) {
  const picture = desk.pictures.get(ref);
  if (!picture && reference(ref)) loadPicture(ref).catch(() => null);
  const one = (view, v, alt) => (v ? html`<img src=${address("api/crop", { ref, region, view, side: 160, v })} alt=${alt}>` : nothing);
  return html`${one("as-is", reference(ref)?.v, "as it is")}${one("corrected", picture?.corrected, "corrected")}`;
}

function conflictView(row) {
  const odd = row.conflict_with;
  if (!odd) return nothing;
  return html`<section class="conflict" aria-label="Where the evidence disagrees">
    <h3><span class="tag solid">Disputed</span> ${said(odd.words)}</h3>
    <div class="crops">${(odd.crops ?? []).map(crop => html`<figure>
      <button class="crop" @click=${() => lookAt(crop.ref, row.part)} aria-label="Open ${crop.ref} at this mark">
        ${crops(crop.ref, crop.region)}
        ${swatch(crop.colour?.hex, { kind: "plain" })}</button>
      <figcaption>${crop.ref === odd.odd ? html`<span class="tag">Odd one</span> ` : nothing}<b>${said(crop.ref)}</b> ${said(crop.words && crop.words !== crop.ref ? crop.words : crop.colour?.words ?? "")}</figcaption>
    </figure>`)}</div>
    ${odd.todo ? html`<p>${said(odd.todo)}</p>` : nothing}
  </section>`;
}

const EVIDENCE = { colour: "in colour", grey: "in grey", hint: "words", part: "another part" };

function detail(part, row) {
  const inferred = row && ["grey", "hint"].includes(row.basis); // else colour says more than grey
  return html`<div class="detail">
    ${row?.colour ? html`<p class="big">${row.colour.words}${row.colour.in_gamut === false ? html`<abbr
      title="outside what a screen shows; the nearest colour is shown">†</abbr>` : nothing}
      <span class="number soft">${labText(row.colour.lab)}</span></p>` : nothing}
    ${(row?.notes ?? []).map(words => html`<p>${said(words)}</p>`)}
    ${row?.lightness && inferred ? html`<p>Its L* lies between <span class="number">${n(row.lightness[0])}</span> and <span class="number">${n(
      row.lightness[1])}</span>.</p>` : nothing}
    ${row ? conflictView(row) : nothing}
    ${row?.evidence?.length ? html`<h3>What it rests on</h3><ul class="evidence">${row.evidence.map(source => {
      const picture = reference(source.reference) && ["colour", "grey"].includes(source.kind);
      return html`<li>${swatch(source.colour?.hex, { kind: "plain" })}<span>${picture ? html`<button class="link"
          @click=${() => lookAt(source.reference, part.id)}>${said(source.reference)}</button>` : html`<b>${said(source.reference)}</b>`}
        <span class="soft">${EVIDENCE[source.kind] ?? source.kind}</span>
        <span class="number">${source.radius90 === null || source.radius90 === undefined ? "" : `±${n(source.radius90)}`}${
          source.weight ? ` · counts ${Math.round(100 * source.weight)} %` : ""}</span>
        ${source.notes?.length ? html`<br><small>${said([].concat(source.notes).join(" "))}</small>` : nothing}</span></li>`;
    })}</ul>` : nothing}
    ${row?.likely?.length && inferred ? html`<h3>Paints it may have been</h3><ul class="evidence">${row.likely.slice(0, 5).map(paint => html`<li>${swatch(
      paint.colour?.hex, { kind: "plain" })}<span><span class="id">${said(paint.swatch)}</span> ${said(paint.name)} <span class="number">${
      Math.round(100 * paint.probability)} %</span></span></li>`)}</ul>` : nothing}
    ${row?.chosen?.warning ? html`<p>Warning: ${said(row.chosen.warning)}</p>` : nothing}
    <p class="actions"><a class="button" href="#/paints/${encodeURIComponent(part.id)}">Mix for it</a>
      <a class="button" href="#/parts/${encodeURIComponent(part.id)}">All of this part</a></p>
    ${decideView(part)}
    ${hintsView(part)}
    ${relationsView(part)}
  </div>`;
}

function decideView(part) {
  const id = `decide-${part.id}`;
  const decide = async event => {
    event.preventDefault();
    const form = event.target, { colour, why } = fields(form);
    const done = await change([{ op: "part.decide", id: part.id, colour, why }], `Decide ${part.name}`);
    if (done) forgetTyped(id);
  };
  return html`<details class="fold" ?open=${Boolean(part.colour)}><summary>Decide it yourself</summary>
    ${part.colour ? html`<p>Decided: <b>${said(part.colour.text)}</b>, ${said(part.why)}
      <button class="quiet" @click=${() => change([{ op: "part.undecide", id: part.id }], `Take back the decision on ${part.name}`)}>Take it back</button></p>` : nothing}
    <form @submit=${decide}>${colourField(id, { value: part.colour?.text ?? "" })}
      <label>Reason, which the guide prints<input name="why" required autocomplete="off" .defaultValue=${part.why ?? ""}></label>
      <button>Decide</button></form></details>`;
}

function hintsView(part) {
  const add = async event => {
    event.preventDefault();
    const form = event.target, { words, source, trust } = fields(form);
    const values = { words, source: source || undefined, trust: trust === "" ? undefined : numeral(trust) };
    if (await change([{ op: "part.hint.add", id: part.id, ...values }], `Note a hint on ${part.name}`)) form.reset();
  };
  return html`<details class="fold"><summary>What someone wrote or remembered${part.hints.length ? ` (${part.hints.length})` : ""}</summary>
    <ul class="plain">${part.hints.map((hint, index) => html`<li>“${said(hint.words)}” <small>${said(hint.source ?? "")}, trusted ${
      hint.trust}</small> <button class="quiet" aria-label="Take out the hint ${hint.words}" @click=${() => change(
      [{ op: "part.hint.remove", id: part.id, index }], `Take out a hint on ${part.name}`)}>Take out</button></li>`)}</ul>
    <form @submit=${add}><label>Colour in words<input name="words" required placeholder="dull green" autocomplete="off"></label>
      <label>Who said so<input name="source" autocomplete="off"></label>
      <label>Trust, from 0 to 1<input name="trust" value="0.5" inputmode="decimal" size="4"></label><button>Note it</button></form></details>`;
}

function relationsView(part) {
  const others = desk.kit.parts.filter(other => other.id !== part.id);
  const same = value => change([{ op: "part.set", id: part.id, values: { same_as: value || null } }],
    value ? `${part.name}: the same paint as ${partOf(value)?.name ?? value}` : `${part.name}: a paint of its own`);
  return html`<details class="fold" ?open=${Boolean(part.same_as || part.thans.length)}><summary>Beside other parts</summary>
    <label>The same paint as<select @change=${event => same(event.target.value)}>${option("", "no other part", !part.same_as, desk.sending)}${others.map(
      other => option(other.id, other.name, other.id === part.same_as, desk.sending))}</select></label>
    <ul class="plain">${part.thans.map((than, index) => html`<li>lighter than ${said(partOf(than.lighter)?.name ?? than.lighter)} <button class="quiet"
      aria-label="Take out: lighter than ${partOf(than.lighter)?.name ?? than.lighter}" @click=${() => change([{ op: "part.than.remove", id: part.id, index }],
      `Take out: ${part.name} is lighter than ${partOf(than.lighter)?.name ?? than.lighter}`)}>Take out</button></li>`)}</ul>
    <label>A picture shows it lighter than<select .value=${""} @change=${event => {
      const lighter = event.target.value;
      event.target.value = "";
      if (lighter) change([{ op: "part.than.add", id: part.id, lighter }], `${part.name} is lighter than ${partOf(lighter)?.name ?? lighter}`);
    }}><option value="">choose a part</option>${others.map(other => html`<option value=${other.id}>${other.name}</option>`)}</select></label></details>`;
}
