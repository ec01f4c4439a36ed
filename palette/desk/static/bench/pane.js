// A picture at work: deep zoom over the desk's tiles, and over it the marks, drawn in SVG.
import { address } from "./api.js";
import { nothing, render, repeat, svg } from "./dom.js";
import * as regions from "./regions.js";

const OSD = globalThis.OpenSeadragon;
// The viewer would put a style into the page for buttons that it does not show here, which the page's policy forbids:
// it leaves that be where it finds an element of that name.
const styled = document.createElementNS("urn:none", "style");
styled.setAttribute("data-openseadragon-mobile-css", "");
document.head.append(styled);

const CALM = matchMedia("(prefers-reduced-motion: reduce)");
const HANDLE = 7; // half a handle's side, in pixels of the screen
const REACH = 14; // how near a finger must come to close an outline
const STILL = 4; // a pointer that moved less was a click

const places = new Map(); // reference -> where its picture was looked at, so that switching loses nothing

export class Pane {
  constructor(host, calls) {
    this.host = host;
    this.calls = calls;
    this.picture = null;
    this.layers = new Map(); // view -> {item, digest}
    this.bottom = "as-is";
    this.top = null;
    this.wipe = 0.5;
    this.marks = [];
    this.tool = "move";
    this.draft = null; // a region being drawn, moved or reshaped: {region, mark, open}
    this.pointers = new Map();
    this.corner = null; // of the chosen outline, by keyboard
    this.view = document.createElement("div");
    this.view.className = "view";
    host.append(this.view);
    this.viewer = OSD({
      element: this.view, drawer: "canvas", showNavigationControl: false, showNavigator: false, tabIndex: -1,
      animationTime: CALM.matches ? 0 : 0.35, springStiffness: 10, blendTime: 0, immediateRender: false,
      maxZoomPixelRatio: 24, minZoomImageRatio: 0.5, visibilityRatio: 0.3, zoomPerScroll: 1.3, imageLoaderLimit: 6,
      maxImageCacheCount: 300, preserveImageSizeOnResize: true, imageSmoothingEnabled: true, crossOriginPolicy: false,
      clickTimeThreshold: 5000, // slow hands click, too: what tells a click from a drag is how far it moved
      gestureSettingsMouse: { clickToZoom: false, dblClickToZoom: false },
      gestureSettingsTouch: { clickToZoom: false, dblClickToZoom: false, flickEnabled: !CALM.matches },
      gestureSettingsPen: { clickToZoom: false, dblClickToZoom: false },
    });
    this.viewer.innerTracker.keyHandler = null;
    this.viewer.innerTracker.keyDownHandler = null;
    this.svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
    this.svg.setAttribute("class", "overlay");
    this.svg.setAttribute("aria-hidden", "true");
    this.viewer.canvas.append(this.svg);
    for (const name of ["update-viewport", "resize", "open"]) this.viewer.addHandler(name, () => this.placed());
    for (const name of ["animation", "pan", "zoom", "resize"]) {
      this.viewer.addHandler(name, event => { if (host.clientWidth) calls.moved?.(this, event); });
    }
    this.listen();
    this.size = new ResizeObserver(() => { if (host.clientWidth) this.viewer.forceRedraw(); });
    this.size.observe(host);
  }

  destroy() {
    this.settle();
    this.size.disconnect();
    this.gone = true;
    this.host.removeAttribute("aria-busy");
    this.viewer.destroy();
    this.view.remove();
  }

  // ---- the picture ----

  show(picture) {
    if (this.picture?.ref === picture.ref && this.picture.width === picture.width && this.picture.height === picture.height) {
      this.picture = picture;
      this.arrange();
      return;
    }
    this.remember();
    this.picture = picture;
    this.cancel();
    for (const { item } of this.layers.values()) if (item) this.viewer.world.removeItem(item);
    this.layers.clear();
    this.opened = false;
    this.host.setAttribute("aria-busy", "true");
    this.glance();
    this.arrange();
  }

