// What the bench knows: the kit as it stands in kit.toml, what the evidence says, and what the user looks at.
import { get, listen, post, Refused, Silent, upload } from "./api.js";
import { announce, dialogue, html, plural, said } from "./dom.js";

export const desk = {
  kit: null, // STATE of the desk
  rows: new Map(), // part -> what the evidence says of it
  settled: false,
  progress: null,
  warnings: [],
  rowProblems: [], // what keeps the scheme from being worked out
  pictures: new Map(), // reference -> its picture's answer
  trouble: [], // kit.toml cannot be read now
  online: true,
  dead: false, // the desk was started anew, and this page cannot speak to it
  sending: 0,
  unsent: [], // changes that the desk has not answered
  part: null, // the part that is looked at
  target: { array: "sample", part: null }, // what the next mark is
  tool: "move",
  lit: null, // the part whose marks are lit
  mark: null, // the mark that is chosen: {ref, array, index}
  shown: { view: "as-is", beside: "alone" },
  told: null, // the last problems of a change
};

const watchers = new Set();
let asked = false;

export function watch(draw) {
  watchers.add(draw);
  return () => watchers.delete(draw);
}

// Everything that shows the desk is drawn anew in the next frame.
export function changed() {
  if (asked) return;
  asked = true;
  requestAnimationFrame(() => {
    asked = false;
    for (const draw of watchers) draw();
  });
}

export const reference = id => desk.kit?.references.find(one => one.id === id) ?? null;
export const part = id => desk.kit?.parts.find(one => one.id === id) ?? null;
export const sameMark = (a, b) => Boolean(a && b && a.ref === b.ref && a.array === b.array && a.index === b.index);

// The kit is there at once; what the evidence says of it comes after.
export async function load() {
  const rows = get("api/rows");
  rows.catch(() => null);
  take(await get("api/state"));
  restoreUnsent();
  rows.then(takeRows, error => tell(error.problems ?? [{ what: error.message, remedy: "reload the page" }])).then(follow);
}

function take(kit) {
  desk.kit = kit;
  desk.trouble = kit.problems ?? [];
  if (desk.part && !part(desk.part)) desk.part = null;
  if (desk.target.part && !part(desk.target.part)) desk.target.part = null;
  if (!desk.target.part && kit.parts.length) desk.target.part = kit.parts[0].id;
  if (!kit.parts.length) desk.target.array = "anchor"; // there is nothing else to mark
  changed();
}

function takeRows(answer) {
  for (const row of answer.rows) desk.rows.set(row.part, row);
  desk.settled = answer.settled;
  desk.progress = answer.progress;
  desk.warnings = answer.warnings ?? desk.warnings;
  desk.rowProblems = answer.problems ?? [];
  changed();
}

// Rows that were told while an older answer was on its way are newer than that answer.
let told = 0;
async function loadRows() {
  let before, answer;
  do {
    before = told;
    answer = await get("api/rows");
  } while (told !== before);
  takeRows(answer);
}

let refreshing = null;
export function refresh() {
  refreshing ??= (async () => {
    try {
      take(await get("api/state"));
      await loadRows();
    } catch (error) {
      if (error instanceof Refused) tell(error.problems);
      else if (!(error instanceof Silent)) throw error;
    } finally {
      refreshing = null;
    }
  })();
  return refreshing;
}

function takeChange(answer) {
  const kit = desk.kit, others = answer.before !== undefined && answer.before !== kit.version;
  kit.version = answer.version;
  for (const key of ["undo", "redo"]) if (key in answer) kit[key] = answer[key];
  for (const key of ["kit", "parts", "lists"]) if (answer[key]) kit[key] = answer[key];
  if ("examples" in answer) kit.examples = answer.examples;
  for (const entry of answer.references ?? []) {
    const at = kit.references.findIndex(known => known.id === entry.id);
    if (at < 0) kit.references.push(entry);
    else kit.references[at] = entry;
  }
  if (answer.removed?.length) kit.references = kit.references.filter(entry => !answer.removed.includes(entry.id));
  if (answer.order) {
    const place = new Map(answer.order.map((id, i) => [id, i]));
    kit.references.sort((a, b) => (place.get(a.id) ?? 1e9) - (place.get(b.id) ?? 1e9));
  }
  take(kit);
  changedListeners.forEach(tell => tell(answer));
  if (others || missed) { // what others changed meanwhile is not in the answer
    missed = false;
    refresh();
  }
}

const changedListeners = new Set();
export const onChange = tell => { changedListeners.add(tell); return () => changedListeners.delete(tell); };
const pictureListeners = new Map();
export const onNews = (name, tell) => {
  if (!pictureListeners.has(name)) pictureListeners.set(name, new Set());
  pictureListeners.get(name).add(tell);
  return () => pictureListeners.get(name).delete(tell);
};
const news = (name, data) => pictureListeners.get(name)?.forEach(tell => tell(data));

