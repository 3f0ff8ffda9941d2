// One reed heard through the microphone or in a recording.

import {bench, on, place_of, tell} from './bench.js';
import {clear_errors, clear_trouble, say, show_refusal} from './faults.js';
import {send_sound} from './server.js';
import {fill_figures, list, node, note_text, plain, signed, significant, table} from './words.js';

const el = (id) => document.getElementById(id);

// Records the given seconds; `level` hears the loudest of each block, 0 to 1.
async function record(seconds, level) {
  if (!navigator.mediaDevices?.getUserMedia) throw new Error('This browser gives no microphone to the page. Record with something else and choose the file.');
  // A browser's help for speech would bend the sound.
  const stream = await navigator.mediaDevices.getUserMedia({audio: {echoCancellation: false, noiseSuppression: false, autoGainControl: false, channelCount: 1}});
  const context = new AudioContext();
  try {
    await context.audioWorklet.addModule('recorder_worklet.js');
    await context.resume();
    const recorder = new AudioWorkletNode(context, 'recorder', {numberOfInputs: 1, numberOfOutputs: 0});
    const blocks = [];
    let count = 0;
    const wanted = seconds * context.sampleRate;
    await new Promise((resolve, reject) => {
      const too_long = setTimeout(() => reject(new Error('The microphone gives no sound.')), seconds * 1000 + 8000);
      recorder.port.onmessage = ({data}) => {
        blocks.push(data);
        count += data.length;
        let loudest = 0;
        for (const sample of data) loudest = Math.max(loudest, Math.abs(sample));
        level(loudest, (wanted - count) / context.sampleRate);
        if (count >= wanted) {
          clearTimeout(too_long);
          resolve();
        }
      };
      context.createMediaStreamSource(stream).connect(recorder);
    });
    const samples = new Float32Array(count);
    let at = 0;
    for (const block of blocks) {
      samples.set(block, at);
      at += block.length;
    }
    return {samples, rate: context.sampleRate};
  } finally {
    for (const track of stream.getTracks()) track.stop();
    await context.close();
  }
}

function show(heard) {
  bench.heard = heard;
  el('listen-result').hidden = false;
  fill_figures(el('listen-figures'), [
    {what: 'heard', id: 'heard-pitch', first: true, value: plain(heard.pitch_hz, 2) + ' Hz', beside: note_text(heard.note, heard.note_cents, 2)},
    {what: 'uncertain by', value: '\u00b1' + (heard.uncertainty_cents < 0.01 ? '0.01' : significant(heard.uncertainty_cents, 2)) + ' cents', beside: "95 %, without the recorder's clock"},
    {what: 'noise below the tone', value: plain(heard.above_noise_db, 0) + ' dB'},
    {what: 'of the recording', value: `${plain(heard.from_s, 2)} to ${plain(heard.to_s, 2)} s`, beside: plain(heard.sample_rate_hz, 0) + ' samples per second'},
  ]);
  list(el('listen-warnings'), heard.warnings);
  el('listen-table').replaceChildren(table([{head: 'harmonic', n: true}, {head: 'level', n: true}, {head: 'off its place', n: true}],
    heard.harmonics.map((one) => ({cells: [String(one.number), plain(one.level_db, 1) + ' dB', `${signed(one.off_cents, 2)} \u00b1${plain(one.off_uncertainty_cents, 2)} c`]}))));
  say(`heard ${plain(heard.pitch_hz, 2)} hertz, ${note_text(heard.note, heard.note_cents)}`);
}

function query(first) {
  const a4 = el('l-a4').value.trim();
  const all = [...first, ...(a4 ? ['a4=' + encodeURIComponent(a4)] : [])];
  return all.length ? '?' + all.join('&') : '';
}

async function run(form, work) {
  clear_errors(el('view-listen'));
  clear_trouble();
  el('listen-state').textContent = 'listening \u2026';
  try {
    show(await work());
    el('listen-state').textContent = '';
  } catch (error) {
    el('listen-result').hidden = true;
    el('listen-state').textContent = '';
    const denied = error.name === 'NotAllowedError' ? {message: 'The microphone was not allowed. Allow it in the browser, or choose a recording.'} :
      error.name === 'NotFoundError' ? {message: 'There is no microphone. Choose a recording instead.'} : error;
    show_refusal(el('view-listen'), denied);
  }
}

function reeds() {
  const has = bench.design !== null;
  el('l-reed-part').hidden = !has;
  if (has) el('l-reed').replaceChildren(...bench.design.plan.tongues.map((reed) => node('option', {value: place_of(reed), text: `${place_of(reed)}, ${reed.note}`})));
}

function choices() {
  el('l-under-part').hidden = el('l-how').value !== 'blown';
  el('l-to-cut').disabled = !bench.tongue || !el('l-how').value;
  el('l-to-table').disabled = !el('l-how').value;
}

// A blown reading goes with its pressure, for breath flattens or sharpens a reed.
function use_for_cut() {
  clear_errors(el('listen-result'));
  clear_trouble();
  if (el('l-how').value === 'blown' && !el('l-under').value.trim()) {
    show_refusal(el('listen-result'), {faults: [{option: '--pressure', message: 'say at what pressure it was blown, such as 500Pa, or choose plucked'}]})?.focus();
    return;
  }
  bench.heard.under = el('l-how').value === 'blown' ? el('l-under').value.trim() : '';
  tell('heard for cut');
  location.hash = '#cut';
}

export function begin() {
  on('design', reeds);
  reeds();
  on('tongue', choices);
  el('l-how').addEventListener('change', choices);
  choices();
  el('record').addEventListener('submit', (event) => {
    event.preventDefault();
    const button = el('l-record');
    button.disabled = true;
    run(el('record'), async () => {
      el('l-level').hidden = false;
      const {samples, rate} = await record(Number(el('l-seconds').value), (loudest, left) => {
        el('l-level').firstElementChild.style.width = Math.round(100 * Math.min(1, loudest)) + '%';
        el('l-level-told').textContent = left > 0 ? `${plain(left, 1)} s to go` : '';
      });
      return send_sound(query(['rate=' + rate]), samples.buffer, 'application/octet-stream');
    }).finally(() => {
      button.disabled = false;
      el('l-level').hidden = true;
      el('l-level-told').textContent = '';
    });
  });
  el('upload').addEventListener('submit', (event) => event.preventDefault());
  el('l-file').addEventListener('change', () => {
    const file = el('l-file').files[0];
    if (file) run(el('upload'), () => send_sound(query([]), file, file.type.startsWith('audio/') ? file.type : 'audio/wav'));
  });
  el('l-to-cut').addEventListener('click', use_for_cut);
  el('l-to-table').addEventListener('click', () => {
    bench.heard.place = el('l-reed').value;
    bench.heard.how = el('l-how').value;
    tell('heard for table');
    location.hash = '#readings';
  });
}
