// Questions to the program on this machine, and what it refuses.

export class Refusal extends Error {
  constructor(status, error, result) {
    super(error.message);
    this.status = status;
    this.exit = error.exit;
    this.faults = error.faults ?? [];
    this.result = result ?? error.result ?? null;
  }
}

async function answer_to(path, request, as) {
  let response;
  try {
    response = await fetch(path, request);
  } catch (error) {
    if (error.name === 'AbortError') throw error;
    throw new Refusal(0, {exit: 3, message: 'the program does not answer; is "reedwright page" still running?'});
  }
  if (response.ok) return as === 'json' ? response.json() : as === 'text' ? response.text() : response.blob();
  let told = null;
  try {
    told = await response.json();
  } catch {
    // Not ours: told by its number alone.
  }
  throw new Refusal(response.status, told?.error ?? {exit: 3, message: `the program answered ${response.status}`}, told?.result);
}

export function get(path) {
  return answer_to(path, {headers: {Accept: 'application/json'}}, 'json');
}

export function ask(path, body, as = 'json') {
  return answer_to(path, {method: 'POST', headers: {'Content-Type': 'application/json'}, body: JSON.stringify(body)}, as);
}

export function send_sound(query, body, type) {
  return answer_to('/api/listen' + query, {method: 'POST', headers: {'Content-Type': type}, body}, 'json');
}

// Of many questions in a row only the newest is asked as soon as the one under way is answered.
// `done(answer, error, question, newest)` hears of every answer; newest is false when another question waits already.
export function latest(question_of, done) {
  let busy = false;
  let waiting = null;
  const run = async (question) => {
    busy = true;
    let answer = null;
    let error = null;
    try {
      answer = await question_of(question);
    } catch (thrown) {
      error = thrown;
    }
    busy = false;
    const next = waiting;
    waiting = null;
    if (next) run(next);
    done(answer, error, question, next === null);
  };
  return (question) => {
    if (busy) waiting = question;
    else run(question);
  };
}
