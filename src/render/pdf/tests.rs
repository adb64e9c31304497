//! What the typesetter makes of a document, read from the pages that it has set.

use super::letters::printable;
use super::{PaperSize, PdfError, data, pdf, press};
use crate::content::Verdict;
use crate::render::Marks;
use crate::sheet::{Bar, Block, Chart, Check, Document, Image, Lane, Letterhead, ListItem, PhotoBlock};
use typst::layout::{Frame, FrameItem, PagedDocument, Point};

/// Texts that would be something else if they were ever read as markup, code or a path.
const MARKUP: [&str; 12] = [
    "#import \"/etc/passwd\": *",
    "#panic()",
    "$ x^2 $",
    "*bold* _slanted_ `raw`",
    "@x <label>",
    "]#[ } { )",
    "= No heading",
    "- no point + no number / no term: x",
    "https://invented.example/x // no comment /* nor this */",
    "\\ \\u{1F600} ~ -- --- ...",
    "\"quoted\" 'twice'",
    "{{ x }} ${x} %s \\n",
];

fn marks() -> Marks {
    Marks { stop: "STOP".to_owned(), page: "Page {page} of {pages}".to_owned(), file: String::new() }
}

fn document(blocks: Vec<Block>) -> Document {
    Document {
        title: "A sheet".to_owned(),
        running: "Invented house".to_owned(),
        letterhead: None,
        about: vec!["Invented house".to_owned()],
        lang: "en".to_owned(),
        blocks,
        foot: "The end.".to_owned(),
    }
}

/// One block of each kind that has words, with this text at each place for one.
fn everywhere(text: &str) -> Vec<Block> {
    let t = || text.to_owned();
    vec![
        Block::Contents(t()),
        Block::Chapter(t()),
        Block::Verdict { verdict: Verdict::GoAhead, label: t(), text: t() },
        Block::Figure(t()),
        Block::Page,
        Block::Heading(t()),
        Block::Subheading(t()),
        Block::Paragraph(t()),
        Block::Note(t()),
        Block::Table { head: vec![t(), t()], rows: vec![vec![t(), t()], vec![t(), t()]] },
        Block::Legend(vec![("1".to_owned(), t())]),
        Block::Finding { mark: t(), title: t(), body: vec![t()], source: t() },
        Block::Numbered(vec![ListItem { text: t(), lines: vec![t()] }]),
        Block::Checks(vec![Check { who: t(), text: t(), because: t(), hold: true, blank: t() }]),
        Block::Question { ask: t(), parts: vec![(t(), vec![t()])], room: t() },
        Block::Caution { text: t(), source: t() },
        Block::Blank(t()),
        Block::Signatures(vec![t(), t()]),
    ]
}

/// How often the text stands in what [`everywhere`] gives; a chapter stands in the contents too.
const PLACES: usize = 36;

type Tried = Result<(), PdfError>;

fn set(document: &Document) -> Result<PagedDocument, PdfError> {
    press::set(&data::of(document, &marks(), PaperSize::A4))
}

/// What stands on the pages, with the place where each run ends.
fn runs(set: &PagedDocument) -> Vec<(String, f64)> {
    let mut found = Vec::new();
    for page in &set.pages {
        collect(&page.frame, Point::zero(), &mut found);
    }
    found
}

fn collect(frame: &Frame, at: Point, found: &mut Vec<(String, f64)>) {
    for (place, item) in frame.items() {
        match item {
            FrameItem::Group(group) => collect(&group.frame, at + *place, found),
            FrameItem::Text(text) => {
                found.push((text.text.to_string(), (at + *place).x.to_pt() + text.width().to_pt()))
            }
            _ => {}
        }
    }
}

/// All letters of the pages, without the spaces that a line break eats.
fn letters(set: &PagedDocument) -> String {
    bare(&runs(set).into_iter().map(|(text, _)| text).collect::<String>())
}

fn bare(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace() && *c != '\u{200b}').collect()
}

#[test]
fn no_text_is_taken_for_markup() -> Tried {
    for text in MARKUP {
        let set = letters(&set(&document(everywhere(text)))?);
        let found = set.matches(&bare(text)).count();
        assert_eq!(found, PLACES, "{text}");
    }
    Ok(())
}

#[test]
fn a_long_word_stays_on_the_paper() -> Tried {
    let long = "w".repeat(5000);
    for (blocks, least) in [(everywhere(&"w".repeat(300)), 300 * PLACES), (vec![Block::Paragraph(long)], 5000)] {
        let set = set(&document(blocks))?;
        let edge = set.pages[0].frame.width().to_pt();
        for (text, end) in runs(&set) {
            assert!(end < edge, "{text} ends at {end} of {edge}");
        }
        assert!(letters(&set).matches('w').count() >= least);
    }
    Ok(())
}

#[test]
fn what_no_font_has_is_shown_as_missing_and_the_sheet_is_made() {
    assert_eq!(printable("plain"), "plain");
    assert_eq!(printable("Señora Ñandú, 3 ½ – ok"), "Señora Ñandú, 3 ½ – ok");
    assert_eq!(printable("家\u{1f3e0}"), "□□");
    assert_eq!(printable("a\u{202e}b\u{200b}c\u{7}d\ne\u{ad}f"), "abcd ef");
    for text in ["\u{7}", "家と庭", "\u{1f3e0}\u{fe0f}", "\u{202e}drow", "\u{e000}", "مرحبا", "e\u{301}"] {
        let made = pdf(&document(everywhere(text)), &marks(), PaperSize::Letter);
        assert!(made.is_ok(), "{text:?}: {made:?}");
    }
}

