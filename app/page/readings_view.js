// Readings of a whole instrument, and the work that follows from them.

import {bench, on, place_of, tell} from './bench.js';
import {call, clear_errors, clear_trouble, fault_words, put_error, say, show_refusal} from './faults.js';
import {draw_plates, draw_scale} from './plate_view.js';
import {parse_readings, with_reading} from './readings_text.js';
import {ask, get, latest} from './server.js';
import {download, list, node, open_page, plain, signed, significant, stem, table, while_busy} from './words.js';

const el = (id) => document.getElementById(id);
const second = () => ({text: bench.design.csv, name: 'readings.csv'});

const reckon = latest(
  (question) => ask('/api/retune', {subject: question.design.subject, second: {text: question.csv, name: 'readings.csv'}, options: {}}),
  (result, error, question) => {
    if (bench.design !== question.design || bench.design.csv !== question.csv) return;
    clear_errors(el('view-readings'));
    if (error) {
      show_wrong(error);
    } else {
      clear_trouble();
      bench.design.work = result;
      el('readings-state').textContent = '';
      tell('work');
    }
  });

function show_wrong(error) {
  el('readings-state').textContent = bench.design.work ? 'The work and the colours are those of the last readings that could be used.' : '';
  if (!error.faults?.length) return show_refusal(el('view-readings'), error);
  const {rows} = parse_readings(bench.design.csv);
  const rest = [];
  for (const fault of error.faults) {
    const row = rows.find((one) => one.line === fault.line);
    const about = ['temperature', 'how'].find((name) => fault.key === name) ?? 'reading';
    const input = row && document.querySelector(`#r-table [data-place="${CSS.escape(row.cell + ' ' + row.row)}"][data-column="${about}"]`);
    if (input) put_error(input, fault_words(fault));
    else rest.push(fault);
  }
  el('r-typed').open = true;
  if (rest.length) show_refusal(el('view-readings'), {faults: rest});
  else call(error.faults.map(fault_words).join('. '));
}

function set_csv(csv, from_table) {
  bench.design.csv = csv;
  if (el('r-text').value !== csv) el('r-text').value = csv;
  if (!from_table) {
    fill_table();
    el('r-typed').open = !csv.trim();
  }
  if (!csv.trim() || parse_readings(csv).rows.length === 0) {
    bench.design.work = null;
    clear_errors(el('view-readings'));
    return tell('work');
  }
  el('readings-state').textContent = 'reckoning \u2026';
  reckon({design: bench.design, csv});
}

function fill_table() {
  const {rows} = parse_readings(bench.design.csv);
  const body = bench.design.plan.tongues.map((reed) => {
    const place = place_of(reed);
    const row = rows.find((one) => one.cell === String(reed.cell) && one.row === reed.row) ?? {};
    const value = {cell: String(reed.cell), row: reed.row, reading: row.reading ?? '', temperature: row.temperature ?? '', how: row.how ?? ''};
    const changed = (column, input) => {
      value[column] = input.value.trim();
      if (value.reading || column === 'reading') set_csv(with_reading(bench.design.csv, value), true);
    };
    const cell = (column, label, hint) => {
      const input = node('input', {value: value[column], 'aria-label': `${label} of ${place}, ${reed.note}`, placeholder: hint, 'data-place': place, 'data-column': column, autocomplete: 'off'});
      input.addEventListener('change', () => changed(column, input));
      return node('td', {}, input);
    };
    const how = node('select', {'aria-label': `how ${place} was read`, 'data-place': place, 'data-column': 'how'},
      ...['', 'plucked', 'blown'].map((one) => node('option', {value: one, text: one, selected: one === value.how})));
    how.addEventListener('change', () => changed('how', how));
    return node('tr', {}, node('td', {class: 'k', text: place}), node('td', {class: 'k', text: reed.note}), cell('reading', 'reading'), cell('temperature', 'temperature'), node('td', {}, how));
  });
  el('r-table').replaceChildren(node('thead', {}, node('tr', {}, ...['place', 'note', 'reading: -6.5c, 392.9Hz', 'temperature: 20 degC', 'how'].map((text) => node('th', {scope: 'col', text})))), node('tbody', {}, ...body));
}

