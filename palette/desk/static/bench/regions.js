// Regions of a picture as kit.toml writes them: {rect: [x, y, width, height]}, {polygon: [[x, y], …]},
// {spot: [x, y, radius]}, all in pixels from the top left of the upright picture.

export const kindOf = region => Object.keys(region).find(key => ["rect", "polygon", "spot"].includes(key));

const near = value => Math.round(value * 100) / 100;

// Numbers as they go into kit.toml: a hundredth of a pixel is finer than any hand.
export function tidy(region) {
  if (region.polygon) return { polygon: region.polygon.map(point => point.map(near)) };
  const kind = kindOf(region);
  return { [kind]: region[kind].map(near) };
}

export function bounds(region) {
  if (region.rect) return region.rect.slice();
  if (region.spot) {
    const [x, y, radius] = region.spot;
    return [x - radius, y - radius, 2 * radius, 2 * radius];
  }
  const xs = region.polygon.map(point => point[0]), ys = region.polygon.map(point => point[1]);
  const left = Math.min(...xs), top = Math.min(...ys);
  return [left, top, Math.max(...xs) - left, Math.max(...ys) - top];
}

export function area(region) {
  if (region.rect) return region.rect[2] * region.rect[3];
  if (region.spot) return Math.PI * region.spot[2] ** 2;
  let twice = 0;
  region.polygon.forEach(([x, y], i) => {
    const [u, v] = region.polygon[(i + 1) % region.polygon.length];
    twice += x * v - u * y;
  });
  return Math.abs(twice) / 2;
}

export const centre = region => {
  const [x, y, width, height] = bounds(region);
  return [x + width / 2, y + height / 2];
};

export function moved(region, dx, dy) {
  if (region.polygon) return { polygon: region.polygon.map(([x, y]) => [x + dx, y + dy]) };
  if (region.rect) return { rect: [region.rect[0] + dx, region.rect[1] + dy, region.rect[2], region.rect[3]] };
  return { spot: [region.spot[0] + dx, region.spot[1] + dy, region.spot[2]] };
}

// Moved back so that it does not leave the picture.
export function within(region, width, height) {
  const [x, y, w, h] = bounds(region);
  const dx = x < 0 ? -x : x + w > width ? Math.max(width - x - w, -x) : 0;
  const dy = y < 0 ? -y : y + h > height ? Math.max(height - y - h, -y) : 0;
  return dx || dy ? moved(region, dx, dy) : region;
}

// The points that reshape a region when they are dragged.
export function handles(region) {
  if (region.polygon) return region.polygon.map(point => point.slice());
  if (region.spot) return [[region.spot[0] + region.spot[2], region.spot[1]]];
  const [x, y, w, h] = region.rect;
  return [[x, y], [x + w, y], [x + w, y + h], [x, y + h]];
}

// The region with that handle dragged to a point.
export function reshaped(region, index, [x, y]) {
  if (region.polygon) return { polygon: region.polygon.map((point, i) => (i === index ? [x, y] : point)) };
  if (region.spot) {
    const [u, v] = region.spot;
    return { spot: [u, v, Math.max(0.5, Math.hypot(x - u, y - v))] };
  }
  const [left, top, w, h] = region.rect;
  const opposite = [[left + w, top + h], [left, top + h], [left, top], [left + w, top]][index];
  return box([x, y], opposite);
}

// A rectangle between two corners, at least a pixel wide.
export function box([x, y], [u, v]) {
  return { rect: [Math.min(x, u), Math.min(y, v), Math.max(1, Math.abs(x - u)), Math.max(1, Math.abs(y - v))] };
}

// Larger or smaller by so many pixels to the right and below; a spot by the larger of the two.
export function grown(region, dx, dy) {
  if (region.rect) {
    const [x, y, w, h] = region.rect;
    return { rect: [x, y, Math.max(1, w + dx), Math.max(1, h + dy)] };
  }
  if (region.spot) return { spot: [region.spot[0], region.spot[1], Math.max(0.5, region.spot[2] + (dx || dy))] };
  const [x, y, w, h] = bounds(region);
  const across = w ? Math.max(1, w + dx) / w : 1, down = h ? Math.max(1, h + dy) / h : 1;
  return { polygon: region.polygon.map(([u, v]) => [x + (u - x) * across, y + (v - y) * down]) };
}

export function pathOf(region, open = false) {
  if (region.rect) {
    const [x, y, w, h] = region.rect;
    return `M${x} ${y}h${w}v${h}h${-w}Z`;
  }
  if (region.spot) {
    const [x, y, r] = region.spot;
    return `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0Z`;
  }
  return `M${region.polygon.map(point => point.join(" ")).join("L")}${open ? "" : "Z"}`;
}

// Where labels [{box: [left, top, right, bottom], wide, first}] of that height stand beside their boxes, so that none
// hides another: [x, y] of each one's top left. Where there is no room it is left out (null), unless it comes first.
export function placeLabels(labels, high) {
  const taken = [], places = labels.map(() => null);
  const order = labels.map((label, i) => i).sort((a, b) => Number(Boolean(labels[b].first)) - Number(Boolean(labels[a].first)) || a - b);
  for (const i of order) {
    const { box: [left, top, right, bottom], wide, first } = labels[i];
    const spots = [[left, top - high], [right - wide, top - high], [right + 1, top], [left - wide - 1, top], [left, bottom], [right - wide, bottom],
      [right + 1, bottom - high], [left - wide - 1, bottom - high]];
    const free = spots.find(([x, y]) => taken.every(([u, v, w]) => x + wide <= u || u + w <= x || y + high <= v || v + high <= y));
    const at = free ?? (first ? spots[0] : null);
    if (!at) continue;
    places[i] = at;
    taken.push([...at, wide]);
  }
  return places;
}

export function inWords(region) {
  const n = value => String(near(value)).replace(/\.(\d)\d*$/, ".$1");
  if (region.rect) return `${n(region.rect[2])} × ${n(region.rect[3])} at ${n(region.rect[0])}, ${n(region.rect[1])}`;
  if (region.spot) return `radius ${n(region.spot[2])} about ${n(region.spot[0])}, ${n(region.spot[1])}`;
  return `${region.polygon.length} corners from ${n(region.polygon[0][0])}, ${n(region.polygon[0][1])}`;
}
