//! The plan of a visit: activities in order, with their hours, over all its stretches of wall.

use super::amounts::Quantity;
use super::assess::Assessment;
use super::stretches::Stretches;
use super::work_rows::{ActivityRow, Per, WallWork};
use crate::units::{Area, Length};
use crate::work::{Activity, Need, Network, Record, SHIFT, Schedule, Task, whole, with_waste};
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
        days(self.schedule.length)
    }

    /// The days of work on which an activity begins and ends, counted from 1.
    #[must_use]
    pub fn span(&self, i: usize) -> (i64, i64) {
        let start = self.schedule.earliest[i];
        (start / SHIFT + 1, days(start + self.activities[i].hours.max(1)))
    }

    /// Within how many days the job is asked to be done, if nobody says: twice its length and ten days.
    #[must_use]
    pub fn usual_limit(&self) -> usize {
        usize::try_from(self.days() * 2 + 10).unwrap_or(60)
    }

    /// Working days on which the wall stands open by the schedule alone; nothing where it is not opened.
    #[must_use]
    pub fn least_open(&self) -> Option<i64> {
        let of = |what| self.activities.iter().position(|p| p.row.wall == Some(what));
        let (open, close) = (of(WallWork::Opens)?, of(WallWork::Closes)?);
        let from = self.schedule.earliest[open];
        let to = self.schedule.earliest[close] + self.activities[close].hours;
        Some(days(to) - from / SHIFT)
    }
}

pub(super) fn days(hours: i64) -> i64 {
    (hours + SHIFT - 1) / SHIFT
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
                    None => todo.extend(&rows[p].after),
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
        let activities = only_direct(activities);
        // waiting counts in the order, though nobody works
        let waits = |p: &Planned<'_>| p.hours + (p.row.cure_days + p.row.office_days) * SHIFT;
        let network =
            Network::new(activities.iter().map(|p| Activity { hours: waits(p), after: p.after.clone() }).collect())
                .ok()?;
        let schedule = network.schedule();
        Some(Plan { activities, schedule })
    }

    /// The stretches that call for an activity.
    fn calling<'s>(&'s self, row: &'s ActivityRow) -> impl Iterator<Item = &'a Assessment<'c>> + 's {
        self.stretches.iter().map(|(_, a)| *a).filter(|a| row.when.eval(&a.values).is_yes())
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
    pub fn tasks_for_days(&self, plan: &Plan<'c>) -> (Vec<Task>, Vec<usize>) {
        let needs = &self.lead.content.weather_needs;
        let count = |n: i64| usize::try_from(n).unwrap_or(0);
        let tasks = plan.activities.iter().map(|p| Task {
            hours: p.hours,
            after: p.after.clone(),
            cure_days: count(p.row.cure_days),
            office_days: count(p.row.office_days),
            need: p.row.weather.map_or_else(Need::default, |w| needs[w].need),
            crew: p.row.who as usize,
            opens: p.row.wall == Some(WallWork::Opens),
            closes: p.row.wall == Some(WallWork::Closes),
        });
        (tasks.collect(), (0..plan.activities.len()).collect())
    }

    /// Days on which the wall may stand open: the figure, or what the work takes if nothing waits for weather.
    #[must_use]
    pub fn open_days(&self, plan: &Plan<'c>) -> usize {
        let figure = self.lead.content.figure_number("open_wall_days").unwrap_or(0) / 1000;
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
                let strip = self.content.figure_length("strip_height");
                self.site.length.zip(strip).map(|(length, height)| length.by(height).as_square_feet())
            }
            Per::WallLength => self.site.length.map(feet),
            Per::SurfaceArea => self.surface().map(Area::as_square_feet),
            Per::BaseWeight => self.base_tons(),
            Per::ConcreteVolume => {
                let slab = self.layer_thickness("slab")?;
                self.surface().map(|area| area.by(slab).as_cubic_yards())
            }
            Per::EdgeLength => self.edge_length().map(feet),
            Per::VoidVolume => {
                let said = |question| self.length_said(question);
                let volume = said("void_length")?.by(said("void_width")?).by(said("void_depth")?);
                Some(volume.as_cubic_yards() * 27.0)
            }
        }
    }

    fn surface(&self) -> Option<Area> {
        self.site.length.zip(self.site.depth).map(|(length, depth)| length.by(depth))
    }

    /// Base stone in short tons: surface times thickness, loose weight, and what compaction takes.
    fn base_tons(&self) -> Option<f64> {
        let base = self.layer_thickness("base")?;
        #[allow(clippy::cast_precision_loss)] // thousandths
        let tons = self.content.figure_number("stone_weight")? as f64 / 1000.0;
        let more = with_waste(self.content.figure_number("compaction")? / 1000);
        Some(self.surface()?.by(base).as_cubic_yards() * tons * more)
    }
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
