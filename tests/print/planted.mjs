// Pages with a fault put in on purpose. Each names in `data-faults` what has to be found, no more and no less; and a
// page without a fault, in which nothing may be found.

import { readdirSync } from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { printed, screenFaults } from './browser.mjs';
import { isSplit, paperFaults } from './faults.mjs';
import { readPdf } from './pdf.mjs';

/** Line breaks and whether they tear a figure. */
const BREAKS = [
  ['keep it 10', '1/8 in below', true],
  ['keep it 10 1/8', 'in below the mark', true],
  ['10 1/', '8 in', true],
  ['10 1', '/8 in', true],
  ['at least 150', 'mm', true],
  ['al menos 3', 'pulg', true],
  ['at least 10 ½', 'in', true],
  ['10', '½ in', true],
  ['a fall of 2', '%', true],
  ['chapter 7 of 2024', 'in the town', false],
  ['in 2024', 'inspectors came', false],
  ['at least 10 1/8 in', '4 in from the wall', false],
  ['step 3', 'mark it', false],
  ['the wall', '10 1/8 in', false],
];

/** What of the planted faults was not seen as it should; nothing if all is well. */
export async function planted(browser, getDocument, axe, folder) {
  const missed = BREAKS.filter(([upper, lower, torn]) => isSplit(upper, lower) !== torn)
    .map(([upper, lower, torn]) => `"${upper} | ${lower}" is ${torn ? '' : 'not '}torn`);
  const page = await browser.newPage();
  for (const name of readdirSync(folder).filter((file) => file.endsWith('.html')).sort()) {
    const { faults, tables, words } = await screenFaults(page, pathToFileURL(path.join(folder, name)).href, axe);
    const wanted = await page.evaluate(() => document.documentElement.dataset.faults ?? '');
    const most = await page.evaluate(() => document.documentElement.dataset.budget);
    const pdf = await readPdf(new Uint8Array(await printed(page, 'letter')), getDocument);
    const found = [...faults, ...paperFaults(pdf, { budget: most ? Number(most) : undefined, tables, words })];
    const kinds = [...new Set(found.map((fault) => fault.kind))].sort().join('; ');
    const right = wanted.split(';').map((kind) => kind.trim()).filter(Boolean).sort().join('; ');
    if (kinds !== right) missed.push(`${name}: found "${kinds}", planted "${right}" (${found.map((f) => f.what).join('; ')})`);
  }
  await page.close();
  return missed;
}
