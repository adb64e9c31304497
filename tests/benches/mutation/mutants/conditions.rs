//! What can be changed in a condition.

use super::kinds::{Kind, Spot};
use super::tree::{Tree, Yaml};
use super::unit::moved;

/// The comparisons, each with what differs from it on the figure only, and what says the opposite of it.
const COMPARISONS: [(&str, &str, &str); 4] = [
    ("below", "at_most", "at_least"),
    ("at_most", "below", "above"),
    ("above", "at_least", "at_most"),
    ("at_least", "above", "below"),
];

/// All changes of a condition: of the whole, of each part, of each test.
pub(super) fn changes(condition: &Yaml) -> Vec<Spot> {
    let mut spots = Vec::new();
    let mut path = Vec::new();
    group(condition, condition, &mut path, true, &mut spots);
    spots
}

/// The changes of one map of tests. `alone` says whether its opposite is a change of its own, and not that of what stands
/// around it.
fn group(whole: &Yaml, map: &Yaml, path: &mut Vec<usize>, alone: bool, spots: &mut Vec<Spot>) {
    let entries = map.entries();
    if alone {
        let (line, shown) = (map.line, map.shown());
        let not = whole.with(path, Some(opposite(map)));
        spots.push(Spot::new(Kind::Negated, line, format!("not {shown}"), not));
    }
    for (at, (key, value)) in entries.iter().enumerate() {
        // with one entry the map is the entry
        if entries.len() > 1 {
            let mut rest = map.clone();
            if let Tree::Map(entries) = &mut rest.tree {
                entries.remove(at);
            }
            let entry = Yaml::map(value.line, vec![(key.clone(), value.clone())]);
            let all = vec![rest, opposite(&entry)];
            let both = Yaml::map(map.line, vec![("all".to_owned(), Yaml::list(map.line, all))]);
            let spot =
                Spot::new(Kind::Negated, value.line, format!("not {}", entry.shown()), whole.with(path, Some(both)));
            spots.push(spot);
        }
        path.push(at);
        match key.as_str() {
            "all" | "any" => {
                let items = value.items();
                for (at, item) in items.iter().enumerate() {
                    path.push(at);
                    group(whole, item, path, items.len() > 1, spots);
                    path.pop();
                }
            }
            // the opposite of what stands behind a "not" is that of the "not"
            "not" => group(whole, value, path, false, spots),
            name => test(whole, name, value, path, spots),
        }
        path.pop();
    }
}

/// The opposite of a condition: of one that begins with "not", what stands behind it.
fn opposite(condition: &Yaml) -> Yaml {
    match condition.entries() {
        [(key, inner)] if key == "not" => inner.clone(),
        _ => Yaml::map(condition.line, vec![("not".to_owned(), condition.clone())]),
    }
}

/// The changes of one test.
fn test(whole: &Yaml, name: &str, value: &Yaml, path: &mut Vec<usize>, spots: &mut Vec<Spot>) {
    match &value.tree {
        Tree::List(items) if items.len() > 1 => {
            for (at, item) in items.iter().enumerate() {
                path.push(at);
                let what = format!("{name} without {}", item.shown());
                spots.push(Spot::new(Kind::Shortened, item.line, what, whole.with(path, None)));
                path.pop();
            }
        }
        Tree::Map(comparisons) => {
            for (at, (word, figure)) in comparisons.iter().enumerate() {
                let Some((_, edge, reversed)) = COMPARISONS.iter().find(|(w, ..)| w == word) else { continue };
                let text = figure.text().unwrap_or_default();
                path.push(at);
                for to in moved(text).into_iter().flatten() {
                    let what = format!("{name} {word} {text}: {to}");
                    let changed = whole.with(path, Some(Yaml::plain(figure.line, to)));
                    spots.push(Spot::new(Kind::Threshold, figure.line, what, changed));
                }
                for (kind, to) in [(Kind::Edge, edge), (Kind::Reversed, reversed)] {
                    let what = format!("{name} {word} {text}: {to}");
                    spots.push(Spot::new(kind, figure.line, what, whole.renamed(path, to)));
                }
                path.pop();
            }
        }
        Tree::Text { .. } | Tree::List(_) => {}
    }
}
