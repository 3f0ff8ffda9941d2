// The tongue from the side, thickness exaggerated, and under it what metal taken from its top does.

import {marks, points, svg, words} from './draw.js';
import {plain} from './words.js';

const left = 44, right = 22, top = 24;

// How much larger thickness is drawn than length.
export function exaggeration(shape, width, height) {
  const thickest = Math.max(...shape.thickness_mm.map((one) => one[1]));
  return (height / (thickest * 1.12)) / ((width - left - right) / shape.length_mm);
}

export function frame(shape, width, height) {
  const thickest = Math.max(...shape.thickness_mm.map((one) => one[1]));
  const per_x = (width - left - right) / shape.length_mm;
  const per_y = height / (thickest * 1.12);
  return {
    x: (mm) => left + mm * per_x, y: (mm) => top + height - mm * per_y, per_y,
    foot: top + height, left, right: width - right,
  };
}

export function draw_side(page, at, shape) {
  const outline = [[at.x(0), at.foot], ...shape.thickness_mm.map(([x, h]) => [at.x(x), at.y(h)]), [at.x(shape.length_mm), at.foot]];
  const root = at.y(shape.thickness_mm[0][1]);
  page.append(svg('rect', {class: 'seat', x: 0.5, y: root, width: at.left - 0.5, height: at.foot - root}),
    svg('polygon', {class: 'metal', points: points(outline)}),
    svg('line', {class: 'axis', x1: 0, x2: at.right + 12, y1: at.foot, y2: at.foot}),
    words(at.left - 5, root - 7, 'root', 'end', 'faint'), words(at.right + 20, at.foot - 6, 'tip', 'end', 'faint'));
}

export function draw_lengths(page, at, shape, y, width) {
  for (const mark of marks(0, shape.length_mm, Math.max(4, width / 90)))
    page.append(svg('line', {class: 'axis', x1: at.x(mark.at), x2: at.x(mark.at), y1: y, y2: y + 6}), words(at.x(mark.at), y + 20, mark.text, 'middle', 'faint'));
}

// Areas above and below nothing, from the stations of the map.
export function draw_map(page, at, where, from, height) {
  const values = where.stations.map((one) => one.cents_per_um_mm);
  const high = Math.max(0, ...values), low = Math.min(0, ...values);
  const y = (value) => from + (high - value) / (high - low || 1) * height;
  const areas = {raise: [], lower: []};
  let run = [];
  let kind = null;
  const close = () => { if (run.length > 1) areas[kind].push(run); };
  let before = null;
  for (const {at_mm, cents_per_um_mm: value} of where.stations) {
    const now = value >= 0 ? 'raise' : 'lower';
    if (kind !== null && now !== kind) {
      const cross = before.x + (at_mm - before.x) * before.v / (before.v - value);
      run.push([at.x(cross), y(0)]);
      close();
      run = [[at.x(cross), y(0)]];
    }
    kind = now;
    run.push([at.x(at_mm), y(value)]);
    before = {x: at_mm, v: value};
  }
  close();
  for (const [name, runs] of Object.entries(areas))
    for (const one of runs) page.append(svg('polygon', {class: name, points: points([[one[0][0], y(0)], ...one, [one.at(-1)[0], y(0)]])}));
  page.append(svg('line', {class: 'axis', x1: at.left, x2: at.right, y1: y(0), y2: y(0)}));
  for (const mark of marks(low, high, 4)) page.append(words(at.left - 6, y(mark.at) + 4, mark.text, 'end', 'faint'));
  for (const neutral of where.neutral_mm)
    page.append(svg('line', {class: 'axis', 'stroke-dasharray': '3 4', x1: at.x(neutral), x2: at.x(neutral), y1: top, y2: from + height}),
      at.x(neutral) > at.right - 125 ? words(at.x(neutral) - 6, from + height - 2, `nothing at ${plain(neutral, 1)} mm`, 'end')
        : words(at.x(neutral) + 6, from + height - 2, `nothing at ${plain(neutral, 1)} mm`));
  if (values.some((one) => one > 0)) page.append(words(at.right, y(0) + 18, 'taken here: raises', 'end'));
  if (values.some((one) => one < 0)) page.append(words(at.left + 8, y(0) - 8, 'taken here: lowers'));
}