  // The thumbnail, which the browser has already, until the first tiles are there.
  glance() {
    const { ref, v } = this.picture;
    if (this.first) this.viewer.world.removeItem(this.first);
    this.first = null;
    if (!v) return;
    this.viewer.addSimpleImage({
      url: address("thumb", { ref, side: 480, v }), x: 0, y: 0, width: 1, index: 0,
      success: ({ item }) => {
        if (this.gone || this.picture.ref !== ref) {
          if (!this.gone) this.viewer.world.removeItem(item);
          return;
        }
        this.first = item;
        this.begun();
      },
    });
  }

  begun() {
    if (this.opened) return;
    this.opened = true;
    this.restore();
    this.host.removeAttribute("aria-busy");
    this.calls.opened?.(this);
  }

  digest(view) {
    return view === "as-is" ? this.picture.v : this.picture[view];
  }

  set({ bottom, top, wipe }) {
    Object.assign(this, { bottom: bottom ?? this.bottom, top: top === undefined ? this.top : top, wipe: wipe ?? this.wipe });
    if (this.picture) this.arrange();
  }

  arrange() {
    const wanted = [this.bottom, this.top].filter(Boolean);
    for (const view of wanted) {
      const digest = this.digest(view), layer = this.layers.get(view);
      if (digest && layer?.digest !== digest) this.lay(view, digest);
    }
    this.reveal();
  }

  lay(view, digest) {
    const old = this.layers.get(view), picture = this.picture, { ref, width, height, levels } = picture;
    const layer = { digest, item: null, old: old?.item ?? old?.old ?? null };
    this.layers.set(view, layer);
    const most = levels - 1;
    this.viewer.addTiledImage({
      x: 0, y: 0, width: 1, opacity: 0,
      tileSource: {
        width, height, tileSize: picture.tile ?? 512, tileOverlap: 0, maxLevel: most,
        minLevel: Math.max(0, most - Math.max(0, Math.ceil(Math.log2(Math.max(width, height) / 512)))),
        getTileUrl: (level, x, y) => address("tile", { ref, view, level, x, y, v: digest }),
      },
      success: ({ item }) => {
        if (this.gone || this.layers.get(view) !== layer || this.picture.ref !== ref) {
          if (!this.gone) this.viewer.world.removeItem(item);
          return;
        }
        layer.item = item;
        this.begun();
        const drop = () => {
          if (layer.old) this.viewer.world.removeItem(layer.old);
          layer.old = null;
        };
        if (layer.old) {
          item.addHandler("fully-loaded-change", event => { if (event.fullyLoaded) drop(); });
          setTimeout(drop, 4000);
        }
        this.reveal();
      },
    });
  }

  // Which layers are seen, in which order, and how much of the upper one.
  reveal() {
    const world = this.viewer.world;
    for (const [view, { item, old }] of this.layers) {
      const seen = view === this.bottom || view === this.top ? 1 : 0;
      item?.setOpacity(seen);
      old?.setOpacity(seen);
    }
    const upper = this.top && this.layers.get(this.top)?.item;
    if (upper && world.getIndexOfItem(upper) !== world.getItemCount() - 1) world.setItemIndex(upper, world.getItemCount() - 1);
    const lower = this.layers.get(this.bottom)?.item;
    if (lower && !this.top) {
      if (world.getIndexOfItem(lower) !== world.getItemCount() - 1) world.setItemIndex(lower, world.getItemCount() - 1);
      lower.setClip(null);
    }
    if (lower && this.top) lower.setClip(null);
    this.clipped = null;
    this.clip();
    this.placed();
  }

  clip() {
    const upper = this.top && this.layers.get(this.top)?.item;
    if (!upper || !this.picture) return;
    const { scale, x } = this.transform(), { width, height } = this.picture;
    const edge = Math.min(width, Math.max(0, (this.wipe * this.host.clientWidth - x) / scale));
    if (this.clipped !== null && Math.abs(this.clipped - edge) < 0.2 / scale) return;
    this.clipped = edge;
    upper.setOpacity(edge >= width ? 0 : 1);
    upper.setClip(new OSD.Rect(edge, 0, Math.max(1e-6, width - edge), height));
  }

