// A thickness that is typed, stepped by key or dragged gives the pitch that the command line gives for the same file.
const fs = require('node:fs');
const path = require('node:path');
const {check, command, expect_text, open_tongue, walk} = require('./bench.cjs');

const input = (row) => `#stations tbody tr:nth-child(${row}) td:nth-child(2) input`;

walk(async ({page, folder}) => {
  await open_tongue(page);
  const file = path.join(folder, 'by_command.yaml');
  const hertz = () => {
    const run = command('pitch', file);
    check(run.code === 0, run.err);
    return run.json.pitch_hz.toFixed(2) + ' Hz';
  };
  const as_in_the_page = async () => fs.writeFileSync(file, await page.inputValue('#tongue-yaml'));

  await as_in_the_page();
  const before = hertz();
  await expect_text(page, '#pitch-value', before);

  await page.fill(input(2), '0.125');
  await as_in_the_page();
  check(fs.readFileSync(file, 'utf8').includes('- [6 mm, 0.125 mm]'), 'the file holds what was typed');
  check(fs.readFileSync(file, 'utf8').includes('# Invented for the demo'), 'the rest of the file stands');
  const typed = hertz();
  check(typed !== before, 'the pitch moves with the thickness');
  await expect_text(page, '#pitch-value', typed);

  // One micrometre for an arrow, ten with Shift.
  await page.focus('.grip[data-point="1"]');
  await page.keyboard.press('ArrowUp');
  await page.keyboard.press('Shift+ArrowUp');
  check((await page.inputValue(input(2))) === '0.136', 'arrow keys move the thickness by 1 um and 10 um');
  check((await page.getAttribute('.grip[data-point="1"]', 'aria-valuenow')) === '136', 'the point tells its thickness');
  await as_in_the_page();
  await expect_text(page, '#pitch-value', hertz());

  const knob = await page.locator('.grip[data-point="2"] .knob').boundingBox();
  await page.mouse.move(knob.x + knob.width / 2, knob.y + knob.height / 2);
  await page.mouse.down();
  for (let n = 1; n <= 20; ++n) await page.mouse.move(knob.x + knob.width / 2, knob.y + knob.height / 2 + 1.5 * n);
  await page.mouse.up();
  check(Number(await page.inputValue(input(3))) < 0.089, 'a point dragged down is thinner');
  await as_in_the_page();
  const dragged = hertz();
  await expect_text(page, '#pitch-value', dragged);

  // The whole drag is one step.
  await page.click('#tongue-undo');
  check((await page.inputValue(input(2))) === '0.136', 'undo takes back the drag alone');
  await page.waitForFunction((selector) => document.querySelector(selector)?.value === '0.089', input(3));
  await page.click('#tongue-redo');
  await expect_text(page, '#pitch-value', dragged);
  while (await page.isEnabled('#tongue-undo')) await page.click('#tongue-undo');
  await expect_text(page, '#pitch-value', before);

  // Written in the file's text, taken up by the table.
  await page.fill('#tongue-yaml', (await page.inputValue('#tongue-yaml')).replace('0.131 mm', '0.140 mm'));
  await page.waitForFunction((selector) => document.querySelector(selector)?.value === '0.14', input(2));

  const [saved] = await Promise.all([page.waitForEvent('download'), page.click('#tongue-download')]);
  check(fs.readFileSync(await saved.path(), 'utf8') === (await page.inputValue('#tongue-yaml')), 'the download is the text');
  check(saved.suggestedFilename() === 'brass_a4.yaml', 'under the name of the file');

  page.once('dialog', (dialog) => dialog.accept());
  await page.click('#tongue-save');
  await expect_text(page, '#tongue-saved', /^Saved as /);
  check(fs.readFileSync(path.join(folder, '01_three_tongues/brass_a4.yaml'), 'utf8') === (await page.inputValue('#tongue-yaml')), 'the folder holds the text');

  const [sheet] = await Promise.all([page.context().waitForEvent('page'), page.click('#tongue-sheet')]);
  await sheet.waitForSelector('table');
  check((await sheet.textContent('body')).includes('A4'), 'the sheet of the tongue names its note');
  await sheet.close();

  const [step] = await Promise.all([page.waitForEvent('download'), page.click('#tongue-step')]);
  check(fs.readFileSync(await step.path(), 'utf8').startsWith('ISO-10303-21;'), 'STEP of plate and tongue');
});
