//! The proof: every claim on the content in turn.
//!
//! First visits are drawn and judged. What they do not show is looked for with the solver: the claims on rows beside the promises, each
//! with a formula of its own, so that neither waits for the other. What is open then is climbed to from the visits that were tried.

use super::claims::Happens;
use super::climb::climb;
use super::flaws::{broken, dead, fires, one_verdict, unneeded, unsettled};
use super::formula::Theory;
use super::lead_out::lead_out;
use super::looked::look_at;
use super::outcome::{Flaw, FlawKind, Proof};
use super::promises::Told;
use super::search::{Is, Search, Searching};
use super::seeds::{Draw, drawn};
use super::short::shortest;
use super::side::{each, halves};
use super::twice::more_room;
use super::unsure::milder_unsure;
use super::watch::{Eye, Sights, Watch};
use crate::content::{Content, Rule, Verdict};
use crate::flow::{Answers, Place, Slot, placeholders};
use crate::judge::Judged;
use crate::solve::Lit;
use crate::wall::Status;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::atomic::{AtomicUsize, Ordering};

/// How many visits are drawn to begin with.
const DRAWN: usize = 900;

/// From how many visits more something is looked for that was neither found nor ruled out: a row that has to count, and a promise.
const MOST_AGAIN: [usize; 2] = [6, 1];

/// How many visits are tried for a rule that stands alone: none has to be found.
const LITTLE_PATIENCE: usize = 3;

/// How many statements may be gone through for that, where each search goes through all there are: enough for a content a quarter larger
/// than the shipped one. Of a larger one some rules are searched for, spread over all.
const MOST_ALONE: usize = 12_000_000;

/// The same for what is looked for once more: the first of what was not found, until so much is used up.
const MOST_LOOKED_AGAIN: usize = 3_500_000;

/// How far a proof has come: claims done, and of how many.
pub type ProofProgress<'a> = &'a mut dyn FnMut(usize, usize);

/// The questions that texts name, for [`prove`].
#[must_use]
pub fn named_in_texts(content: &mut Content) -> BTreeSet<String> {
    let mut named = BTreeSet::new();
    content.each_text(&mut |_, text| named.extend(placeholders(text).into_iter().map(str::to_owned)));
    named
}

/// Proves the content over all answers. `named` are the names that texts use. The same content always gives the same proof.
#[must_use]
pub fn prove(content: &Content, named: &BTreeSet<String>, progress: ProofProgress<'_>) -> Proof {
    prove_from(content, named, 1, progress)
}

