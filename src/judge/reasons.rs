//! Why a rule stands as it does: the questions of which one at least must be answered anew before it can stand otherwise.
//!
//! A condition says which of its values keep it where it is ([`Condition::kept_by`]), a fact which questions were read for it
//! ([`Site::rests_on`](crate::site::Site::rests_on)), a hidden question what hides it. Nothing is listed a second time here.

use super::model::{Clearance, Judged};
use super::questions::{Offers, Questions};
use crate::content::{AFTER_LIMITS, AfterId, Content, Guard, Rule, Verdict};
use crate::flow::{Answer, Answers, Condition, Keep, KeptTest, Slot, Test, Truth, Value};
use crate::names::{JointSaid, QuestionId};
use crate::site::{FACTS, Fact, FactId, FactKind, Site, SitePart};
use crate::wall::{Level, Sense, Status};
use crate::water::{ENDS, End};

/// The bits of a yes and of a no ([`Value::yes_no`]).
const YES: i64 = 2;
const NO: i64 = 1;

/// The questions that say how high the finish lies.
pub(crate) fn finish_questions<'a>(content: &'a Content, site: &'a Site) -> impl Iterator<Item = usize> + 'a {
    let at_wall = [SitePart::Finish, SitePart::Slope].into_iter().flat_map(|part| site.read_for(part));
    at_wall.map(|id| content.catalog.names.at(id))
}

/// The reasons behind what was judged.
pub(crate) struct Grounds<'a> {
    content: &'a Content,
    judged: &'a Judged,
    values: &'a [Value],
    /// The questions that may be answered anew; all others stay as they are.
    open: Questions,
    /// Of several reasons, of which one is enough, that with the fewest of these is taken.
    avoid: Questions,
    /// The questions that have an answer, or may get one; of all others it does not matter whether they are asked, where only their
    /// answer counts.
    answered: Questions,
    /// The finish, on which hangs whatever was measured from it.
    finish: Option<Questions>,
    /// The other answers that may be given, where they are told apart.
    offers: Option<&'a Offers>,
    /// By value, where its reasons stand among `found`, counted from one.
    known: Vec<u16>,
    /// What was found out so far, for values and for questions.
    found: Vec<Questions>,
    /// By question, where it is told what shows or hides it.
    shown: Vec<u16>,
}

impl<'a> Grounds<'a> {
    /// Looks for reasons among the questions that are `open`.
    pub(crate) fn new(content: &'a Content, judged: &'a Judged, open: Questions) -> Self {
        Self::with(content, judged, &judged.values, (open, Questions::all()), None)
    }

    /// Looks for reasons in a plan: what was measured from the finish moves with it, and which other answers are offered is told apart.
    /// `values` may have other numbers than were judged, where nothing else has changed; all questions but those that are `open` and
    /// `answered` have no answer and get none.
    pub(crate) fn of_plan(
        content: &'a Content,
        judged: &'a Judged,
        values: &'a [Value],
        (open, answered): (Questions, Questions),
        offers: &'a Offers,
    ) -> Self {
        let mut reasons = Self::with(content, judged, values, (open, answered), Some(offers));
        let asked: Vec<usize> = finish_questions(content, &judged.site).collect();
        let all = asked.into_iter().fold(Questions::default(), |all, question| all.and(reasons.question(question)));
        reasons.finish = Some(all);
        // all but this was told without it
        reasons.known.fill(0);
        reasons.shown.fill(0);
        reasons
    }

    fn with(
        content: &'a Content,
        judged: &'a Judged,
        values: &'a [Value],
        (open, answered): (Questions, Questions),
        offers: Option<&'a Offers>,
    ) -> Self {
        let (known, shown) = (vec![0; values.len()], vec![0; content.flow.questions.len()]);
        Grounds {
            content,
            judged,
            values,
            open,
            avoid: open,
            answered,
            finish: None,
            offers,
            known,
            found: Vec::new(),
            shown,
        }
    }

    /// The questions that each of two reasons names: the second is looked for among what the first does not.
    pub(crate) fn in_each(&mut self, reason: impl Fn(&mut Self) -> Questions) -> Questions {
        let first = reason(self);
        if first == Questions::default() {
            return first;
        }
        self.avoid = first;
        let second = reason(self);
        self.avoid = self.open;
        first.both(second)
    }

