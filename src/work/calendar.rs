//! Working days: which work is done on which day, and how long a wall stands open.

use super::weather::{Day, Need, Reason, Record};
use jiff::civil::{Date, Weekday};

/// Work to be put onto days.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ToBook {
    /// Hours of work on site.
    pub hours: i64,
    /// The numbers of the tasks before it.
    pub after: Vec<usize>,
    /// Days to wait after it.
    pub cure_days: usize,
    /// Working days to wait after it.
    pub office_days: usize,
    /// What a day must be like.
    pub need: Need,
    /// Which crew does it: tasks of one crew do not overlap.
    pub crew: usize,
    /// Whether it must be done in one go: on one day, or on days that follow each other.
    pub one_go: bool,
    /// Whether the wall stands open from this task on.
    pub opens: bool,
    /// Whether the wall is closed again when this task is done.
    pub closes: bool,
}

/// On which days a task is done.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Booking {
    /// The days, as places in the record.
    pub days: Vec<usize>,
}

/// All tasks on their days.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Booked {
    /// One for each task.
    pub bookings: Vec<Booking>,
    /// How long the wall stands open; nothing where it is not opened.
    pub open: Option<Open>,
}

/// How long a wall stands open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Open {
    /// The day on which it is opened.
    pub from: usize,
    /// The day on which it is closed.
    pub to: usize,
    /// Days between with rain, both ends counted.
    pub wet: usize,
    /// The day on which it could have been opened: earlier, where opening waits for days that let it be closed in time.
    pub could: usize,
    /// Whether it is longer than was asked for, because the record holds no better days.
    pub too_long: bool,
}

impl Open {
    /// Days, both ends counted.
    #[must_use]
    pub fn days(&self) -> usize {
        self.to - self.from + 1
    }
}

impl Booked {
    /// The last day of work.
    #[must_use]
    pub fn last(&self) -> Option<usize> {
        self.bookings.iter().filter_map(|b| b.days.last()).max().copied()
    }
}

/// How many later days are tried for opening the wall.
const TRIES: usize = 45;

/// So many days later a start may be that leaves the wall open for a shorter time.
const LATER: usize = 4;

/// A calendar of working days over a record.
#[derive(Debug, Clone)]
pub struct Calendar<'r> {
    record: &'r Record,
    off: Vec<bool>,
    /// Days on which offices rest: Saturdays, Sundays and holidays, whenever the crews work.
    closed: Vec<bool>,
    /// Hours in a working day.
    shift: i64,
}

