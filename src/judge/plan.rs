//! The plan of a visit: activities in order, with their hours, over all its stretches of wall.

use super::amounts::Quantity;
use super::model::Assessment;
use super::stretches::Stretches;
use crate::content::{ActivityRow, Per, WallWork};
use crate::names::{DefinedId, FigureId, MaterialId, QuestionId, Stage};
use crate::units::{Area, Length};
use crate::work::{Activity, Need, Network, Record, Schedule, ToBook, whole, with_waste};
use jiff::civil::{Date, Weekday};

/// The work of a visit: all its stretches of wall together, the one that decides first.
#[derive(Debug, Clone)]
pub struct Job<'a, 'c> {
    stretches: Vec<(&'a str, &'a Assessment<'c>)>,
    lead: &'a Assessment<'c>,
}

/// An activity that this visit calls for.
#[derive(Debug, Clone)]
pub struct Planned<'c> {
    /// The row.
    pub row: &'c ActivityRow,
    /// Hours on site.
    pub hours: i64,
    /// Whether a measure was missing, so that only the fixed hours count.
    pub rough: bool,
    /// The numbers of the planned activities before it.
    pub after: Vec<usize>,
}

/// The plan of a visit.
#[derive(Debug, Clone)]
pub struct Plan<'c> {
    /// The activities, in an order in which they can be done.
    pub activities: Vec<Planned<'c>>,
    /// When each can and must start, in hours.
    pub schedule: Schedule,
    /// Hours in a day of work.
    pub shift: i64,
}

/// Days of weather for a plan.
#[derive(Debug)]
pub struct Forecast<'r> {
    /// The days.
    pub record: &'r Record,
    /// Days on which nobody works.
    pub holidays: Vec<Date>,
    /// The days of a week on which there is work.
    pub workdays: Vec<Weekday>,
    /// The place of the first day of work in the record.
    pub start: usize,
    /// Within how many days the work should be done; nothing for twice its length and ten days.
    pub within: Option<usize>,
}

impl Plan<'_> {
    /// Working days from start to end, if nothing waits for weather.
    #[must_use]
    pub fn days(&self) -> i64 {
        self.in_days(self.schedule.length)
    }

    /// Hours as days, begun ones whole.
    fn in_days(&self, hours: i64) -> i64 {
        (hours + self.shift - 1) / self.shift
    }

    /// Whether work may come on top: something has to be found out, or somebody has to look first.
    #[must_use]
    pub fn open_ended(&self) -> bool {
        self.activities.iter().any(|p| p.row.verdict.is_some())
    }

    /// The days of work on which an activity begins and ends, counted from 1.
    #[must_use]
    pub fn span(&self, i: usize) -> (i64, i64) {
        let start = self.schedule.earliest[i];
        (start / self.shift + 1, self.in_days(start + self.activities[i].hours.max(1)))
    }

    /// The numbers of the activities that nothing may delay.
    #[must_use]
    pub fn critical(&self) -> Vec<usize> {
        (0..self.activities.len()).filter(|i| self.schedule.slack(*i) == 0).collect()
    }

    /// Within how many days the job is asked to be done, if nobody says: twice its length and ten days.
    #[must_use]
    pub fn usual_limit(&self) -> usize {
        usize::try_from(self.days() * 2 + 10).unwrap_or(60)
    }

    /// Working days on which the wall stands open by the schedule alone; nothing where it is not opened.
    #[must_use]
    pub fn least_open(&self) -> Option<i64> {
        let open = self.activities.iter().position(|p| p.row.wall == Some(WallWork::Opens))?;
        let close = self.activities.iter().rposition(|p| p.row.wall == Some(WallWork::Closes))?;
        let from = self.schedule.earliest[open];
        let to = self.schedule.earliest[close] + self.activities[close].hours;
        Some(self.in_days(to) - from / self.shift)
    }
}

impl<'a, 'c> Job<'a, 'c> {
    /// The work at one stretch of wall.
    #[must_use]
    pub fn one(assessment: &'a Assessment<'c>) -> Job<'a, 'c> {
        Job { stretches: vec![("", assessment)], lead: assessment }
    }

