// What lies on the bench: one tongue, one design with its readings, and what was heard last.

import {ask} from './server.js';

export const bench = {
  start: null,
  // {name, text, want, read, place}: want, read and place are those of the design open, for the cut; empty otherwise.
  tongue: null,
  // {name, subject, plan, csv, work}
  design: null,
  heard: null,
};

const hearers = new Map();

export function on(what, hearer) {
  hearers.set(what, [...(hearers.get(what) ?? []), hearer]);
}

export function tell(what) {
  for (const hearer of hearers.get(what) ?? []) hearer();
}

export function tongue_subject() {
  return {text: bench.tongue.text, name: bench.tongue.name};
}

export function put_tongue(name, text, want = '', read = '', place = '') {
  bench.tongue = {name, text, want, read, place};
  tell('tongue');
}

export async function put_design(name, text) {
  const subject = {text, name};
  const plan = await ask('/api/plan', {subject});
  bench.design = {name, subject, plan, csv: '', work: null};
  if (bench.tongue) bench.tongue.place = '';
  tell('design');
}

export async function open_reed(cell, row) {
  const reed = await ask('/api/reed', {subject: bench.design.subject, options: {cell: String(cell), row}});
  const planned = bench.design.plan.tongues.find((one) => one.cell === cell && one.row === row);
  const work = bench.design.work?.work.find((one) => one.cell === cell && one.row === row);
  put_tongue(reed.name, reed.text, planned.target_hz.toFixed(3) + 'Hz', work?.reading_on_bench_hz ? work.reading_on_bench_hz.toFixed(3) + 'Hz' : '', place_of(planned));
}

export function place_of(reed) {
  return reed.cell + ' ' + reed.row;
}

// What a reed reads against its target, + sharp; null without a reading.
export function cents_off(reed) {
  const work = bench.design?.work?.work.find((one) => one.cell === reed.cell && one.row === reed.row);
  return typeof work?.wanted_cents === 'number' ? -work.wanted_cents : null;
}
