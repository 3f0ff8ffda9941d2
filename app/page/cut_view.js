// Where and how deep to cut, and the passes until the reed reads what it should.

import {bench, on, tongue_subject} from './bench.js';
import {clear_errors, clear_trouble, say, show_refusal, show_trouble} from './faults.js';
import {drawn_in, graph, svg, words} from './draw.js';
import {ask} from './server.js';
import {draw_lengths, draw_side, frame} from './tongue_drawing.js';
import {last_answer} from './tongue_view.js';
import {fill_figures, list, node, plain, signed, significant, table, while_busy} from './words.js';

const el = (id) => document.getElementById(id);
const side_height = 120;

// {options, result, path: [[depth_um, cents to go]], passes: [{read, took}], told: [answers]}
let work = null;
let redraw_side = () => {};
let redraw_path = () => {};

function zone_wanted() {
  return el('c-zone').value === 'own' ? el('c-range').value.trim() : el('c-zone').value;
}

function zone_text(zone) {
  return `${plain(zone[0], 2)} to ${plain(zone[1], 2)} mm`;
}

// What a blown reading stands for: the command has taken off what the breath did.
function tell_breath(under, plucked_hz) {
  el('cut-breath').textContent = under ? `Blown at ${under}; by the model it would read ${plain(plucked_hz, 2)} Hz plucked, and the cut is reckoned from that.` : '';
}

async function ask_cut(options) {
  try {
    return await ask('/api/cut', {subject: tongue_subject(), options});
  } catch (error) {
    // Out of reach: the best that can be done comes with the refusal.
    if (error.result && error.result.reachable === false) return Object.assign(error.result, {refused: error.message});
    throw error;
  }
}

function plucked_reading(target_hz, to_go_cents) {
  return target_hz * 2 ** (-to_go_cents / 1200);
}

// Depths that part of the shift would take, on the same tongue as the whole.
async function predicted_path(options, result) {
  if (!result.reachable || !(result.depth_um > 0)) return [];
  const read_hz = plucked_reading(result.target_hz, result.wanted_cents);
  const shares = [0.25, 0.5, 0.75];
  const between = await Promise.all(shares.map(async (share) => {
    const want = read_hz * 2 ** (share * result.wanted_cents / 1200);
    const part = await ask('/api/cut', {subject: tongue_subject(), options: {...options, read: read_hz.toFixed(6) + 'Hz', want: want.toFixed(6) + 'Hz'}});
    return [part.depth_um, (1 - share) * result.wanted_cents];
  }));
  return [[0, result.wanted_cents], ...between, [result.depth_um, 0]];
}

function show_result() {
  const {result} = work;
  el('cut-result').hidden = false;
  const nothing = !(result.depth_um > 0) && Math.abs(result.wanted_cents) < 1;
  fill_figures(el('cut-figures'), nothing ? [{what: 'to go', value: signed(result.wanted_cents) + ' cents', beside: 'nothing to do', first: true}] : [
    {what: 'first pass', id: 'first-pass', first: true, value: result.first_pass_um === undefined || result.first_pass_um === null ? 'none' : plain(result.first_pass_um, 1) + ' um',
      beside: result.first_pass_um ? `for ${signed(result.first_pass_cents)} cents; ${significant(100 * result.overshoot_chance, 2)} % chance to go past. Then read again.` : ''},
    {what: result.reachable ? 'in all' : 'the most that is safe', id: 'whole-depth', value: plain(result.depth_um, 1) + ' um', beside: `for ${signed(result.shift_cents)} of ${signed(result.wanted_cents)} cents`},
    {what: 'where', value: result.zone || 'as given', beside: result.zone_mm ? zone_text(result.zone_mm) + ' from the root' : ''},
    {what: 'left at the thinnest', value: plain(result.thinnest_mm, 3) + ' mm', beside: significant(result.removed_mg, 2) + ' mg taken'},
    result.life_after && result.life_after.hours !== null && result.life_after.hours !== undefined && {what: 'life, an estimate', value: significant(result.life_after.hours, 2) + ' h', beside: `before ${significant(result.life_before.hours, 2)} h`},
  ]);
  list(el('cut-warnings'), result.warnings ?? []);
  list(el('cut-cautions'), result.cautions ?? []);
  el('cut-side').parentElement.hidden = el('cut-path').parentElement.hidden = nothing || !result.zone_mm;
  el('next').hidden = nothing || !result.reachable || !result.first_pass_um;
  const others = (result.zones ?? []);
  el('cut-choices').replaceChildren(...(others.length > 1 ? [node('h2', {text: 'Zones that would do, best first'}),
    table([{head: 'zone', k: true}, {head: 'from the root'}, {head: 'depth', n: true}, {head: 'thickness kept', n: true}, {head: 'life kept', n: true}],
      others.map((one) => ({cells: [one.zone, zone_text(one.zone_mm), plain(one.depth_um, 1) + ' um', plain(100 * one.thickness_kept, 0) + ' %', one.life_kept === null ? '' : plain(100 * one.life_kept, 0) + ' %']})))] : []));
  show_passes();
  redraw_side();
  redraw_path();
}

