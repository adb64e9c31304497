//! What the visits that were tried show: each is judged once, and held against all claims that are still open.

use super::claims::Wanted;
use super::promises::{AdviceNames, Told};
use super::side::halves;
use crate::content::{Content, Rule, Verdict};
use crate::flow::{Answers, Truth};
use crate::judge::Judged;
use std::collections::{BTreeMap, BTreeSet};

/// What is looked for in each visit.
#[derive(Debug)]
pub(super) struct Watch<'c> {
    content: &'c Content,
    /// What has to happen in some visit.
    pub(super) claims: Vec<Wanted<'c>>,
    /// Rules that say "find out first".
    pub(super) waits: Vec<Rule>,
    /// Rules with a verdict.
    pub(super) rules: Vec<Rule>,
    pub(super) telling: AdviceNames<'c>,
}

/// The first visit that shows something, by its place among those that were tried; nothing while none does.
type FirstSeen = Option<usize>;

/// What was seen.
#[derive(Debug, Clone)]
pub(super) struct Sights {
    /// By claim: where it happens.
    pub(super) claims: Vec<FirstSeen>,
    /// By promise: where it is broken.
    pub(super) breaks: Vec<FirstSeen>,
    /// By rule that says "find out first": where that is the verdict and the rule holds.
    pub(super) waits: Vec<FirstSeen>,
    /// The visit in which the fewest rules with a verdict hold or may, and how many those are.
    pub(super) calmest: Option<(usize, usize)>,
    /// By rule with a verdict, first where it holds and then where it may: the visit in which the fewest others do, with how many do in all.
    pub(super) lonely: Vec<[Option<(usize, usize)>; 2]>,
    /// The verdict of each visit.
    pub(super) verdicts: BTreeMap<usize, Verdict>,
}

/// From so many visits on it is worth while to look at two halves at once.
const WORTH_HALVES: usize = 64;

impl<'c> Watch<'c> {
    pub(super) fn new(content: &'c Content) -> Watch<'c> {
        Watch {
            content,
            claims: super::claims::wanted(content),
            waits: content.rules().filter(|rule| content.verdict_of(*rule) == Some(Verdict::FindOutFirst)).collect(),
            rules: content.rules().collect(),
            telling: AdviceNames::new(content),
        }
    }

    /// Nothing was seen yet.
    pub(super) fn nothing(&self) -> Sights {
        Sights {
            claims: vec![None; self.claims.len()],
            breaks: vec![None; self.content.promises.len()],
            waits: vec![None; self.waits.len()],
            calmest: None,
            verdicts: BTreeMap::new(),
            lonely: vec![[None; 2]; self.rules.len()],
        }
    }

    /// Looks at visits, the first of which has this place.
    pub(super) fn look(&self, sights: &mut Sights, visits: &[Answers], first: usize) {
        if visits.len() < WORTH_HALVES {
            return self.look_at(sights, visits, first);
        }
        let (here, there) = visits.split_at(visits.len() / 2);
        let mut other = sights.clone();
        halves(|| self.look_at(sights, here, first), || self.look_at(&mut other, there, first + here.len()));
        sights.add(&other);
    }

    fn look_at(&self, sights: &mut Sights, visits: &[Answers], first: usize) {
        let mut eye = Eye::new(self, std::mem::replace(sights, self.nothing()));
        for (nth, answers) in visits.iter().enumerate() {
            eye.see(&self.content.judge(answers, self.content.flow.state(answers)), first + nth);
        }
        *sights = eye.sights;
    }
}

/// Somebody who looks at one visit after the other.
pub(super) struct Eye<'w, 'c> {
    watch: &'w Watch<'c>,
    pub(super) sights: Sights,
    /// What was not seen yet.
    claims: Vec<usize>,
    breaks: Vec<usize>,
    waits: Vec<usize>,
}

impl<'w, 'c> Eye<'w, 'c> {
    pub(super) fn new(watch: &'w Watch<'c>, sights: Sights) -> Self {
        let open = |seen: &[FirstSeen]| -> Vec<usize> { (0..seen.len()).filter(|at| seen[*at].is_none()).collect() };
        let (claims, breaks, waits) = (open(&sights.claims), open(&sights.breaks), open(&sights.waits));
        Eye { watch, sights, claims, breaks, waits }
    }

