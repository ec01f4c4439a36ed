// The desk's answers, and what is sent to it. Addresses are relative to the kit's own, /kit/N/.

const root = document.documentElement.dataset;
const token = document.querySelector('meta[name="desk-token"]')?.content ?? "";
export const base = root.base ?? "";

export class Refused extends Error {
  // What the desk said no to: its problems, and both versions where another change came first.
  constructor(status, problems, clash = null) {
    super(problems.map(problem => problem.what).join("; "));
    this.status = status;
    this.problems = problems;
    this.clash = clash;
  }
}

export class Silent extends Error {
  // The desk does not answer at all.
}

export function address(path, query = {}) {
  const asked = new URLSearchParams();
  for (const [key, value] of Object.entries(query)) {
    if (value !== null && value !== undefined) asked.set(key, typeof value === "object" ? JSON.stringify(value) : value);
  }
  const text = asked.toString();
  return base + path + (text ? `?${text}` : "");
}

async function answered(request) {
  let answer;
  try {
    answer = await request;
  } catch (error) {
    if (error.name === "AbortError") throw error;
    throw new Silent("The desk does not answer.");
  }
  const json = (answer.headers.get("content-type") ?? "").includes("json");
  let body = null;
  try {
    body = json ? await answer.json() : await answer.text();
  } catch (error) {
    if (error.name === "AbortError") throw error;
    throw new Silent("The desk stopped in the middle of its answer.");
  }
  if (answer.ok) return body;
  const plain = (answer.headers.get("content-type") ?? "").startsWith("text/plain") ? body.trim() : "";
  const problems = json && body.problems?.length ? body.problems
    : [{ where: "", what: plain || `the desk answered ${answer.status} to ${new URL(answer.url).pathname}`, remedy: "" }];
  throw new Refused(answer.status, problems, json ? body.clash ?? null : null);
}

export const get = (path, query = {}, signal = undefined) => answered(fetch(address(path, query), { signal, cache: "no-cache" }));

export const post = (path, body, signal = undefined) => answered(fetch(address(path), {
  method: "POST", signal, body: JSON.stringify(body),
  headers: { "Content-Type": "application/json", "X-Desk-Token": token },
}));

export function upload(version, files, target = null) {
  const form = new FormData();
  form.set("version", version);
  form.set("token", token);
  if (target) form.set("for", target);
  for (const file of files) form.append("files", file, file.webkitRelativePath || file.name);
  return answered(fetch(address("api/upload"), { method: "POST", body: form, headers: { "X-Desk-Token": token } }));
}

// Asks for the newest only: while an answer is on its way, later questions wait and all but the last are dropped.
export function newest(ask, told) {
  let waiting = null, busy = false;
  const next = async () => {
    if (!waiting || busy) return;
    const question = waiting;
    waiting = null;
    busy = true;
    try {
      const answer = await ask(question);
      if (!waiting) told(answer, question);
    } catch (error) {
      if (!waiting) told(null, question, error);
    }
    busy = false;
    next();
  };
  return question => { waiting = question; next(); };
}

// The desk's own news. It comes back by itself when it was cut off.
export function listen(handlers, online) {
  const events = new EventSource(address("api/events"));
  for (const [name, handle] of Object.entries(handlers)) {
    events.addEventListener(name, event => handle(JSON.parse(event.data)));
  }
  events.addEventListener("open", () => online(true));
  events.addEventListener("error", () => online(false, events.readyState === EventSource.CLOSED));
  return events;
}