/// The same from another draw of visits to begin with: what is proved stays, what is only tried on visits, and what is not settled, is tried
/// on others.
#[must_use]
pub fn prove_from(content: &Content, named: &BTreeSet<String>, draw: u64, progress: ProofProgress<'_>) -> Proof {
    let watch = Watch::new(content);
    let mut draw = Draw::new(draw);
    let first: Vec<Answers> = (0..DRAWN).map(|_| drawn(content, &mut draw)).collect();
    let mut sights = watch.nothing();
    watch.look(&mut sights, &first, 0);
    let count = watch.claims.len() + content.promises.len();
    let kept = AtomicUsize::new(0);
    let promises: Vec<usize> = (0..content.promises.len()).collect();
    let (here, there): (Vec<usize>, Vec<usize>) = (0..watch.rules.len()).partition(|at| at % RULES_OF < RULES_HERE);
    let ((mut formula, (one, no_verdict), claims), promises) = halves(
        || {
            let mut group = Group::new(content, &watch, &first, sights.clone());
            group.happen(&mut |done| progress(done + kept.load(Ordering::Relaxed), count));
            group.stand_alone(&here);
            let one = one_verdict(&mut group.searching.formula);
            let (formula, came) = group.came();
            (formula, one, came)
        },
        || {
            let mut group = Group::new(content, &watch, &first, sights.clone());
            group.keep(&promises, &kept);
            group.stand_alone(&there);
            group.came().1
        },
    );
    // all visits in one row, and what they show
    let mut sights = claims.sights;
    sights.add(&promises.sights.moved(DRAWN, claims.tried.len()));
    let mut tried = first;
    let visits = (tried.len() + claims.tried.len() + promises.tried.len()) as u64;
    tried.extend(claims.tried.into_iter().chain(promises.tried));
    let (never, mut kept) = (claims.never, claims.kept);
    kept.extend(promises.kept);
    let open: Vec<Happens<'_>> = watch
        .claims
        .iter()
        .enumerate()
        .filter(|(at, claim)| !claim.spare && sights.claims[*at].is_none() && !never.contains_key(at))
        .map(|(_, claim)| claim.what)
        .chain(
            content
                .promises
                .iter()
                .enumerate()
                .filter(|(at, _)| sights.breaks[*at].is_none() && !kept.contains(at))
                .map(|(_, promise)| Happens::Broken(promise)),
        )
        .collect();
    let found: Vec<Answers> = climb(&open, &watch, content, &tried).into_iter().flatten().collect();
    watch.look(&mut sights, &found, tried.len());
    tried.extend(found);
    let all = Tried { content, watch: &watch, visits: tried, sights };
    let mut proof = Proof::default();
    all.rows(&never, &mut proof);
    read(content, named, &mut proof);
    cited(content, &mut proof);
    proof.proved += one;
    proof.faults.extend(no_verdict);
    all.promises(&kept, &mut proof);
    let ((proved, hills, worse), ((shown, stuck), ((looks, seen), milder))) = halves(
        || more_room(&mut formula, &all.visits, &all.sights),
        || {
            let waits = watch.waits.iter().zip(&all.sights.waits);
            let waits = waits.filter_map(|(rule, at)| Some((*rule, &all.visits[(*at)?])));
            let lonely = all.sights.lonely();
            let lonely: Vec<&Answers> = lonely.into_iter().filter_map(|at| all.visits.get(at)).collect();
            (lead_out(content, waits), (look_at(content, &all.visits), milder_unsure(content, &lonely)))
        },
    );
    proof.shown += shown;
    proof.proved += proved;
    proof.tried += hills + looks;
    proof.faults.extend(stuck.into_iter().chain(worse).chain(seen).chain(milder));
    let (statements, clauses, calls) = (formula.sat.statements(), formula.sat.clauses(), formula.sat.calls());
    proof.size = (statements, clauses, calls + promises.calls);
    proof.visits = visits;
    proof.ways = formula.ways();
    proof
}

/// Of so many rules some are looked for beside the claims on rows, so that neither half waits for long.
const RULES_OF: usize = 3;

/// How many of them.
const RULES_HERE: usize = 2;

/// Claims that are looked for with one formula.
struct Group<'w, 'c> {
    content: &'c Content,
    drawn: &'w [Answers],
    searching: Searching<'c>,
    eye: Eye<'w, 'c>,
    watch: &'w Watch<'c>,
    /// Claims that can never be so, with what is wrong then.
    never: BTreeMap<usize, Option<Flaw>>,
    /// Promises that can never be broken.
    kept: BTreeSet<usize>,
    /// How many searches were made once more.
    again: usize,
}

/// What came of a group of claims.
struct Proven {
    sights: Sights,
    tried: Vec<Answers>,
    never: BTreeMap<usize, Option<Flaw>>,
    kept: BTreeSet<usize>,
    calls: u64,
}

impl<'w, 'c> Group<'w, 'c> {
    fn new(content: &'c Content, watch: &'w Watch<'c>, drawn: &'w [Answers], sights: Sights) -> Self {
        let eye = Eye::new(watch, sights);
        let searching = Searching::new(content);
        Group { content, drawn, searching, eye, watch, never: BTreeMap::new(), kept: BTreeSet::new(), again: 0 }
    }

    fn came(self) -> (Theory<'c>, Proven) {
        let Searching { formula, tried, .. } = self.searching;
        let calls = formula.sat.calls();
        (formula, Proven { sights: self.eye.sights, tried, never: self.never, kept: self.kept, calls })
    }

    /// Looks for it from the calmest visit; whether it can never be so.
    fn is_never(&mut self, lit: Lit, what: Happens<'_>) -> bool {
        self.is_never_from(&self.calmest(), lit, what)
    }