let settledOnce = true;
let missed = false; // an editor's change, while one of this page was on its way
let events = null;
function follow() {
  events?.close();
  events = listen({
    hello: data => {
      if (desk.kit && data.version !== desk.kit.version && !desk.sending) refresh();
      else loadRows().catch(() => null); // what was told before this page listened
    },
    kit: data => {
      news("kit", data);
      const same = desk.kit && data.version === desk.kit.version; // then a picture or a list is another one now, or gone
      if (!desk.kit || (same && data.by !== "editor")) return;
      if (desk.sending) { // its own change, most likely; else the answer tells
        missed ||= data.by === "editor";
        return;
      }
      refresh().then(() => {
        if (data.by === "editor") announce(same ? "A picture or a list was changed by another program. The bench shows it." : "kit.toml was changed by another program. The bench shows it.");
      });
    },
    rows: data => {
      told += 1;
      for (const row of data.rows) desk.rows.set(row.part, row);
      desk.settled = false;
      settledOnce = false;
      changed();
    },
    settled: data => {
      told += 1;
      desk.settled = true;
      desk.progress = null;
      desk.warnings = data.warnings ?? [];
      for (const row of desk.rows.values()) row.stale = false;
      if (!settledOnce) announce("The scheme is up to date.");
      settledOnce = true;
      for (const [id, picture] of desk.pictures) if (!picture.corrected) loadPicture(id, true).catch(() => null);
      news("settled", data);
      changed();
    },
    progress: data => { desk.progress = data; desk.settled = false; changed(); },
    picture: data => { pictureNews(data); news("picture", data); },
    survey: () => { if (!desk.sending) refresh(); }, // what each picture lacks was looked through
    trouble: data => { desk.trouble = data.problems; changed(); },
    guide: data => news("guide", data),
    check: data => news("check", data),
    recipes: data => news("recipes", data),
  }, (on, closed) => {
    const was = desk.online;
    desk.online = on;
    if (on && !was) {
      announce("The desk answers again.");
      refresh().then(sendAgain);
      desk.pictures.clear();
    } else if (!on && was) announce("The desk does not answer.", true);
    if (!on) probe(closed);
    changed();
  });
}

// A desk that was started anew does not know this page's key: the page must be opened by the new address.
let probing = null;
function probe(closed) {
  clearTimeout(probing);
  if (!closed) return;
  probing = setTimeout(async () => {
    try {
      await get("api/state");
      follow();
    } catch (error) {
      if (error instanceof Refused && [403, 404].includes(error.status)) { desk.dead = true; changed(); } else probe(true);
    }
  }, 1500);
}

async function pictureNews(data) {
  // One that is being asked for may be answered as it was before.
  if (asking.has(data.ref)) asking.get(data.ref).then(() => loadPicture(data.ref, true), () => null);
  else if (desk.pictures.has(data.ref)) loadPicture(data.ref, true).catch(() => null);
  const entry = reference(data.ref);
  if (entry && data.v && entry.v !== data.v) { entry.v = data.v; changed(); }
}

const asking = new Map();
export function loadPicture(id, again = false) {
  if (!again && desk.pictures.has(id)) return Promise.resolve(desk.pictures.get(id));
  if (!asking.has(id)) {
    asking.set(id, (async () => {
      try {
        const answer = await get("api/picture", { ref: id });
        desk.pictures.set(id, answer);
        const entry = reference(id);
        if (entry) Object.assign(entry, { width: answer.width, height: answer.height, v: answer.v ?? entry.v });
        changed();
        return answer;
      } finally {
        asking.delete(id);
      }
    })());
  }
  return asking.get(id);
}

// ---- changes: one after the other; what the desk did not answer is kept, and sent when it does ----

let line = Promise.resolve();

// Sends a change. Resolves to its answer, or to null where it was refused (and says why) or waits for the desk.
export function change(ops, words = "", { quiet = false } = {}) {
  const job = { ops, words, key: `${Date.now()}-${Math.random().toString(36).slice(2)}` };
  const done = line.then(() => send(job, quiet));
  line = done.catch(() => null);
  return done;
}

async function send(job, quiet = false, version = desk.kit.version) {
  desk.sending += 1;
  desk.told = null;
  changed();
  try {
    const answer = await post("api/change", { version, words: job.words || undefined, ops: job.ops });
    takeChange(answer);
    if (job.words) announce(`${job.words}. Saved.`);
    return answer;
  } catch (error) {
    if (error instanceof Silent) {
      keep(job);
      return null;
    }
    if (error instanceof Refused && error.clash) return await clash(job, error, quiet);
    if (!(error instanceof Refused)) throw error;
    if (quiet) throw error;
    tell(error.problems);
    return null;
  } finally {
    desk.sending -= 1;
    changed();
  }
}