function spoken(reading) {
  return reading.read + (reading.under ? `, blown at ${reading.under}` : '');
}

function show_passes() {
  const told = work.told;
  el('cut-passes').replaceChildren(...(told.length < 2 ? [] : [table(
    [{head: 'reading', k: true}, {head: 'to go', n: true}, {head: 'next', n: true}, {head: 'for', n: true}],
    told.map((one, i) => ({cells: [spoken(work.passes[i]), signed(one.remaining_cents) + ' c', one.verdict === 'cut' ? plain(one.first_pass_um, 1) + ' um' : one.verdict,
      one.verdict === 'cut' ? signed(one.expected_cents) + ' c' : ''],
      remark: [...(i === 0 ? [] : [`a cut shifts ${plain(one.gain, 2)} \u00b1${plain(one.gain_sigma, 2)} times what the dimensions say`]), ...(one.warnings ?? [])].join('; ')})))]));
}

// Half as wide as the words above the zone, which end before the drawing does.
const half_words = 60;

function draw_cut(width) {
  const answer = last_answer();
  if (!work?.result.zone_mm || !answer) return;
  const shape = answer.shape;
  const at = frame(shape, width, side_height);
  const [from, to] = work.result.zone_mm;
  const page = svg('svg', {viewBox: `0 0 ${width} ${at.foot + 34}`, height: at.foot + 34, role: 'img', 'aria-label': `the tongue from the side; metal goes from ${zone_text(work.result.zone_mm)} from the root`});
  draw_side(page, at, shape);
  draw_lengths(page, at, shape, at.foot, width);
  page.append(svg('rect', {class: 'takes', x: at.x(from), y: 22, width: Math.max(3, at.x(Math.min(to, shape.length_mm)) - at.x(from)), height: at.foot - 22}),
    words(Math.min((at.x(from) + at.x(to)) / 2, width - half_words), 16, 'file here, on top', 'middle'));
  el('cut-side').replaceChildren(page);
  el('cut-side-told').textContent = `Metal goes from the top, full width, ${zone_text(work.result.zone_mm)} from the root. After it: centre the tongue in its slot, set its rest gap, let it cool, read.`;
}

function draw_path(width) {
  if (!work?.path.length) {
    el('cut-path').parentElement.hidden = true;
    return;
  }
  let depth = 0;
  const rings = [{x: 0, y: work.result.wanted_cents, kind: 'ring', text: work.passes[0].read}];
  work.told.slice(1).forEach((one, i) => {
    depth += one.taken_um;
    rings.push({x: depth, y: one.remaining_cents, kind: 'ring', text: work.passes[i + 1].read});
  });
  const dots = [...rings];
  if (work.told.length < 2) dots.push({x: work.result.first_pass_um, y: work.result.wanted_cents - work.result.first_pass_cents, kind: 'dot', text: 'first pass'});
  el('cut-path').replaceChildren(graph({width, title: 'cents to go against the depth taken', x_told: 'um taken in all', y_told: 'cents to go', line: work.path, dots, x_from: 0, level: 0}));
}

function reading_in(form) {
  const reading = {read: el(form + '-read').value.trim()};
  const under = el(form + '-under').value.trim();
  if (under) reading.under = under;
  return reading;
}