impl<'r> Calendar<'r> {
    /// The days of the record that are one of these weekdays and no holiday, each with so many hours of work: at
    /// least one.
    #[must_use]
    pub fn new(record: &'r Record, holidays: &[Date], workdays: &[Weekday], shift: i64) -> Calendar<'r> {
        let rests = |d: &Day| !workdays.contains(&d.date.weekday()) || holidays.contains(&d.date);
        let weekend = |d: &Day| matches!(d.date.weekday(), Weekday::Saturday | Weekday::Sunday);
        let shut = |d: &Day| weekend(d) || holidays.contains(&d.date);
        Calendar {
            record,
            off: record.days().iter().map(rests).collect(),
            closed: record.days().iter().map(shut).collect(),
            shift: shift.max(1),
        }
    }

    /// Why a task does not fit a day.
    #[must_use]
    pub fn against(&self, need: &Need, at: usize) -> Option<Reason> {
        if *self.off.get(at)? { Some(Reason::DayOff) } else { need.against(self.record.days(), at) }
    }

    /// Puts tasks onto days from a start on, in the order given (each behind what it waits for), each crew one task at a
    /// time. A wall is opened on the first day that lets it be closed again within `open_days`; if there
    /// is none, on the one that leaves it open for the shortest time. Nothing if the record ends before the work does.
    #[must_use]
    pub fn book(&self, tasks: &[ToBook], order: &[usize], start: usize, open_days: usize) -> Option<Booked> {
        let first = self.book_from(tasks, order, start, start)?;
        let Some(open) = self.open(tasks, &first) else { return Some(Booked { bookings: first, open: None }) };
        let could = open.from;
        let (mut best, mut best_open) = (first, open);
        let mut from = open.from;
        // the first day that is good enough; a few days later it may be better still, as after a weekend
        let mut good = (best_open.days() <= open_days).then_some(best_open.from);
        for _ in 0..TRIES {
            if good.is_some_and(|day| from >= day + LATER) || best_open.days() <= 1 {
                break;
            }
            let Some(next) = self.book_from(tasks, order, start, from + 1) else { break };
            let Some(open) = self.open(tasks, &next) else { break };
            from = open.from;
            if good.is_some_and(|day| open.from > day + LATER) {
                break;
            }
            if open.days() < best_open.days() {
                (best, best_open) = (next, open);
            }
            if good.is_none() && open.days() <= open_days {
                good = Some(open.from);
            }
        }
        let too_long = best_open.days() > open_days;
        Some(Booked { bookings: best, open: Some(Open { could, too_long, ..best_open }) })
    }

    /// The same, with the wall not opened before a day.
    fn book_from(&self, tasks: &[ToBook], order: &[usize], start: usize, open_from: usize) -> Option<Vec<Booking>> {
        let mut bookings = vec![Booking::default(); tasks.len()];
        // the first moment at which what comes next may start: day and hour
        let mut free: Vec<(usize, i64)> = vec![(start, 0); tasks.len()];
        let crews = tasks.iter().map(|t| t.crew + 1).max().unwrap_or(0);
        let mut crew_free = vec![(start, 0i64); crews];
        for i in order {
            let task = &tasks[*i];
            let mut at = task.after.iter().map(|p| free[*p]).max().unwrap_or((start, 0)).max(crew_free[task.crew]);
            if task.opens {
                at = at.max((open_from, 0));
            }
            let mut left = task.hours.max(0);
            loop {
                if at.0 >= self.record.days().len() {
                    return None;
                }
                if at.1 >= self.shift || self.against(&task.need, at.0).is_some() {
                    at = (at.0 + 1, 0);
                    continue;
                }
                if task.one_go && left == task.hours && !self.in_one_go(task, at) {
                    at = (at.0 + 1, 0);
                    continue;
                }
                let done = left.min(self.shift - at.1);
                left -= done;
                at.1 += done;
                bookings[*i].days.push(at.0);
                if left == 0 {
                    break;
                }
            }
            crew_free[task.crew] = at;
            // so many whole days later, at the same hour
            free[*i] = (self.working_days_later(at.0, task.office_days) + task.cure_days, at.1);
        }
        Some(bookings)
    }

    /// Whether all of a task fits from a moment on without a break: what takes no more than a day on that day, more on
    /// days that follow each other.
    fn in_one_go(&self, task: &ToBook, (day, hour): (usize, i64)) -> bool {
        let days = usize::try_from((task.hours + self.shift - 1) / self.shift).unwrap_or(1);
        let begins = if days <= 1 { hour + task.hours <= self.shift } else { hour == 0 };
        begins && (day..day + days).all(|at| at < self.off.len() && self.against(&task.need, at).is_none())
    }

    /// The day on which offices have been open on so many days.
    fn working_days_later(&self, mut day: usize, mut count: usize) -> usize {
        while count > 0 {
            day += 1;
            if !self.closed.get(day).copied().unwrap_or(false) {
                count -= 1;
            }
        }
        day
    }

    fn open(&self, tasks: &[ToBook], bookings: &[Booking]) -> Option<Open> {
        let days = |wanted: fn(&ToBook) -> bool| {
            tasks.iter().zip(bookings).filter(move |(task, _)| wanted(task)).map(|(_, booking)| booking)
        };
        let from = *days(|t| t.opens).filter_map(|b| b.days.first()).min()?;
        let to = (*days(|t| t.closes).filter_map(|b| b.days.last()).max()?).max(from);
        let wet = self.record.days()[from..=to.min(self.record.days().len() - 1)].iter().filter(|d| d.rain > 0).count();
        Some(Open { from, to, wet, could: from, too_long: false })
    }

    /// Of all starts on a given day of a year's weeks (1 to 53), the share that is done within so many days, by week:
    /// week, starts, done in time. A start is the first day of each week of the record, Mondays.
    #[must_use]
    pub fn chances(
        &self,
        tasks: &[ToBook],
        order: &[usize],
        within: usize,
        open_days: usize,
    ) -> Vec<(i8, usize, usize)> {
        let mut weeks: Vec<(i8, usize, usize)> = Vec::new();
        for (at, day) in self.record.days().iter().enumerate() {
            if day.date.weekday() != Weekday::Monday || at + within > self.record.days().len() {
                continue;
            }
            let week = day.date.iso_week_date().week();
            let last = self.book(tasks, order, at, open_days).and_then(|b| b.last());
            let done = last.is_some_and(|last| last < at + within);
            let place = weeks.iter().position(|(w, ..)| *w == week).unwrap_or_else(|| {
                weeks.push((week, 0, 0));
                weeks.len() - 1
            });
            let entry = &mut weeks[place];
            entry.1 += 1;
            entry.2 += usize::from(done);
        }
        weeks.sort_unstable();
        weeks
    }
}