    /// The same once more, from other visits, for what came of nothing.
    fn look_again(&mut self, nth: usize, lit: Lit, what: Happens<'_>, seen: &dyn Fn(&Sights) -> bool) {
        let most = MOST_AGAIN[usize::from(matches!(what, Happens::Broken(_)))];
        for again in 0..most {
            if self.again >= self.searches_for(MOST_LOOKED_AGAIN) {
                return;
            }
            self.again += 1;
            let from = self.drawn.get((nth * most + again) % DRAWN).cloned().unwrap_or_default();
            if self.is_never_from(&from, lit, what) || seen(&self.eye.sights) {
                return;
            }
        }
    }

    fn is_never_from(&mut self, from: &Answers, lit: Lit, what: Happens<'_>) -> bool {
        let (content, telling) = (self.content, &self.watch.telling);
        self.cannot_be(from, lit, &|_, judged| what.happens(content, judged, &Told::of(telling, judged)))
    }

    /// How many searches may be made if they may go through so many statements.
    fn searches_for(&self, statements: usize) -> usize {
        (statements / (self.searching.formula.sat.statements() as usize).max(1)).max(1)
    }

    fn cannot_be(&mut self, from: &Answers, lit: Lit, is: Is<'_>) -> bool {
        let came = self.searching.find(&[lit], from, is);
        for (place, judged) in self.searching.since() {
            self.eye.see(&judged, self.drawn.len() + place);
        }
        matches!(came, Search::Never)
    }

    fn calmest(&self) -> Answers {
        let calm = self.eye.sights.calmest.map(|(_, at)| at).unwrap_or_default();
        let calm = self.drawn.get(calm).or(self.searching.tried.get(calm.saturating_sub(self.drawn.len()))).cloned();
        calm.unwrap_or_default()
    }

    /// Everything that has to happen in some visit.
    fn happen(&mut self, progress: &mut dyn FnMut(usize)) {
        for (at, claim) in self.watch.claims.iter().enumerate() {
            progress(at);
            if self.eye.sights.claims[at].is_some() {
                continue;
            }
            let lit = claim.what.stated(&mut self.searching.formula);
            if self.is_never(lit, claim.what) {
                let flaw = (!claim.spare).then(|| dead(&mut self.searching.formula, claim));
                self.never.insert(at, flaw);
            }
        }
        for (at, claim) in self.watch.claims.iter().enumerate().filter(|(_, claim)| !claim.spare) {
            if self.eye.sights.claims[at].is_none() && !self.never.contains_key(&at) {
                let lit = claim.what.stated(&mut self.searching.formula);
                self.look_again(at, lit, claim.what, &|sights| sights.claims[at].is_some());
            }
        }
    }

    /// By rule a visit in which it stands and as few others as can be: what it stands on is seen there.
    fn stand_alone(&mut self, rules: &[usize]) {
        let patience = std::mem::replace(&mut self.searching.patience, LITTLE_PATIENCE);
        let apart = self.watch.rules.len().div_ceil(self.searches_for(MOST_ALONE));
        for at in rules.iter().copied().step_by(apart.max(1)) {
            let rule = self.watch.rules[at];
            let alone = self.eye.sights.lonely[at][0].is_some_and(|(stand, _)| stand == 1);
            let Some(verdict) = self.content.verdict_of(rule).filter(|_| !alone) else { continue };
            let what = match rule {
                Rule::Limit(at) => Happens::Limit(at, Status::Fails),
                Rule::Finding(at) => Happens::Finding(at),
            };
            let formula = &mut self.searching.formula;
            let (stated, given) = (what.stated(formula), formula.verdict[verdict as usize]);
            let lit = formula.sat.all(&[stated, given]);
            let from = self.calmest();
            self.cannot_be(&from, lit, &|_, judged| judged.truth(rule).is_yes() && judged.settled.verdict == verdict);
        }
        self.searching.patience = patience;
    }