    /// The work at all stretches of a visit.
    #[must_use]
    pub fn of(stretches: &'a Stretches<'c>) -> Job<'a, 'c> {
        let worst = (stretches.worst_name(), stretches.worst());
        let others = stretches.others().iter().map(|(name, assessment)| (name.as_str(), assessment));
        Job { stretches: std::iter::once(worst).chain(others).collect(), lead: stretches.worst() }
    }

    /// The stretch that decides.
    #[must_use]
    pub fn lead(&self) -> &'a Assessment<'c> {
        self.lead
    }

    /// All stretches by name.
    #[must_use]
    pub fn stretches(&self) -> &[(&'a str, &'a Assessment<'c>)] {
        &self.stretches
    }

    /// The plan; nothing if this visit calls for no activity.
    #[must_use]
    pub fn plan(&self) -> Option<Plan<'c>> {
        // planned or built decides everything; without it there is no order
        self.lead.said::<Stage>()?;
        let rows = &self.lead.content.activities;
        let wanted: Vec<bool> = rows.iter().map(|row| self.calling(row).next().is_some()).collect();
        let all: Vec<Activity> = rows.iter().map(|r| Activity { hours: 1, after: r.after.clone() }).collect();
        let network = Network::new(all).ok()?;
        let chosen: Vec<usize> = network.order().iter().copied().filter(|i| wanted[*i]).collect();
        // what is not called for is passed over: its own predecessors take its place
        let before = |i: usize| {
            let mut todo = rows[i].after.clone();
            let mut found: Vec<usize> = Vec::new();
            let mut seen = vec![false; rows.len()];
            while let Some(p) = todo.pop() {
                if std::mem::replace(&mut seen[p], true) {
                    continue;
                }
                match chosen.iter().position(|c| *c == p) {
                    Some(place) => found.push(place),
                    None if rows[p].hands_on => todo.extend(&rows[p].after),
                    None => {}
                }
            }
            found.sort_unstable();
            found
        };
        let activities: Vec<Planned<'c>> = chosen
            .iter()
            .map(|i| {
                let (hours, rough) = self.hours(&rows[*i]);
                Planned { row: &rows[*i], hours, rough, after: before(*i) }
            })
            .collect();
        if activities.is_empty() {
            return None;
        }
        let shift = self.lead.content.shift();
        let activities = by_earliest(&only_direct(activities), shift)?;
        let schedule = Network::new(with_waits(&activities, shift)).ok()?.schedule();
        Some(Plan { activities, schedule, shift })
    }

    /// The stretches that call for an activity.
    fn calling<'s>(&'s self, row: &'s ActivityRow) -> impl Iterator<Item = &'a Assessment<'c>> + 's {
        let said = |a: &Assessment<'_>| row.verdict.is_none_or(|verdict| a.settled.verdict == verdict);
        self.stretches.iter().map(|(_, a)| *a).filter(move |a| said(a) && row.when.eval(&a.values).is_yes())
    }

    /// Hours on site: the fixed ones once, and the rate times the measures over the crew, to whole hours.
    fn hours(&self, row: &ActivityRow) -> (i64, bool) {
        #[allow(clippy::cast_precision_loss)] // thousandths of hours
        let fixed = row.hours as f64 / 1000.0;
        let Some((rate, per)) = row.rate else { return (whole(fixed), false) };
        let (mut measure, mut rough) = (0.0, false);
        for assessment in self.calling(row) {
            match assessment.measure(per) {
                Some(more) => measure += more,
                None => rough = true,
            }
        }
        #[allow(clippy::cast_precision_loss)] // as above
        let more = rate as f64 / 1000.0 * measure / row.crew as f64;
        (whole(fixed + more), rough)
    }

