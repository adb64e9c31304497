// What a browser says of a page: how it lies on a phone, whether anything is cut off, what axe finds, and its print.

/** Papers in the words of the browser. */
export const PAPERS = { letter: 'letter', a4: 'a4' };

/** The narrowest screen that sheets are read on, in CSS pixels. */
const PHONE = { width: 390, height: 844, isMobile: false, deviceScaleFactor: 1 };
/** The width of paper less its margins, for looking at the page as it is laid out in print. */
const PAPER_WIDE = { width: 710, height: 1000, isMobile: false, deviceScaleFactor: 1 };

/**
 * Looks at a page on screen.
 * @returns {Promise<{faults: object[], tables: number[], words: string}>} faults, the rows of each table that has any, and
 *   the words that have to be on paper
 */
export async function screenFaults(page, url, axe) {
  const faults = [];
  const add = (kind, what) => faults.push({ kind, page: 0, what });
  await page.emulateMediaType('screen');
  await page.setViewport(PHONE);
  await page.goto(url, { waitUntil: 'load' });
  for (const what of await page.evaluate(sideways)) add('sideways on a phone', what);
  for (const what of await page.evaluate(cutOff)) add('cut off', what);
  const tables = await page.evaluate(() => [...document.querySelectorAll('table')]
    .map((table) => [...table.rows].filter((row) => row.querySelector('td')).length)
    .filter((rows) => rows > 0));
  if (axe) {
    await page.evaluate(axe);
    for (const what of await page.evaluate(runAxe)) add('axe, screen', what);
  }
  await page.emulateMediaType('print');
  await page.setViewport(PAPER_WIDE);
  for (const what of await page.evaluate(cutOff)) add('cut off in print', what);
  const words = await page.evaluate(wordsInPrint);
  if (axe) for (const what of await page.evaluate(runAxe)) add('axe, print', what);
  return { faults, tables, words };
}

/** The page as PDF on a paper. */
export async function printed(page, paper) {
  await page.emulateMediaType('print');
  return page.pdf({ format: PAPERS[paper], printBackground: false, tagged: true });
}

/* What follows runs inside the page. */

function sideways() {
  const wide = document.documentElement.clientWidth;
  const named = (element) => `<${element.tagName.toLowerCase()}${element.className && typeof element.className === 'string' ? ` class="${element.className}"` : ''}>`;
  const found = [];
  const whole = Math.max(document.documentElement.scrollWidth, document.body.scrollWidth);
  if (whole > wide + 1) {
    const widest = [...document.body.querySelectorAll('*')]
      .filter((element) => !element.closest('svg') || element.tagName === 'svg')
      .map((element) => ({ element, right: element.getBoundingClientRect().right }))
      .sort((a, b) => b.right - a.right)[0];
    found.push(`${whole} px wide on ${wide}: ${widest ? named(widest.element) : '?'}`);
  }
  for (const element of document.body.querySelectorAll('*')) {
    const style = getComputedStyle(element);
    if (['auto', 'scroll'].includes(style.overflowX) && element.scrollWidth > element.clientWidth + 1) {
      found.push(`${named(element)} scrolls: ${element.scrollWidth} px on ${element.clientWidth}`);
    }
  }
  return found.slice(0, 3);
}

function cutOff() {
  const found = [];
  const quoted = (text) => JSON.stringify(text.trim().slice(0, 60));
  for (const element of document.body.querySelectorAll('*:not(svg):not(svg *)')) {
    const style = getComputedStyle(element);
    const hides = (value) => value === 'hidden' || value === 'clip';
    // what is one pixel large is kept for screen readers on purpose
    if (element.clientWidth <= 1 || element.textContent.trim() === '') continue;
    if ((hides(style.overflowX) && element.scrollWidth > element.clientWidth + 1)
      || (hides(style.overflowY) && element.scrollHeight > element.clientHeight + 1)) {
      found.push(`text in <${element.tagName.toLowerCase()}>: ${quoted(element.textContent)}`);
    }
  }
  for (const text of document.querySelectorAll('svg text')) {
    const own = text.getBoundingClientRect();
    const around = text.closest('svg').getBoundingClientRect();
    if (own.width > 0 && (own.left < around.left - 1 || own.right > around.right + 1 || own.top < around.top - 1 || own.bottom > around.bottom + 1)) {
      found.push(`text in a picture: ${quoted(text.textContent)}`);
    }
  }
  return found.slice(0, 3);
}

function wordsInPrint() {
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const words = [];
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const parent = node.parentElement;
    if (parent.closest('style, script, title, desc, metadata') || !parent.checkVisibility()) continue;
    // what is one pixel large is for screen readers
    const box = parent.getBoundingClientRect();
    if (box.width > 2 && box.height > 2) words.push(node.textContent);
  }
  return words.join(' ');
}

async function runAxe() {
  // a sheet is a whole page, so the rules for whole pages hold
  const { violations } = await window.axe.run(document, { resultTypes: ['violations'], elementRef: false });
  return violations.map((v) => `${v.id} (${v.nodes.length}x): ${v.help}; ${v.nodes[0].target.join(' ')}`);
}
