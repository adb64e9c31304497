//! Many conditions, and what makes most of them false at once.
//!
//! A rule for brick walls needs not be looked at where the wall is of stucco. Of each condition it is known which single tests it
//! cannot do without ([`Condition::demands`]). So for every choice of a question there is a mask with one bit a condition: whether
//! it may still be true with that choice. A few hundred masks, laid over each other, leave the few that have to be looked at.

use super::condition::{Condition, Test};
use super::value::Value;
use super::vocabulary::Slot;
use crate::pack::packed;
use std::collections::BTreeMap;

/// More choices than this are looked at together.
const BITS: usize = 63;

/// Conditions by number, with the masks of what they cannot do without.
#[derive(Debug, Clone, Default)]
pub struct Gates {
    /// How many conditions.
    count: usize,
    /// How many words a mask has.
    words: usize,
    names: Vec<Gate>,
    /// All masks, one behind the other.
    masks: Vec<u64>,
}

packed!(struct Gates { count, words, names, masks });

/// The masks of one name: where it is absent, where it has none of its choices, and for each choice.
#[derive(Debug, Clone, Copy)]
struct Gate {
    slot: Slot,
    /// Where its masks begin.
    first: usize,
    /// How many choices have a mask; none of a number, which may be anything.
    choices: usize,
}

packed!(struct Gate { slot, first, choices });

/// The conditions that are false where a name is absent, and those that are true for some of its choices only, as bits.
type Demanding = (Vec<usize>, Vec<(usize, i64)>);

/// A set of the numbers of conditions.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Bits {
    words: Vec<u64>,
}

packed!(struct Bits { words });

impl Bits {
    /// None of so many.
    #[must_use]
    pub fn none(count: usize) -> Bits {
        Bits { words: vec![0; count.div_ceil(64)] }
    }

    /// All of so many.
    #[must_use]
    pub fn all(count: usize) -> Bits {
        let mut bits = Bits { words: vec![u64::MAX; count.div_ceil(64)] };
        if let Some(last) = bits.words.last_mut().filter(|_| !count.is_multiple_of(64)) {
            *last = (1 << (count % 64)) - 1;
        }
        bits
    }

    /// Puts one in.
    pub fn insert(&mut self, number: usize) {
        self.words[number / 64] |= 1 << (number % 64);
    }

    /// Takes one out.
    pub fn remove(&mut self, number: usize) {
        self.words[number / 64] &= !(1 << (number % 64));
    }

    /// Whether one is in it.
    #[must_use]
    pub fn has(&self, number: usize) -> bool {
        self.words.get(number / 64).is_some_and(|word| word & 1 << (number % 64) != 0)
    }

    /// Leaves those that are in the other too.
    pub fn keep(&mut self, others: &Bits) {
        for (word, other) in self.words.iter_mut().zip(&others.words) {
            *word &= other;
        }
    }

    /// Takes in those of the other.
    pub fn add(&mut self, others: &Bits) {
        self.add_words(&others.words);
    }

    /// Takes in what is given as bits, 64 a word.
    pub(crate) fn add_words(&mut self, others: &[u64]) {
        for (word, other) in self.words.iter_mut().zip(others) {
            *word |= other;
        }
    }

    /// Takes all out.
    pub fn clear(&mut self) {
        self.words.fill(0);
    }

    /// The least that is not less than this one.
    #[must_use]
    pub fn next(&self, from: usize) -> Option<usize> {
        let (at, within) = (from / 64, from % 64);
        let first = self.words.get(at)? & (u64::MAX << within);
        if first != 0 {
            return Some(at * 64 + first.trailing_zeros() as usize);
        }
        let more = self.words[at + 1..].iter().position(|word| *word != 0)? + at + 1;
        Some(more * 64 + self.words[more].trailing_zeros() as usize)
    }

