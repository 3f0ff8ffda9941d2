// A reading and a target give the depth of the command line; the next reading gives the next pass of its log.
const path = require('node:path');
const {check, command, expect_text, go, open_tongue, walk} = require('./bench.cjs');

walk(async ({page, folder}) => {
  const file = path.join(folder, '01_three_tongues/brass_a4.yaml');
  await open_tongue(page);
  await go(page, 'cut');
  check((await page.inputValue('#c-want')) === 'A4', "the file's note is what is wanted");
  await page.fill('#c-read', '-12c');
  await page.click('#cut button.main');
  const whole = command('cut', file, '--read=-12c', '--want', 'A4').json;
  await expect_text(page, '#first-pass', whole.first_pass_um.toFixed(1) + ' um');
  await expect_text(page, '#whole-depth', whole.depth_um.toFixed(1) + ' um');
  check((await page.locator('#cut-path circle.ring').count()) === 1, 'the reading stands in the graph');

  check((await page.locator('#cut-choices tbody tr').count()) > 1, 'other zones that would do are told');
  await page.fill('#n-read', '-4.5c');
  await page.click('#next button.main');
  await page.waitForSelector('#next-pass');
  check((await page.locator('#cut-choices tbody tr').count()) === 0, 'but not after a pass, for they were before it');

  await page.fill('#c-read', '-12c');
  await page.selectOption('#c-zone', 'own');
  await page.fill('#c-range', '12mm..15mm');
  await page.click('#cut button.main');
  const log = path.join(folder, 'a4.log');
  const first = command('cut', file, '--read=-12c', '--want', 'A4', '--zone', '12mm..15mm', '--log', log).json;
  await expect_text(page, '#first-pass', first.first_pass_um.toFixed(1) + ' um');

  await page.fill('#n-read', '-4.5c');
  await page.click('#next button.main');
  const second = command('cut', file, '--read=-4.5c', '--want', 'A4', '--zone', '12mm..15mm', '--log', log).json;
  check(second.passes === 1, 'the command line has learnt from a pass');
  await expect_text(page, '#next-pass', second.first_pass_um.toFixed(1) + ' um');
  await page.fill('#n-read', '-0.5c');
  await page.fill('#n-took', '0.8um');
  await page.click('#next button.main');
  const third = command('cut', file, '--read=-0.5c', '--want', 'A4', '--zone', '12mm..15mm', '--log', log, '--took', '0.8um').json;
  check(third.verdict === 'done', 'which is near enough');
  await expect_text(page, '#next-pass', third.verdict);
  check((await page.inputValue('#c-read')) === '-0.5c', 'the reading is the last one');
  check((await page.textContent('#subject')) === '01_three_tongues/brass_a4.yaml', 'the tongue stands by itself');
  check((await page.locator('#cut-path circle.ring').count()) === 3, 'all readings stand in the graph');

  // Blown readings, each told with its pressure.
  await page.fill('#c-read', '-25c');
  await page.fill('#c-under', '500Pa');
  await page.click('#cut button.main');
  const blown_log = path.join(folder, 'blown.log');
  const pass = (read, ...more) => command('cut', file, '--read=' + read, '--want', 'A4', '--zone', '12mm..15mm', '--log', blown_log, ...more).json;
  await expect_text(page, '#first-pass', pass('-25c', '--under', '500Pa').first_pass_um.toFixed(1) + ' um');
  check((await page.inputValue('#n-under')) === '500Pa', 'the next is thought to be blown alike');
  await page.fill('#n-read', '-18c');
  await page.click('#next button.main');
  await expect_text(page, '#next-pass', pass('-18c', '--under', '500Pa').first_pass_um.toFixed(1) + ' um');
  await page.fill('#n-read', '-4c');
  await page.fill('#n-under', '');
  await page.click('#next button.main');
  const plucked = pass('-4c');
  await expect_text(page, '#next-pass', plucked.first_pass_um.toFixed(1) + ' um');
  check(plucked.verdict === 'cut', 'which is not yet near enough');
  check((await page.textContent('#cut-breath')) === '', 'a plucked one stands for itself');
  const readings = await page.locator('#cut-passes tbody tr td:first-child, #cut-passes tbody tr th:first-child').allTextContents();
  check(readings.includes('-18c, blown at 500Pa') && readings.includes('-4c'), 'the table tells how each was read: ' + readings);

  await go(page, 'wind');
  await page.click('#wind button.main');
  await page.fill('#w-pressure', '5cm');
  await page.click('#wind button.main');
  await expect_text(page, '#w-pressure + .error', /one of 5 cm with 490 Pa/);
  await page.fill('#w-pressure', '500Pa');
  await page.click('#wind button.main');
  const blown = command('blow', file, '--pressure', '500Pa').json;
  await expect_text(page, '#sounding', blown.sounding_hz.toFixed(2) + ' Hz');
  check((await page.locator('#wind-swing circle').count()) > 4, 'the swing is drawn along the pressure');
  await page.click('#wind-play');
  await page.waitForFunction(() => document.getElementById('wind-sound').duration > 1);
});
