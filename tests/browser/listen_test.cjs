// A recording and the microphone are heard as the command line hears them, and the reading goes where it is needed.
const path = require('node:path');
const {spawnSync} = require('node:child_process');
const fs = require('node:fs');
const os = require('node:os');
const {check, command, expect_text, go, open_instrument, open_tongue, source, walk} = require('./bench.cjs');

const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'reedwright_sound_'));
const sound = path.join(folder, 'a4.wav');
const blown = spawnSync(process.argv[2], ['blow', path.join(source, 'designs/01_three_tongues/brass_a4.yaml'), '--pressure', '500Pa', '--wav', sound], {encoding: 'utf8'});
check(blown.status === 0, blown.stderr);

// What the browser's make-believe microphone plays over and over: 434.5 Hz with harmonics falling as 1/n, of which 4 s
// hold whole periods, so that no seam is heard. It reads 16 bits a sample.
const spoken_hz = 434.5;
const spoken = path.join(folder, 'microphone.wav');
const rate = 48000;
const count = 4 * rate;
const wave = Buffer.alloc(44 + 2 * count);
wave.write('RIFF', 0);
wave.writeUInt32LE(36 + 2 * count, 4);
wave.write('WAVEfmt ', 8);
[[16, 4], [1, 2], [1, 2], [rate, 4], [2 * rate, 4], [2, 2], [16, 2]].reduce((at, [value, size]) => wave.writeUIntLE(value, at, size), 16);
wave.write('data', 36);
wave.writeUInt32LE(2 * count, 40);
for (let n = 0; n < count; ++n) {
  let sample = 0;
  for (let k = 1; k <= 6; ++k) sample += Math.sin(2 * Math.PI * k * spoken_hz * n / rate) / k;
  wave.writeInt16LE(Math.round(8000 * sample), 44 + 2 * n);
}
fs.writeFileSync(spoken, wave);

walk(async ({page}) => {
  await open_tongue(page);
  await open_instrument(page);
  await go(page, 'listen');
  await page.setInputFiles('#l-file', sound);
  const heard = command('listen', sound).json;
  await expect_text(page, '#heard-pitch', heard.pitch_hz.toFixed(2) + ' Hz');

  await page.fill('#l-a4', '442 Hz');
  await page.selectOption('#l-seconds', '3');
  await page.click('#l-record');
  await page.waitForSelector('#l-record:enabled');
  check(await page.isHidden('#trouble'), 'the microphone is heard: ' + (await page.textContent('#trouble')));
  const hertz = Number((await page.textContent('#heard-pitch')).replace(' Hz', ''));
  // The browser resamples: within a cent.
  check(Math.abs(1200 * Math.log2(hertz / spoken_hz)) < 1, `the microphone is heard at ${hertz} Hz`);
  const [, cents] = (await page.textContent('#listen-figures .beside')).match(/A4 \u2212([\d.]+) cents/);
  check(Math.abs(Number(cents) - 1200 * Math.log2(442 / spoken_hz)) < 1, `${cents} cents below the A4 that was set`);

  await page.fill('#l-a4', '440 Hz');
  await page.setInputFiles('#l-file', []);
  await page.setInputFiles('#l-file', sound);
  await page.waitForSelector('#listen-result:not([hidden])');
  await expect_text(page, '#heard-pitch', heard.pitch_hz.toFixed(2) + ' Hz');
  check(await page.isDisabled('#l-to-cut') && await page.isDisabled('#l-to-table'), 'first it asks how the reed was sounded');
  await page.selectOption('#l-how', 'plucked');
  await page.click('#l-to-cut');
  await page.waitForSelector('#view-cut:not([hidden])');
  check((await page.inputValue('#c-read')) === heard.pitch_hz.toFixed(2) + 'Hz', 'a plucked reading goes into the cut as it is');
  await go(page, 'listen');
  await page.selectOption('#l-how', 'blown');
  await page.fill('#l-under', '400Pa');
  await page.click('#l-to-cut');
  await page.waitForSelector('#view-cut:not([hidden])');
  const breath = command('blow', path.join(source, 'designs/01_three_tongues/brass_a4.yaml'), '--pressure', '400Pa').json.sounding_offset_cents;
  check(breath < -5, `breath takes something: ${breath}`);
  check((await page.inputValue('#c-read')) === heard.pitch_hz.toFixed(2) + 'Hz', 'a blown one too');
  check((await page.inputValue('#c-under')) === '400Pa', 'with its pressure');
  await page.fill('#c-want', '442Hz');
  await page.click('#cut button.main');
  const plucked = (heard.pitch_hz * 2 ** (-breath / 1200)).toFixed(2);
  await expect_text(page, '#cut-breath', new RegExp(`${plucked} Hz plucked`));
  await go(page, 'listen');
  await page.selectOption('#l-reed', '6 draw');
  await page.click('#l-to-table');
  await page.waitForSelector('#view-readings:not([hidden])');
  await expect_text(page, '#r-text', /^/);
  check((await page.inputValue('#r-text')).includes(`6,draw,${heard.pitch_hz.toFixed(2)}Hz,,blown`), 'or into the readings, told as blown');
}, {chromium_options: ['--use-fake-ui-for-media-stream', '--use-fake-device-for-media-stream', `--use-file-for-fake-audio-capture=${spoken}`], unmuted: true})
  .finally(() => fs.rmSync(folder, {recursive: true, force: true}));
