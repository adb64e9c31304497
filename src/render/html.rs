//! One self-contained page that prints well in black and white.

use super::Marks;
use crate::flow::harmless;
use crate::sheet::{Block, Document, Image, Letterhead};
use maud::{DOCTYPE, Markup, PreEscaped, html as page};

const STYLE: &str = "
:root { color-scheme: light }
body { overflow-wrap: anywhere; font: 15px/1.45 Georgia, 'Times New Roman', serif; color: #111; background: #fff; max-width: 46rem; margin: 1.5rem auto; padding: 0 1rem }
h1 { font-size: 1.6rem; margin: 0 0 .2rem } h2 { font-size: 1.15rem; border-bottom: 2px solid #111; margin: 1.6rem 0 .5rem; padding-bottom: .15rem; break-after: avoid }
h3 { font-size: 1rem; margin: .9rem 0 .2rem; break-after: avoid }
p { margin: .3rem 0 .5rem } .about { color: #333; margin: 0 } .source, .note, .because { color: #444; font-size: .86em }
.verdict { border: 3px solid #111; padding: .5rem .8rem; margin: 1rem 0; break-inside: avoid } .verdict strong { font-size: 1.35rem; display: block }
table { overflow-wrap: normal; border-collapse: collapse; width: 100%; margin: .4rem 0 .8rem; font-size: .92em } th, td { border-bottom: 1px solid #999; text-align: left; vertical-align: top; padding: .25rem .5rem .25rem 0 } th { border-bottom: 2px solid #111 } tr { break-inside: avoid } td.short { white-space: nowrap } .long { overflow-wrap: anywhere }
.picture, .chart { max-width: 44rem; break-inside: avoid } .compact .picture { float: right; width: 54%; margin: .2rem 0 .3rem 1rem } .compact h2, .compact ul.checks { overflow: hidden } .compact footer { margin-top: .15rem; padding-top: .05rem; font-size: .8em }
.finding, .question, .caution, li { break-inside: avoid } .finding { border-left: 4px solid #111; padding-left: .7rem; margin: .7rem 0 }
.mark { font-variant: small-caps; letter-spacing: .02em } ul.checks { list-style: none; padding: 0 } ul.checks > li { margin: .3rem 0; padding-left: 1.7rem; text-indent: -1.7rem } ul.checks > li > * { text-indent: 0 }
.box { display: inline-block; width: .8rem; height: .8rem; border: 1.5px solid #111; margin-right: .7rem; vertical-align: -.1rem }
.stop { border: 2px solid #111; padding: 0 .3rem; font-weight: bold; margin-right: .3rem } .who { font-weight: bold } .because { display: block }
.caution { border: 1px solid #111; padding: .3rem .6rem; margin: .4rem 0 } .blank { border-bottom: 1px solid #111; display: inline-block; width: 60%; height: 1.4rem }
dl { margin: .2rem 0 .6rem 1rem } dt { font-weight: bold } dd { margin: 0 0 .2rem 1rem } footer { border-top: 1px solid #111; margin-top: 2rem; padding-top: .4rem; font-size: .86em }
.letterhead { display: flex; gap: 1rem; align-items: center; border-bottom: 1px solid #111; margin-bottom: .6rem; padding-bottom: .4rem } .letterhead p { margin: 0 } .letterhead p:first-child { font-weight: bold } .letterhead img { width: auto; height: auto; max-width: 9rem; max-height: 3.2rem }
figure.photo { margin: .5rem 0; break-inside: avoid } figure.photo img { display: block; width: auto; height: auto; max-width: 100%; max-height: 24rem } figcaption { color: #444; font-size: .86em }
.note + .note { margin-top: -.3rem }
.compact { font-size: 13px } .compact table { font-size: .95em } .compact th, .compact td { padding: .05rem .4rem .05rem 0 } .compact h2 { margin: .4rem 0 .15rem; font-size: 1.05rem } .compact .note, .compact .about { display: inline-block; margin: 0 .9rem 0 0 } .compact .caution { border: 0; border-left: 3px solid #111; padding: 0 .5rem; margin: .25rem 0 } .compact .cautions { columns: 2; column-gap: 1rem } .compact ul.checks > li { margin: .04rem 0 } .compact ul.checks { margin: .1rem 0 .2rem } .compact h3 { margin: .4rem 0 .1rem } .compact .verdict { margin: .4rem 0; padding: .2rem .6rem }
@page { margin: 14mm 14mm }
@page site { margin: 7mm 9mm }
@media print { figure.photo img { max-height: 70mm } body { font-size: 9.8pt; margin: 0; max-width: none; padding: 0 } body.compact { font-size: 8.2pt; line-height: 1.17; page: site } .compact h1 { font-size: 1.4rem } .compact p { margin: .1rem 0 .2rem } .compact .blank { height: .9rem; width: 34% } .compact .write-in { display: inline-block; width: 49%; margin: .1rem 0 } h2 { margin-top: 1rem } dl { margin-bottom: .3rem } }
";

/// Cells up to this length stay on one line, such as a date or an amount.
const SHORT: usize = 14;

/// A word longer than this may break anywhere, so that it does not widen its table. Where all words may, columns come out
/// narrower than their words.
const LONG: usize = 24;

fn is_long(text: &str) -> bool {
    text.split(' ').any(|word| word.chars().count() > LONG)
}

/// Renders a document as a page.
#[must_use]
pub fn html(document: &Document, marks: &Marks) -> String {
    let markup = page! {
        (DOCTYPE)
        html lang=(document.lang) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                // by this wallfoot knows its own pages
                meta name="generator" content="wallfoot";
                title { (document.title) }
                style { (PreEscaped(STYLE)) }
            }
            body.compact[document.compact] {
                header {
                    @if let Some(letterhead) = &document.letterhead { (head(letterhead)) }
                    h1 { (document.title) }
                    @for about in &document.about { p.about { (about) } }
                }
                main {
                    @for run in document.blocks.chunk_by(|a, b| is_caution(a) && is_caution(b)) {
                        @if is_caution(&run[0]) { div.cautions { @for part in run { (block(part, marks)) } } }
                        @else { @for part in run { (block(part, marks)) } }
                    }
                }
                footer { (document.foot) }
            }
        }
    };
    harmless(&markup.into_string()).into_owned()
}

/// Whose sheet it is.
fn head(letterhead: &Letterhead) -> Markup {
    page! {
        div.letterhead {
            @if let Some(logo) = &letterhead.logo { (shown(logo, "")) }
            div { @for line in &letterhead.lines { p { (line) } } }
        }
    }
}

fn shown(image: &Image, alternative: &str) -> Markup {
    page! { img src=(image.uri) width=(image.width) height=(image.height) alt=(alternative); }
}

fn is_caution(block: &Block) -> bool {
    matches!(block, Block::Caution { .. })
}

fn paragraphs(text: &str) -> Markup {
    page! { @for part in text.split("\n\n") { p { (part) } } }
}

fn block(block: &Block, marks: &Marks) -> Markup {
    page! {
        @match block {
            Block::Verdict { label, text, .. } => div.verdict { strong { (label) } (text) },
            Block::Heading(text) => h2 { (text) },
            Block::Figure(text) => p { strong { (text) } },
            Block::Paragraph(text) => (paragraphs(text)),
            Block::Note(text) => p.note { (text) },
            Block::Table { head, rows } => table {
                thead { tr { @for cell in head { th.long[is_long(cell)] scope="col" { (cell) } } } }
                tbody { @for row in rows { tr { @for cell in row { td.short[cell.chars().count() <= SHORT].long[is_long(cell)] { (cell) } } } } }
            },
            Block::Picture(picture) => div.picture { (super::svg::markup(picture)) },
            Block::Chart(chart) => div.chart { h3 { (chart.title) } (super::chart::svg(chart)) p.note { (chart.drawn_note) } },
            Block::Legend(lines) => @for (mark, text) in lines { p.note { "[" (mark) "] " (text) } },
            Block::Finding { mark, title, body, source } => div.finding {
                h3 { @if !mark.is_empty() { span.mark { (mark) ": " } } (title) }
                @for text in body { (paragraphs(text)) }
                @if !source.is_empty() { p.source { (source) } }
            },
            Block::Numbered(points) => ol {
                @for point in points { li {
                    @if point.lines.is_empty() { (point.text) } @else { strong { (point.text) } }
                    @for line in &point.lines { p { (line) } }
                } }
            },
            Block::Checks(checks) => ul.checks {
                @for check in checks { li {
                    span.box {}
                    @if check.hold { span.stop { (marks.stop) } " " }
                    @if !check.who.is_empty() { span.who { (check.who) ": " } }
                    (check.text)
                    @if !check.because.is_empty() { span.because { (check.because) } }
                } }
            },
            Block::Question { ask, parts } => div.question {
                h3 { (ask) }
                dl { @for (label, lines) in parts { dt { (label) } @for line in lines { dd { (line) } } } }
            },
            Block::Caution { text, source } => div.caution { (text) @if !source.is_empty() { " " span.source { "(" (source) ")" } } },
            Block::Photo(photo) => figure.photo {
                @if let Some(image) = &photo.image { (shown(image, &photo.caption)) }
                figcaption { (photo.label) @if !photo.note.is_empty() { " " (photo.note) } }
            },
            Block::Blank(label) => p.write-in { (label) ": " span.blank {} },
        }
    }
}
