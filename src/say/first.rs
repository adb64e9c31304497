//! The one figure that matters, why, and what to do first, in words.

use crate::content::Verdict;
use crate::judge::{Assessment, FirstStep, Headline};
use crate::names::Stage;
use crate::units::Length;
use crate::wall::Level;

/// How many letters the outcomes of an answer may take where they are told as the reason.
const MOST_WHY: usize = 240;

impl Assessment<'_> {
    /// The figure that matters most, in words.
    #[must_use]
    pub fn headline_in_words(&self, headline: &Headline<'_>) -> String {
        let built = self.said() == Some(Stage::Built);
        match headline {
            Headline::Lower { below, lower, steps } => {
                let lower = lower.show(self.units);
                let key = match (below.is_some(), built) {
                    (true, false) => "answer.lower_to",
                    (true, true) => "answer.lower_to_built",
                    (false, false) => "answer.lower_by",
                    (false, true) => "answer.lower_by_built",
                };
                let highest = below.map_or_else(String::new, |below| self.depth_words(below));
                let mut text = self.word_with(key, &[("highest", &highest), ("lower", &lower)]);
                if *steps {
                    text.push(' ');
                    text.push_str(&self.word("answer.steps"));
                }
                if self.lowering.is_some_and(|lowering| !lowering.exit_known) {
                    text.push(' ');
                    text.push_str(&self.word("answer.exit_not_known"));
                }
                text
            }
            Headline::Keep { below } => {
                let now = self.site.levels.above(Level::Mark, Level::Finish).map_or(Length::ZERO, |h| h.up - *below);
                // what would be shown as nothing is nothing
                let more = now > Length::ZERO && now.show(self.units) != Length::ZERO.show(self.units);
                let key = match (more, built) {
                    (false, _) => "answer.keep_just",
                    (true, false) => "answer.keep",
                    (true, true) => "answer.keep_built",
                };
                self.word_with(key, &[("highest", &self.depth_words(*below)), ("now", &now.show(self.units))])
            }
            Headline::Limit(limit, clearance) => {
                let bound = self.show(limit.measure, limit.bound);
                let rule = self.word(super::rule_word(limit));
                let measured = self.measured(limit, *clearance);
                let values =
                    [("what", limit.what.as_str()), ("measured", &measured), ("rule", &rule), ("bound", &bound)];
                self.word_with("answer.limit", &values)
            }
            Headline::FindOut { question, .. } => {
                let ask = self.spoken().ask(&self.content.flow.questions[*question]);
                self.word_with("answer.find_out", &[("what", &ask)])
            }
            Headline::LookInto(finding) => self.word_with("answer.look_into", &[("what", &self.fill(&finding.title))]),
            Headline::Exit(_) => self.exit_in_words().unwrap_or_default(),
        }
    }

    /// Why the verdict is what it is, in a sentence; with its number, if it has one.
    #[must_use]
    pub fn why_in_words(&self, headline: Option<&Headline<'_>>) -> Option<String> {
        let because = |what: &str| self.word_with("answer.why", &[("what", what)]);
        if self.settled.verdict == Verdict::GoAhead {
            let clear = self.exit_in_words().filter(|_| !matches!(headline, Some(Headline::Exit(_))));
            return Some(because(&clear.unwrap_or_else(|| self.word("text.no_findings"))));
        }
        if let Some(Headline::FindOut { question, .. }) = headline {
            let found = self.to_find_out().into_iter().find(|found| found.question == *question)?;
            let hangs = found.hangs.as_ref().filter(|hangs| hangs.outcomes.len() <= 4);
            // many signs in many sets are nothing to read on one screen
            let text = hangs.map(|hangs| self.outcomes_in_words(hangs)).filter(|text| text.chars().count() <= MOST_WHY);
            let could = || {
                let verdict = self.word(&format!("verdict.{}", found.point.worst.word()));
                self.word_with("answer.could", &[("verdict", &verdict)])
            };
            return Some(because(&text.unwrap_or_else(could)));
        }
        let reasons = self.short_reasons();
        let shown = |reason: &&String| match headline {
            // its figures stand above already
            Some(Headline::Limit(limit, _)) => !reason.starts_with(limit.what.as_str()),
            Some(Headline::LookInto(finding)) => **reason != self.fill(&finding.title),
            _ => true,
        };
        // what endangers people stands before the verdict; where nothing else leads to it, that is why
        let as_grave = Some(self.settled.verdict);
        let by_finding = self.held().any(|f| !f.danger && f.verdict == as_grave);
        let by_limit = self.limits().iter().any(|(l, c)| !l.danger && l.verdict == as_grave && c.breaks().is_yes());
        let said_above = if by_finding || by_limit { self.endangers().len() } else { 0 };
        let mut reason = reasons.iter().skip(said_above).find(shown).cloned();
        if reason.is_none()
            && let Some(Headline::Limit(limit, _)) = headline
        {
            reason = Some(self.fill(&limit.because));
        }
        let mut text = reason.filter(|text| !text.is_empty())?;
        if !text.ends_with(['.', '!', '?']) {
            text.push('.');
        }
        if !text.contains(|c: char| c.is_ascii_digit())
            && !matches!(headline, Some(Headline::Exit(_)))
            && let Some(clear) = self.exit_in_words()
        {
            text.push(' ');
            text.push_str(&clear);
        }
        Some(because(&text))
    }

    /// What to do, in whole sentences of at most so many characters; the first one in any case.
    #[must_use]
    pub fn step_in_words(&self, step: &FirstStep<'_>, most: usize) -> String {
        match step {
            FirstStep::Danger(finding) => {
                let text = if finding.todo.is_empty() { &finding.say } else { &finding.todo };
                sentences(&self.fill(text), most)
            }
            FirstStep::DangerLimit(limit) => {
                let meet = self.step_in_words(&FirstStep::Meet(limit), most);
                format!("{meet} {}", sentences(&self.fill(&limit.because), most))
            }
            FirstStep::Call(call) => {
                let trade = self.word(&format!("trade.{}", call.trade));
                // a note in brackets explains a trade where there is room
                let trade = trade.split(" (").next().unwrap_or_default();
                let when = self.fill(&call.point);
                self.word_with("answer.call", &[("trade", trade), ("when", &when)])
            }
            FirstStep::FindOut { again: true, .. } => sentences(&self.word("text.measure_again"), most),
            FirstStep::FindOut { question, .. } => {
                sentences(&self.spoken().how(&self.content.flow.questions[*question]), most)
            }
            FirstStep::LookInto(finding) | FirstStep::Remedy(finding) => sentences(&self.fill(&finding.todo), most),
            FirstStep::Meet(limit) => {
                let key = if self.is_built() { "answer.meet_built" } else { "answer.meet" };
                let (rule, bound) = (self.word(super::rule_word(limit)), self.show(limit.measure, limit.bound));
                self.word_with(key, &[("what", limit.what.as_str()), ("rule", &rule), ("bound", &bound)])
            }
            FirstStep::Task(task) => {
                let text = self.fill(&task.todo);
                // everything here comes before the rest of the work
                let halt = format!("{}. ", self.word("label.stop").to_lowercase());
                let bare = if text.to_lowercase().starts_with(&halt) { &text[halt.len()..] } else { &text };
                sentences(bare, most)
            }
        }
    }

    /// What to do to answer a question, in a sentence or two.
    #[must_use]
    pub fn instruction(&self, question: usize) -> String {
        const MOST: usize = 110;
        sentences(&self.spoken().how(&self.content.flow.questions[question]), MOST)
    }

    /// What endangers people, by its title.
    #[must_use]
    pub fn danger_title(&self, step: &FirstStep<'_>) -> String {
        match step {
            FirstStep::Danger(finding) | FirstStep::LookInto(finding) | FirstStep::Remedy(finding) => {
                self.fill(&finding.title)
            }
            FirstStep::DangerLimit(limit) | FirstStep::Meet(limit) => limit.what.to_string(),
            FirstStep::Call(_) | FirstStep::FindOut { .. } | FirstStep::Task(_) => String::new(),
        }
    }
}

/// The first sentences of a text, as many whole ones as go into so many characters. A short one says too little alone, and takes
/// the next one with it.
pub(crate) fn sentences(text: &str, most: usize) -> String {
    const SHORT: usize = 50;
    let mut end = 0;
    for (at, _) in text.match_indices(['.', '!', '?']) {
        let next = &text[at + 1..];
        let ends = next.is_empty() || next.starts_with(' ') && next.trim_start().starts_with(char::is_uppercase);
        if !ends {
            continue;
        }
        if end > SHORT && text[..=at].chars().count() > most {
            break;
        }
        end = at + 1;
    }
    if end == 0 { text.to_owned() } else { text[..end].to_owned() }
}

/// A text without its notes in brackets, which explain a term where it first appears: for where there is no room for them.
pub(crate) fn without_notes(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut depth = 0_usize;
    for letter in text.chars() {
        match letter {
            '(' => {
                depth += 1;
                if out.ends_with(' ') {
                    out.pop();
                }
            }
            ')' if depth > 0 => depth -= 1,
            _ if depth == 0 => out.push(letter),
            _ => {}
        }
    }
    out
}