    /// What keeps a rule that may hold from being certainly false.
    pub(crate) fn stands(&mut self, rule: Rule) -> Questions {
        match rule {
            Rule::Limit(at) => {
                let limit = &self.content.limits[at];
                self.applies(at, Keep::AtLeast(Truth::Unknown)).and(self.slot(limit.measure))
            }
            Rule::Finding(at) => match self.content.findings[at].guard {
                Some(Guard::UntoldTrace) => self.untold(),
                Some(guard) => self.guard(guard),
                None => self.kept(&self.content.findings[at].when, Keep::AtLeast(Truth::Unknown)),
            },
        }
    }

    /// What keeps a rule that does not certainly hold from holding.
    pub(crate) fn fails_to_hold(&mut self, rule: Rule) -> Questions {
        self.below(rule, Keep::AtMost(Truth::Unknown))
    }

    /// What keeps a rule that certainly does not hold from possibly doing so.
    pub(crate) fn is_out(&mut self, rule: Rule) -> Questions {
        self.below(rule, Keep::AtMost(Truth::No))
    }

    /// What keeps a rule that holds holding.
    pub(crate) fn holds(&mut self, rule: Rule) -> Questions {
        match rule {
            Rule::Limit(at) => {
                let limit = &self.content.limits[at];
                self.applies(at, Keep::AtLeast(Truth::Yes)).and(self.slot(limit.measure))
            }
            Rule::Finding(at) => match self.content.findings[at].guard {
                Some(guard) => self.guard(guard),
                None => self.above(&self.content.findings[at].when),
            },
        }
    }

    fn below(&mut self, rule: Rule, keep: Keep) -> Questions {
        match rule {
            Rule::Limit(at) => {
                let limit = &self.content.limits[at];
                let clearance = &self.judged.clearances[at];
                let measure = self.slot(limit.measure);
                let absent = self.values[usize::from(limit.measure)] == Value::Absent;
                // a measure that does not miss it does so whether the limit applies or not
                if absent || !keep.allows(clearance.applies) {
                    return measure;
                }
                let when = self.applies(at, keep);
                let missed = Clearance { applies: Truth::Yes, ..*clearance }.breaks();
                let by_measure = clearance.status != Status::Off && keep.allows(missed);
                if by_measure && measure.count() < when.count() { measure } else { when }
            }
            Rule::Finding(at) => {
                let finding = &self.content.findings[at];
                match finding.guard {
                    Some(guard) => self.guard(guard),
                    None if finding.verdict > Some(Verdict::ChangePlan) => self.kept(&finding.when, keep),
                    // what only the tape leaves open holds
                    None if finding.when.eval(self.values) == Truth::No => {
                        self.kept(&finding.when, Keep::AtMost(Truth::No))
                    }
                    None => self.exactly(&finding.when),
                }
            }
        }
    }

    /// What keeps a condition that holds, maybe because only the tape leaves it open.
    fn above(&mut self, when: &Condition) -> Questions {
        match when.eval(self.values) {
            Truth::Yes => self.kept(when, Keep::AtLeast(Truth::Yes)),
            _ => self.exactly(when),
        }
    }

    /// What keeps a limit from applying otherwise.
    fn applies(&mut self, at: usize, keep: Keep) -> Questions {
        let limit = &self.content.limits[at];
        let truth = limit.when.eval(self.values);
        if truth != Truth::No && self.judged.clearances[at].applies == Truth::No {
            // it is not one of this country
            return self.region();
        }
        let when = match keep {
            Keep::AtLeast(_) if keep.allows(truth) => self.kept(&limit.when, keep),
            Keep::AtMost(_) if truth == Truth::No => self.kept(&limit.when, Keep::AtMost(Truth::No)),
            _ => self.exactly(&limit.when),
        };
        when.and(self.region())
    }

