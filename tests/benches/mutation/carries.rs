//! What a verdict rests on.

use crate::mutants::{Tree, Yaml};
use std::collections::BTreeSet;

/// Lists of which every row decides where water goes, or how exactly a height is known.
const ALWAYS: [&str; 6] = ["claddings", "features", "laps", "usual", "readings", "wood_lines"];

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
            let facts = rows("defined").filter(|row| row.get("name").and_then(Yaml::text).is_some_and(|n| read.contains(n)));
            let more: Vec<String> = facts.chain(rows("limits").filter(|row| read.contains(&limit(row))))
                .flat_map(|row| row.get("when").into_iter().flat_map(names))
                .collect();
            read.extend(more);
            if read.len() == before {
                return Carrying { read };
            }
        }
    }

    pub(crate) fn carries(&self, list: &str, row: &Yaml) -> bool {
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
        (name, _) => vec![name.to_owned()],
    };
    condition.entries().iter().flat_map(entry).collect()
}
