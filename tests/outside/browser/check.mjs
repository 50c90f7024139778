// Opens pages of a report in a browser without a network and says what is wrong with them.
//   node check.mjs MODULES CHROMIUM [--shots FOLDER] PAGE...
// MODULES: folder with node_modules. With --shots pictures of the pages at three widths, in the dark and printed are kept.

import { execFileSync } from 'node:child_process';
import { mkdtempSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { basename, dirname, join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';

const [modules, chromium, ...rest] = process.argv.slice(2);
const shots = rest[0] === '--shots' ? resolve(rest.splice(0, 2)[1]) : null;
const require = createRequire(join(resolve(modules), 'package.json'));
const { chromium: browserType } = require('playwright-core');
const axe = require.resolve('axe-core/axe.min.js');

const FLAGS = ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking',
  '--disable-component-update', '--disable-sync'];
// Widths in CSS pixels: a phone, a tablet, a desk, and a desk at 200 % zoom.
const WIDTHS = [320, 768, 1280, 640];
// Width between the margins of style.html, in CSS pixels at 96 to the inch.
const PAPERS = [['A4', (210 - 32) / 25.4 * 96], ['Letter', (215.9 - 32) / 25.4 * 96]];

const faults = [];
const scratch = mkdtempSync(join(tmpdir(), 'browser-'));
const context = await browserType.launchPersistentContext(join(scratch, 'user'), {
  executablePath: chromium, headless: true, args: FLAGS, offline: true,
});

for (const path of rest) {
  const address = pathToFileURL(resolve(path)).href;
  // The folder tells one batch from another.
  const name = `${basename(dirname(resolve(path)))}/${basename(path)}`;
  const say = (text) => faults.push(`${name}: ${text}`);
  const page = await context.newPage();
  page.on('console', (message) => say(`console ${message.type()}: ${message.text()}`));
  page.on('pageerror', (error) => say(`error in the page: ${error.message}`));
  page.on('request', (request) => {
    if (request.url().split('#')[0] !== address && !request.url().startsWith('data:')) {
      say(`asks for ${request.url()}`);
    }
  });
  page.on('dialog', async (dialog) => { say('a script ran'); await dialog.dismiss(); });
  await page.goto(address);

  // Tables, figures, pictures and boxes have names for people who do not see them.
  const session = await context.newCDPSession(page);
  const { nodes } = await session.send('Accessibility.getFullAXTree');
  const named = ['table', 'figure', 'image', 'img', 'region', 'navigation', 'link'];
  for (const node of nodes.filter((node) => !node.ignored && named.includes(node.role?.value))) {
    if (!node.name?.value?.trim()) say(`a ${node.role.value} has no name`);
  }
  const tables = await page.evaluate(() => document.querySelectorAll('table').length);
  const seen = nodes.filter((node) => node.role?.value === 'table').length;
  if (tables !== seen) say(`${tables} tables, ${seen} of them are read as such`);

  // The rules for accessible pages, in the light and in the dark.
  await page.evaluate(require('node:fs').readFileSync(axe, 'utf8'));
  for (const colorScheme of ['light', 'dark']) {
    await page.emulateMedia({ colorScheme });
    const result = await page.evaluate(() => window.axe.run(document));
    if (result.passes.length === 0) say('no rule was tried');
    for (const violation of result.violations) {
      say(`${colorScheme}: ${violation.id}: ${violation.help}: ${violation.nodes[0].html.slice(0, 200)}`);
    }
    if (shots) await page.screenshot({ path: join(shots, `${name.replace('/', '-')}-${colorScheme}.png`) });
  }
  await page.emulateMedia({ colorScheme: 'light' });

  // No page is wider than its window.
  for (const width of WIDTHS) {
    await page.setViewportSize({ width, height: 900 });
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    if (wide > 0) say(`${wide} px too wide at ${width} px`);
    if (shots) await page.screenshot({ path: join(shots, `${name.replace('/', '-')}-${width}.png`), fullPage: true });
  }

  // On paper no table is cut off, no row is broken, and heads are repeated.
  await page.emulateMedia({ media: 'print' });
  for (const [paper, width] of PAPERS) {
    await page.setViewportSize({ width: Math.floor(width), height: 1000 });
    const cut = await page.evaluate(() => [...document.querySelectorAll('table, svg, dl')]
      .filter((box) => box.getBoundingClientRect().right > document.documentElement.clientWidth + 1)
      .map((box) => box.querySelector('caption')?.textContent ?? box.tagName));
    for (const what of cut) say(`cut off on ${paper}: ${what}`);
  }
  if (shots) await page.pdf({ path: join(shots, `${name.replace('/', '-')}.pdf`), format: 'A4', preferCSSPageSize: false });
  const marked = await page.evaluate(mark);
  for (const [paper] of PAPERS) {
    const file = join(scratch, 'page.pdf');
    writeFileSync(file, await page.pdf({ format: paper }));
    // Pages end with a form feed.
    const text = execFileSync('pdftotext', ['-raw', file, '-'], { encoding: 'utf8', maxBuffer: 1 << 30 });
    const pages = text.split('\f').slice(0, -1).map((page) => new Set(page.match(/Z[A-Z]+\d+Z/g) ?? []));
    const on = (word) => pages.flatMap((words, place) => (words.has(word) ? [place] : []));
    for (let row = 0; row < marked.rows.length; row += 1) {
      const [top, end] = [on(`ZTOP${row}Z`), on(`ZEND${row}Z`)];
      if (top.length !== 1 || String(top) !== String(end)) say(`${paper}: row ${row} is on pages ${top} and ${end}`);
    }
    for (let table = 0; table < marked.tables; table += 1) {
      const rows = marked.rows.flatMap((of, row) => (of === table ? on(`ZTOP${row}Z`) : []));
      const wanted = [...new Set(rows)].sort((a, b) => a - b);
      if (String(on(`ZCAPTION${table}Z`)) !== String(wanted.slice(0, 1))) {
        say(`${paper}: the caption of table ${table} is on page ${on(`ZCAPTION${table}Z`)}, its rows on ${wanted}`);
      }
      if (String(on(`ZHEAD${table}Z`)) !== String(wanted)) {
        say(`${paper}: the head of table ${table} is on pages ${on(`ZHEAD${table}Z`)}, its rows on ${wanted}`);
      }
    }
    if (marked.page && (on('ZPAGETOP0Z').length !== 1 || String(on('ZPAGETOP0Z')) !== String(on('ZPAGEEND0Z')))) {
      say(`${paper}: "In one page" runs from page ${on('ZPAGETOP0Z')} to ${on('ZPAGEEND0Z')}`);
    }
    for (let sheet = 0; sheet < marked.sheets; sheet += 1) {
      const [top, end] = [on(`ZSHEET${sheet}Z`), on(`ZSIGN${sheet}Z`)];
      if (String(top) !== String([sheet]) || String(end) !== String([sheet])) {
        say(`${paper}: sheet ${sheet} runs from page ${top} to ${end}`);
      }
    }
    if (marked.sheets > 0 && pages.length !== marked.sheets) say(`${paper}: ${pages.length} pages of ${marked.sheets} sheets`);
  }
  await page.close();
}
await context.close();
for (const fault of faults) console.error(fault);
process.exit(faults.length > 0 ? 1 : 0);

// Puts small words at the top and the end of every row and sheet and into every head, to be found again on paper.
function mark() {
  const put = (box, word, edge) => {
    const small = document.createElement('span');
    small.textContent = word;
    small.style.cssText = `position: absolute; ${edge}: 0; left: 0; font: 1px/1 sans-serif; white-space: nowrap;`;
    box.style.position = 'relative';
    box.append(small);
  };
  const tables = [...document.querySelectorAll('table')];
  tables.forEach((table, place) => {
    put(table.caption, `ZCAPTION${place}Z`, 'top');
    put(table.querySelector('thead th'), `ZHEAD${place}Z`, 'top');
  });
  const rows = [...document.querySelectorAll('tbody tr')];
  rows.forEach((row, place) => {
    put(row.cells[0], `ZTOP${place}Z`, 'top');
    put(row.cells[0], `ZEND${place}Z`, 'bottom');
  });
  const sheets = [...document.querySelectorAll('.sheet')];
  sheets.forEach((sheet, place) => {
    put(sheet, `ZSHEET${place}Z`, 'top');
    put(sheet, `ZSIGN${place}Z`, 'bottom');
  });
  const page = document.querySelector('section[aria-labelledby="in-short"]');
  if (page) {
    put(page, 'ZPAGETOP0Z', 'top');
    put(page, 'ZPAGEEND0Z', 'bottom');
  }
  return { page: page !== null, rows: rows.map((row) => tables.indexOf(row.closest('table'))), tables: tables.length, sheets: sheets.length };
}