    /// All of them, from the least.
    pub fn iter(&self) -> impl Iterator<Item = usize> + '_ {
        self.words.iter().enumerate().flat_map(|(at, word)| {
            let mut word = *word;
            std::iter::from_fn(move || {
                let bit = (word != 0).then(|| word.trailing_zeros() as usize)?;
                word &= word - 1;
                Some(at * 64 + bit)
            })
        })
    }
}

impl Gates {
    /// The masks of conditions; `must_be` names for each the values that must not be absent besides.
    #[must_use]
    pub fn of<'a>(conditions: impl Iterator<Item = (&'a Condition, Option<Slot>)>) -> Gates {
        // by name: which conditions are false where it is absent, and for which choices each may be true
        let mut found: BTreeMap<Slot, Demanding> = BTreeMap::new();
        let mut count = 0;
        for (number, (when, must_be)) in conditions.enumerate() {
            count = number + 1;
            for (slot, test) in when.demands() {
                let (absent, choices) = found.entry(slot).or_default();
                match test {
                    Test::Known(false) => {}
                    Test::Any(bits) => {
                        absent.push(number);
                        // of two marks each may do for one of its demands: only the first is told
                        if choices.last().is_none_or(|(last, _)| *last != number) {
                            choices.push((number, bits));
                        }
                    }
                    _ => absent.push(number),
                }
            }
            if let Some(slot) = must_be {
                found.entry(slot).or_default().0.push(number);
            }
        }
        let words = count.div_ceil(64);
        let all = Bits::all(count);
        let mut gates = Gates { count, words, names: Vec::with_capacity(found.len()), masks: Vec::new() };
        for (slot, (absent, choices)) in found {
            let most = choices.iter().fold(0, |all, (_, bits)| all | bits);
            let rows = if choices.is_empty() { 0 } else { (64 - most.leading_zeros() as usize).min(BITS) };
            let first = gates.masks.len();
            let mut masks = vec![all.clone(); if rows == 0 { 1 } else { rows + 2 }];
            for number in absent {
                masks[0].remove(number);
            }
            for (number, bits) in choices {
                masks[1].remove(number);
                for (_, mask) in masks[2..].iter_mut().enumerate().filter(|(row, _)| bits & 1 << row == 0) {
                    mask.remove(number);
                }
            }
            gates.masks.extend(masks.into_iter().flat_map(|mask| mask.words));
            gates.names.push(Gate { slot, first, choices: rows });
        }
        gates
    }

    /// The conditions that may be true, or unknown, with these values: all others are certainly false.
    #[must_use]
    pub fn open(&self, values: &[Value]) -> Bits {
        let mut open = Bits::all(self.count);
        for gate in &self.names {
            let row = match values.get(usize::from(gate.slot)) {
                Some(Value::Absent) => 0,
                Some(Value::Is(n)) if gate.choices > 0 => {
                    let bit = n.trailing_zeros() as usize;
                    match n.count_ones() {
                        1 if bit < gate.choices => bit + 2,
                        0 | 1 => 1,
                        _ => {
                            self.close_for_several(gate, *n, &mut open);
                            continue;
                        }
                    }
                }
                _ => continue,
            };
            for (word, mask) in open.words.iter_mut().zip(self.mask(gate, row)) {
                *word &= mask;
            }
        }
        open
    }

    /// Several choices are marked: what may be true with one of them may be true.
    fn close_for_several(&self, gate: &Gate, marked: i64, open: &mut Bits) {
        let rows = (0..gate.choices).filter(|row| marked & 1 << row != 0);
        let mut may = self.mask(gate, 1).to_vec();
        for row in rows {
            for (word, mask) in may.iter_mut().zip(self.mask(gate, row + 2)) {
                *word |= mask;
            }
        }
        for (word, mask) in open.words.iter_mut().zip(may) {
            *word &= mask;
        }
    }

    fn mask(&self, gate: &Gate, row: usize) -> &[u64] {
        let from = gate.first + row * self.words;
        &self.masks[from..from + self.words]
    }
}
