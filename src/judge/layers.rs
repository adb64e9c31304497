//! What the work is built of, also where an answer that chooses its layers is missing.

use crate::content::{Content, Layer};
use crate::flow::{QuestionKind, Slot, Truth, Value};
use crate::names::QuestionId;
use crate::units::Length;

/// A layer of the work.
#[derive(Debug, Clone, Copy)]
pub struct Laid<'c> {
    /// Which.
    pub layer: &'c Layer,
    /// Whether it is certainly there. One that may be there counts, so that digging is never told too shallow.
    pub certain: bool,
}

/// More sets of answers than this are not tried.
const MOST_SETS: usize = 512;

impl Content {
    /// The layers from the top down; nothing where nobody said what is built, or where it has none.
    ///
    /// What an answer leaves open is taken as the thickest that it may be: an unknown never shrinks the work.
    #[must_use]
    pub(crate) fn laid(&self, values: &[Value]) -> Option<Vec<Laid<'_>>> {
        let truths: Vec<Truth> = self.layers.iter().map(|l| l.when.eval(values)).collect();
        let mut open: Vec<Slot> = Vec::new();
        for (layer, _) in self.layers.iter().zip(&truths).filter(|(_, truth)| **truth == Truth::Unknown) {
            open.extend(layer.when.undecided_by(values));
        }
        open.sort_unstable();
        open.dedup();
        if open.iter().any(|slot| usize::from(*slot) == self.catalog.names.at(QuestionId::Feature)) {
            return None;
        }
        if open.is_empty() {
            let there = self.layers.iter().zip(truths).filter(|(_, truth)| truth.is_possible());
            let laid: Vec<Laid<'_>> = there.map(|(layer, _)| Laid { layer, certain: true }).collect();
            return (!laid.is_empty()).then_some(laid);
        }
        let mut tried = values.to_vec();
        let mut best: Option<(Length, Vec<bool>)> = None;
        let mut left = MOST_SETS;
        self.thickest(&open, &mut tried, &mut best, &mut left);
        let (_, there) = best?;
        let laid = self.layers.iter().zip(there).zip(truths).filter(|((_, there), _)| *there);
        let laid: Vec<Laid<'_>> =
            laid.map(|((layer, _), truth)| Laid { layer, certain: truth == Truth::Yes }).collect();
        (!laid.is_empty()).then_some(laid)
    }

    /// Tries every answer to the open questions.
    fn thickest(
        &self,
        open: &[Slot],
        tried: &mut Vec<Value>,
        best: &mut Option<(Length, Vec<bool>)>,
        left: &mut usize,
    ) {
        let Some((slot, rest)) = open.split_first() else {
            *left = left.saturating_sub(1);
            let there: Vec<bool> = self.layers.iter().map(|l| l.when.eval(tried).is_possible()).collect();
            let layers = self.layers.iter().zip(&there).filter(|(_, there)| **there);
            let together = layers.fold(Length::ZERO, |sum, (layer, _)| sum + layer.thickness);
            if best.as_ref().is_none_or(|(most, _)| together > *most) {
                *best = Some((together, there));
            }
            return;
        };
        let at = usize::from(*slot);
        let before = tried[at];
        for value in self.values_of(at) {
            if *left == 0 {
                break;
            }
            tried[at] = value;
            self.thickest(rest, tried, best, left);
        }
        tried[at] = before;
    }

    /// The values that a question may have, as far as layers can tell them apart.
    fn values_of(&self, number: usize) -> Vec<Value> {
        let Some(question) = self.flow.questions.get(number) else { return vec![Value::Unknown] };
        let count = question.choices.len();
        match question.kind {
            QuestionKind::OneOf => (0..count).map(Value::choice).collect(),
            QuestionKind::SeveralOf => std::iter::once(Value::Is(0)).chain((0..count).map(Value::choice)).collect(),
            QuestionKind::YesNo => vec![Value::yes_no(true), Value::yes_no(false)],
            _ => vec![Value::Unknown],
        }
    }

    /// How thick the layers of the work are together; nothing where they are not known.
    pub(crate) fn layers_together(&self, values: &[Value]) -> Option<Length> {
        let laid = self.laid(values)?;
        Some(laid.iter().fold(Length::ZERO, |sum, laid| sum + laid.layer.thickness))
    }
}
