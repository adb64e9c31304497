//! Which question comes next: the one that settles most for the minutes it takes, among those that can still change the
//! verdict, kept together by where a person stands.
//!
//! It is a function of the answers alone, so that a visit that is resumed goes on with the same question. What counts how
//! much stands in `questions/asking.yaml`; the places and minutes stand at the questions.

use super::model::{Assessment, OpenPoint};
use crate::content::{Content, Rule, Verdict};
use crate::flow::{Answer, Answers, Condition, QuestionKind, Stand};
use crate::names::{QuestionId, Stage};
use crate::units::Units;
use std::collections::BTreeMap;

/// The places in the order in which one stays: what was begun at the wall is ended there, before one goes in or sits down
/// with the offer.
const STAYS: [Stand; 3] = [Stand::Wall, Stand::Inside, Stand::Offer];

/// A question that can still change the verdict, and what it settles for the minutes it takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ranked {
    /// The question.
    pub question: usize,
    /// The more, the sooner. Only good for comparing.
    pub worth: f64,
}

/// The question that comes next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Upcoming {
    /// The question.
    pub question: usize,
    /// So many others are open besides, as far as is known: an answer may bring up more, or settle several.
    pub more: usize,
}

impl Content {
    /// The question to ask next; nothing once no answer can change the verdict any more. Content without rules has no verdict:
    /// there every question is asked, in the order of the files.
    ///
    /// Each question is asked once, so every interview ends.
    #[must_use]
    pub fn next_question(&self, answers: &Answers) -> Option<Upcoming> {
        if !self.has_rules() {
            let open = self.left_for_sheets(answers);
            return Some(Upcoming { question: *open.first()?, more: open.len() - 1 });
        }
        let so_far = self.assess_so_far(answers, Units::Inch);
        let open = |q: &usize| answers.get(*q).is_none() && so_far.state.shown[*q].is_yes();
        let dangers = so_far.dangers_within_reach();
        let ranked = if dangers.is_empty() { so_far.ranked() } else { dangers.clone() };
        let mut firsts = (0..self.flow.questions.len()).filter(|q| self.flow.questions[*q].first);
        let next =
            firsts.find(open).or_else(|| dangers.first().map(|r| r.question)).or_else(|| so_far.next_of(&ranked))?;
        // what a question needs comes before it, and what that needs before that
        let needs = |q: usize| self.flow.questions[q].needs.iter().copied().find(|q| open(q));
        let question = std::iter::successors(Some(next), |q| needs(*q)).last()?;
        Some(Upcoming { question, more: ranked.iter().filter(|r| r.question != question).count() })
    }

    /// The question to ask next for the full sheets, once the verdict is settled: whatever is shown and not answered yet,
    /// where one stands first.
    #[must_use]
    pub fn next_for_sheets(&self, answers: &Answers, last: Option<usize>) -> Option<Upcoming> {
        let open = self.left_for_sheets(answers);
        let built = self.is_built(answers);
        let stand = |q: usize| self.flow.questions[q].stand(built);
        let here = last.map(stand).filter(|stand| *stand != Stand::Anywhere);
        let near = |q: &&usize| here.is_none_or(|here| stand(**q) == here || stand(**q) == Stand::Anywhere);
        let question = *open.iter().find(near).or(open.first())?;
        Some(Upcoming { question, more: open.len() - 1 })
    }

    /// Whether the answers are about work that stands already.
    #[must_use]
    pub fn is_built(&self, answers: &Answers) -> bool {
        match answers.get(self.catalog.names.at(QuestionId::Stage)) {
            Some(Answer::Choice(index)) => self.catalog.names.choice(*index) == Some(Stage::Built),
            _ => false,
        }
    }

    /// The questions that are shown and not answered yet, in the order of the files.
    #[must_use]
    pub fn left_for_sheets(&self, answers: &Answers) -> Vec<usize> {
        let shown = self.flow.state_so_far(answers).shown;
        let open = |q: &usize| answers.get(*q).is_none() && shown[*q].is_yes();
        (0..self.flow.questions.len()).filter(open).collect()
    }
}

