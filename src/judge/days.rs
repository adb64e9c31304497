//! The days of the plan: which day for which work.

use super::plan::{Forecast, Job, Plan};
use crate::work::{Booked, Calendar, ToBook};

/// The plan on its days.
#[derive(Debug)]
pub struct Days<'r> {
    /// The calendar.
    pub calendar: Calendar<'r>,
    /// The tasks of the plan, in its order.
    pub tasks: Vec<ToBook>,
    /// Which day for which task; nothing if the weather ends before the work does.
    pub booked: Option<Booked>,
    /// Within how many days the work should be done.
    pub within: usize,
    /// For a record of more than a year, by week: week, starts, done in time.
    pub chances: Vec<(i8, usize, usize)>,
}

impl Days<'_> {
    /// The weeks in which the job was most often done in time; none if it never was.
    #[must_use]
    pub fn best_weeks(&self) -> Vec<i8> {
        let share = |starts: usize, done: usize| done * 1000 / starts.max(1);
        // a week that was tried in fewer than half of the years tells little
        let most = self.chances.iter().map(|(_, starts, _)| *starts).max().unwrap_or(0);
        let told = || self.chances.iter().filter(|(_, starts, _)| starts * 2 >= most);
        let best = told().map(|(_, starts, done)| share(*starts, *done)).max().unwrap_or(0);
        let good = told().filter(|(_, starts, done)| best > 0 && share(*starts, *done) == best);
        good.map(|(week, ..)| *week).collect()
    }
}

impl<'c> Job<'_, 'c> {
    /// Puts the plan onto the days of a forecast or of a record.
    #[must_use]
    pub fn days<'r>(&self, plan: &Plan<'c>, forecast: &Forecast<'r>) -> Days<'r> {
        let (tasks, order) = self.tasks_for_days(plan);
        let calendar = Calendar::new(forecast.record, &forecast.holidays, &forecast.workdays, plan.shift);
        let open_days = self.open_days(plan);
        let booked = calendar.book(&tasks, &order, forecast.start, open_days);
        let within = forecast.within.unwrap_or_else(|| plan.usual_limit());
        let years = forecast.record.days().len() > 366;
        let chances = if years { calendar.chances(&tasks, &order, within, open_days) } else { Vec::new() };
        Days { calendar, tasks, booked, within, chances }
    }
}
