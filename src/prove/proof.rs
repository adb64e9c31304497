//! The proof: every claim on the content in turn.

use super::claims::{Happens, Wanted, wanted};
use super::climb::{behind, climb};
use super::explain::{in_words, parts};
use super::looked::look_at;
use super::outcome::{Flaw, FlawKind, Proof};
use super::promises::AdviceNames;
use super::search::{Search, Searching};
use super::seeds::{Draw, drawn};
use super::short::shortest;
use super::twice::more_room;
use crate::content::{Content, Rule, Verdict};
use crate::flow::{Answers, Clause, Condition, Place, Slot, placeholders};
use crate::judge::Judged;
use crate::solve::Lit;
use std::collections::BTreeSet;

/// How many visits are drawn to begin with.
const DRAWN: usize = 900;

/// How far a proof has come: claims done, and of how many.
pub type ProofProgress<'a> = &'a mut dyn FnMut(usize, usize);

/// The questions that texts name, for [`prove`].
#[must_use]
pub fn named_in_texts(content: &mut Content) -> BTreeSet<String> {
    let mut named = BTreeSet::new();
    content.each_text(&mut |_, text| named.extend(placeholders(text).into_iter().map(str::to_owned)));
    named
}

/// Proves the content over all answers. `named` are the names that texts use.
#[must_use]
pub fn prove(content: &Content, named: &BTreeSet<String>, progress: ProofProgress<'_>) -> Proof {
    let mut proving = Proving::new(content);
    let all = wanted(content);
    let count = all.len() + content.promises.len();
    proving.draw();
    proving.happen(&all, &mut |done| progress(done, count));
    proving.read(named);
    proving.cited();
    proving.one_verdict();
    proving.look_back(&all, &mut vec![true; all.len()], &mut []);
    for nth in 0..content.promises.len() {
        proving.keep(nth);
        progress(all.len() + nth + 1, count);
    }
    proving.lead_out();
    proving.more_room();
    proving.look();
    proving.done()
}

struct Proving<'c> {
    content: &'c Content,
    searching: Searching<'c>,
    proof: Proof,
    telling: AdviceNames<'c>,
    /// How many of the visits tried were looked at for claims that are still open.
    seen: usize,
    /// By promise: the first visit tried that breaks it.
    breakers: Vec<Option<Answers>>,
    /// Rules that say "find out first", each with the first visit tried in which that is the verdict and the rule holds.
    waits: Vec<(Rule, Option<Answers>)>,
}

impl<'c> Proving<'c> {
    fn new(content: &'c Content) -> Self {
        Proving {
            content,
            searching: Searching::new(content),
            proof: Proof::default(),
            telling: AdviceNames::new(content),
            seen: 0,
            breakers: vec![None; content.promises.len()],
            waits: content
                .rules()
                .filter(|rule| content.verdict_of(*rule) == Some(Verdict::FindOutFirst))
                .map(|rule| (rule, None))
                .collect(),
        }
    }

    fn draw(&mut self) {
        let mut draw = Draw::new(1);
        for _ in 0..DRAWN {
            self.searching.tried.push(drawn(self.content, &mut draw));
        }
        self.searching.count += DRAWN as u64;
    }

    fn judged(&self, answers: &Answers) -> Judged {
        self.content.judge(answers, self.content.flow.state(answers))
    }

