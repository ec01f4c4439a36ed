// The bench: what is in sight, the keys, and the frame around the work.
import { changed, desk, forgetUnsent, load, putAway, redo, sendAgain, undo, watch } from "./state.js";
import { basketView, leaveBasket } from "./basket.js";
import { dialogue, focusNear, focusPath, html, isTyping, nothing, plural, problemList, render, said } from "./dom.js";
import { guideView, leaveGuide } from "./guide.js";
import { partsView } from "./kit.js";
import { paintsView } from "./paints.js";
import { picturesView, takeDrops } from "./pictures.js";
import { schemeView } from "./scheme.js";
import { afterDraw, closePicture, openPicture, workKey, workView } from "./work.js";

const VIEWS = { pictures: "Pictures", parts: "Parts and kit", paints: "Paints", guide: "Guide", basket: "What to buy" };
const LETTERS = "palette-letter-keys"; // whether single letters are keys
let place = { view: "pictures", id: undefined };

const where = () => {
  const [, view, id] = /^#\/([a-z]+)(?:\/(.+))?$/.exec(location.hash) ?? [];
  let known;
  try { known = id === undefined ? undefined : decodeURIComponent(id); } catch { known = undefined; }
  return { view: view === "picture" || VIEWS[view] ? view : "pictures", id: known };
};

function go() {
  const before = place;
  place = where();
  if (before.view === "picture" && (place.view !== "picture" || place.id !== before.id)) closePicture();
  if (before.view === "guide" && place.view !== "guide") leaveGuide();
  if (before.view === "basket" && place.view !== "basket") leaveBasket();
  if (place.view === "picture") {
    openPicture(place.id);
  }
  document.title = `${place.view === "picture" ? place.id : VIEWS[place.view]} · ${desk.kit.kit.title} · palette desk`;
  changed();
  if (before.view !== place.view) {
    putAway();
    document.getElementById("main").scrollTop = 0;
    requestAnimationFrame(() => requestAnimationFrame(() => document.querySelector("#main h1")?.focus({ preventScroll: true })));
  }
}

function bar() {
  const { kit } = desk, waiting = desk.unsent.length;
  return html`<a class="kicker" href=${document.documentElement.dataset.start}>palette desk</a>
    <a class="kit-title" href=${document.documentElement.dataset.base} title="The kit as a plain page">${said(kit.kit.title ?? "")}</a>
    <nav aria-label="The bench"><ul>${Object.entries(VIEWS).map(([view, name]) => html`<li><a href="#/${view}" aria-current=${place.view === view || (view === "pictures" && place.view === "picture")
      ? "page" : nothing}>${name}</a></li>`)}</ul></nav>
    <div class="steps"><button ?disabled=${!kit.undo} @click=${undo} title=${kit.undo ? `Take back: ${kit.undo.words} (Ctrl Z)` : "Nothing to take back"}>Undo<span class="hidden">${kit.undo ? `: ${kit.undo.words}` : ""}</span></button>
      <button ?disabled=${!kit.redo} @click=${redo} title=${kit.redo ? `Do again: ${kit.redo.words} (Ctrl Shift Z)` : "Nothing to do again"}>Redo<span class="hidden">${kit.redo ? `: ${kit.redo.words}` : ""}</span></button>
      <span class="saved">${waiting ? "not saved" : desk.sending ? "saving …" : "saved"}</span>
      <button class="keys" aria-label="Keys" title="Keys (?)" @click=${keysHelp}>?</button></div>`;
}

function trouble() {
  return html`${desk.dead ? html`<div class="problems" role="alert"><p><b>The desk was started anew.</b> Open the address that it printed. What was not saved is kept in this browser.</p></div>`
    : !desk.online ? html`<div class="problems" role="alert"><p><b>The desk does not answer.</b> ${desk.unsent.length ? html`${plural(desk.unsent.length, "change")} of yours ${desk.unsent.length === 1 ? "is" : "are"} kept here and sent when it does.`
      : "What you see stays. Start it again with palette desk."}</p></div>`
    : desk.unsent.length ? html`<div class="problems" role="status"><p><b>${plural(desk.unsent.length, "change")}</b> could not be saved when the desk stopped: ${desk.unsent.map(job => job.words).filter(Boolean).join("; ")}.</p>
      <p class="actions"><button class="main" @click=${sendAgain}>Save ${desk.unsent.length === 1 ? "it" : "them"} now</button><button @click=${forgetUnsent}>Forget ${desk.unsent.length === 1 ? "it" : "them"}</button></p></div>` : nothing}
    ${desk.trouble.length ? html`<div class="in-file"><p><b>kit.toml cannot be read now.</b> The bench shows the kit as it was before.</p>${problemList(desk.trouble)}</div>` : nothing}
    ${desk.told ? html`<div class="refused">${problemList(desk.told)}<button class="quiet" @click=${putAway}>Put this away</button></div>` : nothing}`;
}

