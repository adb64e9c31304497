// What may not be on paper. Each check takes what `pdf.mjs` read and gives faults: `{kind, page, what}`.

import { lines } from './pdf.mjs';

/** The least sizes as printed, in points. A line that runs along every page, such as its number, may be as small as a picture's words. */
export const TEXT_SIZE = 10;
export const PICTURE_SIZE = 8;
/** Rounding of sizes: a browser's pixels are not a printer's points. */
const TOLERANCE = 0.06;

/** The most pages of a sheet, if it has a budget. */
export function budget(sheet, verdict) {
  if (sheet === 'exterior') return verdict === 'go_ahead' ? 1 : 4;
  return { homeowner: 4, landscaper: 2, agreement: 1 }[sheet];
}

/** Rows up to which a table counts as short: it fits a page and may not be torn. */
export const SHORT_TABLE = 6;

const UNIT = 'in|ft|mm|cm|m|pulg|pies?|pie|°|%|in\\.|lb|kg|gal|gpm|pt|yd|cu|sq';
const ENDS_IN_FIGURE = /\d[\d.,]*$/u;
const STARTS_WITH_FRACTION = /^(\d+\s?\/\s?\d+|[½⅓⅔¼¾⅛⅜⅝⅞])/u;
// the English word "in" before an article is no unit
const STARTS_WITH_UNIT = new RegExp(`^(${UNIT})(?![\\p{L}\\d])(?!\\s+(the|a|an|your|this|that|each|which|it)\\b)`, 'iu');
const HALF_A_FRACTION = /\d\s?\/$/u;

/** Everything that is wrong with a PDF; `want` says what its page in the browser has: budget and rows of each table. */
export function paperFaults(pdf, want) {
  const found = [];
  const add = (kind, page, what) => found.push({ kind, page, what });
  if (want.budget !== undefined && pdf.pages.length > want.budget) {
    add('pages', pdf.pages.length, `${pdf.pages.length} pages, at most ${want.budget}`);
  }
  if (!pdf.tagged) add('untagged', 0, 'the PDF has no tags');
  if (!pdf.title) add('title', 0, 'the PDF has no title');
  pdf.pages.forEach((page, i) => {
    const number = i + 1;
    if (page.texts.every((text) => text.artifact)) add('empty page', number, 'nothing stands on it');
    sizes(page, number, add);
    edges(page, number, add);
    overlaps(page, number, add);
    splitNumbers(page, number, add);
    if (page.endsInHeading && number < pdf.pages.length) add('heading last', number, 'a heading is the last thing on the page');
  });
  tornTables(pdf, want.tables, add);
  lostWords(pdf, want.words, add);
  return found;
}

function sizes(page, number, add) {
  const small = { picture: undefined, text: undefined, running: undefined };
  for (const text of page.texts) {
    const kind = text.figure ? 'picture' : text.artifact ? 'running' : 'text';
    const least = kind === 'text' ? TEXT_SIZE : PICTURE_SIZE;
    if (text.size < least - TOLERANCE && (small[kind] === undefined || text.size < small[kind].size)) small[kind] = text;
  }
  for (const [kind, text] of Object.entries(small)) {
    if (text) add(kind === 'picture' ? 'small in picture' : 'small text', number, `${text.size.toFixed(1)} pt: ${short(text.str)}`);
  }
}

function edges(page, number, add) {
  const out = page.texts.find((text) => {
    const end = text.upright ? text.x + text.width : text.x;
    return text.x < -0.5 || end > page.width + 0.5 || text.y < -0.5 || text.y > page.height + 0.5;
  });
  if (out) add('off the page', number, short(out.str));
}

