//! The shipped content in small pieces, so that with one row changed only a small piece has to be read anew.

use crate::carries::Carrying;
use crate::mutants::{Kind, ROWS, Tree, Yaml, mutants};
use wallfoot::flow::{Diagnostics, Node, Source};

/// How many rows a piece has.
const ROWS_A_PIECE: usize = 6;

/// Rows of one list of one file, or what else a file holds.
struct Piece {
    file: String,
    content: Part,
    source: Source,
}

enum Part {
    /// Rows of a list.
    Rows { list: String, rows: Vec<Yaml> },
    /// A file with questions, whose list cannot be parted from the head of its section.
    Section { head: Vec<(String, Yaml)>, rows: Vec<Yaml> },
    /// What is not changed.
    Rest,
}

/// All of the content.
pub(crate) struct Shipped {
    pieces: Vec<Piece>,
}

/// The content with one thing changed.
#[derive(Debug)]
pub(crate) struct Changed {
    pub(crate) file: String,
    pub(crate) kind: Kind,
    /// The id of the row.
    pub(crate) row: String,
    pub(crate) what: String,
    /// The list of its row.
    pub(crate) list: String,
    /// Whether a verdict rests on it.
    pub(crate) carries: bool,
    place: usize,
    piece: usize,
    at: usize,
    new: Option<Yaml>,
}

impl Changed {
    /// Whether it can change a verdict at all: advice cannot, but questions that are not shown any more can.
    pub(crate) fn reaches_verdicts(&self) -> bool {
        self.carries || self.list == "questions"
    }

    /// `file:line kind row: what`.
    pub(crate) fn line(&self) -> String {
        format!("{}:{} {:?} {}: {}", self.file, self.place, self.kind, self.row, self.what)
    }
}

impl Shipped {
    pub(crate) fn read() -> Shipped {
        let mut pieces = Vec::new();
        for source in wallfoot::commands::sources(None, None).expect("the built-in files are there") {
            let mut diags = Diagnostics::default();
            let node = Node::read(&source, 0, &mut diags).expect("the built-in files are YAML");
            let tree = Yaml::of(&node, &source.text);
            let file = source.name.clone();
            let mut rest = Vec::new();
            let is_section = tree.get("section").is_some();
            for (list, value) in tree.entries() {
                match &value.tree {
                    _ if !ROWS.contains(&list.as_str()) => rest.push((list.clone(), value.clone())),
                    Tree::List(items) if is_section => {
                        let head = tree.entries().iter().filter(|(key, _)| key != list).cloned().collect();
                        pieces.push(Piece::new(&file, Part::Section { head, rows: items.clone() }));
                    }
                    Tree::List(items) => {
                        for rows in items.chunks(ROWS_A_PIECE) {
                            pieces.push(Piece::new(&file, Part::Rows { list: list.clone(), rows: rows.to_vec() }));
                        }
                    }
                    // one map is a list of one row
                    Tree::Map(_) | Tree::Text { .. } => {
                        let rows = vec![value.clone()];
                        pieces.push(Piece::new(&file, Part::Rows { list: list.clone(), rows }));
                    }
                }
            }
            if !is_section && !rest.is_empty() {
                let text = written(&Yaml::map(1, rest));
                pieces.push(Piece { file, content: Part::Rest, source: packed("rest.yaml", text) });
            }
        }
        Shipped { pieces }
    }

    /// The files of the content as it is, in pieces.
    pub(crate) fn unchanged(&self) -> Vec<Source> {
        self.pieces.iter().map(|piece| piece.source.clone()).collect()
    }

    /// The files with one thing changed.
    pub(crate) fn sources(&self, changed: &Changed) -> Vec<Source> {
        let mut sources = self.unchanged();
        let piece = &self.pieces[changed.piece];
        let (Part::Rows { rows, .. } | Part::Section { rows, .. }) = &piece.content else { return sources };
        let mut rows = rows.clone();
        match &changed.new {
            Some(new) => rows[changed.at] = new.clone(),
            None => drop(rows.remove(changed.at)),
        }
        sources[changed.piece] = Source::new("changed.yaml", piece.content.text(rows));
        sources
    }

    /// Everything that can be changed, in the order of files and lines.
    pub(crate) fn mutants(&self) -> Vec<Changed> {
        let rows = |piece: &'_ Piece| match &piece.content {
            Part::Rows { list, rows } => (list.clone(), rows.clone()),
            Part::Section { rows, .. } => ("questions".to_owned(), rows.clone()),
            Part::Rest => (String::new(), Vec::new()),
        };
        let lists: Vec<(String, Vec<Yaml>)> = self.pieces.iter().map(rows).collect();
        let carrying = Carrying::of(&lists);
        let mut all = Vec::new();
        for (piece, (list, rows)) in lists.iter().enumerate() {
            for (at, row) in rows.iter().enumerate() {
                let named = ["id", "name", "region", "joists", "over"].iter().find_map(|key| row.get(key)?.text());
                let id = named.unwrap_or(list).to_owned();
                for mutant in mutants(list, row) {
                    let carries = carrying.carries(list, row, mutant.kind, &mutant.what);
                    all.push(Changed {
                        file: self.pieces[piece].file.clone(),
                        kind: mutant.kind,
                        list: list.clone(),
                        row: id.clone(),
                        what: mutant.what,
                        carries,
                        place: mutant.line,
                        piece,
                        at,
                        new: mutant.row,
                    });
                }
            }
        }
        all
    }
}

impl Piece {
    fn new(file: &str, content: Part) -> Piece {
        let (Part::Rows { rows, .. } | Part::Section { rows, .. }) = &content else { unreachable!("it has rows") };
        let source = packed(file, content.text(rows.clone()));
        Piece { file: file.to_owned(), content, source }
    }
}

impl Part {
    /// The file of these rows.
    fn text(&self, rows: Vec<Yaml>) -> String {
        let (list, mut entries) = match self {
            Part::Rows { list, .. } => (list.as_str(), Vec::new()),
            Part::Section { head, .. } => ("questions", head.clone()),
            Part::Rest => return String::new(),
        };
        // the one list that is a map
        let value = match rows.first() {
            Some(row) if list == "readings" => row.clone(),
            _ => Yaml::list(1, rows),
        };
        entries.push((list.to_owned(), value));
        written(&Yaml::map(1, entries))
    }
}

fn written(tree: &Yaml) -> String {
    let mut text = String::new();
    tree.write(&mut text);
    text.push('\n');
    text
}

/// A file that need not be parsed again.
fn packed(name: &str, text: String) -> Source {
    // there are as many of them as the content has pieces, and all are needed to the end
    let source: &'static Source = Box::leak(Box::new(Source::new(name.to_owned(), text)));
    let node = Node::read(source, 0, &mut Diagnostics::default()).expect("what was written is YAML");
    Source { tree: Some(Box::leak(Box::new(node))), ..source.clone() }
}