// What is wrong is told, and `field`, where it can be put right, gets the focus.
export function tell(problems, field = "#trouble .problems") {
  desk.told = problems;
  announce(problems.map(problem => `${problem.where ? `${problem.where}: ` : ""}${problem.what}. ${problem.remedy ?? ""}`).join(" "), true);
  changed();
  setTimeout(() => document.querySelector(field)?.focus(), 50);
}

export function putAway() {
  if (!desk.told) return;
  desk.told = null;
  announce("", true);
  changed();
}

async function clash(job, error, quiet) {
  const { seen, now, diff, what } = error.clash;
  await refresh();
  const insist = await dialogue(close => html`<h2>Somebody else changed this first</h2>
    <p>${what?.length ? html`Both changed: ${what.map((name, i) => html`${i ? ", " : ""}<b>${said(name)}</b>`)}. ` : ""}Nothing of
      yours was written yet, and nothing of theirs is lost. Both stand below.</p>
    <p class="help">You asked for: ${said(job.words || "a change")}.</p>
    <div class="diff" role="region" aria-label="What changed in kit.toml" tabindex="0">${diff?.length ? diff.map(([sign, text]) =>
      html`<div class=${{ "+": "now", "-": "seen" }[sign] ?? ""}><span class="sign">${{ "+": "now", "-": "you saw" }[sign] ?? ""}</span><code>${
        text}</code></div>`) : html`<h3>What you saw</h3><pre>${seen?.text}</pre><h3>What it is now</h3><pre>${now?.text}</pre>`}</div>
    <p class="actions"><button class="main" @click=${() => close("mine")}>Put mine in as well</button>
      <button @click=${() => close("theirs")} autofocus>Leave it as it is now</button></p>`,
  { label: "Somebody else changed this first", className: "wide" });
  if (insist !== "mine") {
    announce("Your change was left out.");
    return null;
  }
  return send(job, quiet, now?.version ?? desk.kit.version);
}

const KEPT = () => `palette-unsent-${desk.kit?.path ?? ""}`;

function keep(job) {
  if (!desk.unsent.some(known => known.key === job.key)) desk.unsent.push(job);
  desk.online = false;
  store();
  announce("The desk does not answer. Your change is kept here, and sent when it does.", true);
}

function store() {
  try {
    if (desk.unsent.length) localStorage.setItem(KEPT(), JSON.stringify(desk.unsent));
    else localStorage.removeItem(KEPT());
  } catch { /* a private window keeps nothing; the page itself still does */ }
}

function restoreUnsent() {
  try {
    desk.unsent = JSON.parse(localStorage.getItem(KEPT()) ?? "[]");
  } catch {
    desk.unsent = [];
  }
}

export async function sendAgain() {
  const jobs = desk.unsent;
  desk.unsent = [];
  store();
  for (const job of jobs) await change(job.ops, job.words);
}

export function forgetUnsent() {
  desk.unsent = [];
  store();
  changed();
}

async function step(which) {
  const planned = desk.kit[which];
  if (!planned) return;
  const done = line.then(async () => {
    desk.sending += 1;
    try {
      const answer = await post(`api/${which}`, { version: desk.kit.version });
      desk.mark = null;
      takeChange(answer);
      announce(`${which === "undo" ? "Taken back" : "Done again"}: ${answer.words ?? planned.words}.`);
    } catch (error) {
      if (error instanceof Refused) tell(error.problems);
      else if (!(error instanceof Silent)) throw error;
    } finally {
      desk.sending -= 1;
      changed();
    }
  });
  line = done.catch(() => null);
  return done;
}
export const undo = () => step("undo");
export const redo = () => step("redo");

// Pictures from outside go into the kit's folder, with an entry each; or one file becomes the picture of `target`.
export function addFiles(files, target = null) {
  files = [...files];
  if (!files.length) return null;
  const done = line.then(async () => {
    desk.sending += 1;
    desk.progress = { label: `Copying ${plural(files.length, "picture")} into the kit`, done: 0, total: 0 };
    changed();
    try {
      const answer = await upload(desk.kit.version, files, target);
      takeChange(answer);
      if (answer.problems?.length) tell(answer.problems);
      if (answer.added?.length) announce(`Added ${plural(answer.added.length, "picture")}.`);
      return answer;
    } catch (error) {
      if (error instanceof Refused) tell(error.problems);
      else if (error instanceof Silent) tell([{ where: "", what: "the desk does not answer, so no picture was added", remedy: "start it again and drop them once more" }]);
      else throw error;
      return null;
    } finally {
      desk.sending -= 1;
      desk.progress = null;
      changed();
    }
  });
  line = done.catch(() => null);
  return done;
}

export async function addPath(path) {
  const answer = await post("api/add", { version: desk.kit.version, path });
  takeChange(answer);
  if (answer.problems?.length) tell(answer.problems);
  if (answer.added?.length) announce(`Added ${plural(answer.added.length, "picture")}.`);
  return answer;
}