function overlaps(page, number, add) {
  const boxes = page.texts.filter((text) => text.upright).map((text) => ({
    text,
    left: text.x,
    right: text.x + text.width,
    low: text.y - 0.2 * text.size,
    high: text.y + 0.68 * text.size,
  }));
  boxes.sort((a, b) => a.left - b.left);
  let reported = 0;
  for (let i = 0; i < boxes.length && reported < 3; i += 1) {
    for (let j = i + 1; j < boxes.length && boxes[j].left < boxes[i].right - 1.5; j += 1) {
      const [a, b] = [boxes[i], boxes[j]];
      const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const up = Math.min(a.high, b.high) - Math.max(a.low, b.low);
      const least = Math.min(a.text.size, b.text.size);
      // a pale edge around letters is the same text twice at one place
      const twice = a.text.str === b.text.str && Math.abs(a.left - b.left) < 1 && Math.abs(a.text.y - b.text.y) < 1;
      if (!twice && across > 1.5 && up > 0.22 * least) {
        add('overlap', number, `${short(a.text.str)} and ${short(b.text.str)}`);
        reported += 1;
        break;
      }
    }
  }
}

function splitNumbers(page, number, add) {
  const all = lines(page);
  for (let i = 1; i < all.length; i += 1) {
    const [upper, lower] = [all[i - 1], all[i]];
    const drop = upper.y - lower.y;
    const below = drop > 0.5 * lower.size && drop < 2.4 * lower.size;
    // labels of a picture are blocks of their own, so there only a line set right below counts
    const one = upper.block === lower.block && (!upper.figure || Math.abs(upper.x - lower.x) < 1.5);
    if (!below || !one || !isSplit(upper.str, lower.str)) continue;
    add('split number', number, `${ending(upper.str)} | ${short(lower.str)}`);
  }
}

/** Whether a line break between two lines tears a figure from its fraction or from its unit. */
export function isSplit(upper, lower) {
  const [end, start] = [upper.trim(), lower.trim()];
  if (HALF_A_FRACTION.test(end)) return /^\d/.test(start);
  if (/^\/\s?\d/.test(start)) return /\d$/.test(end);
  return (ENDS_IN_FIGURE.test(end) || /[½⅓⅔¼¾⅛⅜⅝⅞]$/u.test(end)) && (STARTS_WITH_FRACTION.test(start) || STARTS_WITH_UNIT.test(start));
}

/** Tables of the pages in order, held against the tables that the sheet has. */
function tornTables(pdf, wanted, add) {
  if (wanted === undefined) return;
  const parts = [];
  pdf.pages.forEach((page, i) => {
    page.tables.forEach((table) => {
      if (table.rows > 0) parts.push({ page: i + 1, rows: table.rows });
      else add('table head alone', i + 1, 'the head of a table without a row');
    });
  });
  let at = 0;
  for (const rows of wanted) {
    const here = [];
    let sum = 0;
    while (at < parts.length && sum < rows) {
      here.push(parts[at]);
      sum += parts[at].rows;
      at += 1;
    }
    if (here.length === 0) {
      add('table lost', 0, `a table with ${rows} rows is not on paper`);
      return;
    }
    if (sum > rows) add('row torn', here.at(-1).page, `a row of a table with ${rows} rows is on two pages`);
    else if (here.length > 1 && rows <= SHORT_TABLE) add('table torn', here.at(-1).page, `a table with ${rows} rows is on ${here.length} pages`);
  }
}

/** A text as it is compared: letters of one form, no spaces, no hyphens (some languages
 * repeat one on the next line) and no case. */
const bare = (text) => text.normalize('NFKC').replace(/[\s\u00ad\u200b\u2060\u2010-]+/gu, '').toLowerCase();

/** Words of the page that are not on paper, or less often: cut off by an edge, or left out. */
function lostWords(pdf, words, add) {
  if (words === undefined) return;
  const paper = bare(pdf.pages.flatMap((page) => page.texts.map((text) => text.str)).join(''));
  const wanted = new Map();
  for (const word of words.split(/\s+/u).map(bare)) {
    if (word.length > 2) wanted.set(word, (wanted.get(word) ?? 0) + 1);
  }
  const lost = [...wanted].filter(([word, times]) => paper.split(word).length - 1 < times).map(([word]) => word);
  if (lost.length > 0) add('text lost', 0, `${lost.length} words, such as ${short(lost.slice(0, 4).join(' '))}`);
}

const short = (text) => JSON.stringify(text.length > 60 ? `${text.slice(0, 57)}...` : text);
const ending = (text) => JSON.stringify(text.length > 40 ? `...${text.slice(-37)}` : text);