    /// What keeps a condition from any other truth.
    fn exactly(&mut self, when: &Condition) -> Questions {
        let truth = when.eval(self.values);
        if truth != Truth::Unknown {
            let keep = if truth == Truth::Yes { Keep::AtLeast(truth) } else { Keep::AtMost(truth) };
            return self.kept(when, keep);
        }
        let open = when.undecided_by(self.values).into_iter();
        let open = open.fold(Questions::default(), |all, slot| all.and(self.slot(slot)).and(self.tape(slot)));
        let kept = [Keep::AtLeast(truth), Keep::AtMost(truth)].map(|keep| self.kept(when, keep));
        kept.into_iter().fold(open, Questions::and)
    }

    /// What decides besides whether only the tape leaves a value open.
    fn tape(&mut self, slot: Slot) -> Questions {
        let slots = self.content.slots;
        let Some(fact) = usize::from(slot).checked_sub(slots.facts).and_then(|at| FACTS.get(at)) else {
            return Questions::default();
        };
        match fact.id {
            FactId::TraceHeldAtDoor => {
                let system = self.judged.site.read_for(SitePart::System).collect::<Vec<_>>();
                let step = self.at(self.content.fact_slot(FactId::ThresholdAboveFinish));
                system.into_iter().fold(step, |all, id| all.and(self.read(id)))
            }
            FactId::ExitBuried => self.at(self.content.fact_slot(FactId::ExitAboveFinish)),
            _ => Questions::default(),
        }
    }

    fn kept(&mut self, when: &Condition, keep: Keep) -> Questions {
        let values = self.values;
        let tests = when.kept_tests(values, keep, &mut |slot| self.slot(slot).both(self.avoid).count());
        tests.into_iter().fold(Questions::default(), |all, kept| all.and(self.kept_test(kept)))
    }

    /// What keeps a test on its side.
    fn kept_test(&mut self, kept: KeptTest) -> Questions {
        let (at, slots) = (usize::from(kept.slot), self.content.slots);
        if at < slots.facts {
            return self.answer(at, &|value| kept.is_lost_with(value));
        }
        let defined = at.checked_sub(slots.defined).and_then(|at| self.content.defined.get(at));
        match (defined, kept.test) {
            (Some(defined), Test::Any(bits)) if self.offers.is_some() && (bits == YES || bits == NO) => {
                // a defined fact is true or not as its condition is
                let keep = if bits == YES { kept.keep } else { kept.keep.turned() };
                self.kept(&defined.when, keep)
            }
            _ => self.at(at),
        }
    }

    /// What an answer hangs on, of which only some others would make a difference.
    fn answer(&mut self, question: usize, is_lost_with: &dyn Fn(Value) -> bool) -> Questions {
        let Some(offers) = self.offers.filter(|offers| offers.has(question)) else { return self.question(question) };
        let is_shown = self.judged.state.shown[question];
        let now = self.values[question];
        let others = if is_shown == Truth::Yes && self.open.has(question) {
            offers.chosen(question, |value| value != now && is_lost_with(value))
        } else {
            Questions::default()
        };
        match is_shown {
            // hidden it would be as good
            Truth::Yes if !is_lost_with(Value::Absent) => others,
            Truth::Yes => others.and(self.shown(question)),
            Truth::No | Truth::Unknown => self.shown(question),
        }
    }

    fn guard(&mut self, guard: Guard) -> Questions {
        let content = self.content;
        match guard {
            Guard::NoLimits => self.region(),
            Guard::NoRules => self.id(QuestionId::Cladding),
            Guard::UntoldTrace => {
                let traces = FACTS.iter().filter(|fact| fact.id.is_trace());
                let ends = traces.fold(Questions::default(), |all, fact| all.and(self.at(content.fact_slot(fact.id))));
                let tells = content.findings.iter().filter(|finding| finding.tells_held);
                tells.fold(ends, |all, finding| all.and(self.exactly(&finding.when)))
            }
        }
    }

    /// What keeps water that may end badly from being told of for certain: where one drop ends, and each finding that would.
    fn untold(&mut self) -> Questions {
        let content = self.content;
        let ends = self.bad_end();
        let tells = content.findings.iter().enumerate().filter(|(_, finding)| finding.tells_held);
        tells.fold(ends, |all, (at, _)| all.and(self.fails_to_hold(Rule::Finding(at))))
    }

