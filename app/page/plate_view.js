// Plates with their reeds to scale; each opens as a tongue.

import {bench, cents_off, on, open_reed, place_of} from './bench.js';
import {clear_trouble, show_refusal} from './faults.js';
import {svg} from './draw.js';
import {ask} from './server.js';
import {download, node, open_page, plain, signed, stem, table, while_busy} from './words.js';

// Shades by how far off, the sign by hue and by the number on each; 2 cents is what a tuner's reader calls good.
const shades = [
  {upto: 2, words: 'within 2 cents', fill: 'var(--card)'},
  {upto: 8, sharp: 'var(--sharp-soft)', flat: 'var(--flat-soft)'},
  {upto: Infinity, sharp: 'var(--sharp-fill)', flat: 'var(--flat-fill)'},
];

function fill_for(off) {
  if (off === null) return null;
  const shade = shades.find((one) => Math.abs(off) <= one.upto);
  return shade.fill ?? (off > 0 ? shade.sharp : shade.flat);
}

function reed_drawing(reed, longest, widest) {
  const pad = 3.6, air = 0.5, half = widest / 2 + 0.9;
  const slot = reed.width_mm / 2 + 0.18;
  const height = pad + longest + air + 0.6;
  const strip = svg('rect', {class: 'strip', x: -reed.width_mm / 2, y: 0.3, width: reed.width_mm, height: pad + reed.length_mm - 0.3});
  const fill = fill_for(cents_off(reed));
  if (fill) strip.style.fill = fill;
  return svg('svg', {viewBox: `${-half} 0 ${2 * half} ${height}`, 'aria-hidden': 'true', focusable: 'false'},
    svg('rect', {class: 'hole', x: -slot, y: pad, width: 2 * slot, height: reed.length_mm + 0.18, rx: 0.15}), strip,
    svg('circle', {class: 'rivet', cx: 0, cy: pad / 2 + 0.2, r: 0.55}));
}

function reed_button(reed, longest, widest) {
  const off = cents_off(reed);
  const told = off === null ? 'not read' : Math.abs(off) < 0.05 ? 'cents, on its pitch' : off > 0 ? 'cents sharp' : 'cents flat';
  const button = node('button', {type: 'button', class: 'reed', 'data-place': place_of(reed)},
    node('span', {class: 'cell', text: String(reed.cell)}), node('span', {class: 'unseen', text: ` ${reed.row}, `}), reed_drawing(reed, longest, widest),
    node('span', {class: 'note', text: reed.note}), ' ', node('span', {class: off === null ? 'off' : 'off on', text: off === null ? '' : signed(off, Math.abs(off) < 10 ? 1 : 0)}),
    node('span', {class: 'unseen', text: ` ${told}: open this tongue`}));
  button.addEventListener('click', async () => {
    clear_trouble();
    try {
      await open_reed(reed.cell, reed.row);
      location.hash = '#tongue';
    } catch (error) {
      show_refusal(document.body, error);
    }
  });
  return button;
}

const widths = new ResizeObserver((seen) => {
  for (const {target} of seen) target.classList.toggle('wider', target.scrollWidth > target.clientWidth + 1);
});

export function draw_plates(place) {
  const reeds = bench.design.plan.tongues;
  const rows = [...new Set(reeds.map((reed) => reed.row))];
  const longest = Math.max(...reeds.map((reed) => reed.length_mm)), widest = Math.max(...reeds.map((reed) => reed.width_mm));
  place.replaceChildren(...rows.map((row) => node('div', {class: 'plate', role: 'group', 'aria-label': row},
    node('h2', {text: row}),
    node('p', {class: 'slide quiet', text: 'wider than the screen: slide it sideways'}),
    node('ol', {}, ...reeds.filter((reed) => reed.row === row).map((reed) => node('li', {}, reed_button(reed, longest, widest)))))));
  for (const plate of place.children) widths.observe(plate);
}

export function draw_scale(place) {
  const one = (fill, text) => {
    const swatch = node('i', {'aria-hidden': 'true'});
    swatch.style.background = fill;
    return node('span', {}, swatch, text);
  };
  place.replaceChildren(one('var(--flat-fill)', 'flat, over 8 cents'), one('var(--flat-soft)', 'flat, 2 to 8'), one('var(--card)', 'within 2 cents'),
    one('var(--sharp-soft)', 'sharp, 2 to 8'), one('var(--sharp-fill)', 'sharp, over 8'), one('var(--metal)', 'not read'));
}

function show() {
  if (!bench.design) return;
  const {plan} = bench.design;
  document.getElementById('view-plate').classList.add('has');
  document.getElementById('plate-name').textContent = plan.name || bench.design.name;
  document.getElementById('plate-tuned').textContent = `Tuned ${plan.temperament}, A4 ${plain(plan.a4_hz, 0)} Hz, set ${plain(plan.allowance_cents, 0)} cents sharp on the bench at ${plain(plan.bench_celsius, 0)} \u00b0C. Choose a reed to open it.`;
  draw_plates(document.getElementById('plates'));
  const read = plan.tongues.filter((reed) => cents_off(reed) !== null).length;
  document.getElementById('plate-scale').hidden = read === 0;
  draw_scale(document.getElementById('plate-scale'));
  document.getElementById('plate-told').textContent = 'Tongues are to scale; their places along the plate are not. ' +
    (read ? `The number is how far a reed reads off its target on the bench, in cents; ${read} of ${plan.tongues.length} are read.` : 'With readings each is coloured by how far it is off.');
  document.getElementById('plate-table').replaceChildren(table(
    [{head: 'place', k: true}, {head: 'note'}, {head: 'on the bench, Hz', n: true}, {head: 'length, mm', n: true}, {head: 'width, mm', n: true}, {head: 'thickness from root to tip, mm', k: true}, {head: 'model, off target', n: true}],
    plan.tongues.map((reed) => ({cells: [place_of(reed), reed.note, plain(reed.target_hz, 2), plain(reed.length_mm, 2), plain(reed.width_mm, 2),
      reed.thickness_stations_mm.map((one) => plain(one[1], 3)).join('  '), signed(reed.rounded_error_cents) + ' c'], remark: reed.limits.join('; ')}))));
}

export function begin() {
  on('design', show);
  on('work', show);
  const press = (id, words, work) => document.getElementById(id).addEventListener('click', async (event) => {
    clear_trouble();
    try {
      await while_busy(event.target, words, work);
    } catch (error) {
      show_refusal(document.body, error);
    }
  });
  press('plate-sheet', 'writing \u2026', async () => open_page(await ask('/api/sheet', {subject: bench.design.subject}, 'text')));
  press('plate-step', 'building the solids \u2026', async () => download(stem(bench.design.name) + '.step', await ask('/api/step', {subject: bench.design.subject}, 'blob')));
  press('plate-yaml', 'writing \u2026', async () => download(stem(bench.design.name) + '.yaml', new Blob([bench.design.subject.text], {type: 'application/yaml'})));
}
