// Fields and lines that speak of colours, wherever they stand.
import { get, newest } from "./api.js";
import { html, n, labText, said, swatch } from "./dom.js";
import { changed } from "./state.js";

export const COLOUR_HELP = "#7f8a66, 5GY 4/3, three numbers L* a* b*, or the id of a paint";

// What the texts that were typed mean: text -> {colour} or {problem}.
const meant = new Map();
const ask = newest(text => get("api/colour", { text }), (answer, text, error) => {
  if (answer) meant.set(text, answer);
  else if (error?.problems) meant.set(text, { problem: error.problems[0] });
  changed();
});

export function meaning(text) {
  text = (text ?? "").trim();
  if (!text) return null;
  if (!meant.has(text)) ask(text);
  return meant.get(text) ?? null;
}

// A field for a colour as text, with what it means beside it.
const typed = new Map();
export function colourField(id, { value = "", label = "Colour", name = "colour", help = COLOUR_HELP, required = true } = {}) {
  const text = typedText(id, value), answer = meaning(text);
  return html`<label class="colour-field">${label}<span class="with-swatch">
      <input name=${name} .value=${text} ?required=${required} autocomplete="off" spellcheck="false" aria-describedby="${id}-help"
        list="paints-known" @input=${event => { typed.set(id, event.target.value); changed(); }}>
      ${swatch(answer?.colour?.hex ?? null, { kind: "plain" })}</span></label>
    <p class="help" id="${id}-help">${answer?.problem ? html`<b>${said(answer.problem.what)}</b>` : answer?.colour
      ? html`${answer.colour.words}, <span class="number">${labText(answer.colour.lab)}</span>` : help}</p>`;
}
export const forgetTyped = id => typed.delete(id);
export const typedText = (id, value = "") => (typed.has(id) ? typed.get(id) : value);

// What goes on the brush, in drops.
export function recipe(drops) {
  if (drops.length === 1) {
    return html`<span class="id">${said(drops[0].swatch)}</span> ${said(drops[0].name)}`;
  }
  return drops.map((drop, i) => html`${i ? " + " : ""}${drop.count} <span class="id">${said(drop.swatch)}</span>&nbsp;<span
    class="soft">${said(drop.name)}</span>`);
}

// A paint beside a colour: the desk offers the owned ones alone where any are.
export const paintLine = paint => html`${swatch(paint.colour?.hex, { kind: "dot" })}<span class="id">${said(paint.swatch)}</span> <span
  class="number">${n(paint.difference)}</span> <span class="soft">${said(paint.name)}</span>`;
