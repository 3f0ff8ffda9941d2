// The thickness in the text of a tongue file: found, and written anew with everything else left as it stands.

function skip_brackets(text, at) {
  // From an opening bracket to behind its partner; quotes are stepped over.
  let depth = 0;
  for (let i = at; i < text.length; ++i) {
    const c = text[i];
    if (c === '"' || c === "'") {
      i = text.indexOf(c, i + 1);
      if (i < 0) return -1;
    } else if (c === '#' && /\s/.test(text[i - 1] ?? ' ')) {
      const end = text.indexOf('\n', i);
      if (end < 0) return -1;
      i = end;
    } else if (c === '[' || c === '{') {
      ++depth;
    } else if ((c === ']' || c === '}') && --depth === 0) {
      return i + 1;
    }
  }
  return -1;
}

function line_starts(text) {
  const starts = [0];
  for (let i = 0; i < text.length; ++i)
    if (text[i] === '\n') starts.push(i + 1);
  return starts;
}

const idle = (line) => /^\s*(#.*)?$/.test(line);
const indent_of = (line) => line.match(/^ */)[0].length;

// {from, to, indent} of "thickness: ..." in the tongue's section; indent is null inside braces. null: not understood.
export function find_thickness(text) {
  const starts = line_starts(text);
  const lines = text.split('\n');
  const top = lines.findIndex((line) => /^tongue\s*:/.test(line));
  if (top < 0) return null;
  const brace = lines[top].match(/^tongue\s*:\s*\{/);
  if (brace) {
    const open = starts[top] + brace[0].length - 1;
    const close = skip_brackets(text, open);
    for (let i = open + 1; i > 0 && i < close - 1; ++i) {
      const key = text.slice(i, close).match(/^thickness\s*:\s*/);
      if (key && /[\s,{]/.test(text[i - 1])) {
        let end = i + key[0].length;
        if (text[end] === '[') end = skip_brackets(text, end);
        else while (end < close - 1 && text[end] !== ',') ++end;
        return end < 0 ? null : {from: i, to: end, indent: null};
      }
      if (text[i] === '[' || text[i] === '{') i = skip_brackets(text, i) - 1;
    }
    return null;
  }
  let inner = null;
  for (let n = top + 1; n < lines.length; ++n) {
    if (idle(lines[n])) continue;
    if (indent_of(lines[n]) === 0) break;
    inner ??= indent_of(lines[n]);
    const key = lines[n].match(/^( +)thickness\s*:\s*/);
    if (!key || key[1].length !== inner) continue;
    const from = starts[n] + inner;
    const value = starts[n] + key[0].length;
    if (text[value] === '[' && value < starts[n] + lines[n].length) {
      const to = skip_brackets(text, value);
      return to < 0 ? null : {from, to, indent: inner};
    }
    const rest = lines[n].slice(key[0].length);
    if (!idle(rest)) return {from, to: value + rest.replace(/\s+#.*$/, '').length, indent: inner};
    let last = n;
    for (let m = n + 1; m < lines.length; ++m) {
      if (idle(lines[m])) continue;
      const deeper = indent_of(lines[m]) > inner || (indent_of(lines[m]) === inner && lines[m][inner] === '-');
      if (!deeper) break;
      last = m;
    }
    return {from, to: starts[last] + lines[last].length, indent: inner};
  }
  return null;
}

function quantity(value) {
  const text = String(value).trim();
  if (/^[-+]?(\d+\.?\d*|\.\d+)$/.test(text)) return text + ' mm';
  // Whatever else was typed is for the program to judge; quotes keep it from breaking the file around it.
  return /[[\]{},:#'"&*!|>%@`\n]/.test(text) || text === '' ? "'" + text.replace(/'/g, "''") + "'" : text;
}

// The text with these stations, [[at, thickness], ...] as numbers or as typed; null when its form is not understood.
export function with_stations(text, stations) {
  const place = find_thickness(text);
  if (!place) return null;
  const pairs = stations.map(([at, value]) => `[${quantity(at)}, ${quantity(value)}]`);
  const written = place.indent === null
    ? 'thickness: [' + pairs.join(', ') + ']'
    : 'thickness:' + pairs.map((pair) => '\n' + ' '.repeat(place.indent + 2) + '- ' + pair).join('');
  return text.slice(0, place.from) + written + text.slice(place.to);
}

// Which station an error at a line (from 1) is about; -1 for none.
export function station_at_line(text, line) {
  const place = find_thickness(text);
  if (!place || place.indent === null) return -1;
  const first = text.slice(0, place.from).split('\n').length;
  const rows = text.slice(place.from, place.to).split('\n');
  let station = -1;
  for (let i = 0; i < rows.length && i <= line - first; ++i)
    if (/^\s*-/.test(rows[i])) ++station;
  return line >= first && line < first + rows.length ? station : -1;
}
