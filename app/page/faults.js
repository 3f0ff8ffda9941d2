// Where an error stands: beside the field that it is about, in the words of the command line.

let count = 0;

export function fault_words(fault) {
  return fault.message + (fault.hint ? '; ' + fault.hint : '');
}

export function put_error(input, words) {
  const old = input.getAttribute('data-error');
  const place = old ? document.getElementById(old) : document.createElement('p');
  if (!old) {
    place.className = 'error';
    place.id = 'error-' + ++count;
    input.insertAdjacentElement('afterend', place);
    input.setAttribute('data-error', place.id);
  }
  place.textContent = place.textContent ? place.textContent + '\n' + words : words;
  input.setAttribute('aria-invalid', 'true');
  input.setAttribute('aria-describedby', place.id);
}

export function clear_errors(root) {
  for (const input of root.querySelectorAll('[data-error]')) {
    document.getElementById(input.getAttribute('data-error'))?.remove();
    for (const name of ['data-error', 'aria-invalid', 'aria-describedby']) input.removeAttribute(name);
  }
}

export function clear_trouble() {
  const trouble = document.getElementById('trouble');
  trouble.hidden = true;
  trouble.textContent = '';
}

export function show_trouble(words) {
  const trouble = document.getElementById('trouble');
  trouble.textContent = words;
  trouble.hidden = false;
  call(words);
}

function field_for(root, fault) {
  const fields = [...root.querySelectorAll('[data-key]')].filter((field) => field.offsetParent !== null);
  const named = (name) => fields.find((field) => field.dataset.key.split(' ').includes(name));
  return (fault.option && named(fault.option)) || (fault.key && named(fault.key)) ||
         (fault.place && named(fault.place)) || null;
}

// Shows what was refused beside the fields of `root`; `locate` may know better. What has no field stands above.
export function show_refusal(root, error, locate = () => null) {
  const rest = [];
  let first = null;
  for (const fault of error.faults ?? []) {
    const field = locate(fault) ?? field_for(root, fault);
    if (field) {
      put_error(field, fault_words(fault));
      first ??= field;
    } else {
      rest.push((fault.place ? fault.place + ': ' : '') + fault_words(fault));
    }
  }
  if (!error.faults?.length) rest.push(error.message);
  if (rest.length) show_trouble(rest.join('\n'));
  else clear_trouble();
  if (first) call(error.faults.map(fault_words).join('. '));
  return first;
}

// Read out at once, and read out when there is time.
export function call(words) {
  document.getElementById('called').textContent = words;
}

let later = 0;
export function say(words, wait_ms = 0) {
  clearTimeout(later);
  later = setTimeout(() => { document.getElementById('said').textContent = words; }, wait_ms);
}