impl Assessment<'_> {
    /// Of ranked questions the one to ask: the best where one stands, or elsewhere if it is worth the walk.
    ///
    /// One is where a question was answered already and another one waits. From the offer one may walk on early; from the
    /// wall or from inside not before everything there is asked, so that nobody goes to and fro.
    fn next_of(&self, ranked: &[Ranked]) -> Option<usize> {
        let best = ranked.first()?;
        let built = self.content.is_built(self.answers);
        let stand = |q: usize| self.content.flow.questions[q].stand(built);
        let visited = |place: Stand| self.answers.iter().any(|(q, _)| stand(q) == place);
        let waits = |place: Stand| ranked.iter().any(|r| stand(r.question) == place);
        let Some(here) = STAYS.into_iter().find(|place| visited(*place) && waits(*place)) else {
            return Some(best.question);
        };
        let near = |r: &&Ranked| stand(r.question) == here || stand(r.question) == Stand::Anywhere;
        let best_here = ranked.iter().find(near)?;
        let away = ranked.iter().find(|r| !near(r) && here == Stand::Offer && !visited(stand(r.question)));
        let walk = percent(self.content.asking.walk);
        let early = away.filter(|away| away.worth > walk * best_here.worth);
        Some(early.unwrap_or(best_here).question)
    }

    /// What dangers to people hang on, where these come first and are within reach: the most worth first, wherever it is.
    #[must_use]
    pub fn dangers_within_reach(&self) -> Vec<Ranked> {
        if !self.content.asking.dangers_first.eval(&self.values).is_yes() {
            return Vec::new();
        }
        let near_danger = |rule: &Rule, hangs: &Hangs| {
            let few = i64::try_from(hangs.unanswered).is_ok_and(|n| n <= self.content.asking.danger_reach);
            self.is_danger(*rule) && few && self.content.verdict_of(*rule) >= Some(Verdict::FindOutFirst)
        };
        let mut rules = self.open_rules();
        rules.retain(|rule, hangs| near_danger(rule, hangs));
        self.by_worth(&rules)
    }

    /// The unanswered questions that can still change the verdict, the most worth first.
    #[must_use]
    pub fn ranked(&self) -> Vec<Ranked> {
        self.by_worth(&self.open_rules())
    }

    /// The rules that can still change the verdict and hang on something that was not asked yet.
    fn open_rules(&self) -> BTreeMap<Rule, Hangs> {
        let mut rules: BTreeMap<Rule, Hangs> = BTreeMap::new();
        for point in &self.open {
            let asked = self.answers.get(point.question).is_some();
            for rule in rules_of(point) {
                if self.content.verdict_of(rule).is_some_and(|verdict| self.settled.hangs_on(verdict)) {
                    rules.entry(rule).or_default().unanswered += usize::from(!asked);
                }
            }
        }
        // what only answers that nobody knows keep open stays open: from then on only worse than "Find out first" counts. A
        // height that nobody knows may still come to light by other readings
        let questions = self.content.flow.questions.len();
        let by_answers = |rule: &Rule| {
            let open = self.when(*rule).undecided_by(&self.values);
            !open.is_empty() && open.into_iter().all(|slot| usize::from(slot) < questions)
        };
        let for_good = rules.iter().any(|(rule, hangs)| hangs.unanswered == 0 && by_answers(rule));
        let floor = if for_good { Verdict::FindOutFirst } else { Verdict::GoAhead };
        rules.retain(|rule, hangs| hangs.unanswered > 0 && self.content.verdict_of(*rule) > Some(floor));
        for (rule, hangs) in &mut rules {
            hangs.worth = self.worth(*rule);
        }
        rules
    }

    /// What it is worth to settle a rule: how much it counts, times how likely it is to fire.
    fn worth(&self, rule: Rule) -> f64 {
        let asking = &self.content.asking;
        let when = self.when(rule);
        let chance = |slot: u16| match self.content.flow.questions.get(usize::from(slot)).map(|q| q.kind) {
            None => asking.computed,
            Some(QuestionKind::SeveralOf) => asking.mark,
            Some(QuestionKind::YesNo) => asking.yes,
            Some(_) => asking.choice,
        };
        let chance: f64 = when.undecided_by(&self.values).into_iter().map(|slot| percent(chance(slot))).product();
        let share = if matches!(rule, Rule::Limit(_)) { percent(asking.limit) } else { percent(asking.finding) };
        let trade = self.content.verdict_of(rule) == Some(Verdict::ExteriorTradeFirst);
        let counts = if trade { percent(asking.trade) * share } else { share };
        counts * chance
    }

    fn when(&self, rule: Rule) -> &Condition {
        match rule {
            Rule::Finding(i) => &self.content.findings[i].when,
            Rule::Limit(i) => &self.content.limits[i].when,
        }
    }

    fn by_worth(&self, rules: &BTreeMap<Rule, Hangs>) -> Vec<Ranked> {
        let mut ranked = Vec::new();
        for point in self.open.iter().filter(|point| self.answers.get(point.question).is_none()) {
            let shares = rules_of(point).filter_map(|rule| rules.get(&rule)).map(|h| h.worth / real(h.unanswered));
            let settles: f64 = shares.sum();
            if settles > 0.0 {
                let minutes = self.content.asking.minutes + self.content.flow.questions[point.question].effort.minutes;
                let minutes = usize::try_from(minutes).unwrap_or(1).max(1);
                ranked.push(Ranked { question: point.question, worth: settles / real(minutes) });
            }
        }
        ranked.sort_by(|a, b| b.worth.total_cmp(&a.worth).then(a.question.cmp(&b.question)));
        ranked
    }

    fn is_danger(&self, rule: Rule) -> bool {
        match rule {
            Rule::Finding(i) => self.content.findings[i].danger,
            Rule::Limit(i) => self.content.limits[i].danger,
        }
    }
}

/// What a rule hangs on, and what it is worth to settle it.
#[derive(Debug, Clone, Copy, Default)]
struct Hangs {
    unanswered: usize,
    worth: f64,
}

fn rules_of(point: &OpenPoint) -> impl Iterator<Item = Rule> {
    point.findings.iter().map(|i| Rule::Finding(*i)).chain(point.limits.iter().map(|i| Rule::Limit(*i)))
}

#[allow(clippy::cast_precision_loss)] // small counts, for comparing
fn real(n: usize) -> f64 {
    n as f64
}

#[allow(clippy::cast_precision_loss)] // small shares, for comparing
fn percent(n: i64) -> f64 {
    n as f64 / 100.0
}