#[test]
fn the_same_document_gives_the_same_bytes() -> Tried {
    let made = || pdf(&document(everywhere("Top of the stone 10 1/8 in below")), &marks(), PaperSize::Letter);
    let first = made()?;
    comemo::evict(0);
    assert_eq!(first, made()?);
    assert!(first.starts_with(b"%PDF-"));
    let has = |needle: &[u8]| first.windows(needle.len()).any(|part| part == needle);
    assert!(has(b"<pdfuaid:part>1</pdfuaid:part>"), "it says that it is made for everybody");
    assert!(!has(b"CreationDate") && !has(b"<xmp:CreateDate>"), "no clock");
    Ok(())
}

#[test]
fn papers_differ_and_every_page_has_its_number() -> Tried {
    let blocks = || (0..200).map(|i| Block::Paragraph(format!("Paragraph {i}"))).collect::<Vec<_>>();
    let mut sizes = Vec::new();
    for paper in [PaperSize::Letter, PaperSize::A4] {
        let set = press::set(&data::of(&document(blocks()), &marks(), paper))?;
        let pages = set.pages.len();
        assert!(pages > 2);
        for (i, page) in set.pages.iter().enumerate() {
            let mut found = Vec::new();
            collect(&page.frame, Point::zero(), &mut found);
            let text = bare(&found.into_iter().map(|(text, _)| text).collect::<String>());
            assert!(text.contains(&bare(&format!("Page {} of {pages}", i + 1))), "{text}");
            assert!(text.contains("Inventedhouse"), "{text}");
        }
        let size = set.pages[0].frame.size();
        sizes.push((size.x.to_pt().round(), size.y.to_pt().round()));
    }
    // US Letter is 612 by 792 points (8 1/2 x 11 in of 72 points), A4 595 by 842 (ISO 216: 210 x 297 mm)
    assert_eq!(format!("{sizes:?}"), "[(612.0, 792.0), (595.0, 842.0)]");
    Ok(())
}

#[test]
fn a_figure_does_not_break() -> Tried {
    // with each filling the break comes at another place
    for fill in 60..120 {
        let text = format!("{} 10 1/8 in below the mark", "i".repeat(fill).replace("iiii", "iii "));
        for (run, _) in runs(&set(&document(vec![Block::Paragraph(text)]))?) {
            let run = run.trim();
            assert!(!run.ends_with("10") && !run.ends_with("1/8") && !run.starts_with("1/8"), "{run}");
        }
    }
    Ok(())
}

#[test]
fn a_chart_keeps_its_words_in_the_picture() -> Tried {
    let bar = |number, start| Bar { number, what: "word ".repeat(30), start, work: 2, wait: 4, hold: true };
    let lanes = vec![Lane { name: "Crew".to_owned(), bars: (1..90).map(|n| bar(n, n as i64)).collect() }];
    let chart = Chart {
        title: "Order".to_owned(),
        shift: 8,
        day: "Day".to_owned(),
        note: String::new(),
        drawn_note: "Black is work.".to_owned(),
        lanes,
    };
    let set = set(&document(vec![Block::Chart(chart)]))?;
    assert!(set.pages.len() > 1, "a long chart goes on on another page");
    Ok(())
}

#[test]
fn a_letterhead_and_a_photograph_are_set() -> Tried {
    // one black dot
    const DOT: &str = "data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNgAAAAAgABSK+kcQAAAABJRU5ErkJggg==";
    let dot = || Image { uri: DOT.to_owned(), width: 1, height: 1 };
    let photo = |image| PhotoBlock {
        label: "foot.jpg".to_owned(),
        caption: String::new(),
        path: None,
        image,
        note: "It is not there.".to_owned(),
    };
    let mut document = document(vec![Block::Photo(photo(Some(dot()))), Block::Photo(photo(None))]);
    document.letterhead =
        Some(Letterhead { lines: vec!["Invented #Yard".to_owned(), "no phone".to_owned()], logo: Some(dot()) });
    let letters = letters(&set(&document)?);
    assert!(letters.starts_with("Invented") && letters.contains("Invented#Yardnophone"), "{letters}");
    assert_eq!(letters.matches("foot.jpgItisnotthere.").count(), 2);
    let bytes = pdf(&document, &marks(), PaperSize::A4)?;
    assert!(
        bytes.windows(14).filter(|part| *part == b"/Subtype/Image").count()
            + bytes.windows(15).filter(|part| *part == b"/Subtype /Image").count()
            >= 1
    );
    Ok(())
}

#[test]
fn the_press_sees_nothing_but_the_sheet() {
    for (code, _why) in [
        ("#read(\"/etc/hostname\")", "no file"),
        ("#import \"@preview/invented:1.0.0\": x", "no package"),
        ("#datetime.today()", "no clock"),
    ] {
        assert!(press::alone(code).is_err(), "{code}");
    }
    assert!(press::alone("#(1 + 1)").is_ok());
}
