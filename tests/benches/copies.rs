//! The shipped content several times over: each copy of its questions and rules hangs on a question of its own.

use std::collections::BTreeSet;
use std::fmt::Write;
use wallfoot::flow::{Diagnostics, Node, Source, Tree};

/// What stays one, as the program computes with it: every copy hangs on the same.
const SHARED: [&str; 4] = ["region", "stage", "feature", "cladding"];

/// The lists that are copied, the field that is a row's name, and the word before that name where promises use it.
const LISTS: [(&str, &str, &str); 9] = [
    ("defined", "name", ""),
    ("limits", "id", "limit"),
    ("findings", "id", "finding"),
    ("tasks", "id", "task"),
    ("contractor", "id", "ask"),
    ("trades", "id", "trade"),
    ("cautions", "id", "caution"),
    ("materials", "id", ""),
    ("promises", "id", ""),
];

/// The shipped files, and files with so many copies of their rows in all.
pub(crate) fn copied(times: usize) -> Vec<Source> {
    let mut all = wallfoot::commands::sources(None, None).unwrap();
    let texts: Vec<Source> = all.iter().map(|source| Source { tree: None, ..source.clone() }).collect();
    let mut diags = Diagnostics::default();
    let docs: Vec<Node<'_>> = texts.iter().filter_map(|source| Node::read(source, 0, &mut diags)).collect();
    let mut names = Names::default();
    for doc in &docs {
        names.note(doc);
    }
    let mut more = Vec::new();
    for copy in 1..times {
        let mut copying = Copying { names: &names, copy, text: String::new() };
        for doc in &docs {
            copying.file(doc);
        }
        let gate = format!(
            "section: copy_{copy}\ntitle: Copy\norder: 1\nquestions:\n  - id: copy_{copy}\n    short: Copy\n    ask: Is it a copy?\n    \
             why: It is.\n    how: Look.\n    kind: yes_no\n"
        );
        more.push(Source::new(format!("flows/copy_{copy}.yaml"), gate));
        for (nth, text) in copying.text.split_terminator('\u{c}').enumerate() {
            more.push(Source::new(format!("copies/{copy}-{nth}.yaml"), text.to_owned()));
        }
    }
    all.extend(more);
    all
}

/// The names that get another ending in a copy.
#[derive(Default)]
struct Names {
    questions: BTreeSet<String>,
    defined: BTreeSet<String>,
    /// With their kinds: `finding.wiring_wet`.
    rows: BTreeSet<String>,
}

impl Names {
    fn note(&mut self, doc: &Node<'_>) {
        let Tree::Map(entries) = &doc.tree else { return };
        for (key, node) in entries {
            let Tree::List(items) = &node.tree else { continue };
            if key.text == "questions" {
                for item in items {
                    self.question(item);
                }
            } else if let Some((list, field, kind)) = LISTS.iter().find(|(list, ..)| *list == key.text) {
                for item in items.iter().filter(|item| is_copied(item)) {
                    let name = field_of(item, field).and_then(Node::text).unwrap_or_default().to_owned();
                    if *list == "defined" {
                        self.defined.insert(name);
                    } else {
                        self.rows.insert(format!("{kind}.{name}"));
                    }
                }
            }
        }
    }

    /// A question and those that stand below it.
    fn question(&mut self, node: &Node<'_>) {
        match &node.tree {
            Tree::Map(entries) => {
                if is_shared(node) {
                    return;
                }
                if let (Some(_), Some(id)) = (field_of(node, "kind"), field_of(node, "id").and_then(Node::text)) {
                    self.questions.insert(id.to_owned());
                }
                for (_, node) in entries {
                    self.question(node);
                }
            }
            Tree::List(items) => items.iter().for_each(|item| self.question(item)),
            Tree::Scalar { .. } => {}
        }
    }
}

fn field_of<'n, 'a>(node: &'n Node<'a>, name: &str) -> Option<&'n Node<'a>> {
    let Tree::Map(entries) = &node.tree else { return None };
    entries.iter().find(|(key, _)| key.text == name).map(|(_, node)| node)
}

/// Rows that the program itself sees, and rows that go by years, are there once.
fn is_copied(row: &Node<'_>) -> bool {
    field_of(row, "guard").is_none() && field_of(row, "eras").is_none()
}

/// A copy that is being written, in the form of JSON, which is YAML too.
struct Copying<'n> {
    names: &'n Names,
    copy: usize,
    /// The files, each with a form feed behind it.
    text: String,
}

