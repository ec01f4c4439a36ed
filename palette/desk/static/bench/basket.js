// What to buy: what the plain page says, in the frame of the bench.
import { get } from "./api.js";
import { announce, html, nothing, problemList } from "./dom.js";
import { changed, onChange, onNews } from "./state.js";

let query = {}; // what its form asks for
let content = null; // what the plain page shows
let working = ""; // what is being worked out
let problems = [];
let shown = false;
let asked = 0;
let later = 0;

const soon = () => { if (shown) { clearTimeout(later); later = setTimeout(ask, 400); } };
onChange(soon);
onNews("kit", soon);
onNews("settled", soon);

async function ask() {
  clearTimeout(later);
  const mine = asked += 1;
  let page, wrong = [];
  try {
    page = new DOMParser().parseFromString(await get("basket", query), "text/html");
  } catch (error) {
    wrong = error.problems ?? [{ what: error.message, remedy: "" }];
  }
  if (mine !== asked || !shown) return;
  problems = wrong;
  working = "";
  if (page?.querySelector("meta[http-equiv=refresh]")) {
    working = page.querySelector("h1").textContent;
    later = setTimeout(ask, 1000);
  } else if (page) {
    content = within(page.getElementById("main"));
    announce("What to buy is found.");
  }
  changed();
}

// The page's own content, without its heading; what it leads to stays on the bench.
function within(main) {
  for (const gone of main.querySelectorAll(":scope > .kicker, :scope > h1, :scope > .said")) gone.remove();
  for (const link of main.querySelectorAll("a[href]")) {
    const to = new URL(link.getAttribute("href"), location.href);
    if (to.pathname.endsWith("/part")) link.setAttribute("href", `#/parts/${encodeURIComponent(to.searchParams.get("id"))}`);
    if (to.pathname.endsWith("/paints")) link.setAttribute("href", "#/parts"); // where a list is added
  }
  for (const wide of main.querySelectorAll(".scroll")) {
    wide.tabIndex = 0;
    wide.setAttribute("role", "group");
    wide.setAttribute("aria-label", "A table");
  }
  const place = document.createElement("div");
  place.append(...main.childNodes);
  place.addEventListener("submit", event => {
    event.preventDefault();
    query = Object.fromEntries(new FormData(event.target));
    working = "Finding what to buy";
    changed();
    ask();
  });
  return place;
}

export function leaveBasket() { shown = false; }

export function basketView() {
  if (!shown) {
    shown = true;
    ask();
  }
  return html`<section class="page bought" aria-labelledby="basket-title">
    <div class="page-head"><h1 id="basket-title" tabindex="-1">What to buy</h1><p class="soft" role="status">${working || !content ? `${working.replace(/ …$/, "") || "Looking"} …` : ""}</p></div>
    ${problems.length ? problemList(problems) : nothing}${content ?? nothing}</section>`;
}