async function submit(event) {
  event.preventDefault();
  clear_errors(el('view-cut'));
  clear_trouble();
  const reading = reading_in('c');
  const options = {want: el('c-want').value.trim()};
  if (zone_wanted()) options.zone = zone_wanted();
  const button = event.submitter ?? el('cut').querySelector('button');
  try {
    await while_busy(button, 'reckoning \u2026', async () => {
      const result = await ask_cut({...options, ...reading});
      const fixed = {...options};
      if (result.zone_mm) fixed.zone = result.zone_mm.map((mm) => mm.toFixed(4) + 'mm').join('..');
      work = {options: fixed, result, path: await predicted_path(fixed, result), passes: [reading],
        told: [{remaining_cents: result.wanted_cents, verdict: 'cut', first_pass_um: result.first_pass_um, expected_cents: result.first_pass_cents, warnings: []}]};
      show_result();
      tell_breath(reading.under, plucked_reading(result.target_hz, result.wanted_cents));
      el('n-under').value = reading.under ?? '';
      if (result.refused) show_trouble(result.refused);
      else say(result.first_pass_um ? `first pass ${plain(result.first_pass_um, 1)} micrometres, ${plain(result.depth_um, 1)} in all` : 'nothing to do');
    });
  } catch (error) {
    el('cut-result').hidden = true;
    work = null;
    show_refusal(el('cut'), error)?.focus();
  }
}

async function next_pass(event) {
  event.preventDefault();
  clear_errors(el('next'));
  clear_trouble();
  const one = reading_in('n');
  if (el('n-took').value.trim()) one.took = el('n-took').value.trim();
  try {
    await while_busy(event.submitter ?? el('next').querySelector('button'), 'reckoning \u2026', async () => {
      const {want, zone} = work.options;
      const passes = [...work.passes, one];
      const answer = await ask('/api/cut', {subject: tongue_subject(), options: {want, zone}, passes});
      const took = one.took?.match(/^([\d.]+)\s*(um|\u00b5m|mm)$/);
      answer.taken_um = took ? Number(took[1]) * (took[2] === 'mm' ? 1000 : 1) : work.told.at(-1).first_pass_um ?? 0;
      work.passes = passes;
      work.told.push(answer);
      fill_figures(el('cut-figures'), [
        {what: answer.verdict === 'cut' ? 'next pass' : 'verdict', id: 'next-pass', first: true, value: answer.verdict === 'cut' ? plain(answer.first_pass_um, 1) + ' um' : answer.verdict,
          beside: answer.verdict === 'cut' ? `for ${signed(answer.expected_cents)} cents, of ${plain(answer.depth_um, 1)} um for all` : ''},
        {what: 'to go', value: signed(answer.remaining_cents) + ' cents'},
        {what: 'a cut shifts', value: `${plain(answer.gain, 2)} times`, beside: `\u00b1${plain(answer.gain_sigma, 2)}, of what the dimensions say`},
        {what: 'passes so far', value: String(answer.passes)},
      ]);
      list(el('cut-warnings'), answer.warnings ?? []);
      // Zones and reading were those before this pass.
      el('cut-choices').replaceChildren();
      el('c-read').value = one.read;
      el('c-under').value = one.under ?? '';
      tell_breath(one.under, plucked_reading(work.result.target_hz, answer.remaining_cents));
      show_passes();
      redraw_path();
      el('n-read').value = el('n-took').value = '';
      say(answer.verdict === 'cut' ? `next pass ${plain(answer.first_pass_um, 1)} micrometres` : answer.verdict);
    });
  } catch (error) {
    show_refusal(el('next'), error)?.focus();
  }
}

function show_new() {
  el('view-cut').classList.add('has');
  el('cut-result').hidden = true;
  work = null;
  const note = bench.tongue.text.match(/^note\s*:\s*([A-G][#b]?-?\d)/m);
  el('c-want').value = bench.tongue.want || (note ? note[1] : '');
  el('c-read').value = bench.tongue.read;
  el('c-under').value = '';
}

export function begin() {
  on('tongue', show_new);
  on('tongue text', () => {
    if (work) el('cut-result').hidden = true;
    work = null;
  });
  on('heard for cut', () => {
    el('c-read').value = bench.heard.pitch_hz.toFixed(2) + 'Hz';
    el('c-under').value = bench.heard.under;
  });
  redraw_side = drawn_in(el('cut-side'), draw_cut);
  redraw_path = drawn_in(el('cut-path'), draw_path);
  el('c-zone').addEventListener('change', () => { el('c-own').hidden = el('c-zone').value !== 'own'; });
  el('cut').addEventListener('submit', submit);
  el('next').addEventListener('submit', next_pass);
}