    /// What keeps water that may end badly from ending well, of a plan alone: less than [`Grounds::bad_end`] where it ends so whatever
    /// the joint is.
    pub(crate) fn bad_end_of_plan(&mut self) -> Questions {
        let (site, content) = (&self.judged.site, self.content);
        let starts = site.bad_at_any_joint(content.per_reading, &content.usual);
        // other work may stand on posts, and show the wall the ground
        let other_work = self.open.has(content.catalog.names.at(QuestionId::Feature));
        if starts.is_empty() || other_work {
            return self.bad_end();
        }
        let reads = starts.into_iter().flat_map(|start| site.read_at_any_joint(start));
        reads.fold(Questions::default(), |all, id| all.and(self.read(id)))
    }

    /// What keeps water that may end badly from ending well: where one drop ends.
    fn bad_end(&mut self) -> Questions {
        let content = self.content;
        let value = |fact: &Fact| self.values[content.fact_slot(fact.id)];
        let traces: Vec<(usize, Value)> = FACTS
            .iter()
            .filter(|fact| fact.kind == FactKind::End)
            .map(|fact| (content.fact_slot(fact.id), value(fact)))
            .collect();
        let is_bad = |value: Value| {
            let end = |bits: i64| ENDS.iter().enumerate().find(|(at, _)| bits == 1 << at).map(|(_, (end, _))| *end);
            value.known().and_then(end).is_some_and(End::is_bad)
        };
        let bad: Vec<Questions> = traces.iter().filter(|(_, v)| is_bad(*v)).map(|(slot, _)| self.at(*slot)).collect();
        bad.into_iter().min_by_key(|by| by.count()).unwrap_or_else(|| {
            let open = traces.iter().filter(|(_, value)| *value == Value::Unknown);
            open.fold(Questions::default(), |all, (slot, _)| all.and(self.at(*slot)))
        })
    }

    fn region(&mut self) -> Questions {
        self.id(QuestionId::Region)
    }

    fn id(&mut self, id: QuestionId) -> Questions {
        self.question(self.content.catalog.names.at(id))
    }

    /// What hangs on a question that the site was read from.
    fn read(&mut self, id: QuestionId) -> Questions {
        let stays = !self.answered.has(self.content.catalog.names.at(id));
        if stays && self.judged.site.only_answer_counts(id) { Questions::default() } else { self.id(id) }
    }

    /// The same for a part of the site. Of the joint not every other answer makes another one, and only few a strip.
    fn read_for(&mut self, part: SitePart, id: QuestionId) -> Questions {
        let (content, site) = (self.content, &self.judged.site);
        let names = &content.catalog.names;
        let said = |value: Value| {
            let bit = value.known().map(|bits| bits.trailing_zeros() as usize);
            bit.and_then(|bit| names.choice::<JointSaid>(bit))
        };
        if id != QuestionId::Joint || !matches!(part, SitePart::Joint | SitePart::HasStrip) {
            return self.read(id);
        }
        let joint = names.at(QuestionId::Joint);
        if part == SitePart::Joint {
            return self.answer(joint, &|value| site.drainage.has_other_joint(said(value)));
        }
        let gap_counts = self.open.has(names.at(QuestionId::Feature)) || site.feature.is_none_or(|f| f.on_posts);
        let kind = |said: Option<JointSaid>| match said {
            Some(JointSaid::Strip) => 2,
            Some(JointSaid::OpenGap) if gap_counts => 1,
            _ => 0,
        };
        let now = kind(said(self.values[joint]));
        self.answer(joint, &|value| kind(said(value)) != now)
    }

    fn slot(&mut self, slot: Slot) -> Questions {
        self.at(usize::from(slot))
    }