    /// Looks at what follows from the visit at this place.
    pub(super) fn see(&mut self, judged: &Judged, place: usize) {
        let (watch, content, sights) = (self.watch, self.watch.content, &mut self.sights);
        let truths = watch.rules.iter().map(|rule| judged.truth(*rule)).enumerate();
        let standing: Vec<(usize, Truth)> = truths.filter(|(_, truth)| truth.is_possible()).collect();
        let stand = standing.len();
        for (rule, truth) in standing {
            let least = &mut sights.lonely[rule][usize::from(!truth.is_yes())];
            *least = fewer(*least, Some((stand, place)));
        }
        sights.calmest = fewer(sights.calmest, Some((stand, place)));
        sights.verdicts.insert(place, judged.settled.verdict);
        let told = Told::of(&watch.telling, judged);
        let note = |open: &mut Vec<usize>, seen: &mut [FirstSeen], is: &dyn Fn(usize) -> bool| {
            open.retain(|at| {
                let is = is(*at);
                if is {
                    seen[*at] = Some(place);
                }
                !is
            });
        };
        note(&mut self.claims, &mut sights.claims, &|at| watch.claims[at].what.happens(content, judged, &told));
        note(&mut self.breaks, &mut sights.breaks, &|at| {
            AdviceNames::is_broken(content, &content.promises[at], judged, told.values())
        });
        if judged.settled.verdict == Verdict::FindOutFirst {
            note(&mut self.waits, &mut sights.waits, &|at| judged.truth(watch.waits[at]).is_yes());
        }
    }
}

/// In how many rules altogether one may look, where each visit in which a rule stands with few others is held against all of them: enough
/// for a content half as large again as the shipped one.
const MOST_LONELY: usize = 700_000;

impl Sights {
    /// The visits in which each rule stands with the fewest others, each once.
    pub(super) fn lonely(&self) -> BTreeSet<usize> {
        let places: BTreeSet<usize> = self.lonely.iter().flatten().flatten().map(|(_, place)| *place).collect();
        let apart = (places.len() * self.lonely.len()).div_ceil(MOST_LONELY);
        places.into_iter().step_by(apart.max(1)).collect()
    }

    /// What others saw besides, in visits that come later.
    pub(super) fn add(&mut self, later: &Sights) {
        self.calmest = fewer(self.calmest, later.calmest);
        self.verdicts.extend(&later.verdicts);
        for (mine, theirs) in self.lonely.iter_mut().flatten().zip(later.lonely.iter().flatten()) {
            *mine = fewer(*mine, *theirs);
        }
        let lists =
            [(&mut self.claims, &later.claims), (&mut self.breaks, &later.breaks), (&mut self.waits, &later.waits)];
        for (mine, theirs) in lists {
            mine.iter_mut().zip(theirs).for_each(|(mine, theirs)| *mine = mine.or(*theirs));
        }
    }

    /// The same where the visits from `first` on stand so many places later.
    pub(super) fn moved(mut self, first: usize, by: usize) -> Sights {
        let calmest = self.calmest.as_mut().map(|(_, place)| place);
        let places = self.claims.iter_mut().chain(&mut self.breaks).chain(&mut self.waits).flatten();
        let lonely = self.lonely.iter_mut().flatten().flatten().map(|(_, place)| place);
        for place in places.chain(calmest).chain(lonely) {
            if *place >= first {
                *place += by;
            }
        }
        let moved = |(place, verdict)| (if place >= first { place + by } else { place }, verdict);
        self.verdicts = self.verdicts.into_iter().map(moved).collect();
        self
    }
}

/// The visit in which fewer rules stand, the first of those in which as many do.
fn fewer(mine: Option<(usize, usize)>, theirs: Option<(usize, usize)>) -> Option<(usize, usize)> {
    match (mine, theirs) {
        (Some(mine), Some(theirs)) if mine.0 <= theirs.0 => Some(mine),
        (mine, theirs) => theirs.or(mine),
    }
}
