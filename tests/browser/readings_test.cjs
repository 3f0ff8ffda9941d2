// Readings from a file, dropped or typed give the work of the command line, coloured plates, and the cut sheet.
const fs = require('node:fs');
const path = require('node:path');
const {check, command, expect_text, go, open_instrument, walk} = require('./bench.cjs');

walk(async ({page, folder}) => {
  const design = path.join(folder, '02_club_mouth_organ/instrument.yaml');
  const readings = path.join(folder, '02_club_mouth_organ/readings.csv');
  await open_instrument(page);
  check((await page.locator('#plates .reed').count()) === 20, 'every reed is on its plate');
  await go(page, 'readings');
  check(await page.isDisabled('#r-sheet'), 'no cut sheet without readings');
  check((await page.locator('#readings-files button').allTextContents()).join() === 'Take 02_club_mouth_organ/readings.csv', 'the readings beside it are offered');
  await page.setInputFiles('#r-file', readings);
  const work = command('retune', design, readings).json.work;
  await page.waitForSelector('#retune:not([hidden])');
  const shown = (await page.locator('#retune-table tbody tr:has(td.k)').allTextContents()).join('\n');
  for (const one of work) {
    check(shown.includes(`${one.cell} ${one.row}${one.note}`), `${one.cell} ${one.row} is in the work`);
    if (one.first_pass_um) check(shown.includes(one.first_pass_um.toFixed(1) + ' um'), `${one.cell} ${one.row} has its first pass`);
  }
  const first = work.find((one) => one.cell === 1 && one.row === 'blow');
  const off = await page.textContent('#readings-plates [data-place="1 blow"] .off');
  check(off.replace('\u2212', '-') === (-first.wanted_cents).toFixed(1), `1 blow reads ${off}`);

  const [sheet] = await Promise.all([page.waitForEvent('download'), page.click('#r-sheet-file')]);
  const html = fs.readFileSync(await sheet.path(), 'utf8');
  check(/<!DOCTYPE html>/i.test(html) && html.includes('Saltmere Quay club mouth organ in C'), 'the cut sheet is a page');
  const [shown_sheet] = await Promise.all([page.context().waitForEvent('page'), page.click('#r-sheet')]);
  await shown_sheet.waitForSelector('table');
  await shown_sheet.close();

  // A typed reading changes its line alone.
  await page.click('#r-typed summary');
  const field = '#r-table [data-place="1 blow"][data-column="reading"]';
  await page.fill(field, '-4.5c');
  await page.press(field, 'Tab');
  const text = fs.readFileSync(readings, 'utf8').replace('1,blow,-6.5c', '1,blow,-4.5c');
  check((await page.inputValue('#r-text')) === text, 'the rest of the readings stands');
  await expect_text(page, '#readings-plates [data-place="1 blow"] .off', '\u22127.5');

  // Dropped: the same as chosen.
  const dropped = await page.evaluateHandle((csv) => {
    const transfer = new DataTransfer();
    transfer.items.add(new File([csv], 'readings.csv', {type: 'text/csv'}));
    return transfer;
  }, 'cell,row,reading\n4,blow,+3c\n');
  await page.dispatchEvent('#drop', 'drop', {dataTransfer: dropped});
  await expect_text(page, '#readings-plates [data-place="1 blow"] .off', '');
  await expect_text(page, '#readings-plates [data-place="4 blow"] .off', '0.0');

  await go(page, 'plate');
  const [design_sheet] = await Promise.all([page.context().waitForEvent('page'), page.click('#plate-sheet')]);
  await design_sheet.waitForSelector('table');
  check((await design_sheet.textContent('body')).includes('Saltmere Quay club mouth organ in C'), 'the sheet of the design');
  await design_sheet.close();

  // A reed of the plate opens as a tongue of its own, with its place's target and reading for the cut.
  await page.focus('#plates [data-place="4 blow"]');
  await page.keyboard.press('Enter');
  await page.waitForSelector('#pitch-value');
  const planned = command('plan', design).json.tongues.find((one) => one.cell === 4 && one.row === 'blow');
  check((await page.textContent('#subject')) === 'Saltmere Quay club mouth organ in C; its reed 4 blow', 'the head tells whose reed it is');
  await expect_text(page, '#pitch-value', planned.pitch_hz.toFixed(2) + ' Hz');
  await go(page, 'cut');
  check((await page.inputValue('#c-want')) === planned.target_hz.toFixed(3) + 'Hz', 'the target on the bench is wanted');
});
