// The page: which piece of work is shown, and what is on the bench.

import {bench, on} from './bench.js';
import {clear_trouble, show_refusal} from './faults.js';
import * as cut_view from './cut_view.js';
import * as listen_view from './listen_view.js';
import * as open_view from './open_view.js';
import * as plate_view from './plate_view.js';
import * as readings_view from './readings_view.js';
import * as tongue_view from './tongue_view.js';
import * as wind_view from './wind_view.js';

const views = ['open', 'plate', 'tongue', 'cut', 'wind', 'readings', 'listen'];

function show(moved) {
  if (location.hash === '#main') return;
  const name = views.includes(location.hash.slice(1)) ? location.hash.slice(1) : 'open';
  clear_trouble();
  for (const one of views) document.getElementById('view-' + one).hidden = one !== name;
  for (const link of document.querySelectorAll('nav a')) {
    if (link.hash === '#' + name) link.setAttribute('aria-current', 'page');
    else link.removeAttribute('aria-current');
  }
  const heading = document.querySelector(`#view-${name} h1`);
  document.title = heading.textContent + ' \u2013 reedwright';
  if (moved) {
    document.getElementById('main').focus({preventScroll: true});
    scrollTo(0, 0);
  }
}

function subject_line() {
  const instrument = bench.design && (bench.design.plan.name || bench.design.name);
  const reed = bench.tongue && (bench.tongue.place ? 'its reed ' + bench.tongue.place : (instrument ? 'apart from it ' : '') + bench.tongue.name);
  document.getElementById('subject').textContent = [instrument, reed].filter(Boolean).join('; ') || 'nothing opened yet';
}

on('tongue', subject_line);
on('design', subject_line);
for (const view of [plate_view, tongue_view, cut_view, wind_view, readings_view, listen_view]) view.begin();
addEventListener('hashchange', () => show(true));
document.querySelector('.skip').addEventListener('click', (event) => {
  event.preventDefault();
  document.getElementById('main').focus();
});
show(false);
open_view.begin().catch((error) => show_refusal(document.body, error));
