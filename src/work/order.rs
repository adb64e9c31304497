//! Order of work: the critical path.

/// An activity: how long it takes, and what has to be done before it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Activity {
    /// Hours.
    pub hours: i64,
    /// The numbers of the activities before it.
    pub after: Vec<usize>,
}

/// Why activities have no order.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum OrderError {
    /// They wait for each other.
    #[error("these wait for each other: {0:?}")]
    Circle(Vec<usize>),
    /// One waits for an activity that is not there.
    #[error("activity {activity} waits for {after}, which is not there")]
    Missing {
        /// The activity.
        activity: usize,
        /// What it waits for.
        after: usize,
    },
}

/// Activities that can be put in order.
///
/// Invariant: every predecessor is there, and nothing waits for itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Network {
    activities: Vec<Activity>,
    /// The activities, each behind all that it waits for; of several first the lower number.
    order: Vec<usize>,
}

/// When each activity can and must start.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Schedule {
    /// Hours from the start to the end of all.
    pub length: i64,
    /// The earliest start of each activity.
    pub earliest: Vec<i64>,
    /// The latest start that does not delay the end.
    pub latest: Vec<i64>,
    hours: Vec<i64>,
    order: Vec<usize>,
    after: Vec<Vec<usize>>,
}

impl Network {
    /// Puts activities in order.
    ///
    /// # Errors
    /// [`OrderError::Missing`] for a predecessor that is not there, [`OrderError::Circle`] with the chain of those
    /// that wait for each other.
    pub fn new(activities: Vec<Activity>) -> Result<Network, OrderError> {
        let count = activities.len();
        for (activity, a) in activities.iter().enumerate() {
            if let Some(after) = a.after.iter().copied().find(|after| *after >= count) {
                return Err(OrderError::Missing { activity, after });
            }
        }
        let mut order = Vec::with_capacity(count);
        let mut placed = vec![false; count];
        while order.len() < count {
            let ready = |i: &usize| !placed[*i] && activities[*i].after.iter().all(|after| placed[*after]);
            let Some(next) = (0..count).find(ready) else {
                return Err(OrderError::Circle(circle(&activities, &placed)));
            };
            placed[next] = true;
            order.push(next);
        }
        Ok(Network { activities, order })
    }

    /// The activities, each behind all that it waits for.
    #[must_use]
    pub fn order(&self) -> &[usize] {
        &self.order
    }

    /// The critical path method: earliest starts forwards, latest starts backwards.
    #[must_use]
    pub fn schedule(&self) -> Schedule {
        let count = self.activities.len();
        let hours: Vec<i64> = self.activities.iter().map(|a| a.hours.max(0)).collect();
        let mut earliest = vec![0; count];
        for i in &self.order {
            let ready = self.activities[*i].after.iter().map(|p| earliest[*p] + hours[*p]).max();
            earliest[*i] = ready.unwrap_or(0);
        }
        let length = (0..count).map(|i| earliest[i] + hours[i]).max().unwrap_or(0);
        let mut latest: Vec<i64> = (0..count).map(|i| length - hours[i]).collect();
        for i in self.order.iter().rev() {
            for p in &self.activities[*i].after {
                latest[*p] = latest[*p].min(latest[*i] - hours[*p]);
            }
        }
        let after = self.activities.iter().map(|a| a.after.clone()).collect();
        Schedule { length, earliest, latest, hours, order: self.order.clone(), after }
    }
}

impl Schedule {
    /// How long an activity can wait without delaying the end.
    #[must_use]
    pub fn slack(&self, activity: usize) -> i64 {
        self.latest[activity] - self.earliest[activity]
    }

    /// One critical path, from start to end: activities without slack, each right behind the last.
    #[must_use]
    pub fn critical(&self) -> Vec<usize> {
        let ends = |i: &usize| self.slack(*i) == 0 && self.earliest[*i] + self.hours[*i] == self.length;
        let Some(mut at) = self.order.iter().copied().rev().find(ends) else { return Vec::new() };
        let mut path = vec![at];
        while let Some(before) = self.after[at]
            .iter()
            .copied()
            .filter(|p| self.slack(*p) == 0 && self.earliest[*p] + self.hours[*p] == self.earliest[at])
            .min()
        {
            path.push(before);
            at = before;
        }
        path.reverse();
        path
    }
}

/// A chain of activities that wait for each other, the first one again at its end.
fn circle(activities: &[Activity], placed: &[bool]) -> Vec<usize> {
    let waiting = |i: usize| activities[i].after.iter().copied().find(|after| !placed[*after]);
    let Some(start) = (0..activities.len()).find(|i| !placed[*i]) else { return Vec::new() };
    let mut chain = vec![start];
    while let Some(next) = chain.last().copied().and_then(waiting) {
        if let Some(first) = chain.iter().position(|c| *c == next) {
            chain.push(next);
            return chain.split_off(first);
        }
        chain.push(next);
    }
    chain
}