    /// Everything that has to happen in some visit.
    fn happen(&mut self, all: &[Wanted<'c>], progress: &mut dyn FnMut(usize)) {
        let content = self.content;
        let mut done = vec![false; all.len()];
        let mut spare_fires: Vec<Option<Answers>> = vec![None; all.len()];
        for at in 0..all.len() {
            self.look_back(all, &mut done, &mut spare_fires);
            progress(at);
            let claim = &all[at];
            if done[at] {
                self.proof.shown += usize::from(!claim.spare);
                continue;
            }
            let lit = claim.what.stated(&mut self.searching.formula);
            let telling = &self.telling;
            let is = |_: &Answers, judged: &Judged| claim.what.happens(content, judged, &|| telling.values(judged));
            let came = self.searching.find(&[lit], &is);
            if claim.spare {
                match came {
                    Search::Visit(answers) => spare_fires[at] = Some(*answers),
                    Search::Never => self.proof.proved += 1,
                    Search::NotFound => self.proof.tried += 1,
                }
                continue;
            }
            match came {
                Search::Visit(_) => {
                    self.proof.shown += 1;
                    done[at] = true;
                }
                Search::Never => {
                    let fault = self.dead(claim);
                    self.proof.faults.push(fault);
                }
                Search::NotFound => {
                    let telling = &self.telling;
                    let advice = |judged: &Judged| telling.values(judged);
                    if let Some(answers) = climb(claim.what, content, &self.searching.tried, &advice) {
                        self.searching.tried.push(answers);
                        self.proof.shown += 1;
                        done[at] = true;
                    } else {
                        let fault = unsettled(claim);
                        self.proof.unsettled.push(fault);
                    }
                }
            }
        }
        // a visit that was tried for something else may show it
        self.look_back(all, &mut done, &mut spare_fires);
        let open = std::mem::take(&mut self.proof.unsettled);
        for fault in open {
            let shown = all.iter().zip(&done).any(|(claim, done)| *done && unsettled(claim).message == fault.message);
            if shown {
                self.proof.shown += 1;
            } else {
                self.proof.unsettled.push(fault);
            }
        }
        for (claim, answers) in all.iter().zip(spare_fires).filter_map(|(claim, answers)| Some((claim, answers?))) {
            let telling = &self.telling;
            let is = |_: &Answers, judged: &Judged| claim.what.happens(content, judged, &|| telling.values(judged));
            let visit = shortest(content, &answers, &is);
            self.proof.faults.push(Flaw {
                kind: FlawKind::FiresThough,
                row: claim.kind,
                id: claim.id.to_owned(),
                place: claim.place,
                message: format!(
                    "the {} `{}` is `spare`, for rows that are not there yet, and it holds with these",
                    claim.kind, claim.id
                ),
                against: Vec::new(),
                visit: Some(visit),
                beside: None,
            });
        }
    }

    /// What happened in the visits that were tried since.
    fn look_back(&mut self, all: &[Wanted<'_>], done: &mut [bool], spare: &mut [Option<Answers>]) {
        while self.seen < self.searching.tried.len() {
            let answers = &self.searching.tried[self.seen];
            self.seen += 1;
            let judged = self.judged(answers);
            let values = self.telling.values(&judged);
            if judged.settled.verdict == Verdict::FindOutFirst {
                for (rule, wait) in &mut self.waits {
                    if wait.is_none() && judged.truth(*rule).is_yes() {
                        *wait = Some(answers.clone());
                    }
                }
            }
            for (promise, breaker) in self.content.promises.iter().zip(&mut self.breakers) {
                if breaker.is_none() && AdviceNames::is_broken(self.content, promise, &judged, &values) {
                    *breaker = Some(answers.clone());
                }
            }
            for (at, claim) in all.iter().enumerate() {
                if !done[at] && claim.what.happens(self.content, &judged, &|| values.clone()) {
                    if claim.spare {
                        done[at] = true;
                        spare[at] = Some(answers.clone());
                    } else {
                        done[at] = true;
                    }
                }
            }
        }
    }

    /// Something that can never happen, and the conditions that stand against each other.
    fn dead(&mut self, claim: &Wanted<'_>) -> Flaw {
        let content = self.content;
        let (kind, says) = match claim.what {
            Happens::Asked(_) => (FlawKind::NeverAsked, "is never asked"),
            Happens::Fact(_, true) => (FlawKind::OneSided, "never holds"),
            Happens::Fact(_, false) => (FlawKind::OneSided, "always holds, or is never known not to"),
            Happens::Limit(_, crate::wall::Status::Fails) => (FlawKind::NeverMissed, "can never be missed"),
            Happens::Limit(..) => (FlawKind::NeverMet, "can never be met"),
            Happens::Finding(_) => (FlawKind::NeverFires, "never holds"),
            Happens::Row(_) => (FlawKind::NeverUsed, "is never called for"),
            Happens::Owed(_) => (FlawKind::NeverOwed, "is never owed, and so promises nothing"),
            Happens::Given(_) => (FlawKind::NeverGiven, "is never given"),
            Happens::Broken(_) => (FlawKind::Broken, "is never broken"),
        };
        let when: Option<&Condition> = match claim.what {
            Happens::Asked(at) => Some(&content.flow.questions[at].visible),
            Happens::Fact(at, true) => Some(&content.defined[at].when),
            Happens::Limit(at, _) => Some(&content.limits[at].when),
            Happens::Finding(at) => Some(&content.findings[at].when),
            Happens::Row(row) => Some(row.when),
            Happens::Owed(when) => Some(when),
            Happens::Fact(_, false) | Happens::Given(_) | Happens::Broken(_) => None,
        };
        let mut said: Vec<(Lit, String)> = Vec::new();
        for part in when.map(parts).unwrap_or_default() {
            let lit = self.searching.formula.clause(&part).truth.yes;
            said.push((lit, in_words(&part, &content.vocabulary)));
        }
        if let Happens::Limit(at, status) = claim.what {
            let limit = &content.limits[at];
            let applies = self.searching.formula.limits[at].applies.yes;
            let lit = self.searching.formula.status(at, status);
            let test = match (limit.sense, status) {
                (crate::wall::Sense::AtLeast, crate::wall::Status::Passes) => crate::flow::Test::AtLeast(limit.bound),
                (crate::wall::Sense::AtLeast, _) => crate::flow::Test::Below(limit.bound),
                (crate::wall::Sense::AtMost, crate::wall::Status::Passes) => crate::flow::Test::AtMost(limit.bound),
                (crate::wall::Sense::AtMost, _) => crate::flow::Test::Above(limit.bound),
            };
            said.push((applies, "its regions".to_owned()));
            said.push((lit, in_words(&Clause::Is(limit.measure, test), &content.vocabulary)));
        }
        if let Happens::Row(row) = claim.what
            && let Some(verdict) = row.verdict
        {
            said.push((self.searching.formula.verdict[verdict as usize], format!("verdict: {}", verdict.word())));
        }
        let lits: Vec<Lit> = said.iter().map(|(lit, _)| *lit).collect();
        let core = self.searching.formula.fewest_against(&lits);
        let against = said.into_iter().filter(|(lit, _)| core.contains(lit)).map(|(_, text)| text).collect();
        Flaw {
            kind,
            row: claim.kind,
            id: claim.id.to_owned(),
            place: claim.place,
            message: format!("the {} `{}` {says}, whatever is answered", claim.kind, claim.id),
            against,
            visit: None,
            beside: None,
        }
    }

    /// Every question is read by something.
    fn read(&mut self, named: &BTreeSet<String>) {
        let content = self.content;
        let mut read: BTreeSet<Slot> = BTreeSet::new();
        read.extend(content.flow.questions.iter().flat_map(|q| q.visible.reads()));
        read.extend(content.defined.iter().flat_map(|d| d.when.reads()));
        read.extend(content.limits.iter().flat_map(|l| l.when.reads().chain([l.measure])));
        read.extend(content.findings.iter().flat_map(|f| f.when.reads()));
        read.extend(super::rows::called(content).into_iter().flat_map(|row| row.when.reads()));
        let evidence = content.suspects.iter().flat_map(|s| s.speaks_for.iter().chain(&s.speaks_against));
        read.extend(evidence.flat_map(|e| e.when.reads()));
        for (at, question) in content.flow.questions.iter().enumerate() {
            let by_rule = Slot::try_from(at).is_ok_and(|slot| read.contains(&slot));
            if by_rule || content.catalog.names.reads(at) || named.contains(&question.id) {
                self.proof.shown += 1;
                continue;
            }
            self.proof.faults.push(Flaw {
                kind: FlawKind::NeverRead,
                row: "question",
                id: question.id.clone(),
                place: question.written,
                message: format!(
                    "nothing reads the answer to `{}`: no rule, no text, nothing that is computed",
                    question.id
                ),
                against: Vec::new(),
                visit: None,
                beside: None,
            });
        }
    }

    /// Every work is cited by some row.
    fn cited(&mut self) {
        let cited: BTreeSet<usize> = self.content.resting.iter().flat_map(|row| row.works.iter().copied()).collect();
        for (at, work) in self.content.works.iter().enumerate() {
            if cited.contains(&at) {
                self.proof.shown += 1;
                continue;
            }
            self.proof.faults.push(Flaw {
                kind: FlawKind::NeverCited,
                row: "work",
                id: work.id.clone(),
                place: Place::nowhere(),
                message: format!("no row rests on the work `{}`", work.id),
                against: Vec::new(),
                visit: None,
                beside: None,
            });
        }
    }

    /// Every visit has one verdict, and no other.
    fn one_verdict(&mut self) {
        let given = self.searching.formula.verdict;
        let mut cases = vec![given.map(|lit| !lit).to_vec()];
        for (at, one) in given.iter().enumerate() {
            cases.extend(given[at + 1..].iter().map(|other| vec![*one, *other]));
        }
        for case in cases {
            if self.searching.formula.sat.can(&case) {
                self.proof.faults.push(Flaw {
                    kind: FlawKind::NotOneVerdict,
                    row: "verdict",
                    id: String::new(),
                    place: Place::nowhere(),
                    message: "some visit has no verdict, or two".to_owned(),
                    against: Vec::new(),
                    visit: Some(self.searching.formula.draft().answers),
                    beside: None,
                });
            } else {
                self.proof.proved += 1;
            }
        }
    }

    /// A promise is kept.
    fn keep(&mut self, nth: usize) {
        let content = self.content;
        let promise = &content.promises[nth];
        let telling = &self.telling;
        let is =
            |_: &Answers, judged: &Judged| AdviceNames::is_broken(content, promise, judged, &telling.values(judged));
        let before = self.breakers[nth].clone();
        let fault = |visit: Option<Answers>| Flaw {
            kind: FlawKind::Broken,
            row: "promise",
            id: promise.id.clone(),
            place: promise.place,
            message: format!("the promise `{}` is broken", promise.id),
            against: Vec::new(),
            visit,
            beside: None,
        };
        let came = if let Some(answers) = before {
            Search::Visit(Box::new(answers))
        } else {
            let (_, broken) = self.searching.formula.promise(promise);
            match self.searching.find(&[broken], &is) {
                Search::NotFound => {
                    let advice = |judged: &Judged| telling.values(judged);
                    let found = climb(Happens::Broken(promise), content, &self.searching.tried, &advice);
                    found.map_or(Search::NotFound, |answers| Search::Visit(Box::new(answers)))
                }
                came => came,
            }
        };
        match came {
            Search::Visit(answers) => {
                let visit = shortest(content, &answers, &is);
                self.proof.faults.push(fault(Some(visit)));
            }
            Search::Never => self.proof.proved += 1,
            Search::NotFound => {
                let message =
                    format!("no visit was found that breaks the promise `{}`, and none is ruled out", promise.id);
                self.proof.unsettled.push(Flaw { message, ..fault(None) });
            }
        }
    }

    /// From each rule that says "find out first", some answers lead out.
    fn lead_out(&mut self) {
        let content = self.content;
        for (rule, from) in std::mem::take(&mut self.waits) {
            let (row, id, when) = match rule {
                Rule::Limit(at) => ("limit", &content.limits[at].id, &content.limits[at].when),
                Rule::Finding(at) if content.findings[at].guard.is_some() => continue,
                Rule::Finding(at) => ("finding", &content.findings[at].id, &content.findings[at].when),
            };
            let in_way =
                |judged: &Judged| judged.settled.verdict == Verdict::FindOutFirst && judged.truth(rule).is_yes();
            let Some(from) = from else { continue };
            let judged = self.judged(&from);
            let mut slots: Vec<Slot> = when.reads().collect();
            if let Rule::Limit(at) = rule {
                slots.push(content.limits[at].measure);
            }
            let questions: Vec<usize> = behind(content, &slots, &judged).into_iter().collect();
            let gone = |answers: &Answers| !self.judged(answers).truth(rule).is_possible();
            let mut found = false;
            'all: for (nth, question) in questions.iter().enumerate() {
                for answer in crate::judge::representatives(&content.flow.questions[*question]) {
                    let mut next = from.clone();
                    next.set(*question, answer);
                    if gone(&next) {
                        found = true;
                        break 'all;
                    }
                    // what it brings up may lead on
                    for other in questions.iter().skip(nth + 1).take(8) {
                        for answer in crate::judge::representatives(&content.flow.questions[*other]).into_iter().take(6)
                        {
                            let mut after = next.clone();
                            after.set(*other, answer);
                            if gone(&after) {
                                found = true;
                                break 'all;
                            }
                        }
                    }
                }
            }
            if found {
                self.proof.shown += 1;
                continue;
            }
            let is = |_: &Answers, judged: &Judged| in_way(judged);
            self.proof.faults.push(Flaw {
                kind: FlawKind::NoWayOut,
                row,
                id: id.clone(),
                place: super::rows::place(content, row, id),
                message: format!(
                    "the {row} `{id}` says \"find out first\", and no answer that it looks at leads out of it"
                ),
                against: Vec::new(),
                visit: Some(shortest(content, &from, &is)),
                beside: None,
            });
        }
    }

    /// More room is never judged worse.
    fn more_room(&mut self) {
        let (proved, tried, faults) = more_room(&mut self.searching);
        self.proof.proved += proved;
        self.proof.tried += tried;
        self.proof.faults.extend(faults);
    }

    /// What only visits can show.
    fn look(&mut self) {
        let (tried, faults) = look_at(self.content, &self.searching.tried);
        self.proof.tried += tried;
        self.proof.faults.extend(faults);
    }

    fn done(mut self) -> Proof {
        let sat = &self.searching.formula.sat;
        self.proof.size = (sat.statements(), sat.clauses(), sat.calls());
        self.proof.visits = self.searching.count;
        self.proof.ways = self.searching.formula.ways();
        self.proof
    }
}

fn unsettled(claim: &Wanted<'_>) -> Flaw {
    Flaw {
        kind: match claim.what {
            Happens::Asked(_) => FlawKind::NeverAsked,
            Happens::Fact(..) => FlawKind::OneSided,
            Happens::Limit(_, crate::wall::Status::Fails) => FlawKind::NeverMissed,
            Happens::Limit(..) => FlawKind::NeverMet,
            Happens::Finding(_) => FlawKind::NeverFires,
            Happens::Row(_) => FlawKind::NeverUsed,
            Happens::Owed(_) => FlawKind::NeverOwed,
            Happens::Given(_) => FlawKind::NeverGiven,
            Happens::Broken(_) => FlawKind::Broken,
        },
        row: claim.kind,
        id: claim.id.to_owned(),
        place: claim.place,
        message: format!(
            "no visit was found in which the {} `{}` {}, and it is not ruled out",
            claim.kind,
            claim.id,
            claim.what.said()
        ),
        against: Vec::new(),
        visit: None,
        beside: None,
    }
}
