//! Limits, how they stand and where they come from, in words.

use crate::content::{Basis, Limit, Origin, Verdict};
use crate::flow::{Kind, Value};
use crate::judge::{Assessment, Clearance};
use crate::site::FactId;
use crate::units::Length;
use crate::wall::Status;

impl Assessment<'_> {
    /// The verdict in a line or two: what it is, what is left of the exit, what stands against it.
    #[must_use]
    pub fn in_short(&self) -> String {
        let mut lines = vec![self.word(&format!("verdict.{}", self.settled.verdict.word()))];
        lines.extend(self.exit_in_words());
        lines.extend(self.short_reasons().into_iter().take(3).map(|reason| format!("- {reason}")));
        if self.settled.verdict == Verdict::FindOutFirst {
            let open = self.open.iter().take(2).map(|p| self.short(p.question));
            lines.extend(open.map(|name| format!("- {name}?")));
        }
        lines.join("\n")
    }

    /// How far the exit stands clear of what lies before the wall, or is covered by it; nothing where that is not known.
    pub(crate) fn exit_in_words(&self) -> Option<String> {
        let gap = crate::judge::middle(self.value(FactId::ExitAboveFinish))?;
        let key = match (gap >= 0, self.site.faces_ground(), self.site.faces_strip()) {
            (true, true, _) => "text.exit_clear_ground",
            (false, true, _) => "text.exit_covered_ground",
            (true, _, true) => "text.exit_clear_strip",
            (false, _, true) => "text.exit_covered_strip",
            (true, false, false) => "text.exit_clear",
            (false, false, false) => "text.exit_covered",
        };
        Some(self.word_with(key, &[("gap", &Length::from_steps(gap.abs()).show(self.units))]))
    }

    pub(crate) fn word(&self, key: &str) -> String {
        self.content.word(key).to_owned()
    }

    /// The titles of what led to the verdict: what endangers people first, then the gravest first.
    pub(crate) fn short_reasons(&self) -> Vec<String> {
        let mut found: Vec<((bool, Verdict), String)> =
            self.held().filter_map(|f| Some(((f.danger, f.verdict?), self.fill(&f.title)))).collect();
        for (limit, clearance) in self.limits() {
            if let (Some(verdict), true) = (limit.verdict, clearance.breaks().is_yes()) {
                let text = format!("{}: {}", limit.what, self.status(limit, clearance));
                found.push(((limit.danger, verdict), text));
            }
        }
        found.sort_by_key(|(rank, _)| std::cmp::Reverse(*rank));
        found.into_iter().map(|(_, title)| title).collect()
    }

    pub(crate) fn origin(&self, origin: &Origin) -> String {
        let basis = self.content.word(basis_word(origin.basis));
        if origin.source.is_empty() {
            return basis.to_owned();
        }
        let edition =
            if origin.edition.is_empty() { String::new() } else { format!(" ({})", self.source_said(&origin.edition)) };
        format!("{}{edition}: {basis}", self.source_said(&origin.source))
    }

    /// A source with what stands beside the titles of works in the language of the content.
    fn source_said(&self, source: &str) -> String {
        let phrases = self.content.source_phrases.iter();
        phrases.fold(source.to_owned(), |said, (english, other)| match english.split_once('*') {
            // `edition of * not known`: what the star stands for is a title
            Some((before, after)) => match said.split_once(before).and_then(|(head, rest)| {
                let (title, tail) = rest.split_once(after)?;
                (!title.contains([';', ','])).then(|| format!("{head}{}{tail}", other.replace('*', title)))
            }) {
                Some(changed) => changed,
                None => said,
            },
            None => said.replace(english.as_str(), other),
        })
    }

    /// What was found, in words: a height on the wrong side is said to be below, not negative.
    pub(crate) fn measured(&self, limit: &Limit, clearance: Clearance) -> String {
        let value = self.values[limit.measure as usize];
        match (&self.content.vocabulary.name(limit.measure).kind, clearance.measured, value) {
            (Kind::Length, Some(m), _) if m < 0 => {
                self.word_with("label.below_instead", &[("height", &self.show(limit.measure, -m))])
            }
            (Kind::Slope, None, Value::Between(_, high)) if high < 0 => self.word("label.towards_house"),
            (_, Some(m), _) => self.show(limit.measure, m),
            (_, None, _) => self.word("label.not_known"),
        }
    }

    /// Where along the wall, and over how much of it: to be put behind the figure.
    pub(crate) fn along_words(&self, along: crate::judge::Along) -> String {
        let (at, over) = (along.at.show(self.units), along.short_over.show(self.units));
        let key = if along.short_over > Length::ZERO { "label.along_short" } else { "label.along" };
        format!(" {}", self.word_with(key, &[("at", &at), ("over", &over)]))
    }

    pub(crate) fn status(&self, limit: &Limit, clearance: Clearance) -> String {
        let short = || self.show(limit.measure, clearance.short_by.unwrap_or(0).abs());
        match (clearance.status, limit.verdict.is_some()) {
            (Status::Passes, _) => self.word("status.passes"),
            (Status::Close, _) => self.word("status.close"),
            (Status::Fails, true) if clearance.short_by.is_none() => self.word("status.fails_bare"),
            (Status::Fails, true) => self.word_with("status.fails", &[("short", &short())]),
            (Status::Fails, false) => self.word_with("status.advises", &[("short", &short())]),
            _ => self.word("status.unknown"),
        }
    }
}

pub(crate) fn rule_word(limit: &Limit) -> &'static str {
    match limit.sense {
        crate::wall::Sense::AtLeast => "rule.at_least",
        crate::wall::Sense::AtMost => "rule.at_most",
    }
}

pub(crate) fn basis_word(basis: Basis) -> &'static str {
    match basis {
        Basis::Published => "basis.published",
        Basis::Reported => "basis.reported",
        Basis::Memory => "basis.memory",
        Basis::Practice => "basis.practice",
    }
}
