// Prints every sheet and looks at the paper. Started by ./check, which sees to node, Chromium and the packages.

import { execFile } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { availableParallelism, tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { promisify } from 'node:util';
import { PAPERS, printed, screenFaults } from './browser.mjs';
import { budget, paperFaults } from './faults.mjs';
import { readPdf } from './pdf.mjs';
import { planted } from './planted.mjs';

const HELP = `Prints every sheet of every visit on Letter and A4 and looks for faults on paper and screen.

tests/print/check [OPTIONS] [PART-OF-A-NAME...]   only visits whose name has one of these parts

  --sheet NAME     only this sheet (may be given more than once)
  --lang LANG      only this language: en or es
  --paper PAPER    only letter or a4
  --by MAKER       only chromium or typst
  --no-axe         without axe, which takes most of the time
  --faults N       at most N faults in full (usually 400); the table counts all
  --keep DIR       keep the pages and PDFs in this folder
  --json FILE      all faults as JSON
  --planted        only the planted faults: whether the check can fail
  -h, --help       this

WALLFOOT names the program; otherwise target/release/wallfoot or target/debug/wallfoot, whichever is newer.
PRINT_CHECK_TOOLS names the folder for the packages (axe-core, pdfjs-dist, puppeteer-core), CHROMIUM the browser.
Exit code: 0 no faults, 1 faults, 2 wrong use, 3 it cannot be done here.`;

const here = path.dirname(fileURLToPath(import.meta.url));
const root = path.resolve(here, '../..');
const tools = createRequire(path.join(process.env.PRINT_CHECK_TOOLS, 'package.json'));
const exec = promisify(execFile);

function options(args) {
  const chosen = { sheets: [], langs: [], papers: [], makers: [], names: [], axe: true, faults: 400, planted: false };
  const value = (name) => args.shift() ?? wrong(`${name} wants a value`);
  while (args.length > 0) {
    const arg = args.shift();
    if (arg === '-h' || arg === '--help') {
      console.log(HELP);
      process.exit(0);
    } else if (arg === '--sheet') chosen.sheets.push(value(arg));
    else if (arg === '--lang') chosen.langs.push(value(arg));
    else if (arg === '--paper') chosen.papers.push(value(arg));
    else if (arg === '--by') chosen.makers.push(value(arg));
    else if (arg === '--no-axe') chosen.axe = false;
    else if (arg === '--faults') chosen.faults = Number(value(arg));
    else if (arg === '--keep') chosen.keep = value(arg);
    else if (arg === '--json') chosen.json = value(arg);
    else if (arg === '--planted') chosen.planted = true;
    else if (arg.startsWith('-')) wrong(`no option ${arg}`);
    else chosen.names.push(arg);
  }
  return chosen;
}

function wrong(why) {
  console.error(`print check: ${why} (see --help)`);
  process.exit(2);
}

/** The program that makes the sheets. */
function program() {
  if (process.env.WALLFOOT) return path.resolve(process.env.WALLFOOT);
  const built = ['release', 'debug'].map((profile) => path.join(root, 'target', profile, 'wallfoot')).filter(existsSync);
  const newest = built.map((file) => ({ file, at: statSync(file).mtimeMs })).sort((a, b) => b.at - a.at)[0];
  return newest?.file ?? wrong('there is no target/debug/wallfoot; run cargo build');
}

/** The visits of the scenarios, with the demos, which lie with the content. */
function visits(names) {
  const folder = path.join(root, 'tests/scenarios');
  const demos = { 'demo-back-patio': 'back-patio', 'demo-side-steps': 'side-steps' };
  return readdirSync(folder).sort()
    .filter((name) => names.length === 0 || names.some((part) => name.includes(part)))
    .map((name) => {
      const own = path.join(folder, name, 'visit.yaml');
      return { name, file: existsSync(own) ? own : path.join(root, 'questions/demo', `${demos[name]}.yaml`) };
    })
    .filter((visit) => existsSync(visit.file));
}

class Wallfoot {
  constructor(file) {
    this.file = file;
    this.quiet = { env: { ...process.env, WALLFOOT_CONFIG: '/dev/null', NO_COLOR: '1' }, maxBuffer: 64 << 20 };
  }

  run(...args) {
    return exec(this.file, args, this.quiet);
  }

  /** The sheets that the program has. */
  async sheets() {
    const { stdout } = await this.run('advise', '--help');
    const listed = stdout.split('--sheet <SHEET>')[1]?.split('--run')[0] ?? '';
    return [...listed.matchAll(/^\s+- ([a-z-]+):/gm)].map((match) => match[1]);
  }

  async makesPdf(visit, folder) {
    const out = path.join(folder, 'try.pdf');
    return this.run('advise', visit.file, '--sheet', 'agreement', '-o', out).then(() => existsSync(out), () => false);
  }

  async verdict(visit) {
    const { stdout } = await this.run('advise', visit.file, '--as', 'json');
    return JSON.parse(stdout).verdict.id;
  }
}

/** Runs jobs, so many at once. */
async function workers(jobs, count, work) {
  const queue = [...jobs];
  const worker = async (number) => {
    for (let job = queue.shift(); job !== undefined; job = queue.shift()) await work(job, number);
  };
  await Promise.all(Array.from({ length: count }, (_, i) => worker(i)));
}

const chosen = options(process.argv.slice(2));
const { default: puppeteer } = await import(pathToFileURL(tools.resolve('puppeteer-core')));
const { getDocument } = await import(pathToFileURL(tools.resolve('pdfjs-dist/legacy/build/pdf.mjs')));
const axe = chosen.axe ? readFileSync(tools.resolve('axe-core/axe.min.js'), 'utf8') : undefined;

const browser = await puppeteer.launch({
  executablePath: process.env.CHROMIUM,
  // as root in a container Chromium has no sandbox; only our own files are opened
  args: ['--no-sandbox', '--disable-dev-shm-usage', '--font-render-hinting=none', '--disable-gpu'],
});
const folder = chosen.keep ? path.resolve(chosen.keep) : mkdtempSync(path.join(tmpdir(), 'print-check-'));
mkdirSync(folder, { recursive: true });

const started = Date.now();
let exit = 0;
try {
  // a check that cannot fail is worth nothing, so the planted faults come first each time
  const missed = await planted(browser, getDocument, readFileSync(tools.resolve('axe-core/axe.min.js'), 'utf8'), path.join(here, 'planted'));
  for (const line of missed) console.log(`PLANTED FAULT NOT SEEN AS IT SHOULD: ${line}`);
  if (missed.length > 0) exit = 1;
  else console.log('planted faults: all seen, and nothing else');
  if (!chosen.planted) exit = Math.max(exit, await checkAll());
} finally {
  await browser.close();
  if (!chosen.keep) rmSync(folder, { recursive: true, force: true });
}
console.log(`${((Date.now() - started) / 1000).toFixed(0)} s`);
process.exit(exit);

async function checkAll() {
  const wallfoot = new Wallfoot(program());
  const list = visits(chosen.names);
  if (list.length === 0) wrong('no visit has such a name');
  const all = await wallfoot.sheets();
  const sheets = chosen.sheets.length > 0 ? chosen.sheets : all;
  const langs = chosen.langs.length > 0 ? chosen.langs : ['en', 'es'];
  const papers = chosen.papers.length > 0 ? chosen.papers : Object.keys(PAPERS);
  const byTypst = await wallfoot.makesPdf(list[0], folder);
  const makers = (chosen.makers.length > 0 ? chosen.makers : ['chromium', 'typst']).filter((maker) => maker !== 'typst' || byTypst);
  if (!byTypst) console.log('by Typst: not checked, for this program was built without the feature `pdf`');

  const faults = [];
  const prints = [];
  const jobs = list.flatMap((visit) => langs.map((lang) => ({ visit, lang })));
  const pages = await Promise.all(Array.from({ length: Math.min(availableParallelism(), 4) }, () => browser.newPage()));
  await workers(jobs, pages.length, async ({ visit, lang }, worker) => {
    const verdict = await wallfoot.verdict(visit);
    for (const sheet of sheets) {
      const note = (more) => (fault) => faults.push({ visit: visit.name, lang, sheet, ...more, ...fault });
      try {
        const stem = path.join(folder, `${visit.name}.${lang}.${sheet}`);
        await wallfoot.run('--lang', lang, 'advise', visit.file, '--sheet', sheet, '-o', `${stem}.html`);
        const { faults: seen, tables, words } = await screenFaults(pages[worker], pathToFileURL(`${stem}.html`).href, axe);
        seen.forEach(note({ by: 'screen', paper: '' }));
        const want = { budget: budget(sheet, verdict), tables, words };
        for (const maker of makers) {
          for (const paper of papers) {
            const file = `${stem}.${paper}.${maker}.pdf`;
            let bytes;
            if (maker === 'chromium') {
              bytes = await printed(pages[worker], paper);
              if (chosen.keep) writeFileSync(file, bytes);
            } else {
              await wallfoot.run('--lang', lang, 'advise', visit.file, '--sheet', sheet, '--paper', paper, '-o', file);
              bytes = readFileSync(file);
            }
            const pdf = await readPdf(new Uint8Array(bytes), getDocument);
            prints.push({ visit: visit.name, lang, sheet, by: maker, paper, pages: pdf.pages.length, budget: want.budget });
            paperFaults(pdf, want).forEach(note({ by: maker, paper }));
          }
        }
      } catch (error) {
        note({ by: 'check', paper: '' })({ kind: 'not made', page: 0, what: String(error.stderr || error.message).trim().split('\n')[0] });
      }
    }
  });
  report(faults, prints);
  if (chosen.json) writeFileSync(chosen.json, `${JSON.stringify({ faults, prints }, null, 1)}\n`);
  return faults.length > 0 ? 1 : 0;
}

function report(faults, prints) {
  const order = (f) => `${f.visit} ${f.sheet} ${f.lang} ${f.by} ${f.paper} ${String(f.page).padStart(3, '0')}`;
  faults.sort((a, b) => (order(a) < order(b) ? -1 : 1));
  for (const f of faults.slice(0, chosen.faults)) {
    const where = [f.sheet, f.lang, f.by, f.paper, f.page ? `page ${f.page}` : ''].filter(Boolean).join(', ');
    console.log(`${f.visit}: ${where}: ${f.kind}: ${f.what}`);
  }
  if (faults.length > chosen.faults) console.log(`... and ${faults.length - chosen.faults} more (--faults N, --json FILE)`);

  const makers = [...new Set(prints.map((p) => p.by))];
  const rows = [['sheet', 'by', 'printed', 'pages least', 'mean', 'most', 'over budget', 'faults']];
  for (const sheet of [...new Set(prints.map((p) => p.sheet))]) {
    for (const by of makers) {
      const of = prints.filter((p) => p.sheet === sheet && p.by === by);
      const counts = of.map((p) => p.pages);
      const mean = counts.reduce((a, b) => a + b, 0) / counts.length;
      const over = of.filter((p) => p.budget !== undefined && p.pages > p.budget).length;
      const wrongs = faults.filter((f) => f.sheet === sheet && f.by === by).length;
      rows.push([sheet, by, of.length, Math.min(...counts), mean.toFixed(1), Math.max(...counts), over, wrongs]);
    }
    rows.push([sheet, 'screen', '', '', '', '', '', faults.filter((f) => f.sheet === sheet && f.by === 'screen').length]);
  }
  table(rows);
  const kinds = [...new Set(faults.map((f) => f.kind))].sort();
  if (kinds.length > 0) {
    table([['fault', 'count', 'visits'], ...kinds.map((kind) => {
      const of = faults.filter((f) => f.kind === kind);
      return [kind, of.length, new Set(of.map((f) => f.visit)).size];
    })]);
  }
  console.log(`${prints.length} prints, ${faults.length} faults`);
}

function table(rows) {
  const widths = rows[0].map((_, i) => Math.max(...rows.map((row) => String(row[i]).length)));
  console.log('');
  for (const row of rows) console.log(row.map((cell, i) => (i === 0 ? String(cell).padEnd(widths[i]) : String(cell).padStart(widths[i]))).join('  '));
}
