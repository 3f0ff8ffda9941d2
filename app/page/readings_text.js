// The text of a readings file, line by line: what the table shows and changes. Judging it is the program's work.

const head = 'cell,row,reading,temperature,how';

export function parse_readings(text) {
  const lines = text.split(/\r?\n/);
  const top = lines.findIndex((line) => line.trim() && !line.trim().startsWith('#'));
  const columns = top < 0 ? head.split(',') : lines[top].split(',').map((one) => one.trim());
  const rows = [];
  for (let i = top + 1; top >= 0 && i < lines.length; ++i) {
    if (!lines[i].trim() || lines[i].trim().startsWith('#')) continue;
    const cells = lines[i].split(',').map((one) => one.trim());
    rows.push({line: i + 1, ...Object.fromEntries(columns.map((name, n) => [name, cells[n] ?? '']))});
  }
  return {lines, top, columns, rows};
}

function written(columns, value) {
  return columns.map((name) => (value[name] ?? '').replace(/[,\n"]/g, ' ')).join(',').replace(/,+$/, (commas) => columns.length > 3 ? '' : commas);
}

// The text with this reed's reading; an empty reading takes its line away.
export function with_reading(text, value) {
  const {lines, top, columns, rows} = parse_readings(text.trim() ? text : head + '\n');
  const wanted = new Set(columns);
  for (const name of ['temperature', 'how']) if (value[name] && !wanted.has(name)) columns.push(name);
  if (columns.length > wanted.size) lines[top] = columns.join(',');
  const old = rows.find((row) => row.cell === value.cell && row.row === value.row);
  if (old && !value.reading) lines.splice(old.line - 1, 1);
  else if (old) lines[old.line - 1] = written(columns, {...old, ...value});
  else if (value.reading) {
    while (lines.length && !lines.at(-1).trim()) lines.pop();
    lines.push(written(columns, value), '');
  }
  return lines.join('\n');
}