    /// These promises are kept.
    fn keep(&mut self, promises: &[usize], done: &AtomicUsize) {
        // from a visit that goes ahead few rules have to be looked at
        let ahead = self.searching.formula.verdict[Verdict::GoAhead as usize];
        self.is_never(ahead, Happens::Given(Verdict::GoAhead));
        for at in promises {
            let promise = &self.content.promises[*at];
            if self.eye.sights.breaks[*at].is_none() {
                let (_, lit) = self.searching.formula.promise(promise);
                if self.is_never(lit, Happens::Broken(promise)) {
                    self.kept.insert(*at);
                }
            }
            done.fetch_add(1, Ordering::Relaxed);
        }
        for at in promises.iter().copied() {
            if self.eye.sights.breaks[at].is_none() && !self.kept.contains(&at) {
                let promise = &self.content.promises[at];
                let (_, lit) = self.searching.formula.promise(promise);
                self.look_again(at, lit, Happens::Broken(promise), &|sights| sights.breaks[at].is_some());
            }
        }
    }
}

/// All visits that were tried, and what they show.
struct Tried<'w, 'c> {
    content: &'c Content,
    watch: &'w Watch<'c>,
    visits: Vec<Answers>,
    sights: Sights,
}

impl Tried<'_, '_> {
    /// What came of the claims on rows.
    fn rows(&self, never: &BTreeMap<usize, Option<Flaw>>, proof: &mut Proof) {
        let mut fire = Vec::new();
        for (at, claim) in self.watch.claims.iter().enumerate() {
            match (self.sights.claims[at], never.get(&at), claim.spare) {
                (Some(_), _, false) => proof.shown += 1,
                (Some(visit), _, true) => fire.push((claim, visit)),
                (None, Some(Some(flaw)), _) => proof.faults.push(flaw.clone()),
                (None, Some(None), _) => proof.proved += 1,
                (None, None, true) => proof.tried += 1,
                (None, None, false) => proof.unsettled.push(unsettled(claim)),
            }
        }
        proof.faults.extend(each(&fire, |(claim, visit)| fires(claim, self.short(claim.what, *visit))));
    }

    /// What came of the promises.
    fn promises(&self, kept: &BTreeSet<usize>, proof: &mut Proof) {
        let mut breaks = Vec::new();
        for (at, promise) in self.content.promises.iter().enumerate() {
            if let Some(visit) = self.sights.breaks[at] {
                breaks.push((promise, visit));
            } else if kept.contains(&at) {
                proof.proved += 1;
            } else {
                proof.unsettled.push(broken(promise, None));
            }
        }
        proof.faults.extend(each(&breaks, |(promise, visit)| {
            broken(promise, Some(self.short(Happens::Broken(promise), *visit)))
        }));
    }

    /// The shortest visit found in which it happens as in this one.
    fn short(&self, what: Happens<'_>, visit: usize) -> Answers {
        let telling = self.watch.telling.only(&what.asks());
        let is = |_: &Answers, judged: &Judged| what.happens(self.content, judged, &Told::of(&telling, judged));
        shortest(self.content, &self.visits[visit], &is)
    }
}

/// Every question is read by something.
fn read(content: &Content, named: &BTreeSet<String>, proof: &mut Proof) {
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
        if by_rule || content.catalog.names.reads(at) || named.contains(question.id.as_str()) {
            proof.shown += 1;
            continue;
        }
        let id = &question.id;
        let message = format!("nothing reads the answer to `{id}`: no rule, no text, nothing that is computed");
        proof.faults.push(unneeded(FlawKind::NeverRead, "question", id, question.written, message));
    }
}

/// Every work is cited by some row.
fn cited(content: &Content, proof: &mut Proof) {
    let cited: BTreeSet<usize> = content.resting.iter().flat_map(|row| row.works.iter().copied()).collect();
    for (at, work) in content.works.iter().enumerate() {
        if cited.contains(&at) {
            proof.shown += 1;
            continue;
        }
        let message = format!("no row rests on the work `{}`", work.id);
        proof.faults.push(unneeded(FlawKind::NeverCited, "work", &work.id, Place::nowhere(), message));
    }
}
