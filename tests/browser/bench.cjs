// The page under test: the program serving a copy of the example designs, and a browser that looks at it.
//
// `walk(work)` runs `work({page, address, command, ...})` and ends browser, server and copy whatever happens.
const {chromium} = require('playwright-core');
const {spawn, spawnSync} = require('node:child_process');
const fs = require('node:fs');
const os = require('node:os');
const path = require('node:path');

const [, , program, source, chromium_path, ...options] = process.argv;
const axe_source = fs.readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');
const quiet = ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'];
const desktop = {width: 1180, height: 820};
const phone = {width: 360, height: 740};
// A loaded machine may take a while for what takes milliseconds; nothing is judged by it.
const patience_ms = 90000;

// The document that the command line prints for the same words.
function command(...words) {
  const run = spawnSync(program, [...words, '--json'], {encoding: 'utf8', maxBuffer: 1 << 28});
  return {code: run.status, json: run.stdout.trim() ? JSON.parse(run.stdout) : null, err: run.stderr.trim()};
}

function serve(folder) {
  const server = spawn(program, ['page', folder], {stdio: ['ignore', 'pipe', 'inherit']});
  return new Promise((resolve, reject) => {
    let told = '';
    const late = setTimeout(() => reject(new Error('the page did not say its address')), patience_ms);
    server.on('exit', (code) => reject(new Error(`reedwright page ended with ${code}`)));
    server.stdout.on('data', (text) => {
      told += text;
      const address = told.match(/http:\/\/127\.0\.0\.1:\d+\//);
      if (!address) return;
      clearTimeout(late);
      resolve({server, address: address[0]});
    });
  });
}

function end(server) {
  return new Promise((resolve) => {
    server.removeAllListeners('exit');
    const force = setTimeout(() => server.kill('SIGKILL'), 10000);
    server.on('exit', (code, signal) => {
      clearTimeout(force);
      resolve({code, signal});
    });
    server.kill('SIGTERM');
  });
}

async function walk(work, {chromium_options = [], viewport = desktop, unmuted = false} = {}) {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'reedwright_page_'));
  let serving = null;
  let browser = null;
  try {
    fs.cpSync(path.join(source, 'designs'), folder, {recursive: true});
    serving = await serve(folder);
    browser = await chromium.launch({executablePath: chromium_path, args: [...quiet, ...chromium_options],
      // The driver mutes the browser, and with it the make-believe microphone.
      ignoreDefaultArgs: unmuted ? ['--mute-audio'] : []});
    const page = await open(browser, serving.address, viewport);
    await work({page, browser, folder, address: serving.address, open: (size) => open(browser, serving.address, size)});
    check(page.faults.length === 0, 'the page throws: ' + page.faults.join('; '));
    const ended = await end(serving.server);
    serving = null;
    check(ended.code === 0, `the server ends with code 0 when told to, not ${ended.code ?? ended.signal}`);
  } catch (error) {
    console.error(error.stack ?? error);
    process.exitCode = 1;
  } finally {
    if (browser) await browser.close();
    if (serving) await end(serving.server);
    fs.rmSync(folder, {recursive: true, force: true});
  }
}

async function open(browser, address, viewport) {
  const context = await browser.newContext({viewport, acceptDownloads: true, reducedMotion: 'reduce'});
  const page = await context.newPage();
  page.setDefaultTimeout(patience_ms);
  page.faults = [];
  page.on('pageerror', (error) => page.faults.push(error.message));
  await page.goto(address);
  await page.waitForSelector('#files button');
  return page;
}

async function go(page, view) {
  await page.click(`nav a[href="#${view}"]`);
  await page.waitForSelector(`#view-${view}:not([hidden])`);
}

async function open_file(page, file) {
  await go(page, 'open');
  await page.click(`#files [data-path="${file}"]`);
}

async function open_tongue(page) {
  await open_file(page, '01_three_tongues/brass_a4.yaml');
  await page.waitForSelector('#pitch-value');
}

async function open_instrument(page) {
  await open_file(page, '02_club_mouth_organ/instrument.yaml');
  await page.waitForSelector('#plates .reed');
}

// Waits until the text of a place is as wanted, and says what it is when it does not become so.
async function expect_text(page, selector, wanted) {
  const until = Date.now() + patience_ms;
  let text = null;
  while (Date.now() < until) {
    text = (await page.locator(selector).count()) ? (await page.locator(selector).first().textContent()).trim() : null;
    if (text !== null && (typeof wanted === 'string' ? text === wanted : wanted.test(text))) return text;
    await page.waitForTimeout(50);
  }
  throw new Error(`${selector} says '${text}', not '${wanted}'`);
}

function check(true_one, words) {
  if (!true_one) throw new Error(words);
}

// Findings of axe-core by WCAG 2.1 A and AA. Run beside the page's own policy, which forbids foreign scripts in it.
async function accessibility_faults(page) {
  const client = await page.context().newCDPSession(page);
  await client.send('Runtime.evaluate', {expression: axe_source});
  await client.detach();
  const result = await page.evaluate(() => globalThis.axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa']}));
  check(result.passes.length > 10, 'axe-core looked at the page');
  return result.violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.html.slice(0, 120)).join(' | ')}`);
}

module.exports = {accessibility_faults, check, command, desktop, expect_text, go, open_file, open_instrument, open_tongue, options, phone, source, walk};
