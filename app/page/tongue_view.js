// One tongue: its thickness dragged or typed, and everything that follows from it.

import {bench, on, tell, tongue_subject} from './bench.js';
import {clear_errors, clear_trouble, fault_words, put_error, call, say, show_refusal} from './faults.js';
import {drawn_in, svg} from './draw.js';
import {ask, latest} from './server.js';
import {draw_lengths, draw_map, draw_side, exaggeration, frame} from './tongue_drawing.js';
import {station_at_line, with_stations} from './tongue_text.js';
import {download, fill_figures, list, node, note_text, open_page, plain, signed, significant, stem, table, while_busy} from './words.js';

const side_height = 190, map_height = 130;
const el = (id) => document.getElementById(id);

// Stations as typed or dragged, [at, thickness] in millimetres as text; `answer` is the last good one.
let rows = [];
let answer = null;
let known_text = null;
let past = [];
let future = [];
// From the first change until a pause, one step for undo.
let step_open = false;
let step_timer = 0;
let held = -1;
let redraw = () => {};

const digits = (value) => String(Number(value.toFixed(4)));
const as_number = (text) => {
  const match = String(text).trim().match(/^([-+]?(?:\d+\.?\d*|\.\d+))\s*(mm|um|\u00b5m)?$/);
  return match ? Number(match[1]) / (match[2] && match[2] !== 'mm' ? 1000 : 1) : NaN;
};

function drawn_shape() {
  const stations = rows.map(([at, value]) => [as_number(at), as_number(value)]);
  const good = stations.length > 1 && stations.every(([at, value], i) => at >= 0 && value > 0 && value < 3 && (i === 0 || at >= stations[i - 1][0]));
  if (!good) return answer?.shape ?? null;
  return {length_mm: stations.at(-1)[0], thickness_mm: stations};
}

const reckon = latest(
  (question) => ask('/api/tongue', {subject: {text: question.text, name: question.name}, options: {}}),
  (result, error, question, newest) => {
    if (bench.tongue === null || question.text !== bench.tongue.text) {
      // A newer shape is on its way; an older one that is good still shows that the page follows.
      if (result && !newest) show_answer(result, false);
      return;
    }
    clear_errors(el('view-tongue'));
    if (error) show_wrong(error);
    else {
      clear_trouble();
      show_answer(result, true);
    }
  });

function show_wrong(error) {
  el('tongue-figures').classList.add('stale');
  el('tongue-state').textContent = answer ? 'The figures and the map are those of the last shape that could be reckoned.' : '';
  if (!error.faults?.length) return show_refusal(el('view-tongue'), error);
  for (const fault of error.faults) {
    const row = station_at_line(bench.tongue.text, fault.line);
    const cells = row >= 0 ? el('stations').querySelectorAll(`tbody tr:nth-child(${row + 1}) input`) : [];
    const about_place = /:\s|distance|station|root|length/.test(fault.message) && !/ is outside /.test(fault.message);
    if (cells.length) put_error(cells[about_place ? 0 : 1], fault_words(fault));
    else put_error(el('tongue-yaml'), (fault.line ? `line ${fault.line}: ` : '') + (fault.key ? fault.key + ': ' : '') + fault_words(fault));
  }
  call(error.faults.map(fault_words).join('. '));
}

function show_answer(result, final) {
  answer = result;
  const {pitch, stress} = result;
  const unsure = pitch.expanded_uncertainty_cents;
  fill_figures(el('tongue-figures'), [
    {what: 'pitch', id: 'pitch-value', value: plain(pitch.pitch_hz, 2) + ' Hz', beside: note_text(pitch.note, pitch.note_cents), first: true},
    {what: 'uncertain by', value: unsure === null ? 'not known' : '\u00b1' + significant(unsure, 2) + ' cents', beside: unsure === null ? 'for this material' : '95 %, of all that is stated'},
    {what: 'stiffness of the first mode', value: significant(pitch.stiffness_n_per_m, 3) + ' N/m', beside: significant(pitch.modal_mass_kg * 1e6, 3) + ' mg move'},
    stress && {what: 'greatest stress', value: significant(stress.peak_mpa, 3) + ' MPa', beside: `at \u00b1${plain(stress.swing_mm, 2)} mm, worst at ${plain(stress.at_mm, 1)} mm` + (stress.share_of_proof === null ? '' : `, ${plain(100 * stress.share_of_proof, 0)} % of proof`)},
    stress?.hours && {what: 'life, an estimate', value: significant(stress.hours.best, 2) + ' h', beside: `${significant(stress.hours.low, 2)} to ${significant(stress.hours.high, 2)}`},
  ]);
  el('tongue-figures').classList.remove('stale');
  el('tongue-state').textContent = final ? pitch.warnings.join('; ') : 'reckoning \u2026';
  if (!final) return;
  // Typed or dragged stations stand as they are; any other text is taken over.
  if (known_text !== bench.tongue.text) {
    rows = result.shape.thickness_mm.map(([at, value]) => [digits(at), digits(value)]);
    known_text = bench.tongue.text;
    fill_table();
  }
  const modes = [...pitch.flap_hz.map((hz, i) => ['flapping ' + (i + 1), hz]), ...pitch.twist_hz.map((hz, i) => ['twisting ' + (i + 1), hz])].sort((a, b) => a[1] - b[1]);
  el('tongue-modes').replaceChildren(
    table([{head: 'mode, in vacuo', k: true}, {head: 'Hz', n: true}, {head: 'times the first', n: true}], modes.map(([name, hz]) => ({cells: [name, plain(hz, 1), plain(hz / pitch.flap_hz[0], 3)]}))),
    node('h2', {text: 'What is uncertain'}),
    table([{head: 'input', k: true}, {head: 'one standard deviation'}, {head: 'cents', n: true}], (pitch.budget ?? []).map((one) => ({cells: [one.input, one.standard_deviation, plain(one.effect_cents, 1)]}))));
  list(el('tongue-assumed'), [...pitch.assumed.map((one) => one + ', taken for granted'), ...pitch.cautions, ...result.where.cautions]);
  tell('reckoned');
  say(`${plain(pitch.pitch_hz, 2)} hertz, ${pitch.note ?? ''} ${signed(pitch.note_cents ?? 0)} cents`, 700);
  if (held < 0) redraw();
  else draw_now(el('profile').clientWidth);
}