    /// The materials of each stretch, in its order.
    #[must_use]
    pub fn quantities(&self) -> Vec<Vec<Quantity<'c>>> {
        self.stretches.iter().map(|(_, assessment)| assessment.quantities()).collect()
    }

    /// What is not counted at any stretch, each once.
    #[must_use]
    pub fn not_counted(&self) -> Vec<String> {
        let mut list: Vec<String> = Vec::new();
        for text in self.stretches.iter().flat_map(|(_, a)| a.not_counted()) {
            if !list.contains(&text) {
                list.push(text);
            }
        }
        list
    }

    /// The tasks for a calendar, and their order.
    #[must_use]
    pub fn tasks_for_days(&self, plan: &Plan<'c>) -> (Vec<ToBook>, Vec<usize>) {
        let needs = &self.lead.content.weather_needs;
        let count = |n: i64| usize::try_from(n).unwrap_or(0);
        let tasks = plan.activities.iter().map(|p| ToBook {
            hours: p.hours,
            after: p.after.clone(),
            cure_days: count(p.row.cure_days),
            office_days: count(p.row.office_days),
            need: p.row.weather.map_or_else(Need::default, |w| needs[w].need),
            crew: p.row.who as usize,
            one_go: p.row.one_go,
            opens: p.row.wall == Some(WallWork::Opens),
            closes: p.row.wall == Some(WallWork::Closes),
        });
        (tasks.collect(), (0..plan.activities.len()).collect())
    }

    /// Days on which the wall may stand open: the figure, or what the work takes if nothing waits for weather.
    #[must_use]
    pub fn open_days(&self, plan: &Plan<'c>) -> usize {
        let figure = self.lead.content.figure_number(FigureId::OpenWallDays).unwrap_or(0) / 1000;
        usize::try_from(plan.least_open().unwrap_or(0).max(figure)).unwrap_or(0)
    }
}

impl Assessment<'_> {
    /// The plan of this stretch of wall alone; nothing if it calls for no activity.
    #[must_use]
    pub fn plan(&self) -> Option<Plan<'_>> {
        Job::one(self).plan()
    }

    /// A measure of this visit, in the unit that rates are given in.
    #[must_use]
    pub fn measure(&self, per: Per) -> Option<f64> {
        let feet = |l: Length| l.as_inches() / 12.0;
        match per {
            Per::OpenedArea => {
                let strip = self.content.figure_length(FigureId::StripHeight);
                self.site.length.zip(strip).map(|(length, height)| length.by(height).as_square_feet())
            }
            Per::WallLength => self.site.length.map(feet),
            Per::SurfaceArea => self.surface().map(Area::as_square_feet),
            Per::BaseWeight => self.base_tons(),
            Per::ConcreteVolume => {
                let slab = self.thickness_of(MaterialId::Slab)?;
                self.surface().map(|area| area.by(slab).as_cubic_yards())
            }
            Per::EdgeLength => self.edge_length().map(feet),
            Per::FillVolume => {
                let (_, fill) = self.depths()?;
                Some(self.surface()?.by(fill).as_cubic_yards())
            }
            Per::VoidVolume => {
                let said = |question| self.length_said(question);
                let volume = said(QuestionId::VoidLength)?.by(said(QuestionId::VoidWidth)?);
                let volume = volume.by(said(QuestionId::VoidDepth)?);
                Some(volume.as_cubic_feet())
            }
        }
    }

    /// Whether the material is reckoned with the surface lowered as the limits ask: where it has to be lowered, and the
    /// wall is not opened instead.
    #[must_use]
    pub fn reckoned_lower(&self) -> Option<Length> {
        self.lowering.map(|l| l.sure).filter(|sure| *sure > Length::ZERO && !self.certainly(DefinedId::WallToOpen))
    }

    /// The mean depth of digging and of fill over the surface: the ground falls in a straight line from the wall to the
    /// outer edge, and where only the wall was measured it is taken as level.
    pub(crate) fn depths(&self) -> Option<(Length, Length)> {
        let digging = self.digging()?;
        let lower = self.reckoned_lower().unwrap_or(Length::ZERO);
        let wall = digging.at_wall? + lower;
        let edge = digging.at_edge.map_or(wall, |edge| edge + lower);
        Some((mean_above(wall, edge), mean_above(-wall, -edge)))
    }

    fn surface(&self) -> Option<Area> {
        self.site.length.zip(self.site.depth).map(|(length, depth)| length.by(depth))
    }

    /// Base stone in short tons: surface times thickness, loose weight, and what compaction takes.
    fn base_tons(&self) -> Option<f64> {
        let base = self.thickness_of(MaterialId::Base)?;
        #[allow(clippy::cast_precision_loss)] // thousandths
        let tons = self.content.figure_number(FigureId::StoneWeight)? as f64 / 1000.0;
        let more = with_waste(self.content.figure_number(FigureId::Compaction)? / 1000);
        Some(self.surface()?.by(base).as_cubic_yards() * tons * more)
    }
}