  remember() {
    if (this.picture && this.opened) places.set(this.picture.ref, this.viewer.viewport.getBounds(true));
  }

  restore() {
    const place = places.get(this.picture.ref);
    if (place) this.viewer.viewport.fitBounds(place, true);
    else this.fit(true);
  }

  fit(now = CALM.matches) {
    if (!this.picture) return;
    this.viewer.viewport.fitBounds(new OSD.Rect(0, 0, 1, this.picture.height / this.picture.width), now);
  }

  // Zooms so that a pixel of the picture is so many of the screen.
  pixels(times = 1) {
    const across = this.host.clientWidth / times / this.picture.width;
    const middle = this.viewer.viewport.getCenter(true);
    this.viewer.viewport.zoomTo(1 / across, middle, CALM.matches);
  }

  zoom(by) {
    this.viewer.viewport.zoomBy(by);
    this.viewer.viewport.applyConstraints();
  }

  pan(dx, dy) {
    this.viewer.viewport.panBy(this.viewer.viewport.deltaPointsFromPixels(new OSD.Point(dx, dy)));
    this.viewer.viewport.applyConstraints();
  }

  // Looks at a region, unless it is seen well already.
  look(region) {
    if (!this.picture || !this.opened) return;
    const { scale, x, y } = this.transform(), [left, top, w, h] = regions.bounds(region);
    const box = [left * scale + x, top * scale + y, w * scale, h * scale];
    const wide = this.host.clientWidth, high = this.host.clientHeight;
    const seen = box[0] >= 0 && box[1] >= 0 && box[0] + box[2] <= wide && box[1] + box[3] <= high;
    if (seen && Math.max(box[2] / wide, box[3] / high) > 0.02) return;
    const width = this.picture.width, room = Math.max(w, h, width / 40) * 3;
    this.viewer.viewport.fitBounds(new OSD.Rect((left + w / 2 - room / 2) / width, (top + h / 2 - room / 2) / width,
      room / width, room / width), CALM.matches);
  }

  // The same place as in another pane.
  follow(other) {
    const theirs = other.viewer.viewport, mine = this.viewer.viewport;
    if (!this.opened || !other.opened) return;
    mine.zoomTo(theirs.getZoom(true), null, true);
    mine.panTo(theirs.getCenter(true), true);
  }

  transform() {
    const viewport = this.viewer.viewport, origin = viewport.pixelFromPointNoRotate(new OSD.Point(0, 0), true);
    const scale = (viewport.getContainerSize().x * viewport.getZoom(true)) / (this.picture?.width ?? 1);
    return { scale, x: origin.x, y: origin.y };
  }

  toPicture(event) {
    const frame = this.svg.getBoundingClientRect(), { scale, x, y } = this.transform();
    return [(event.clientX - frame.left - x) / scale, (event.clientY - frame.top - y) / scale];
  }

  inside([x, y]) {
    return [Math.min(Math.max(x, 0), this.picture.width), Math.min(Math.max(y, 0), this.picture.height)];
  }

  // A pixel more or less is what a drawn number can mean at this zoom.
  snap(point) {
    const { scale } = this.transform(), step = scale > 4 ? 0.5 : 1;
    return this.inside(point).map(value => Math.round(value / step) * step);
  }

  placed() {
    if (this.gone || !this.picture || !this.viewer.viewport || !this.host.clientWidth) return;
    this.clip();
    const { scale } = this.transform();
    const smooth = scale * devicePixelRatio < 2;
    if (this.smooth !== smooth) {
      this.smooth = smooth;
      this.viewer.drawer.setImageSmoothingEnabled(smooth);
      this.viewer.forceRedraw();
    }
    this.draw();
    this.calls.placed?.(this);
  }