impl Copying<'_> {
    fn file(&mut self, doc: &Node<'_>) {
        let Tree::Map(entries) = &doc.tree else { return };
        let is_flow = field_of(doc, "section").is_some();
        for (key, node) in entries {
            let Tree::List(items) = &node.tree else { continue };
            if key.text == "questions" && is_flow {
                let order: usize =
                    field_of(doc, "order").and_then(Node::text).and_then(|n| n.parse().ok()).unwrap_or(0);
                let id = field_of(doc, "section").and_then(Node::text).unwrap_or_default();
                let order = order + 1000 * self.copy;
                let _ = write!(
                    self.text,
                    "{{\"section\": \"{id}_{0}\", \"title\": \"Copy\", \"order\": {order}, ",
                    self.copy
                );
                self.list("questions", items.iter().filter(|item| !is_shared(item)), Self::question);
            } else if LISTS.iter().any(|(list, ..)| *list == key.text) {
                self.text.push('{');
                self.list(&key.text, items.iter().filter(|item| is_copied(item)), Self::row);
            }
        }
    }

    fn list<'n, 'a: 'n>(
        &mut self,
        name: &str,
        items: impl Iterator<Item = &'n Node<'a>>,
        write: impl Fn(&mut Self, &Node<'_>),
    ) {
        let _ = write!(self.text, "\"{name}\": [");
        for item in items {
            write(self, item);
            self.text.push_str(",\n");
        }
        self.text.push_str("]}\u{c}");
    }

    /// The name in this copy.
    fn named(&self, name: &str) -> String {
        format!("{name}_copy_{}", self.copy)
    }

    /// The name of something that is copied, or as it is.
    fn renamed(&self, name: &str) -> String {
        let names = self.names;
        let copied = names.questions.contains(name) || names.defined.contains(name) || names.rows.contains(name);
        if copied { self.named(name) } else { name.to_owned() }
    }

    fn question(&mut self, node: &Node<'_>) {
        self.question_at(node, true);
    }

    fn question_at(&mut self, node: &Node<'_>, top: bool) {
        let Tree::Map(entries) = &node.tree else { return self.plain(node) };
        self.text.push('{');
        for (key, node) in entries {
            let _ = write!(self.text, "\"{}\": ", key.text);
            match key.text.as_ref() {
                "id" => self.name(node),
                "show_when" if top => self.gated(Some(node)),
                "show_when" => self.condition(node),
                "at_once" | "needs" | "then" | "when_yes" | "when_no" => self.below(node),
                "choices" => self.choices(node),
                _ => self.plain(node),
            }
            self.text.push_str(", ");
        }
        if top && field_of(node, "show_when").is_none() {
            self.text.push_str("\"show_when\": ");
            self.gated(None);
        }
        self.text.push('}');
    }

    fn choices(&mut self, node: &Node<'_>) {
        let Tree::List(items) = &node.tree else { return self.plain(node) };
        self.text.push('[');
        for item in items {
            let Tree::Map(entries) = &item.tree else { continue };
            self.text.push('{');
            for (key, node) in entries {
                let _ = write!(self.text, "\"{}\": ", key.text);
                if key.text == "then" {
                    self.below(node);
                } else {
                    self.plain(node);
                }
                self.text.push_str(", ");
            }
            self.text.push_str("}, ");
        }
        self.text.push(']');
    }

    /// Questions by their names, or as they stand there.
    fn below(&mut self, node: &Node<'_>) {
        let Tree::List(items) = &node.tree else { return self.name_of_question(node) };
        self.text.push('[');
        for item in items {
            match &item.tree {
                Tree::Map(_) => self.question_at(item, false),
                _ => self.name_of_question(item),
            }
            self.text.push_str(", ");
        }
        self.text.push(']');
    }

    fn name_of_question(&mut self, node: &Node<'_>) {
        let name = self.renamed(node.text().unwrap_or_default());
        let _ = write!(self.text, "\"{name}\"");
    }

    fn name(&mut self, node: &Node<'_>) {
        let name = self.named(node.text().unwrap_or_default());
        let _ = write!(self.text, "\"{name}\"");
    }

    fn row(&mut self, node: &Node<'_>) {
        let Tree::Map(entries) = &node.tree else { return self.plain(node) };
        self.text.push('{');
        // what a task sets is set once, in the order of the laps
        for (key, node) in entries.iter().filter(|(key, _)| key.text != "sets") {
            let _ = write!(self.text, "\"{}\": ", key.text);
            match key.text.as_ref() {
                "id" | "name" => self.name(node),
                "when" => self.gated(Some(node)),
                "holds" => self.condition(node),
                "told_by" | "not_together" => self.below(node),
                "measure" => self.name_of_question(node),
                _ => self.plain(node),
            }
            self.text.push_str(", ");
        }
        if field_of(node, "when").is_none() {
            self.text.push_str("\"when\": ");
            self.gated(None);
        }
        self.text.push('}');
    }

    /// A condition behind the question of this copy.
    fn gated(&mut self, node: Option<&Node<'_>>) {
        let _ = write!(self.text, "{{\"all\": [{{\"copy_{}\": true}}, ", self.copy);
        if let Some(node) = node {
            self.condition(node);
        }
        self.text.push_str("]}");
    }

    fn condition(&mut self, node: &Node<'_>) {
        match &node.tree {
            Tree::Map(entries) => {
                self.text.push('{');
                for (key, node) in entries {
                    let _ = write!(self.text, "\"{}\": ", self.renamed(&key.text));
                    if matches!(key.text.as_ref(), "all" | "any" | "not") {
                        self.condition(node);
                    } else {
                        self.plain(node);
                    }
                    self.text.push_str(", ");
                }
                self.text.push('}');
            }
            Tree::List(items) => {
                self.text.push('[');
                for item in items {
                    self.condition(item);
                    self.text.push_str(", ");
                }
                self.text.push(']');
            }
            Tree::Scalar { .. } => self.plain(node),
        }
    }

    /// As it stands.
    fn plain(&mut self, node: &Node<'_>) {
        match &node.tree {
            Tree::Scalar { text, quoted } => {
                let bare = !quoted && (text == "true" || text == "false" || text.parse::<f64>().is_ok());
                let _ = if bare { write!(self.text, "{text}") } else { write!(self.text, "{text:?}") };
            }
            Tree::List(items) => {
                self.text.push('[');
                for item in items {
                    self.plain(item);
                    self.text.push_str(", ");
                }
                self.text.push(']');
            }
            Tree::Map(entries) => {
                self.text.push('{');
                for (key, node) in entries {
                    let _ = write!(self.text, "\"{}\": ", key.text);
                    self.plain(node);
                    self.text.push_str(", ");
                }
                self.text.push('}');
            }
        }
    }
}

/// A question that is there once.
fn is_shared(question: &Node<'_>) -> bool {
    field_of(question, "id").and_then(Node::text).is_some_and(|id| SHARED.contains(&id))
}