function show_work() {
  const {work} = bench.design;
  draw_plates(el('readings-plates'));
  el('retune').hidden = el('readings-scale').hidden = !work;
  for (const id of ['r-sheet', 'r-sheet-file']) el(id).disabled = !work;
  el('r-csv').disabled = !bench.design.csv.trim();
  if (!work) return;
  draw_scale(el('readings-scale'));
  const kinds = {replace: 'to replace', cut: 'to cut', load: 'to load', leave: 'left alone'};
  const count = (kind) => work.work.filter((one) => one.do === kind).length;
  const counts = [...new Set(work.work.map((one) => one.do))].map((kind) => `${count(kind)} ${kinds[kind] ?? kind}`);
  el('retune-counts').textContent = `${work.work.length} reeds: ${counts.join(', ')}. A4 ${plain(work.a4_hz, 0)} Hz, set ${plain(work.allowance_cents, 0)} cents sharp.`;
  el('retune-table').replaceChildren(table(
    [{head: 'place', k: true}, {head: 'note'}, {head: 'target, Hz', n: true}, {head: 'read, Hz', n: true}, {head: 'to go', n: true}, {head: 'do', k: true}, {head: 'where, from the root', n: true}, {head: 'first', n: true}, {head: 'in all', n: true}],
    work.work.map((one) => ({cells: [one.cell + ' ' + one.row, one.note, plain(one.target_hz, 2), one.reading_on_bench_hz ? plain(one.reading_on_bench_hz, 2) : '',
      typeof one.wanted_cents === 'number' ? signed(one.wanted_cents) + ' c' : '', one.do, one.zone_mm ? `${plain(one.zone_mm[0], 1)} to ${plain(one.zone_mm[1], 1)} mm` : one.load_mg ? `at ${plain(one.load_at_mm, 1)} mm` : '',
      one.first_pass_um ? plain(one.first_pass_um, 1) + ' um' : '', one.depth_um ? plain(one.depth_um, 1) + ' um' : one.load_mg ? significant(one.load_mg, 2) + ' mg' : ''], remark: one.remarks.join('; ')}))));
  list(el('retune-notes'), [...work.notes, ...work.cautions]);
  say(el('retune-counts').textContent, 400);
}

function show_new() {
  el('view-readings').classList.add('has');
  el('r-text').value = bench.design.csv;
  const folder = (path) => path.replace(/[^/]*$/, '');
  const files = bench.start.files.filter((file) => file.kind === 'readings' && folder(file.path) === folder(bench.design.name));
  el('readings-files').replaceChildren(...files.slice(0, 6).map((file) => node('button', {type: 'button', text: 'Take ' + file.path, onclick: async () => {
    try {
      set_csv((await get('/api/file?path=' + encodeURIComponent(file.path))).text, false);
    } catch (error) {
      show_refusal(el('view-readings'), error);
    }
  }})));
  fill_table();
  show_work();
}

async function take_file(file) {
  if (file) set_csv(await file.text(), false);
}

export function begin() {
  on('design', show_new);
  on('work', show_work);
  on('heard for table', () => {
    const {place, pitch_hz, how} = bench.heard;
    const reed = bench.design.plan.tongues.find((one) => place_of(one) === place);
    set_csv(with_reading(bench.design.csv, {cell: String(reed.cell), row: reed.row, reading: pitch_hz.toFixed(2) + 'Hz', how}), false);
  });
  el('r-file').addEventListener('change', () => take_file(el('r-file').files[0]));
  const drop = el('drop');
  drop.addEventListener('dragover', (event) => { event.preventDefault(); drop.classList.add('over'); });
  drop.addEventListener('dragleave', () => drop.classList.remove('over'));
  drop.addEventListener('drop', (event) => {
    event.preventDefault();
    drop.classList.remove('over');
    take_file(event.dataTransfer.files[0]);
  });
  let typing = 0;
  el('r-text').addEventListener('input', () => {
    clearTimeout(typing);
    typing = setTimeout(() => set_csv(el('r-text').value, false), 300);
  });
  const press = (id, work) => el(id).addEventListener('click', async (event) => {
    clear_trouble();
    try {
      await while_busy(event.target, 'writing \u2026', work);
    } catch (error) {
      show_refusal(el('view-readings'), error);
    }
  });
  const sheet = () => ask('/api/sheet', {subject: bench.design.subject, second: second()}, 'text');
  press('r-sheet', async () => open_page(await sheet()));
  press('r-sheet-file', async () => download(stem(bench.design.name) + '_cut_sheet.html', new Blob([await sheet()], {type: 'text/html'})));
  press('r-csv', async () => download('readings.csv', new Blob([bench.design.csv], {type: 'text/csv'})));
}