  // ---- the marks ----

  setMarks(marks, lit) {
    this.marks = marks;
    this.lit = lit;
    this.draw();
  }

  get chosen() {
    return this.marks.find(mark => mark.chosen) ?? null;
  }

  draw() {
    if (this.gone || !this.picture || !this.host.clientWidth) return;
    const { scale, x, y } = this.transform();
    this.svg.classList.toggle("drawing", this.tool !== "move");
    const held = this.draft, screen = ([u, v]) => [u * scale + x, v * scale + y];
    const shape = mark => (held && held.mark && held.mark.key === mark.key ? held.region : mark.region);
    const order = [...this.marks].sort((a, b) => regions.area(b.region) - regions.area(a.region));
    const tabs = order.map(mark => {
      const [left, top, across, down] = regions.bounds(shape(mark));
      return { box: [...screen([left, top]), ...screen([left + across, top + down])], wide: Math.max(18, 9 + 8 * mark.label.length), first: mark.chosen || mark.lit };
    });
    const places = regions.placeLabels(tabs, 17);
    const chosen = this.chosen, reshape = chosen && this.tool === "move" ? regions.handles(shape(chosen)) : [];
    render(svg`<g transform=${`matrix(${scale} 0 0 ${scale} ${x} ${y})`}>
      ${repeat(order, mark => mark.key, mark => {
        const path = regions.pathOf(shape(mark));
        const kind = `${mark.array} ${mark.chosen ? "chosen" : ""} ${mark.lit ? "lit" : this.lit ? "dim" : ""} ${mark.pending ? "pending" : ""}`;
        return svg`<g class=${`mark ${kind}`} data-key=${mark.key}><path class="case" d=${path}></path><path class="line" d=${path}></path>
          <path class="hit" d=${path}></path></g>`;
      })}
      ${held && !held.mark ? svg`<g class="mark new"><path class="case" d=${regions.pathOf(held.region, held.open)}></path>
        <path class="line" d=${regions.pathOf(held.region, held.open)}></path></g>` : nothing}
    </g>
    <g class="tabs">${repeat(order, mark => mark.key, (mark, i) => places[i] ? svg`<g
        class=${`tab ${mark.array} ${mark.lit || mark.chosen ? "lit" : this.lit ? "dim" : ""}`} data-key=${mark.key}
        transform=${`translate(${Math.round(places[i][0])} ${Math.round(places[i][1])})`}><rect width=${tabs[i].wide} height="17"></rect>
        <text x=${tabs[i].wide / 2} y="13">${mark.label}</text></g>` : nothing)}</g>
    <g class="handles">${reshape.map((point, i) => {
      const [u, v] = screen(point);
      return svg`<g class=${`handle ${this.corner === i ? "at" : ""}`} data-handle=${i} transform=${`translate(${u} ${v})`}>
        <rect class="grip" x="-16" y="-16" width="32" height="32"></rect>
        <rect class="knob" x=${-HANDLE + 2} y=${-HANDLE + 2} width=${2 * HANDLE - 4} height=${2 * HANDLE - 4}></rect></g>`;
    })}
    ${held?.open ? held.region.polygon.slice(0, -1).map(point => { const [u, v] = screen(point);
      return svg`<circle class="dot" cx=${u} cy=${v} r="4"></circle>`; }) : nothing}</g>
    ${this.aim ? svg`<g class="aim" transform=${`translate(${this.host.clientWidth / 2} ${this.host.clientHeight / 2})`}>
      <path class="case" d="M-16 0H-4M4 0H16M0-16V-4M0 4V16"></path><path class="line" d="M-16 0H-4M4 0H16M0-16V-4M0 4V16"></path></g>` : nothing}`,
    this.svg);
  }

  markAt(element) {
    const key = element instanceof Element ? element.closest("[data-key]")?.dataset.key : null;
    return key ? this.marks.find(mark => mark.key === key) ?? null : null;
  }

