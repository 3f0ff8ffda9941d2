// Drawings: SVG nodes, axes, and simple graphs, drawn in the pixels of the place that they fill.

import {plain} from './words.js';

export function svg(tag, attributes = {}, ...children) {
  const made = document.createElementNS('http://www.w3.org/2000/svg', tag);
  for (const [name, value] of Object.entries(attributes))
    if (value !== null && value !== undefined) made.setAttribute(name, value);
  made.append(...children);
  return made;
}

export function words(x, y, text, anchor = 'start', kind = null) {
  return svg('text', {x, y, 'text-anchor': anchor, class: kind}, text);
}

export function points(list) {
  return list.map(([x, y]) => x.toFixed(1) + ',' + y.toFixed(1)).join(' ');
}

// A round step that leaves at most `most` marks on a range.
export function step_for(range, most) {
  const raw = range / most;
  const power = 10 ** Math.floor(Math.log10(raw));
  return power * [1, 2, 5, 10].find((one) => one * power >= raw * 0.999);
}

export function marks(low, high, most) {
  const step = step_for(high - low || 1, most);
  const digits = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  const list = [];
  for (let n = Math.ceil(low / step - 1e-9); n * step <= high + step * 1e-9; ++n) list.push({at: n * step, text: plain(n * step || 0, digits)});
  return list;
}

// Calls `draw(width)` now and whenever the width of the place changes.
export function drawn_in(place, draw) {
  let width = 0;
  const redraw = () => {
    const now = Math.floor(place.clientWidth);
    if (now > 0) draw(width = now);
  };
  new ResizeObserver(() => { if (Math.floor(place.clientWidth) !== width) redraw(); }).observe(place);
  return redraw;
}

// A graph: lines [[x, y]] and dots {x, y, kind}; axes told in words.
export function graph({width, height = 230, title, x_told, y_told, line = [], dots = [], x_from = null, level = null, top_told = []}) {
  const left = 58, right = 26, top = 30, bottom = 44;
  const xs = [...line.map((p) => p[0]), ...dots.map((d) => d.x)];
  const ys = [...line.map((p) => p[1]), ...dots.map((d) => d.y), ...(level === null ? [] : [level])];
  const x0 = x_from ?? Math.min(...xs), x1 = Math.max(...xs, x0 + 1e-9);
  let y0 = Math.min(...ys), y1 = Math.max(...ys);
  const air = (y1 - y0 || 1) * 0.08;
  y0 -= y0 === 0 ? 0 : air;
  y1 += air;
  const px = (x) => left + (x - x0) / (x1 - x0) * (width - left - right);
  const py = (y) => top + (y1 - y) / (y1 - y0) * (height - top - bottom);
  const page = svg('svg', {viewBox: `0 0 ${width} ${height}`, height, role: 'img', 'aria-label': title});
  for (const mark of marks(y0, y1, 5)) page.append(svg('line', {class: 'grid', x1: left, x2: width - right, y1: py(mark.at), y2: py(mark.at)}), words(left - 7, py(mark.at) + 4, mark.text, 'end', 'faint'));
  for (const mark of marks(x0, x1, Math.max(3, width / 90))) page.append(svg('line', {class: 'grid', x1: px(mark.at), x2: px(mark.at), y1: top, y2: height - bottom}), words(px(mark.at), height - bottom + 17, mark.text, 'middle', 'faint'));
  if (level !== null) page.append(svg('line', {class: 'axis', x1: left, x2: width - right, y1: py(level), y2: py(level)}));
  page.append(words(left, 18, y_told), words(width - right, height - 8, x_told, 'end'));
  if (line.length) page.append(svg('polyline', {class: 'path', points: points(line.map(([x, y]) => [px(x), py(y)]))}));
  for (const dot of dots) {
    page.append(svg('circle', {class: dot.kind, cx: px(dot.x), cy: py(dot.y), r: dot.kind === 'ring' ? 7 : 4.5}));
    if (dot.text) page.append(words(px(dot.x) + (px(dot.x) > width - 110 ? -12 : 12), py(dot.y) - 8, dot.text, px(dot.x) > width - 110 ? 'end' : 'start'));
  }
  for (const told of top_told) page.append(words(told.x, told.y, told.text));
  return page;
}
