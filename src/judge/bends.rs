//! Where heights bend along one number: another place along the wall becomes the worst one there, or another reading the higher one.
//!
//! Only answers and facts are computed for that, and no rule is looked at.

use crate::flow::{FAR, Value};
use crate::site::{FACTS, FactKind};
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

/// How many bends are looked for along one number.
const MOST_BENDS: usize = 24;

/// Within so many steps of a length nothing is looked for: 0.2 mm.
const LEAST: i64 = 64;

/// By how many steps of a length what is rounded may lie off a straight line.
const ROUNDED: i128 = 3;

/// The share of a stretch over which it is seen how a height goes on from an end.
const SHARE: i64 = 64;

/// Numbers at which a fact bends, and which fact, by its slot.
pub(crate) type Bends = Rc<[(i64, usize)]>;

/// What was computed along a number: the values of answers and facts at each place.
pub(crate) type Known = BTreeMap<i64, Vec<Value>>;

/// The bends of those facts that `counts` between two numbers. `facts` gives the values of answers and facts at a number, the first
/// fact at `first`; what is `known` is not computed again.
pub(crate) fn bends(
    (low, high): (i64, i64),
    first: usize,
    counts: &dyn Fn(usize) -> bool,
    known: &mut Known,
    facts: &dyn Fn(i64) -> Vec<Value>,
) -> Bends {
    let (mut found, mut places) = (BTreeSet::new(), 0);
    let heights = FACTS
        .iter()
        .enumerate()
        .filter(|(_, fact)| matches!(fact.kind, FactKind::Height(..) | FactKind::OverFinish | FactKind::Length));
    let slots: Vec<usize> = heights.map(|(at, _)| first + at).filter(|slot| counts(*slot)).collect();
    if slots.is_empty() {
        return Bends::from([]);
    }
    let mut todo = vec![(low, high)];
    while let Some((low, high)) = todo.pop() {
        if high - low < LEAST || places >= MOST_BENDS {
            continue;
        }
        let beside = ((high - low) / SHARE).max(1);
        let five = [low, low + beside, low + (high - low) / 2, high - beside, high];
        for n in five {
            known.entry(n).or_insert_with(|| facts(n));
        }
        let values = five.map(|n| (n, known[&n].as_slice()));
        let bent: Vec<(i64, usize)> = slots.iter().filter_map(|slot| Some((bend(&values, *slot)?, *slot))).collect();
        let Some((at, _)) = bent.first().copied() else { continue };
        // what bends elsewhere in the stretch may bend here too
        places += 1;
        found.extend(bent.into_iter().flat_map(|(_, slot)| [(at, slot), (at + 1, slot)]));
        todo.extend([(low, at), (at + 1, high)]);
    }
    found.into_iter().collect()
}

/// Where a fact, computed at five places of a stretch, bends within it; nothing where it is straight, but for what is rounded.
fn bend(five: &[(i64, &[Value]); 5], slot: usize) -> Option<i64> {
    [Value::low, Value::high].into_iter().find_map(|end| {
        let known = |(n, values): &(i64, &[Value])| {
            end(values[slot]).filter(|value| value.abs() < FAR).map(|value| (i128::from(*n), i128::from(value)))
        };
        let places = five.each_ref().map(known);
        let [first, after, middle, before, last] = [places[0]?, places[1]?, places[2]?, places[3]?, places[4]?];
        let long = last.0 - first.0;
        // how far a value lies from the straight line, by the length of the stretch
        let off = |n: (i128, i128)| ((n.1 - first.1) * long - (last.1 - first.1) * (n.0 - first.0)).abs();
        if [after, middle, before].into_iter().all(|n| off(n) <= ROUNDED * long) {
            return None;
        }
        let (there, back, by) = (after.1 - first.1, last.1 - before.1, after.0 - first.0);
        let meet = (there != back).then(|| first.0 + ((last.1 - first.1) * by - back * long) / (there - back));
        let at = meet.filter(|n| (first.0 + 1..last.0 - 1).contains(n)).unwrap_or(middle.0);
        i64::try_from(at).ok()
    })
}