const KEYS = [
  ["Ctrl Z, Ctrl Shift Z", "take back, do again"], ["/", "find a part by its name; Enter marks it next"], ["H, B, O, S", "look about, box, outline, spot"],
  ["Enter in the picture", "put a mark down; Enter again keeps it"], ["arrow keys", "move the mark, or the picture"], ["Shift with arrows", "ten pixels at once"],
  ["Alt with arrows", "make the mark larger or smaller"], ["comma, dot", "choose a corner of an outline"], ["Delete", "remove the mark"],
  ["+ − 0 1", "larger, smaller, whole, pixel for pixel"], ["C, W, V", "corrected or as it is, wipe, side by side"], ["N, P", "next picture, picture before"], ["Escape", "let go"],
];

const lettersOn = () => localStorage.getItem(LETTERS) !== "off";

function keysHelp() {
  dialogue((close, draw) => html`<h2>Keys</h2><dl class="keys-list">${KEYS.map(([key, what]) => html`<div><dt>${key.split(/( |, )/).map(text => (/^( |, )$/.test(text) || /^(with|in|the|and|picture|keys)$/.test(text) ? text : html`<kbd>${text}</kbd>`))}</dt><dd>${what}</dd></div>`)}</dl>
    <label class="choice"><input type="checkbox" .checked=${lettersOn()} @change=${event => { localStorage.setItem(LETTERS, event.target.checked ? "on" : "off"); draw(); }}> Single letters and signs are keys</label>
    <p class="actions"><button class="main" autofocus @click=${() => close()}>Close</button></p>`, { label: "Keys" });
}

function draw() {
  if (!desk.kit) return;
  const focus = focusPath();
  render(bar(), document.getElementById("bar"));
  render(trouble(), document.getElementById("trouble"));
  render(place.view === "picture" ? workView(place.id) : place.view === "parts" ? partsView(place.id) : place.view === "paints" ? paintsView(place.id)
    : place.view === "guide" ? guideView() : place.view === "basket" ? basketView() : picturesView(), document.getElementById("main"));
  render(schemeView(), document.getElementById("scheme"));
  document.body.dataset.view = place.view;
  if (place.view === "picture") afterDraw();
  focusNear(focus);
}

addEventListener("keydown", event => {
  if (event.defaultPrevented || !desk.kit || document.querySelector("dialog[open]")) return;
  const command = event.ctrlKey || event.metaKey;
  if (command && event.key.toLowerCase() === "z" && !isTyping(event.target)) {
    event.preventDefault();
    if (event.shiftKey) redo();
    else undo();
    return;
  }
  if (command && event.key.toLowerCase() === "y" && !isTyping(event.target)) {
    event.preventDefault();
    redo();
    return;
  }
  const plain = event.key.length === 1 && !command && !event.altKey;
  if (plain && !lettersOn() && !(event.target.closest?.(".pane") && "+-=_01,.".includes(event.key))) return;
  if (plain && !isTyping(event.target)) {
    if (event.key === "/") {
      event.preventDefault();
      document.getElementById("find-part")?.focus();
      return;
    }
    if (event.key === "?") {
      event.preventDefault();
      keysHelp();
      return;
    }
  }
  if (place.view === "picture" && workKey(event)) event.preventDefault();
});

addEventListener("hashchange", go);
addEventListener("beforeunload", event => { if (desk.sending || (desk.unsent.length && !desk.dead)) event.preventDefault(); });
addEventListener("resize", changed);

async function start() {
  const plain = document.getElementById("plain");
  try {
    await load();
  } catch (error) {
    // The plain page that the server wrote stays, with what went wrong above it.
    render(problemList(error.problems ?? [{ what: error.message, remedy: "reload the page" }]), document.getElementById("trouble"));
    return;
  }
  plain?.remove();
  document.body.classList.add("running");
  document.getElementById("scheme").hidden = false;
  document.getElementById("bar").replaceChildren();
  render(html`<datalist id="lights">${(desk.kit.options?.lights ?? []).map(name => html`<option value=${name}>${desk.kit.options.lights_said?.[name]}</option>`)}</datalist>`, document.getElementById("lists"));
  takeDrops(document.body);
  watch(draw);
  go();
  draw();
}

// For those who write tests of the bench: what it knows, never how to change it.
globalThis.paletteBench = { get kit() { return desk.kit; }, get rows() { return desk.rows; }, get sending() { return desk.sending; } };
start();
