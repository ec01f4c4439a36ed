// What every part of the bench uses to draw itself and to speak.
import { html, svg, noChange, nothing, render } from "../vendor/lit-html/lit-html.js";
import { repeat } from "../vendor/lit-html/directives/repeat.js";
import { live } from "../vendor/lit-html/directives/live.js";
import { ref } from "../vendor/lit-html/directives/ref.js";
import { keyed } from "../vendor/lit-html/directives/keyed.js";

export { html, svg, nothing, render, repeat, live, ref, keyed };

// Text from outside keeps its own writing direction.
export const said = text => html`<bdi dir="auto">${text}</bdi>`;

export const n = (value, digits = 1) =>
  value === null || value === undefined || !Number.isFinite(Number(value)) ? "–" : Number(value).toFixed(digits).replace("-", "−");

export const plural = (count, one, many = `${one}s`) => `${count} ${count === 1 ? one : many}`;

// A colour as a small drawing: its corner is cut where it is inferred and not seen, and crossed out where there is none.
export function swatch(hex, { kind = "", inferred = false, strip = null, label = "" } = {}) {
  const h = strip && strip.length ? 34 : 44;
  return html`<svg class="swatch ${kind}" viewBox="0 0 64 44" preserveAspectRatio="none" role=${label ? "img" : nothing}
    aria-label=${label || nothing} aria-hidden=${label ? nothing : "true"}>${hex
      ? svg`<path d=${inferred ? `M0 0H48L64 14V${h}H0Z` : `M0 0H64V${h}H0Z`} fill=${hex}></path><path class="edge"
          d=${inferred ? `M.5 .5H48L63.5 14V${h - 0.5}H.5Z` : `M.5 .5H63.5V${h - 0.5}H.5Z`}></path>`
      : svg`<rect x=".5" y=".5" width="63" height=${h - 1} class="edge"></rect><path d="M0 ${h}L64 0" class="edge"></path>`}
    ${strip && strip.length ? strip.map((colour, i) => svg`<rect x=${(i * 64) / strip.length} y="37"
      width=${64 / strip.length + 0.1} height="7" fill=${colour}></rect>`) : nothing}</svg>`;
}

// How sure a colour is, from five squares (firm) to one (open).
export const squares = count => html`<svg class="squares" viewBox="0 0 58 10" aria-hidden="true">${[0, 1, 2, 3, 4].map(
  i => svg`<rect x=${i * 12 + 0.5} y=".5" width="9" height="9" class=${i < count ? "on" : ""}></rect>`)}</svg>`;

export const labText = lab => (lab ? `L* ${n(lab[0])}  a* ${n(lab[1])}  b* ${n(lab[2])}` : "");

// Problems as the desk tells them: what is wrong, and what to do about it.
export const problemList = (problems, heading = "") => problems && problems.length
  ? html`<div class="problems" role="alert" tabindex="-1">${heading ? html`<h3>${heading}</h3>` : nothing}<ul>${problems.map(
      problem => html`<li>${problem.where ? html`<span class="where">${said(problem.where)}</span>` : nothing}<strong>${said(
        problem.what)}</strong>${problem.remedy ? html`<br>${said(problem.remedy)}` : nothing}${problem.text
        ? html`<pre>${problem.text}</pre>` : nothing}</li>`)}</ul></div>`
  : nothing;

// Tells what happened to people who do not see it; the same words twice are told twice.
export function announce(words, urgent = false) {
  const region = document.getElementById(urgent ? "told-now" : "told");
  if (!region) return;
  region.textContent = "";
  setTimeout(() => { region.textContent = words; }, 30);
}

// What holds the focus, and what that is in, from the inside outwards.
export function focusPath() {
  const path = [];
  for (let at = document.activeElement; at && at !== document.body; at = at.parentElement) path.push(at);
  return path;
}

// Where what held the focus is gone, the nearest thing that can hold it gets it: a keyboard goes on from there.
export function focusNear(path) {
  if (!path.length || path[0].isConnected) return;
  const place = path.find(element => element.isConnected);
  if (!place) return;
  const next = place.querySelector("button:not([disabled]), input, select, textarea, a[href], summary") ?? place;
  if (next === place && !place.hasAttribute("tabindex")) place.tabIndex = -1;
  next.focus({ preventScroll: true });
}

// A dialogue over the page: focus goes into it, Escape closes it, focus comes back to where it was.
export function dialogue(content, { label = "", className = "" } = {}) {
  const back = focusPath();
  const box = document.createElement("dialog");
  box.className = className;
  if (label) box.setAttribute("aria-label", label);
  document.body.append(box);
  return new Promise(resolve => {
    const close = value => { box.returned = value; box.close(); };
    const draw = () => render(typeof content === "function" ? content(close, draw) : content, box);
    draw();
    box.addEventListener("close", () => {
      box.remove();
      if (back[0]?.isConnected) back[0].focus();
      else focusNear(back);
      resolve(box.returned);
    });
    box.addEventListener("click", event => { if (event.target === box) close(); });
    box.showModal();
  });
}

// A choice of a <select>. What stands in the page is brought to what is so, whatever a hand chose there; not while a
// change is `sending`, or it would jump back and forth.
export const option = (value, label, chosen, sending = false) =>
  html`<option value=${value} .selected=${sending ? noChange : live(Boolean(chosen))}>${label}</option>`;

// A number as it was typed, with a point or a comma; the text itself where it is none, so that the desk says so.
export const numeral = text => {
  const value = Number(text.replace(",", "."));
  return text.trim() && Number.isFinite(value) ? value : text;
};

// A form's fields by name, texts trimmed.
export function fields(form) {
  const values = {};
  for (const [name, value] of new FormData(form)) {
    if (typeof value === "string") values[name] = value.trim();
  }
  return values;
}

// A job at most once a frame, with what it was last asked for.
export function eachFrame(job) {
  let asked = null;
  return (...what) => {
    if (!asked) requestAnimationFrame(() => { const last = asked; asked = null; job(...last); });
    asked = what;
  };
}

export const isTyping = target => target instanceof Element &&
  (target.closest("input:not([type=checkbox]):not([type=radio]):not([type=range]), textarea, select, dialog, [contenteditable]") !== null);
