//! What a verdict rests on.

use crate::mutants::{Kind, Tree, Yaml};
use std::collections::BTreeSet;

/// Lists of which every row decides where water goes, or how exactly a height is known.
const ALWAYS: [&str; 6] = ["claddings", "features", "laps", "usual", "readings", "wood_lines"];
/// Traits that only rules read, and not the trace.
const FOR_RULES: [&str; 2] = ["is", "lifts"];

/// The names that rules with a verdict read, by way of defined facts and limits too.
pub(crate) struct Carrying {
    read: BTreeSet<String>,
}

impl Carrying {
    pub(crate) fn of(lists: &[(String, Vec<Yaml>)]) -> Carrying {
        let rows = |list: &'static str| lists.iter().filter(move |(l, _)| l == list).flat_map(|(_, rows)| rows);
        let mut read = BTreeSet::new();
        let carry = rows("findings").chain(rows("limits")).filter(|row| row.get("verdict").is_some());
        for row in carry {
            read.extend(row.get("when").into_iter().flat_map(names));
        }
        loop {
            let before = read.len();
            let facts =
                rows("defined").filter(|row| row.get("name").and_then(Yaml::text).is_some_and(|n| read.contains(n)));
            let more: Vec<String> = facts
                .chain(rows("limits").filter(|row| read.contains(&limit(row))))
                .flat_map(|row| row.get("when").into_iter().flat_map(names))
                .collect();
            read.extend(more);
            if read.len() == before {
                return Carrying { read };
            }
        }
    }

    /// Whether a verdict rests on what a mutant of a row changes.
    pub(crate) fn carries(&self, list: &str, row: &Yaml, kind: Kind, what: &str) -> bool {
        let mut words = what.split(' ');
        let (field, word) = (words.next().unwrap_or_default(), what.rsplit(' ').next().unwrap_or_default());
        match (list, kind) {
            // what lies before what decides where water goes; how thick it is taken to be shows in the drawing
            ("usual", Kind::Figure) => return false,
            ("claddings" | "features", Kind::Trait) if field == "drawn" => return false,
            ("claddings" | "features", Kind::Trait) if FOR_RULES.contains(&field) => {
                let name = format!("{}.{field}", list.trim_end_matches('s'));
                return self.read.contains(&if field == "is" { format!("{name}={word}") } else { name });
            }
            _ => {}
        }
        let names = |key: &str| row.get(key).and_then(Yaml::text).is_some_and(|name| self.read.contains(name));
        match list {
            "findings" => row.get("verdict").is_some(),
            "limits" => row.get("verdict").is_some() || self.read.contains(&limit(row)),
            "defined" => names("name"),
            "eras" => names("of"),
            list => ALWAYS.contains(&list),
        }
    }
}

/// The name of a limit in conditions.
fn limit(row: &Yaml) -> String {
    format!("limit.{}", row.get("id").and_then(Yaml::text).unwrap_or_default())
}

/// The names that a condition reads.
fn names(condition: &Yaml) -> Vec<String> {
    let entry = |(key, value): &(String, Yaml)| match (key.as_str(), &value.tree) {
        ("all" | "any", Tree::List(items)) => items.iter().flat_map(names).collect(),
        ("not", _) => names(value),
        (name, _) => {
            // `cladding.is` with the words that are asked for
            let words = value.items().iter().chain([value]).filter_map(Yaml::text);
            words.map(|word| format!("{name}={word}")).chain([name.to_owned()]).collect()
        }
    };
    condition.entries().iter().flat_map(entry).collect()
}
