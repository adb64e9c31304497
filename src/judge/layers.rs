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
        let mut trying = Thickest {
            content: self,
            // all others stay as they are, whatever is answered
            layers: (0..truths.len()).filter(|at| truths[*at] == Truth::Unknown).collect(),
            tried: values.to_vec(),
            there: Vec::new(),
            best: None,
            left: MOST_SETS,
        };
        trying.try_all(&open);
        let (_, maybe) = trying.best?;
        let there = |at: &usize| truths[*at] == Truth::Yes || maybe.contains(at);
        let laid = self.layers.iter().zip(&truths).enumerate().filter(|(at, _)| there(at));
        let laid: Vec<Laid<'_>> =
            laid.map(|(_, (layer, truth))| Laid { layer, certain: *truth == Truth::Yes }).collect();
        (!laid.is_empty()).then_some(laid)
    }

    /// The values that a question may have, as far as layers can tell them apart.
    fn values_of(&self, number: usize) -> Vec<Value> {
        let Some(question) = self.flow.questions.get(number) else {
            return vec![Value::Unknown];
        };
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

/// Every answer to the open questions, tried for the thickest layers.
struct Thickest<'c> {
    content: &'c Content,
    /// The layers that hang on the open questions.
    layers: Vec<usize>,
    tried: Vec<Value>,
    /// Those of them that are there with what is tried.
    there: Vec<usize>,
    /// The thickest, and which layers that are.
    best: Option<(Length, Vec<usize>)>,
    /// How many sets of answers may still be tried.
    left: usize,
}

impl Thickest<'_> {
    fn try_all(&mut self, open: &[Slot]) {
        let Some((slot, rest)) = open.split_first() else {
            self.left = self.left.saturating_sub(1);
            let rows = &self.content.layers;
            self.there.clear();
            self.there.extend(self.layers.iter().filter(|at| rows[**at].when.eval(&self.tried).is_possible()));
            let together = self.there.iter().fold(Length::ZERO, |sum, at| sum + rows[*at].thickness);
            if self.best.as_ref().is_none_or(|(most, _)| together > *most) {
                self.best = Some((together, self.there.clone()));
            }
            return;
        };
        let at = usize::from(*slot);
        let before = self.tried[at];
        for value in self.content.values_of(at) {
            if self.left == 0 {
                break;
            }
            self.tried[at] = value;
            self.try_all(rest);
        }
        self.tried[at] = before;
    }
}