function note_past() {
  if (!step_open) {
    past.push(bench.tongue.text);
    if (past.length > 300) past.shift();
    future = [];
    step_open = true;
  }
  clearTimeout(step_timer);
  step_timer = setTimeout(() => { step_open = false; }, 900);
  show_steps();
}

function show_steps() {
  el('tongue-undo').disabled = past.length === 0;
  el('tongue-redo').disabled = future.length === 0;
}

function set_text(text, from_rows) {
  bench.tongue.text = text;
  if (from_rows) known_text = text;
  if (el('tongue-yaml').value !== text) el('tongue-yaml').value = text;
  tell('tongue text');
  reckon({text, name: bench.tongue.name});
}

function rows_changed() {
  const text = with_stations(bench.tongue.text, rows);
  if (text === null) {
    el('tongue-state').textContent = 'The thickness in this file is written in a form that only the text below can change.';
    return;
  }
  note_past();
  set_text(text, true);
  redraw();
}

function fill_table() {
  el('stations').querySelector('tbody').replaceChildren(...rows.map((row, i) => {
    const cell = (column, label) => {
      const input = node('input', {inputmode: 'decimal', 'aria-label': `${label} of point ${i + 1}`, value: row[column], 'data-row': i});
      input.addEventListener('input', () => { rows[i][column] = input.value; rows_changed(); });
      if (column === 1) input.addEventListener('keydown', (event) => step_by_key(event, i));
      return node('td', {}, input);
    };
    const away = node('button', {type: 'button', 'aria-label': `take point ${i + 1} away`, text: '\u00d7', disabled: i === 0 || i === rows.length - 1});
    away.addEventListener('click', () => { rows.splice(i, 1); fill_table(); rows_changed(); });
    return node('tr', {}, cell(0, 'distance from the root'), cell(1, 'thickness'), node('td', {}, away));
  }));
}

function set_thickness(i, mm) {
  rows[i][1] = digits(Math.max(0.001, Math.round(mm * 1000) / 1000));
  const input = el('stations').querySelector(`tbody tr:nth-child(${i + 1}) td:nth-child(2) input`);
  if (input) input.value = rows[i][1];
  rows_changed();
}

function step_by_key(event, i) {
  const way = {ArrowUp: 1, ArrowDown: -1, PageUp: 10, PageDown: -10}[event.key] ??
    (event.currentTarget.tagName !== 'INPUT' ? {ArrowRight: 1, ArrowLeft: -1}[event.key] : undefined);
  const now = as_number(rows[i][1]);
  if (way === undefined || Number.isNaN(now)) return;
  event.preventDefault();
  set_thickness(i, now + way * (event.shiftKey && Math.abs(way) === 1 ? 10 : 1) / 1000);
}

function grip(at, i, [x, h]) {
  const knob = svg('g', {class: 'grip' + (held === i ? ' held' : ''), role: 'slider', tabindex: 0, 'data-point': i, 'aria-orientation': 'vertical',
    'aria-label': `thickness ${plain(x, 2)} mm from the root`, 'aria-valuemin': 10, 'aria-valuemax': 1500, 'aria-valuenow': Math.round(h * 1000), 'aria-valuetext': `${Math.round(h * 1000)} micrometres`},
    svg('circle', {class: 'reach', cx: at.x(x), cy: at.y(h), r: 24}), svg('circle', {class: 'knob', cx: at.x(x), cy: at.y(h), r: 8}));
  knob.addEventListener('keydown', (event) => step_by_key(event, i));
  knob.addEventListener('pointerdown', (event) => {
    event.preventDefault();
    held = i;
    step_open = false;
    const start_y = event.clientY, start_h = as_number(rows[i][1]), per_y = at.per_y;
    const move = (moved) => set_thickness(i, start_h + (start_y - moved.clientY) / per_y);
    const end = () => {
      removeEventListener('pointermove', move);
      removeEventListener('pointerup', end);
      removeEventListener('pointercancel', end);
      held = -1;
      step_open = false;
      redraw();
    };
    addEventListener('pointermove', move);
    addEventListener('pointerup', end);
    addEventListener('pointercancel', end);
    knob.focus({preventScroll: true});
  });
  return knob;
}