/// Sorts activities by when they could start if each trade could do everything at once, so that no trade waits with
/// one thing for another that is not ready. Of several at the same time, the order stays.
fn by_earliest<'c>(activities: &[Planned<'c>], shift: i64) -> Option<Vec<Planned<'c>>> {
    let waits = |p: &Planned<'_>| p.hours + (p.row.cure_days + p.row.office_days) * shift;
    let free = activities.iter().map(|p| Activity { hours: waits(p), after: p.after.clone() });
    let earliest = Network::new(free.collect()).ok()?.schedule().earliest;
    let mut order: Vec<usize> = (0..activities.len()).collect();
    order.sort_by_key(|i| earliest[*i]);
    let place = |i: &usize| order.iter().position(|o| o == i);
    let moved = |i: &usize| {
        let mut p = activities[*i].clone();
        p.after = p.after.iter().filter_map(place).collect();
        p.after.sort_unstable();
        p
    };
    Some(order.iter().map(moved).collect())
}

/// The mean of what is above zero of a line from `a` to `b`.
fn mean_above(a: Length, b: Length) -> Length {
    let (a, b) = (a.steps(), b.steps());
    let mean = match (a > 0, b > 0) {
        (true, true) => i64::midpoint(a, b),
        (false, false) => 0,
        // only a part of the line is above zero: a triangle
        (true, false) => a * a / (2 * (a - b)),
        (false, true) => b * b / (2 * (b - a)),
    };
    Length::from_steps(mean)
}

/// The activities as a network: each work, and behind it the waiting, during which the trade is free for something
/// else. One trade does one thing at a time, in the order of the list. The first entries are the activities themselves.
fn with_waits(activities: &[Planned<'_>], shift: i64) -> Vec<Activity> {
    let wait = |p: &Planned<'_>| (p.row.cure_days + p.row.office_days) * shift;
    let mut waits = vec![None; activities.len()];
    let mut next = activities.len();
    for (place, p) in waits.iter_mut().zip(activities) {
        if wait(p) > 0 {
            *place = Some(next);
            next += 1;
        }
    }
    let ended = |i: &usize| waits[*i].unwrap_or(*i);
    let work = activities.iter().enumerate().map(|(i, p)| {
        let mut after: Vec<usize> = p.after.iter().map(ended).collect();
        after.extend(activities[..i].iter().rposition(|other| other.row.who == p.row.who));
        Activity { hours: p.hours, after }
    });
    let waiting = activities.iter().enumerate().filter(|(_, p)| wait(p) > 0);
    let waiting = waiting.map(|(i, p)| Activity { hours: wait(p), after: vec![i] });
    work.chain(waiting).collect()
}

/// Takes away what comes before anyway, because something between the two waits for it.
fn only_direct(mut activities: Vec<Planned<'_>>) -> Vec<Planned<'_>> {
    // of each activity all that is done before it, in the order of the list
    let mut all: Vec<Vec<bool>> = Vec::with_capacity(activities.len());
    for i in 0..activities.len() {
        let mut before = vec![false; activities.len()];
        for p in &activities[i].after {
            before[*p] = true;
            for (k, done) in all[*p].iter().enumerate() {
                before[k] |= *done;
            }
        }
        all.push(before);
        let after = activities[i].after.clone();
        activities[i].after.retain(|p| !after.iter().any(|other| all[*other][*p]));
    }
    activities
}
