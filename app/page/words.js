// Numbers in the words of the trade, and small pieces of the page.

export function signed(value, digits = 1) {
  const text = Math.abs(value).toFixed(digits);
  if (Number(text) === 0) return text;
  return (value < 0 ? '\u2212' : '+') + text;
}

export function plain(value, digits) {
  return value.toFixed(digits).replace('-', '\u2212');
}

export function significant(value, digits) {
  if (value === 0 || !Number.isFinite(value)) return String(value);
  const whole = Math.max(0, digits - 1 - Math.floor(Math.log10(Math.abs(value))));
  return plain(Number(value.toPrecision(digits)), whole);
}

export function note_text(note, cents, digits = 1) {
  return note === null || note === undefined ? '' : `${note} ${signed(cents, digits)} cents`;
}

export function node(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (name === 'text') made.textContent = value;
    else if (name.startsWith('on')) made.addEventListener(name.slice(2), value);
    else made.setAttribute(name, value === true ? '' : value);
  }
  made.append(...children);
  return made;
}

// [{what, value, beside, first}] as a strip of figures.
export function fill_figures(place, figures) {
  place.replaceChildren(...figures.filter(Boolean).map((figure) => node('div', {class: figure.first ? 'first' : null},
    node('span', {class: 'what', text: figure.what}), ' ',
    node('span', {class: 'value', id: figure.id, text: figure.value}), ' ',
    ...(figure.beside ? [node('span', {class: 'beside', text: figure.beside})] : []))));
}

// Columns {head, n}, rows of texts; a row may carry `remark`.
export function table(columns, rows) {
  const body = node('tbody');
  for (const row of rows) {
    body.append(node('tr', {class: row.remark ? 'told' : null}, ...row.cells.map((cell, i) => {
      const td = node('td', {class: columns[i].n ? 'n' : columns[i].k ? 'k' : null});
      td.append(cell ?? '');
      return td;
    })));
    if (row.remark) body.append(node('tr', {}, node('td', {class: 'remark', colspan: columns.length, text: row.remark})));
  }
  return node('table', {}, node('thead', {}, node('tr', {}, ...columns.map((column) =>
    node('th', {scope: 'col', class: column.n ? 'n' : null, text: column.head})))), body);
}

export function list(place, lines) {
  place.replaceChildren(...lines.map((line) => node('li', {text: line})));
}

export function download(name, blob) {
  const address = URL.createObjectURL(blob);
  const link = node('a', {href: address, download: name});
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
}

export function open_page(html) {
  window.open(URL.createObjectURL(new Blob([html], {type: 'text/html'})), '_blank');
}

// A button's work, told while it lasts and not begun twice.
export async function while_busy(button, words, work) {
  const before = button.textContent;
  button.disabled = true;
  button.textContent = words;
  try {
    return await work();
  } finally {
    button.disabled = false;
    button.textContent = before;
  }
}

export function stem(name) {
  return name.replace(/^.*\//, '').replace(/\.ya?ml$/, '');
}