  setTool(tool) {
    if (tool === this.tool) return;
    this.tool = tool;
    this.cancel();
    this.draw();
  }

  cancel() {
    const was = this.draft;
    this.draft = null;
    this.doing = null;
    if (was) this.calls.draft?.(null);
    this.draw();
    return Boolean(was);
  }

  hold(region, mark = null, open = false) {
    this.draft = { region, mark, open };
    this.draw();
    if (!open || region.polygon.length > 3) this.calls.draft?.(open ? { polygon: region.polygon.slice(0, -1) } : region, mark);
  }

  finish() {
    const { draft } = this;
    this.draft = null;
    this.doing = null;
    if (!draft) return;
    let region = draft.region;
    if (draft.open) region = { polygon: region.polygon.slice(0, -1) };
    if (region.polygon && region.polygon.length < 3) {
      this.calls.draft?.(null);
      this.draw();
      return;
    }
    region = regions.tidy(region);
    if (draft.mark) this.calls.reshape(draft.mark, region);
    else this.calls.add(region);
    this.draw();
  }

  listen() {
    const target = this.svg;
    target.addEventListener("pointerdown", event => this.down(event));
    target.addEventListener("pointermove", event => this.move(event));
    target.addEventListener("pointerup", event => this.up(event));
    target.addEventListener("pointercancel", event => { this.pointers.delete(event.pointerId); if (!this.draft?.open) this.cancel(); });
    target.addEventListener("dblclick", event => { if (this.tool !== "move") event.stopPropagation(); });
    this.host.addEventListener("pointermove", event => {
      if (event.pointerType === "touch" || !this.picture) return;
      const point = this.toPicture(event);
      const on = point[0] >= 0 && point[1] >= 0 && point[0] < this.picture.width && point[1] < this.picture.height;
      this.calls.point?.(on ? point : null);
      const over = this.tool === "move" ? this.markAt(event.target) : null;
      if (over?.key !== this.over?.key) {
        this.over = over;
        this.calls.over?.(over);
      }
    });
    this.host.addEventListener("pointerleave", () => {
      this.calls.point?.(null);
      if (this.over) this.calls.over?.(null);
      this.over = null;
    });
    this.viewer.addHandler("canvas-click", event => {
      if (!event.quick || this.tool !== "move") return;
      const mark = this.markAt(event.originalTarget);
      this.calls.pick(mark);
      if (!mark) {
        const frame = this.svg.getBoundingClientRect();
        this.calls.point?.(this.toPicture({ clientX: event.position.x + frame.left, clientY: event.position.y + frame.top }), true);
      }
    });
    for (const name of ["focus", "blur"]) {
      this.host.addEventListener(name, () => {
        this.aim = name === "focus" && this.host.matches(":focus-visible");
        if (name === "blur") this.settle();
        this.draw();
        if (this.aim) this.aimed();
      });
    }
  }

  aimed() {
    const { scale, x, y } = this.transform();
    this.calls.point?.([(this.host.clientWidth / 2 - x) / scale, (this.host.clientHeight / 2 - y) / scale]);
  }

  down(event) {
    this.host.focus({ preventScroll: true });
    if (event.button !== 0 || !this.picture) return;
    if (event.isPrimary) this.pointers.clear(); // the viewer takes over some, and their end is not heard here
    this.pointers.set(event.pointerId, [event.clientX, event.clientY]);
    if (this.tool === "move") {
      const mark = this.chosen, handle = event.target.closest?.("[data-handle]");
      const onto = this.markAt(event.target);
      if (!mark || (!handle && onto?.key !== mark.key)) return; // the viewer pans; a click chooses
      event.stopPropagation();
      capture(this.svg, event);
      const from = this.toPicture(event);
      this.settle();
      this.doing = handle ? { what: "reshape", mark, index: Number(handle.dataset.handle), from, region: mark.region }
        : { what: "shift", mark, from, region: mark.region };
      this.doing.start = [event.clientX, event.clientY];
      return;
    }
    event.stopPropagation();
    capture(this.svg, event);
    if (this.pointers.size > 1) { // two fingers look about, whatever the tool
      if (!this.draft?.open) this.cancel();
      this.doing = { what: "pinch" };
      return;
    }
    const at = this.snap(this.toPicture(event));
    if (this.tool === "outline") {
      this.doing = { what: "corner", start: [event.clientX, event.clientY] };
      return;
    }
    this.doing = { what: "draw", from: at, start: [event.clientX, event.clientY] };
  }

