// The reed in the wind: when it speaks, how it sounds, and the sound itself.

import {on, tongue_subject} from './bench.js';
import {clear_errors, clear_trouble, say, show_refusal} from './faults.js';
import {drawn_in, graph} from './draw.js';
import {ask} from './server.js';
import {fill_figures, plain, signed, significant, table, while_busy} from './words.js';

const el = (id) => document.getElementById(id);
let blown = null;
let redraws = [];

function options() {
  const chamber = el('w-chamber').value.trim();
  return chamber ? {chamber} : {};
}

function pascal(value) {
  return value === null || value === undefined ? 'not found' : significant(value, 3) + ' Pa';
}

function show() {
  el('wind-result').hidden = false;
  fill_figures(el('wind-figures'), [
    {what: `sounds at ${pascal(blown.pressure_pa)}`, id: 'sounding', first: true, value: blown.sounding_hz === null || blown.sounding_hz === undefined ? blown.outcome : plain(blown.sounding_hz, 2) + ' Hz',
      beside: blown.sounding_offset_cents === null || blown.sounding_offset_cents === undefined ? '' : signed(blown.sounding_offset_cents) + ' cents from plucked'},
    {what: 'speaks from', value: pascal(blown.threshold_pa)},
    {what: 'chokes from rest above', value: pascal(blown.chokes_at_pa), beside: blown.kept_to_pa ? `swinging, it goes on to ${pascal(blown.kept_to_pa)}` : ''},
    blown.swing_mm !== null && blown.swing_mm !== undefined && {what: 'swing at the tip', value: '\u00b1' + plain(blown.swing_mm, 2) + ' mm', beside: `\u00b1${plain(blown.swing_with_drag_mm, 2)} mm with the strip's drag`},
    blown.mean_flow_ml_s !== null && blown.mean_flow_ml_s !== undefined && {what: 'air', value: significant(blown.mean_flow_ml_s, 3) + ' mL/s'},
  ]);
  el('wind-told').textContent = blown.caution_on_swing ?? '';
  const along = blown.sweep.filter((one) => one.swing_mm !== null && one.swing_mm !== undefined);
  el('wind-table').replaceChildren(table([{head: 'pressure', n: true}, {head: 'sounds', n: true}, {head: 'from plucked', n: true}, {head: 'swing', n: true}, {head: 'air', n: true}, {head: ''}],
    blown.sweep.map((one) => ({cells: [pascal(one.pressure_pa), ...(one.sounding_hz === null || one.sounding_hz === undefined ? [one.outcome, '', '', '', ''] :
      [plain(one.sounding_hz, 2) + ' Hz', signed(one.sounding_offset_cents, 2) + ' c', plain(one.swing_mm, 2) + ' mm', significant(one.mean_flow_ml_s, 3) + ' mL/s', one.from_rest ? '' : 'if swinging already'])]}))));
  el('wind-swing').parentElement.parentElement.hidden = along.length < 2;
  for (const redraw of redraws) redraw();
}

function draw(value_of, title, y_told) {
  return (width) => {
    const along = blown?.sweep.filter((one) => one.swing_mm !== null && one.swing_mm !== undefined) ?? [];
    if (along.length < 2) return;
    const place = value_of === swing ? el('wind-swing') : el('wind-pitch');
    place.replaceChildren(graph({width, title, x_told: 'Pa', y_told, x_from: 0, line: along.map((one) => [one.pressure_pa, value_of(one)]),
      dots: along.map((one) => ({x: one.pressure_pa, y: value_of(one), kind: one.from_rest ? 'dot' : 'dot hollow'}))}));
  };
}
const swing = (one) => one.swing_mm;
const fall = (one) => one.sounding_offset_cents;

async function run(button, words, work) {
  clear_errors(el('wind'));
  clear_trouble();
  el('wind-state').textContent = '';
  try {
    await while_busy(button, words, work);
  } catch (error) {
    show_refusal(el('wind'), error)?.focus();
  }
}

export function begin() {
  redraws = [drawn_in(el('wind-swing'), draw(swing, 'swing at the tip against the pressure', 'mm, half of peak to peak')),
    drawn_in(el('wind-pitch'), draw(fall, 'pitch against plucked, along the pressure', 'cents from plucked'))];
  on('tongue', () => {
    el('view-wind').classList.add('has');
    el('wind-result').hidden = el('wind-sound').hidden = true;
    blown = null;
  });
  on('tongue text', () => {
    if (!blown) return;
    el('wind-state').textContent = 'The tongue was changed since: blow it again.';
    el('wind-figures').classList.add('stale');
  });
  el('wind').addEventListener('submit', (event) => {
    event.preventDefault();
    run(el('wind').querySelector('button.main'), 'blowing \u2026', async () => {
      // Along the pressure for the graphs, at the pressure asked for the figures.
      const pressure = el('w-pressure').value.trim();
      const at = await ask('/api/blow', {subject: tongue_subject(), options: {...options(), pressure}});
      const along = await ask('/api/blow', {subject: tongue_subject(), options: options()});
      blown = {...at, sweep: along.sweep};
      el('wind-figures').classList.remove('stale');
      show();
      say(blown.sounding_hz ? `sounds at ${plain(blown.sounding_hz, 2)} hertz` : blown.outcome);
    });
  });
  el('wind-play').addEventListener('click', () => run(el('wind-play'), 'blowing \u2026', async () => {
    const sound = await ask('/api/sound', {subject: tongue_subject(), options: {...options(), pressure: el('w-pressure').value.trim()}}, 'blob');
    const audio = el('wind-sound');
    URL.revokeObjectURL(audio.src);
    audio.src = URL.createObjectURL(sound);
    audio.hidden = false;
    await audio.play().catch(() => { el('wind-state').textContent = 'The sound is made; press play.'; });
  }));
}
