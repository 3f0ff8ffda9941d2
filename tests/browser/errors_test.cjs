// What is refused stands beside its field, in the words of the command line, and goes when it is mended.
const fs = require('node:fs');
const path = require('node:path');
const {check, command, expect_text, go, open_instrument, open_tongue, walk} = require('./bench.cjs');

// The error of a field, and that the field names it for those who hear the page.
async function error_at(page, field) {
  await page.waitForSelector(`${field}[aria-invalid="true"]`);
  const id = await page.getAttribute(field, 'aria-describedby');
  return (await page.textContent('#' + id)).trim();
}

walk(async ({page, folder}) => {
  await open_tongue(page);
  const field = '#stations tbody tr:nth-child(2) td:nth-child(2) input';
  const before = await page.textContent('#pitch-value');
  await page.fill(field, '12');
  const thick = await error_at(page, field);
  const file = path.join(folder, 'thick.yaml');
  fs.writeFileSync(file, await page.inputValue('#tongue-yaml'));
  const refused = command('pitch', file);
  check(refused.code === 1, 'the command line refuses it too');
  for (const words of thick.split('; ')) check(refused.err.includes(words), `'${words}' is not what the command line says: ${refused.err}`);
  check(/12 mm is outside 0.01 mm to 1.5 mm/.test(thick) && /did you mean 0.12 mm/.test(thick), thick);
  check(/is outside/.test(await page.textContent('#called')), 'it is read out');
  check(await page.isVisible('#tongue-figures.stale'), 'old figures are marked as old');
  check((await page.textContent('#pitch-value')) === before, 'and stand');
  await page.fill(field, '0.12');
  await page.waitForSelector('#tongue-figures:not(.stale)');
  check((await page.locator('#stations .error').count()) === 0, 'mended, the error is gone');

  // In the text itself, with its line.
  await page.fill('#tongue-yaml', (await page.inputValue('#tongue-yaml')).replace('length: 15 mm', 'length: 15'));
  check(/line \d+: .*'15' has no unit, and a length needs one/.test(await error_at(page, '#tongue-yaml')), 'the text has its error');
  await page.click('#tongue-undo');
  await page.waitForSelector('#tongue-yaml:not([aria-invalid])');

  await go(page, 'cut');
  await page.fill('#c-read', '-12');
  await page.click('#cut button.main');
  const bare = await error_at(page, '#c-read');
  const said = command('cut', path.join(folder, '01_three_tongues/brass_a4.yaml'), '--read=-12', '--want', 'A4').err;
  for (const words of bare.split('; ')) check(said.includes(words), `'${words}' is not what the command line says: ${said}`);
  // Beyond reach: above the form, with the best that can be done.
  await page.fill('#c-read', '-300c');
  await page.selectOption('#c-zone', 'tip');
  await page.click('#cut button.main');
  await expect_text(page, '#trouble', /no safe depth/);
  await expect_text(page, '#whole-depth', /um$/);

  await go(page, 'open');
  await page.fill('#d-length', '15');
  await page.fill('#d-thickness', '12 mm');
  await page.click('#dimensions button.main');
  check(/has no unit/.test(await error_at(page, '#d-length')), 'length without unit');
  check(/is outside/.test(await error_at(page, '#d-thickness')), 'thickness out of range, at the same time');
  check(await page.evaluate(() => document.activeElement.id === 'd-length'), 'the first of them has the focus');

  await open_instrument(page);
  await go(page, 'readings');
  const reading = '#r-table [data-place="2 blow"][data-column="reading"]';
  await page.fill(reading, '+9');
  await page.press(reading, 'Tab');
  check((await error_at(page, reading)).length > 10, 'a reading without unit is refused beside its field');

  await go(page, 'listen');
  await page.setInputFiles('#l-file', {name: 'quiet.wav', mimeType: 'audio/wav', buffer: silence()});
  await expect_text(page, '#trouble', /\w+ \w+ \w+/);
  const quiet = path.join(folder, 'quiet.wav');
  fs.writeFileSync(quiet, silence());
  const words = command('listen', quiet).err.replace(/^.*quiet\.wav: /, '');
  check((await page.textContent('#trouble')).includes(words), `a silent recording is refused in the words '${words}'`);
});

// Two seconds of nothing, 16 bit, 48 kHz.
function silence() {
  const samples = 96000;
  const wave = Buffer.alloc(44 + 2 * samples);
  wave.write('RIFF', 0);
  wave.writeUInt32LE(36 + 2 * samples, 4);
  wave.write('WAVEfmt ', 8);
  wave.writeUInt32LE(16, 16);
  wave.writeUInt16LE(1, 20);
  wave.writeUInt16LE(1, 22);
  wave.writeUInt32LE(48000, 24);
  wave.writeUInt32LE(96000, 28);
  wave.writeUInt16LE(2, 32);
  wave.writeUInt16LE(16, 34);
  wave.write('data', 36);
  wave.writeUInt32LE(2 * samples, 40);
  return wave;
}