  move(event) {
    if (!this.picture) return;
    const before = this.pointers.get(event.pointerId), { doing } = this;
    if (before) this.pointers.set(event.pointerId, [event.clientX, event.clientY]);
    if (doing?.what === "pinch") {
      event.stopPropagation();
      this.pinch(event.pointerId, before);
      return;
    }
    const at = this.snap(this.toPicture(event));
    if (this.tool === "outline" && this.draft?.open) {
      const points = this.draft.region.polygon.slice(0, -1);
      this.hold({ polygon: [...points, at] }, null, true);
    }
    if (!doing) return;
    event.stopPropagation();
    if (doing.start && Math.hypot(event.clientX - doing.start[0], event.clientY - doing.start[1]) < STILL && !this.draft) return;
    if (doing.what === "draw") {
      this.hold(this.tool === "spot"
        ? { spot: [...doing.from, Math.max(1, Math.round(Math.hypot(at[0] - doing.from[0], at[1] - doing.from[1])))] }
        : regions.box(doing.from, at));
    } else if (doing.what === "reshape") {
      this.hold(regions.reshaped(doing.region, doing.index, at), doing.mark);
    } else if (doing.what === "shift") {
      const here = this.toPicture(event);
      const [dx, dy] = [here[0] - doing.from[0], here[1] - doing.from[1]].map(Math.round);
      this.hold(regions.within(regions.moved(doing.region, dx, dy), this.picture.width, this.picture.height), doing.mark);
    }
  }

