// A PDF read as what stands where: pages, runs of text with size, place and role, tables with their rows.
//
// Both makers of PDF tag what they write. The tags say what is a heading, a table row or a picture, so that
// nothing has to be guessed from looks.

/** Roles that hold one stretch of running text. */
const BLOCKS = /^(H[1-6]?|P|TD|TH|LI|LBody|Lbl|Caption|Figure|Title|BlockQuote|Note)$/;
const HEADING = /^H[1-6]?$/;

/**
 * @param {Uint8Array} bytes the file
 * @param {Function} getDocument of pdfjs
 * @returns {Promise<{pages: object[], title: string, lang: string, tagged: boolean}>} sizes and places in points, y upwards
 */
export async function readPdf(bytes, getDocument) {
  const task = getDocument({ data: bytes, verbosity: 0, useSystemFonts: false, disableFontFace: true, fontExtraProperties: false });
  const document = await task.promise;
  const meta = await document.getMetadata();
  const pages = [];
  for (let number = 1; number <= document.numPages; number += 1) {
    pages.push(await readPage(await document.getPage(number)));
  }
  const marked = await document.getMarkInfo();
  await task.destroy();
  return { pages, title: meta.info.Title ?? '', lang: meta.info.Language ?? '', tagged: Boolean(marked?.Marked) };
}

async function readPage(page) {
  const { width, height } = page.getViewport({ scale: 1 });
  const { roles, tables, leaves } = walk(await page.getStructTree());
  const { items } = await page.getTextContent({ includeMarkedContent: true, disableNormalization: true });
  const texts = [];
  const open = [];
  const written = new Set();
  for (const item of items) {
    if (item.type === 'endMarkedContent') {
      open.pop();
    } else if (item.type !== undefined) {
      open.push(item);
    } else if (item.str.trim() !== '') {
      const id = open.findLast((mark) => mark.id !== undefined)?.id;
      if (id !== undefined) written.add(id);
      const row = roles.get(id)?.row;
      if (row && !row.seen) {
        row.seen = true;
        row.table.rows += 1;
      }
      texts.push(run(item, roles.get(id), open.some((mark) => mark.tag === 'Artifact') || id === undefined));
    }
  }
  // the last thing of the page in reading order, empty marks left out
  const last = leaves.filter((leaf) => written.has(leaf.id) || leaf.figure).at(-1);
  // the tags of a page name whole tables; only what is written here counts
  const here = tables.filter((table) => table.leaves.some((id) => written.has(id))).map(({ rows }) => ({ rows }));
  return { width, height, texts, tables: here, endsInHeading: last !== undefined && last.heading };
}

/** A run of text: its box, its size, and which block, heading or picture it is in. */
function run(item, role, artifact) {
  const [a, b, c, d, x, y] = item.transform;
  return {
    str: item.str,
    x,
    y,
    width: item.width,
    size: Math.hypot(c, d),
    upright: Math.abs(b) < 0.01 && a > 0,
    artifact: artifact && role === undefined,
    figure: role?.figure ?? false,
    heading: role?.heading ?? false,
    block: role?.block ?? -1,
  };
}

/** The tags of a page: the role of each piece of marked content, the tables, and the leaves in reading order. */
function walk(tree) {
  const roles = new Map();
  const tables = [];
  const leaves = [];
  let blocks = 0;
  const visit = (node, above) => {
    if (node.type === 'content') {
      roles.set(node.id, above);
      above.table?.leaves.push(node.id);
      leaves.push({ id: node.id, heading: above.heading, figure: above.figure });
      return;
    }
    const here = { ...above };
    if (BLOCKS.test(node.role ?? '')) {
      blocks += 1;
      here.block = blocks;
    }
    here.heading ||= HEADING.test(node.role ?? '');
    here.figure ||= node.role === 'Figure';
    if (node.role === 'Table') {
      here.table = { rows: 0, leaves: [] };
      here.row = undefined;
      tables.push(here.table);
    }
    // a row of headings alone is none of the rows
    if (node.role === 'TR' && here.table && node.children?.some((child) => child.role === 'TD')) {
      here.row = { seen: false, table: here.table };
    }
    for (const child of node.children ?? []) visit(child, here);
  };
  if (tree) visit(tree, { block: 0, heading: false, figure: false });
  return { roles, tables, leaves };
}

/** The lines of each block in reading order: text, place of the start, size. */
export function lines(page) {
  const found = [];
  let last;
  for (const text of page.texts) {
    if (text.artifact || !text.upright) continue;
    const same = last && last.block === text.block && Math.abs(last.y - text.y) < 2 && text.x > last.x;
    if (same) {
      last.str += (text.x - last.end > 0.15 * text.size ? ' ' : '') + text.str;
      last.end = text.x + text.width;
    } else {
      last = { str: text.str, x: text.x, y: text.y, end: text.x + text.width, size: text.size, block: text.block, figure: text.figure };
      found.push(last);
    }
  }
  return found;
}
