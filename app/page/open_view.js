// What is on the bench: a file of the folder, or dimensions.

import {bench, put_design, put_tongue, tell} from './bench.js';
import {clear_errors, clear_trouble, show_refusal} from './faults.js';
import {ask, get} from './server.js';
import {node, stem, while_busy} from './words.js';

const kinds = {tongue: 'a tongue', design: 'an instrument', readings: 'readings', other: ''};

async function open_file(file, button) {
  clear_trouble();
  try {
    await while_busy(button, 'opening \u2026', async () => {
      const {text} = await get('/api/file?path=' + encodeURIComponent(file.path));
      if (file.kind === 'tongue') {
        put_tongue(file.path, text);
        location.hash = '#tongue';
      } else if (file.kind === 'design') {
        await put_design(file.path, text);
        location.hash = '#plate';
      } else {
        bench.design.csv = text;
        tell('readings');
        location.hash = '#readings';
      }
    });
  } catch (error) {
    show_refusal(document.getElementById('files'), error);
  }
  show_files();
}

function show_files() {
  const shown = bench.start.files.filter((file) => file.kind === 'tongue' || file.kind === 'design');
  document.getElementById('folder').textContent = bench.start.folder;
  document.getElementById('files').replaceChildren(...shown.map((file) => {
    const button = node('button', {type: 'button', 'data-path': file.path},
      node('span', {text: file.name || [file.note, stem(file.path).replace(/_/g, ' ')].filter(Boolean).join(', ')}), node('em', {text: kinds[file.kind]}), node('small', {text: file.path}));
    button.addEventListener('click', () => open_file(file, button));
    return node('li', {}, button);
  }));
  if (!shown.length) document.getElementById('files').append(node('li', {class: 'empty', text: 'No tongue file and no design here. Start from dimensions, or start the page in another folder.'}));
}

function with_unit(text) {
  const trimmed = text.trim();
  // What was typed is for the program to judge; quotes keep it from breaking the file around it.
  return /^[\w .+-]+$/.test(trimmed) ? trimmed : "'" + trimmed.replace(/'/g, "''") + "'";
}

function file_text(value) {
  const thickness = value.tip ? `\n    - [0 mm, ${with_unit(value.thickness)}]\n    - [${with_unit(value.length)}, ${with_unit(value.tip)}]` : ' ' + with_unit(value.thickness);
  return (value.note ? `note: ${with_unit(value.note)}\n` : '') +
    `tongue:\n  material: ${value.material}\n  length: ${with_unit(value.length)}\n  width: ${with_unit(value.width)}\n  thickness:${thickness}\n`;
}

async function from_dimensions(event) {
  event.preventDefault();
  const form = event.target;
  clear_errors(form);
  clear_trouble();
  const value = {};
  for (const name of ['material', 'length', 'width', 'thickness', 'tip', 'note']) value[name] = document.getElementById('d-' + name).value;
  const text = file_text(value);
  // The tip's thickness stands on the last line of the text.
  const tip_line = value.tip ? text.trimEnd().split('\n').length : -1;
  try {
    await ask('/api/tongue', {subject: {text, name: 'tongue.yaml'}, options: {}});
    put_tongue('tongue.yaml', text);
    location.hash = '#tongue';
  } catch (error) {
    show_refusal(form, error, (fault) => fault.line === tip_line ? document.getElementById('d-tip') : null)?.focus();
  }
}

export async function begin() {
  document.getElementById('dimensions').addEventListener('submit', from_dimensions);
  bench.start = await get('/api/start');
  document.getElementById('version').textContent = `reedwright ${bench.start.version}, on this machine only`;
  document.getElementById('d-material').replaceChildren(...bench.start.materials.map((name) => node('option', {text: name, value: name, selected: name === 'cuzn37-r630'})));
  show_files();
  tell('start');
}
