// Every view, empty and filled, at the width of a laptop and of a phone, passes axe-core and needs no sideways scroll;
// everything can be reached and left with the keyboard alone. With a folder as last word, pictures are written there.
const path = require('node:path');
const {accessibility_faults, check, desktop, expect_text, go, open_instrument, open_tongue, options, phone, walk} = require('./bench.cjs');

const views = ['open', 'plate', 'tongue', 'cut', 'wind', 'readings', 'listen'];

async function look(page, name) {
  const faults = await accessibility_faults(page);
  check(faults.length === 0, `${name}: ${faults.join('\n')}`);
  const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  check(over <= 0, `${name} is ${over} pixels too wide`);
  if (options[0]) await page.screenshot({path: path.join(options[0], name.replace(/ /g, '_') + '.png'), fullPage: true});
}

async function tour(page, size) {
  for (const view of views) {
    await go(page, view);
    await look(page, `${size} ${view} empty`);
  }
  await open_tongue(page);
  await page.waitForSelector('.grip');
  await look(page, `${size} tongue`);
  await page.fill('#stations tbody tr:nth-child(2) td:nth-child(2) input', '12');
  await page.waitForSelector('#stations .error');
  await look(page, `${size} tongue with an error`);
  await page.click('#tongue-undo');
  await page.waitForSelector('#tongue-figures:not(.stale)');
  await go(page, 'cut');
  await page.fill('#c-read', '-12c');
  await page.click('#cut button.main');
  await page.waitForSelector('#first-pass');
  await look(page, `${size} cut`);
  await page.fill('#n-read', '-3.5c');
  await page.click('#next button.main');
  await page.waitForSelector('#next-pass');
  await look(page, `${size} cut after a pass`);
  await go(page, 'wind');
  await page.click('#wind button.main');
  await page.waitForSelector('#sounding');
  await page.click('#wind-result details summary');
  await look(page, `${size} wind`);
  await open_instrument(page);
  await look(page, `${size} plate`);
  await go(page, 'readings');
  await look(page, `${size} readings to type`);
  await page.click('#readings-files button');
  await page.waitForSelector('#retune:not([hidden])');
  await look(page, `${size} readings`);
  await go(page, 'plate');
  await page.click('#plate-more summary');
  await look(page, `${size} plate with readings`);
}

// Presses Tab until the wanted element has the focus; everything on the way must show that it has it.
async function tab_to(page, selector) {
  for (let n = 0; n < 120; ++n) {
    await page.keyboard.press('Tab');
    const at = await page.evaluate((wanted) => {
      const one = document.activeElement;
      const shown = (one.matches('.grip') ? one.querySelector('.knob') : one);
      const style = getComputedStyle(shown);
      const visible = one === document.body || style.outlineStyle !== 'none' || (one.matches('.grip') && parseFloat(style.strokeWidth) > 3);
      return {there: one.matches(wanted), visible, name: one.outerHTML.slice(0, 100)};
    }, selector);
    check(at.visible, `no visible focus on ${at.name}`);
    if (at.there) return;
  }
  throw new Error(`${selector} is not reached with Tab`);
}

async function by_keyboard(page) {
  await page.focus('body');
  await tab_to(page, '#files [data-path="01_three_tongues/brass_a4.yaml"]');
  await page.keyboard.press('Enter');
  await page.waitForSelector('#pitch-value');
  await page.waitForSelector('.grip');
  const before = await page.textContent('#pitch-value');
  await tab_to(page, '.grip[data-point="0"]');
  await page.keyboard.press('ArrowUp');
  await page.waitForFunction((old) => document.getElementById('pitch-value').textContent !== old, before);
  check(await page.evaluate(() => document.activeElement.matches('.grip[data-point="0"]')), 'the point keeps the focus');
  await page.keyboard.press('Control+z');
  await expect_text(page, '#pitch-value', before);
  await tab_to(page, '#tongue-yaml');
  // No trap: Tab leaves the text.
  await tab_to(page, '#tongue-download');
  await page.evaluate(() => document.querySelector('nav a').focus());
  await tab_to(page, 'nav a[href="#cut"]');
  await page.keyboard.press('Enter');
  await page.waitForFunction(() => document.activeElement.id === 'main');
  await tab_to(page, '#c-read');
  await page.keyboard.type('-12c');
  await page.keyboard.press('Enter');
  await page.waitForSelector('#first-pass');
  await tab_to(page, '#n-read');
  await page.keyboard.type('-3c');
  await page.keyboard.press('Enter');
  await page.waitForSelector('#next-pass');
}

walk(async ({page, open}) => {
  await tour(page, 'laptop');
  const small = await open(phone);
  await tour(small, 'phone');
  await by_keyboard(await open(desktop));
});