// While a point is held the scale stays, so that the point stays under the finger.
let held_scale = null;
function draw_now(width) {
  const shape = drawn_shape();
  if (!shape || !answer) return;
  const focus = document.activeElement?.closest?.('.grip')?.getAttribute('data-point');
  const scale_shape = held >= 0 && held_scale ? held_scale : {length_mm: shape.length_mm, thickness_mm: shape.thickness_mm};
  held_scale = scale_shape;
  const at = frame(scale_shape, width, side_height);
  const map_top = at.foot + 52;
  const page = svg('svg', {viewBox: `0 0 ${width} ${map_top + map_height + 16}`, height: map_top + map_height + 16, role: 'group', 'aria-label': 'the tongue from the side, and what metal taken from its top does'});
  draw_side(page, at, shape);
  draw_lengths(page, at, shape, at.foot, width);
  draw_map(page, at, answer.where, map_top, map_height);
  shape.thickness_mm.forEach((one, i) => page.append(grip(at, i, one)));
  el('profile').replaceChildren(page);
  if (focus !== undefined && focus !== null) page.querySelector(`[data-point="${focus}"]`)?.focus({preventScroll: true});
  el('profile-told').textContent = `Seen from the side, thickness drawn ${significant(exaggeration(scale_shape, width, side_height), 2)} times larger than length, which is in mm. Below: cents for 1 um taken over 1 mm of length, full width.`;
}

function add_point() {
  const shape = drawn_shape();
  if (!shape) return;
  let widest = 1;
  for (let i = 1; i < rows.length; ++i)
    if (shape.thickness_mm[i][0] - shape.thickness_mm[i - 1][0] > shape.thickness_mm[widest][0] - shape.thickness_mm[widest - 1][0]) widest = i;
  const [a, b] = [shape.thickness_mm[widest - 1], shape.thickness_mm[widest]];
  rows.splice(widest, 0, [digits((a[0] + b[0]) / 2), digits((a[1] + b[1]) / 2)]);
  fill_table();
  rows_changed();
}

function go(from, to) {
  if (!from.length) return;
  to.push(bench.tongue.text);
  step_open = false;
  set_text(from.pop(), false);
  show_steps();
}

function show_new() {
  past = [];
  future = [];
  step_open = false;
  known_text = null;
  answer = null;
  rows = [];
  el('view-tongue').classList.add('has');
  el('tongue-name').textContent = stem(bench.tongue.name).replace(/_/g, ' ');
  el('tongue-yaml').value = bench.tongue.text;
  el('profile').replaceChildren();
  el('tongue-figures').replaceChildren();
  el('tongue-saved').textContent = '';
  show_steps();
  reckon({text: bench.tongue.text, name: bench.tongue.name});
}

async function save() {
  const name = stem(bench.tongue.name) + '.yaml';
  const stands = bench.start.files.some((file) => file.path === bench.tongue.name);
  const path = stands ? bench.tongue.name : name;
  if (stands && !confirm(`Write over ${path}?`)) return;
  await ask('/api/save', {path, text: bench.tongue.text, replace: stands});
  el('tongue-saved').textContent = `Saved as ${path}.`;
  say(`saved as ${path}`);
}

export function begin() {
  on('tongue', show_new);
  redraw = drawn_in(el('profile'), draw_now);
  let typing = 0;
  el('tongue-yaml').addEventListener('input', () => {
    clearTimeout(typing);
    typing = setTimeout(() => { note_past(); set_text(el('tongue-yaml').value, false); }, 250);
  });
  el('tongue-add').addEventListener('click', add_point);
  el('tongue-undo').addEventListener('click', () => go(past, future));
  el('tongue-redo').addEventListener('click', () => go(future, past));
  el('stations').addEventListener('submit', (event) => event.preventDefault());
  el('view-tongue').addEventListener('keydown', (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== 'z' || event.target === el('tongue-yaml')) return;
    event.preventDefault();
    if (event.shiftKey) go(future, past);
    else go(past, future);
  });
  const press = (id, words, work) => el(id).addEventListener('click', async (event) => {
    clear_trouble();
    try {
      await while_busy(event.target, words, work);
    } catch (error) {
      show_refusal(el('view-tongue'), error);
    }
  });
  press('tongue-download', 'writing \u2026', async () => download(stem(bench.tongue.name) + '.yaml', new Blob([bench.tongue.text], {type: 'application/yaml'})));
  press('tongue-save', 'saving \u2026', save);
  press('tongue-sheet', 'writing \u2026', async () => open_page(await ask('/api/sheet', {subject: tongue_subject()}, 'text')));
  press('tongue-step', 'building the solids \u2026', async () => download(stem(bench.tongue.name) + '.step', await ask('/api/step', {subject: tongue_subject()}, 'blob')));
}

export function last_answer() {
  return answer;
}