  pinch(id, before) {
    if (this.pointers.size !== 2 || !before) return;
    const other = [...this.pointers].find(([key]) => key !== id)[1], now = this.pointers.get(id);
    const apart = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]), frame = this.svg.getBoundingClientRect();
    const middle = new OSD.Point((now[0] + other[0]) / 2 - frame.left, (now[1] + other[1]) / 2 - frame.top);
    const viewport = this.viewer.viewport;
    viewport.zoomBy(apart(now, other) / Math.max(1, apart(before, other)), viewport.pointFromPixel(middle, true), true);
    viewport.panBy(viewport.deltaPointsFromPixels(new OSD.Point((before[0] - now[0]) / 2, (before[1] - now[1]) / 2)), true);
  }

  up(event) {
    this.pointers.delete(event.pointerId);
    const { doing } = this;
    if (!doing) return;
    event.stopPropagation();
    if (doing.what === "pinch") {
      if (!this.pointers.size) this.doing = null;
      return;
    }
    this.doing = null;
    if (doing.what === "corner") {
      this.cornerAt(event);
      return;
    }
    if (this.draft) this.finish();
    else if (doing.what === "draw" && this.tool === "spot") {
      const { scale } = this.transform();
      this.hold({ spot: [...doing.from, Math.max(2, Math.round(12 / scale))] });
      this.finish();
    } else this.draw();
  }

  // A click of the outline tool: one more corner, or the last.
  cornerAt(event) {
    const at = this.snap(this.toPicture(event));
    const points = this.draft?.open ? this.draft.region.polygon.slice(0, -1) : [];
    const { scale } = this.transform(), near = ([x, y]) => Math.hypot(x - at[0], y - at[1]) * scale < REACH;
    if (points.length >= 3 && (near(points[0]) || near(points.at(-1)))) {
      this.hold({ polygon: [...points, points[0]] }, null, true);
      this.finish();
      return;
    }
    if (points.length && near(points.at(-1))) return;
    this.hold({ polygon: [...points, at, at] }, null, true);
    this.calls.corners?.(points.length + 1);
  }

  closeOutline() {
    if (this.draft?.open && this.draft.region.polygon.length > 3) this.finish();
  }

  // ---- by keyboard ----

  key(event) {
    if (!this.picture || event.metaKey) return false;
    const arrows = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    const step = arrows[event.key];
    if (step) {
      if (this.draft && !this.draft.mark && !this.draft.open) {
        this.nudgeDraft(event, step);
      } else if (this.chosen) {
        this.nudge(event, step);
      } else {
        const far = event.shiftKey ? 200 : 60;
        this.pan(step[0] * far, step[1] * far);
        setTimeout(() => this.aim && this.aimed(), CALM.matches ? 0 : 400);
      }
      return true;
    }
    switch (event.key) {
      case "+": case "=": this.zoom(1.4); break;
      case "-": case "_": this.zoom(1 / 1.4); break;
      case "0": this.fit(); break;
      case "1": this.pixels(1); break;
      case "Enter":
        if (this.draft) this.settle(true);
        else if (this.tool !== "move") this.place();
        else return false;
        break;
      case "Escape":
        if (this.cancel()) break;
        return false;
      case "Backspace":
        if (this.draft?.open) {
          const points = this.draft.region.polygon.slice(0, -2);
          if (points.length) this.hold({ polygon: [...points, points.at(-1)] }, null, true);
          else this.cancel();
          break;
        }
        return false;
      case ",": case ".": {
        const mark = this.chosen;
        if (!mark?.region.polygon) return false;
        const count = mark.region.polygon.length;
        this.corner = this.corner === null ? 0 : (this.corner + (event.key === "." ? 1 : count - 1)) % count;
        this.draw();
        break;
      }
      default: return false;
    }
    return true;
  }

  // A mark of a useful size in the middle of what is seen; arrow keys then put it right, Enter keeps it.
  place() {
    const { scale, x, y } = this.transform();
    const middle = this.snap([(this.host.clientWidth / 2 - x) / scale, (this.host.clientHeight / 2 - y) / scale]);
    const half = Math.max(3, Math.round(24 / scale));
    const [u, v] = middle;
    if (this.tool === "spot") this.hold({ spot: [u, v, half] });
    else if (this.tool === "outline") {
      this.hold({ polygon: [[u - half, v - half], [u + half, v - half], [u + half, v + half], [u - half, v + half]] });
    } else this.hold({ rect: [u - half, v - half, 2 * half, 2 * half] });
    this.calls.placedByKey?.();
  }

  nudged(region, event, [dx, dy]) {
    const far = event.shiftKey ? 10 : 1, { width, height } = this.picture;
    if (event.altKey || event.ctrlKey) return regions.grown(region, dx * far, dy * far);
    if (region.polygon && this.corner !== null) {
      const [x, y] = region.polygon[this.corner];
      return regions.reshaped(region, this.corner, this.inside([x + dx * far, y + dy * far]));
    }
    return regions.within(regions.moved(region, dx * far, dy * far), width, height);
  }

  nudgeDraft(event, step) {
    this.hold(this.nudged(this.draft.region, event, step));
    this.look(this.draft.region);
  }

  nudge(event, step) {
    const mark = this.chosen, from = this.draft?.mark?.key === mark.key ? this.draft.region : mark.region;
    this.hold(this.nudged(from, event, step), mark);
    this.look(this.draft.region);
    clearTimeout(this.settling);
    this.settling = setTimeout(() => this.settle(), 500);
  }

  // What arrow keys have moved is kept once they rest.
  settle(now = false) {
    clearTimeout(this.settling);
    if (this.draft?.mark || (now && this.draft)) this.finish();
  }
}

function capture(element, event) {
  try {
    element.setPointerCapture(event.pointerId);
  } catch { /* a pointer that is gone already, as of a script */ }
}

export const forget = ref => places.delete(ref);
