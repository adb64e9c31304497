//! Filling the placeholders of content texts with the numbers of a visit.

use crate::content::Content;
use crate::flow::{FAR, Kind, Slot, Value, fill, show_thousandths};
use crate::judge::Assessment;
use crate::names::QuestionId;
use crate::site::FactId;
use crate::units::{Length, Slope};

impl Content {
    /// A word with local placeholders.
    #[must_use]
    pub fn word_with(&self, key: &str, values: &[(&str, &str)]) -> String {
        fill(self.word(key), &|name| values.iter().find(|(n, _)| *n == name).map(|(_, v)| (*v).to_owned()))
    }
}

impl Assessment<'_> {
    /// A content text with its placeholders filled in, in the units of the visit.
    #[must_use]
    pub fn fill(&self, text: &str) -> String {
        fill(text, &|name| self.named(name))
    }

    /// A word of the content with local placeholders.
    #[must_use]
    pub fn word_with(&self, key: &str, values: &[(&str, &str)]) -> String {
        self.content.word_with(key, values)
    }

    /// The value of a slot as the user reads it; nothing if it is not known.
    #[must_use]
    pub fn show(&self, slot: Slot, number: i64) -> String {
        match &self.content.vocabulary.name(slot).kind {
            Kind::Length => Length::from_steps(number).show(self.units),
            Kind::Slope => Slope::from_parts(number).show(self.units),
            Kind::Number => show_thousandths(number),
            _ => number.to_string(),
        }
    }

    fn named(&self, name: &str) -> Option<String> {
        if let Some((limit, part)) = name.rsplit_once('.').filter(|_| name.starts_with("limit.")) {
            let index = self.content.vocabulary.slot(limit)? as usize - self.content.slots.limits;
            let (row, clearance) = (self.content.limits.get(index)?, self.clearances.get(index)?);
            let number = match part {
                "value" => Some(row.bound),
                "measured" => clearance.measured,
                _ => clearance.short_by.map(|s| s.max(0)),
            };
            return Some(number.map_or_else(|| self.not_known(), |n| self.show(row.measure, n)));
        }
        let slot = self.content.vocabulary.slot(name)?;
        Some(self.value_in_words(slot).unwrap_or_else(|| self.not_known()))
    }

    /// A number as it was read; of what is known from one side only, that side.
    fn number_in_words(&self, slot: Slot, value: Value) -> Option<String> {
        if let Some(read) = self.content.as_read(slot, &self.site, value) {
            return Some(self.show(slot, read));
        }
        let bound = |n: Option<i64>| n.filter(|n| n.abs() < FAR);
        let (key, number) = match (bound(value.low()), bound(value.high())) {
            (Some(low), None) => ("label.at_least", low),
            (None, Some(high)) => ("label.at_most", high),
            _ => return None,
        };
        Some(self.word_with(key, &[("number", &self.show(slot, number))]))
    }

    fn not_known(&self) -> String {
        self.content.word("label.blank").to_owned()
    }

    /// The value of a computed fact in words; nothing if it is not known.
    #[must_use]
    pub fn fact_in_words(&self, id: FactId) -> Option<String> {
        self.value_in_words(Slot::try_from(self.content.fact_slot(id)).ok()?)
    }

    /// The answer to a question in words; nothing if there is none.
    #[must_use]
    pub fn question_in_words(&self, id: QuestionId) -> Option<String> {
        self.value_in_words(Slot::try_from(self.content.catalog.names.at(id)).ok()?)
    }

    /// A question's answer or a fact's value, in words; nothing if it is not known.
    #[must_use]
    pub fn value_in_words(&self, slot: Slot) -> Option<String> {
        let index = slot as usize;
        let value = self.values.get(index).copied().unwrap_or_default();
        if value == Value::Absent {
            return None;
        }
        if index < self.content.slots.facts {
            let answer = self.answers.get(index)?;
            let question = &self.content.flow.questions[index];
            return match answer {
                crate::flow::Answer::YesNo(yes) => {
                    Some(self.content.word(if *yes { "label.yes" } else { "label.no" }).to_owned())
                }
                crate::flow::Answer::Several(0) => Some(self.content.word("label.none_of_these").to_owned()),
                _ => question.show_answer(answer, self.units),
            };
        }
        let name = self.content.vocabulary.name(slot);
        match &name.kind {
            Kind::YesNo => {
                let yes = value.known()? == 2;
                Some(self.content.word(if yes { "label.yes" } else { "label.no" }).to_owned())
            }
            Kind::OneOf(ids) => {
                let bit = value.known()?;
                let id = ids.get(usize::try_from(bit.trailing_zeros()).ok()?)?;
                let family = if name.text.starts_with("trace.") { "water.end" } else { &name.text };
                Some(self.content.word(&format!("{family}.{id}")).to_owned())
            }
            _ => Some(self.number_in_words(slot, value)?),
        }
    }
}