    /// What a value hangs on.
    fn at(&mut self, slot: usize) -> Questions {
        if let Some(known) = self.kept_in_mind(self.known[slot]) {
            return known;
        }
        let (content, slots) = (self.content, self.content.slots);
        let found = if slot < slots.facts {
            return self.question(slot);
        } else if slot < slots.defined {
            let fact = FACTS[slot - slots.facts].id;
            let reads: Vec<(SitePart, QuestionId)> = self.judged.site.reads_behind(fact).collect();
            let region = if fact == FactId::DoorRisers { self.region() } else { Questions::default() };
            reads.into_iter().fold(region, |all, (part, id)| all.and(self.read_for(part, id)))
        } else if slot < slots.limits {
            self.exactly(&content.defined[slot - slots.defined].when)
        } else if slot < slots.after {
            let limit = &content.limits[slot - slots.limits];
            let applies = self.exactly(&limit.when).and(self.region());
            let off = self.judged.clearances[slot - slots.limits].applies == Truth::No;
            if off && self.values[usize::from(limit.measure)] == Value::Absent {
                // there is nothing to measure, whether it applies or not
                self.slot(limit.measure)
            } else if off {
                applies
            } else {
                applies.and(self.slot(limit.measure))
            }
        } else {
            match AFTER_LIMITS[slot - slots.after].id {
                AfterId::DigAtWall => self.digging(),
                AfterId::DigAboveFooting => self.digging().and(self.id(QuestionId::FootingBelowGround)),
                _ => self.everything(),
            }
        };
        self.known[slot] = self.keep_in_mind(found);
        found
    }

    fn kept_in_mind(&self, at: u16) -> Option<Questions> {
        usize::from(at).checked_sub(1).map(|at| self.found[at])
    }

    /// Keeps reasons and gives their number; none where there is no more room, so that they are found out again.
    fn keep_in_mind(&mut self, found: Questions) -> u16 {
        self.found.push(found);
        u16::try_from(self.found.len()).unwrap_or_default()
    }

    /// What follows from all limits hangs on everything that is asked.
    fn everything(&mut self) -> Questions {
        let questions = 0..self.content.flow.questions.len();
        questions.fold(Questions::default(), |all, question| all.and(self.question(question)))
    }

    /// What the depth of the digging hangs on: the layers, the height of the work, and the limits that lower it.
    fn digging(&mut self) -> Questions {
        let content = self.content;
        let layers = content.layers.iter();
        let mut all = layers.fold(self.id(QuestionId::Feature), |all, layer| all.and(self.exactly(&layer.when)));
        let heights = FACTS.iter().filter(|fact| matches!(fact.kind, FactKind::Height(_, Level::Finish)));
        for fact in heights.chain([FactId::FinishAboveGround.fact()]) {
            all = all.and(self.at(content.fact_slot(fact.id)));
        }
        for (at, limit) in content.limits.iter().enumerate() {
            if limit.sense != Sense::AtLeast || content.when_lowered(limit.measure) != 1 {
                continue;
            }
            let truth = self.judged.clearances[at].applies;
            all = all.and(match truth {
                Truth::No => self.applies(at, Keep::AtMost(Truth::No)),
                _ => self.exactly(&limit.when),
            });
            if truth != Truth::No || self.values[usize::from(limit.measure)] == Value::Absent {
                all = all.and(self.slot(limit.measure));
            }
        }
        all
    }

    /// What the value of a question hangs on: its answer, and what shows or hides it.
    pub(crate) fn question(&mut self, question: usize) -> Questions {
        if let Some(known) = self.kept_in_mind(self.known[question]) {
            return known;
        }
        let mut found = self.shown(question);
        if self.judged.state.shown[question] == Truth::Yes {
            if self.open.has(question) {
                let now = self.values[question];
                let others = self.offers.map(|offers| offers.chosen(question, |value| value != now));
                found = found.and(others.unwrap_or_else(|| Questions::one(question)));
            }
            if let Some(finish) = self.finish.filter(|_| self.moves(question)) {
                found = found.and(finish);
            }
        }
        self.known[question] = self.keep_in_mind(found);
        found
    }

    /// What shows or hides a question.
    pub(crate) fn shown(&mut self, question: usize) -> Questions {
        if let Some(known) = self.kept_in_mind(self.shown[question]) {
            return known;
        }
        let asked = &self.content.flow.questions[question];
        let found = match self.judged.state.shown[question] {
            Truth::Yes => self.kept(&asked.visible, Keep::AtLeast(Truth::Yes)),
            Truth::No => self.kept(&asked.visible, Keep::AtMost(Truth::No)),
            Truth::Unknown => self.exactly(&asked.visible),
        };
        self.shown[question] = self.keep_in_mind(found);
        found
    }

