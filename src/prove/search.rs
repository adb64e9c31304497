//! Looking for a visit in which something is so: the formula proposes one, the evaluator tries it, and what was wrong with the
//! proposal is learnt, until a visit is found or the formula has none left.

use super::formula::Theory;
use super::learn::Shapes;
use super::seeds::{Draw, drawn};
use crate::content::Content;
use crate::flow::Answers;
use crate::judge::Judged;
use crate::solve::Lit;
use std::collections::HashSet;
use std::rc::Rc;

/// What came of a search.
#[derive(Debug, Clone)]
pub(super) enum Search {
    /// There is a visit in which it is so, the last one of those that were tried.
    Visit,
    /// There is none, for certain.
    Never,
    /// None was found: the formula has none left but for what it only took to follow, or too many were tried.
    NotFound,
}

/// How many visits are tried for a claim that has to be settled.
const MOST_TRIED: usize = 16;

/// How often the solver is asked for one claim, by each visit that may be tried.
const MOST_ASKED: usize = 3;

/// How many visits are kept to look at again.
const MOST_KEPT: usize = 4000;

/// A formula with all that was learnt, and the visits that were tried.
pub(super) struct Searching<'c> {
    pub(super) content: &'c Content,
    pub(super) formula: Theory<'c>,
    unsure: Lit,
    shapes: Shapes<'c>,
    /// What the formula says nothing of is drawn.
    draw: Draw,
    /// Visits that were tried, whatever for.
    pub(super) tried: Vec<Answers>,
    /// What follows from those that nobody has looked at yet, by their places.
    judged: Vec<(usize, Rc<Judged>)>,
    /// How many were tried.
    pub(super) count: u64,
    /// How many are tried for one claim, where all rules are looked at that stand there.
    pub(super) patience: usize,
}

/// Whether a visit is what was looked for.
pub(super) type Is<'a> = &'a dyn Fn(&Answers, &Judged) -> bool;

impl<'c> Searching<'c> {
    pub(super) fn new(content: &'c Content) -> Searching<'c> {
        let mut formula = Theory::new(content);
        let unsure = formula.sat.free();
        Searching {
            content,
            formula,
            unsure,
            shapes: Shapes::new(content),
            draw: Draw::new(2),
            tried: Vec::new(),
            judged: Vec::new(),
            count: 0,
            patience: MOST_TRIED,
        }
    }

    /// A visit in which all these statements hold and that is what was looked for. `calm` is a visit in which few rules hold or may.
    pub(super) fn find(&mut self, wanted: &[Lit], calm: &Answers, is: Is<'_>) -> Search {
        let rules = self.formula.sat.meets_wide(wanted);
        let rest = if rules { calm.clone() } else { drawn(self.content, &mut self.draw) };
        let like = self.formula.like(&rest, &self.shapes);
        self.formula.sat.begin(&like);
        let mut assumed = wanted.to_vec();
        assumed.push(self.unsure);
        self.formula.sat.take(&assumed);
        // lists along the wall only where it cannot be without
        let mut least = assumed.len();
        let lists: Vec<Lit> = self.formula.lists().into_iter().filter(|lit| self.formula.sat.heeds(*lit)).collect();
        assumed.extend(lists);
        let mut left = self.patience;
        let mut shown = false;
        for _ in 0..MOST_ASKED * self.patience {
            if !self.formula.sat.can_calmly(&assumed) {
                // some other rule has to hold
                if self.formula.sat.against_calm() && self.formula.sat.can(&assumed) {
                    // which one, a visit shows; where it does not, and the next time, all are looked at
                    let draft = self.formula.draft(&rest);
                    let judged = self.judge(&draft.answers);
                    if is(&draft.answers, &judged) {
                        return self.found(draft.answers, judged);
                    }
                    if shown || self.open(&judged) == 0 {
                        self.formula.sat.open_all();
                    }
                    shown = true;
                    continue;
                }
                let against = self.formula.sat.against();
                if against.iter().any(|lit| assumed[least..].contains(lit)) {
                    assumed.truncate(least);
                } else if against.contains(&self.unsure) {
                    // without what was only taken to follow: is it ruled out by the rules that stand there then?
                    assumed = wanted.to_vec();
                    least = assumed.len();
                } else {
                    return Search::Never;
                }
                continue;
            }
            let taken = assumed.contains(&self.unsure);
            let mut draft = self.formula.draft(&rest);
            let mut judged = self.judge(&draft.answers);
            if is(&draft.answers, &judged) {
                return self.found(draft.answers, judged);
            }
            let because = self.formula.sat.because(wanted);
            let relevant = self.formula.spoken_of(&because);
            let needed: HashSet<Lit> = because.iter().copied().collect();
            if self.formula.fit_numbers(&mut draft, &judged, &mut self.shapes, self.unsure, &relevant, &needed) {
                judged = self.judge(&draft.answers);
                if is(&draft.answers, &judged) {
                    return self.found(draft.answers, judged);
                }
            }
            if self.formula.fit_uneven(&mut draft, &judged, &self.shapes, &relevant, &needed) {
                judged = self.judge(&draft.answers);
                if is(&draft.answers, &judged) {
                    return self.found(draft.answers, judged);
                }
            }
            let clauses = self.formula.sat.clauses();
            self.formula.learn(&draft.answers, &judged, self.unsure, &relevant);
            let opened = if rules { self.open(&judged) } else { 0 };
            left -= usize::from(opened == 0);
            if opened == 0 && (left == 0 || !taken || self.formula.sat.clauses() == clauses) {
                return Search::NotFound;
            }
        }
        Search::NotFound
    }

    /// Rules that hold in a visit, or may, are looked at from now on; how many are new.
    fn open(&mut self, judged: &Judged) -> usize {
        let limits = self.content.limits.iter().zip(&judged.clearances).filter(|(l, _)| l.verdict.is_some());
        let findings = self.content.findings.iter().zip(&judged.findings).filter(|(f, _)| f.verdict.is_some());
        let truths = limits.map(|(_, clearance)| clearance.breaks()).chain(findings.map(|(_, truth)| *truth));
        let stand: Vec<Lit> = truths
            .zip(&self.formula.ruled)
            .filter(|(truth, _)| truth.is_possible())
            .flat_map(|(_, lits)| lits.iter().copied())
            .collect();
        self.formula.sat.open(&stand)
    }

    /// A visit that was found is kept, however many there are.
    fn found(&mut self, answers: Answers, judged: Rc<Judged>) -> Search {
        if self.tried.len() >= MOST_KEPT {
            self.judged.push((self.tried.len(), judged));
            self.tried.push(answers);
        }
        Search::Visit
    }

    /// What follows from answers. The visit is kept.
    fn judge(&mut self, answers: &Answers) -> Rc<Judged> {
        self.count += 1;
        let judged = Rc::new(self.content.judge(answers, self.content.flow.state(answers)));
        if self.tried.len() < MOST_KEPT {
            self.judged.push((self.tried.len(), Rc::clone(&judged)));
            self.tried.push(answers.clone());
        }
        judged
    }

    /// What follows from the visits that were tried since, by their places among all that were.
    pub(super) fn since(&mut self) -> Vec<(usize, Rc<Judged>)> {
        std::mem::take(&mut self.judged)
    }
}
