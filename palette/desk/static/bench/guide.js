// The guide beside the work, as it would print, and the check of the painted print.
import { address, get, post } from "./api.js";
import { announce, html, n, nothing, plural, problemList, said, swatch } from "./dom.js";
import { addFiles, change, changed, desk, onChange, onNews, tell } from "./state.js";

let guide = null;
let check = null;
let paper = "a4";
let large = false;
let page = 1;
let shown = false;
let writing = false;
let later = 0;

const ask = async (path, query, take) => {
  try {
    take(await get(path, query));
  } catch (error) {
    take({ status: "failed", problems: error.problems ?? [{ what: error.message, remedy: "" }] });
  }
  changed();
};
const askGuide = () => ask("api/guide", { paper }, answer => {
  // What was set before stays in sight while it is set anew.
  guide = answer.v || !guide?.v ? answer : { ...guide, ...answer, v: guide.v, pages: guide.pages };
  if (guide.pages) page = Math.min(page, guide.pages);
});
const askCheck = () => ask("api/check", {}, answer => { check = answer; });
const askBoth = () => { askGuide(); askCheck(); };

onNews("guide", () => { if (shown) askGuide(); });
onNews("check", () => { if (shown) askCheck(); });
const soon = () => { if (shown) { clearTimeout(later); later = setTimeout(askBoth, 400); } };
onChange(soon);
onNews("kit", soon);
onNews("settled", soon);

export function leaveGuide() { shown = false; }

export function guideView() {
  if (!shown) {
    shown = true;
    askBoth();
  }
  const busy = guide?.status === "working" || guide?.stale;
  return html`<section class="page guide" aria-labelledby="guide-title">
    <div class="page-head"><h1 id="guide-title" tabindex="-1">The guide</h1><p class="soft" role="status">${!guide ? "…" : busy ? "being set anew …" : guide.status === "failed" ? "it could not be set" : plural(guide.pages ?? 0, "page")}</p></div>
    ${problemList(guide?.problems)}
    <div class="fields"><label>Paper<select @change=${event => { paper = event.target.value; askGuide(); }}><option value="a4">A4</option><option value="letter">US Letter</option></select></label>
      <button class="main" ?disabled=${writing} @click=${write}>${writing ? "Writing …" : "Write the files"}</button>
      <button aria-pressed=${large} @click=${() => { large = !large; changed(); }}>Larger</button></div>
    ${guide?.written?.length ? html`<ul class="written" role="list">${guide.written.map(file => html`<li><a href=${address(`out/${file.name}`)} target="_blank" rel="noopener">${file.name}</a> <span class="soft">${said(file.what)}, ${said(file.when)}</span>${
      file.stale ? html` <span class="tag">Older than the kit</span>` : nothing} <a class="soft" href=${address(`out/${file.name}`, { download: 1 })}>Download<span class="hidden"> ${file.name}</span></a></li>`)}</ul>` : nothing}
    ${guide?.v ? html`<div class="pages ${large ? "large" : ""} ${busy ? "busy" : ""}">
      <p class="turn"><button ?disabled=${page <= 1} @click=${() => turn(-1)} aria-label="The page before">←</button><span>Page ${page} of ${guide.pages}</span>
        <button ?disabled=${page >= guide.pages} @click=${() => turn(1)} aria-label="The next page">→</button></p>
      <div class="sheet-frame" tabindex="0" role="group" aria-label="Page ${page} of the guide, as it prints"><img class="sheet" alt="Page ${page} of the guide" src=${address("guide-page", { paper, n: page, v: guide.v, scale: large || devicePixelRatio > 1 ? 2 : 1 })}></div></div>`
      : busy ? html`<p class="help">The first page comes in a moment.</p>` : nothing}
    ${checkView()}
  </section>`;
}

function turn(by) {
  page += by;
  announce(`Page ${page} of ${guide.pages}.`);
  changed();
}

async function write() {
  writing = true;
  changed();
  try {
    await post("api/guide/write", { paper });
    await askGuide();
    announce("The guide is written.");
  } catch (error) {
    tell(error.problems ?? [{ what: error.message, remedy: "start the desk again" }]);
  }
  writing = false;
  changed();
}

function checkView() {
  const painted = desk.kit.references.filter(entry => entry.subject === "painted");
  const bring = async files => {
    const answer = await addFiles(files);
    const ids = (answer?.added ?? []).map(entry => entry.id);
    if (!ids.length) return;
    await change([{ op: "reference.set", ids, values: { subject: "painted" } }], `${plural(ids.length, "picture")} of the painted print`);
    location.hash = `#/picture/${encodeURIComponent(ids[0])}`;
  };
  const verdict = part => part.target === null ? "no target" : part.pass === null ? html`<span class="tag">Cannot tell</span>` : part.pass ? html`<span class="yes">✓ a match</span>` : html`<span class="tag solid">✗ No</span>`;
  return html`<section aria-labelledby="check-title" class="check"><h2 id="check-title">The painted print</h2>
    <div class="drop small"><p>Drop a photograph of your painted test print, taken with a grey card. Mark the card and the parts on it, then read the verdict here.</p>
      <p class="actions"><label class="button file">Choose the photograph<input type="file" multiple accept="image/*,.tif,.tiff,.heic,.heif" class="over" @change=${event => { bring([...event.target.files]); event.target.value = ""; }}></label></p></div>
    ${painted.length ? html`<p>${painted.map((entry, i) => html`${i ? ", " : "Photographs: "}<a href="#/picture/${encodeURIComponent(entry.id)}">${said(entry.id)}</a>`)}</p>` : nothing}
    ${problemList(check?.problems)}
    ${check?.parts?.length ? html`<div class="scroll" tabindex="0" role="region" aria-labelledby="check-title"><table><thead><tr><th scope="col">Part</th><th scope="col">Target, painted</th><th scope="col" class="right">Off by</th><th scope="col">A match?</th><th scope="col">What to change</th></tr></thead>
      <tbody>${check.parts.map(part => html`<tr><th scope="row">${said(part.name)}</th><td><span class="pair-swatch">${swatch(part.target?.hex ?? null, { kind: "plain" })}${swatch(part.measured?.hex ?? null, { kind: "plain" })}</span></td>
        <td class="right number">${n(part.difference)}</td><td>${verdict(part)}</td><td>${said(part.words ?? "")}</td></tr>`)}</tbody></table></div>`
      : check?.status === "working" ? html`<p class="help" role="status">Measuring it …</p>` : check?.why_not ? html`<p class="help">${said(check.why_not)}</p>` : nothing}
    ${(check?.notes ?? []).map(words => html`<p class="help">${said(words)}</p>`)}
  </section>`;
}