    /// Whether an answer moves with the finish.
    fn moves(&self, question: usize) -> bool {
        let names = &self.content.catalog.names;
        self.content.flow.questions[question].moves_with_finish()
            || self.judged.site.finish_readings().iter().any(|(id, _)| names.at(*id) == question)
    }
}

impl Content {
    /// The questions that keep a rule that may hold from being certainly false.
    pub(crate) fn kept_by(&self, judged: &Judged, rule: Rule) -> impl Iterator<Item = usize> {
        let all = 0..self.flow.questions.len();
        let by = Grounds::new(self, judged, all.clone().collect()).stands(rule);
        all.filter(move |question| by.has(*question))
    }

    /// What has changed with other answers though nothing changed that it hangs on by its reasons: names, with what they were and
    /// are, and the questions that were answered otherwise. For tests: there must be nothing.
    #[must_use]
    pub fn changed_without_reason(&self, answers: &Answers, others: &[Answers]) -> Vec<String> {
        let judged = self.judge(answers, self.flow.state(answers));
        let open = (0..self.flow.questions.len()).collect();
        let mut grounds = Grounds::new(self, &judged, open);
        let hangs_on: Vec<Questions> = (0..judged.values.len()).map(|slot| grounds.at(slot)).collect();
        let mut found = Vec::new();
        for other in others {
            let differing: Vec<usize> = answers.differing(other).collect();
            let after = self.judge(other, self.flow.state(other));
            for (slot, hangs_on) in hangs_on.iter().enumerate() {
                let (was, is) = (judged.values[slot], after.values[slot]);
                if was != is && !differing.iter().any(|question| hangs_on.has(*question)) {
                    let name = Slot::try_from(slot).map_or("", |slot| self.vocabulary.name(slot).text.as_str());
                    let ids: Vec<&str> = differing.iter().map(|q| self.flow.questions[*q].id.as_str()).collect();
                    found.push(format!("{name}: {was:?}, then {is:?} with other {}", ids.join(", ")));
                }
            }
        }
        found
    }

    /// The rules in the way that are gone with other answers about the plan, though none of these is a reason for it. For tests: there must
    /// be none.
    #[must_use]
    pub fn gone_without_reason(&self, answers: &Answers, others: &[Answers]) -> Vec<String> {
        let judged = self.judge(answers, self.flow.state(answers));
        let plan = || (0..self.flow.questions.len()).filter(|question| self.flow.questions[*question].plan);
        let offers = Offers::of(self, plan());
        let open: Questions = plan().collect();
        let answered = answers.iter().map(|(question, _)| question).chain(plan()).collect();
        let mut grounds = Grounds::of_plan(self, &judged, &judged.values, (open, answered), &offers);
        let stands = self.rules().filter(|rule| judged.truth(*rule).is_possible());
        let mut reasons: Vec<(Option<Rule>, Questions)> =
            stands.map(|rule| (Some(rule), grounds.stands(rule))).collect();
        if judged.site.held().is_possible() {
            reasons.push((None, grounds.bad_end_of_plan()));
        }
        let mut found = Vec::new();
        for other in others {
            let differing: Vec<usize> = answers.differing(other).collect();
            let after = self.judge(other, self.flow.state(other));
            for (rule, by) in &reasons {
                let stays = rule.map_or(after.site.held(), |rule| after.truth(rule)).is_possible();
                let is_reason = |question: &usize| {
                    let means = |all: Vec<&Answer>| other.get(*question).is_some_and(|now| all.contains(&now));
                    by.has(*question) && offers.meant(*question, *by).is_none_or(means)
                };
                if !stays && !differing.iter().any(is_reason) {
                    let name = match rule {
                        Some(Rule::Limit(at)) => self.limits[*at].id.as_str(),
                        Some(Rule::Finding(at)) => self.findings[*at].id.as_str(),
                        None => "water that ends badly",
                    };
                    let ids: Vec<&str> = differing.iter().map(|q| self.flow.questions[*q].id.as_str()).collect();
                    found.push(format!("{name}: gone with other {}", ids.join(", ")));
                }
            }
        }
        found
    }
}
