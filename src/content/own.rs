//! The user's own figures in place of the defaults.

use super::amount_rows::{FigureValue, Input, is_negative};
use super::content::Content;
use crate::flow::{nearest, parse_thousandths};
use crate::names::FigureId;
use crate::units::{Length, Units};

/// Why the user's own value cannot take the place of one of the content.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum OwnError {
    /// No such activity.
    #[error("there is no activity `{id}`{}", meant(near.as_deref()))]
    NoActivity {
        /// What was given.
        id: String,
        /// The activity that is spelt most like it.
        near: Option<String>,
    },
    /// Hours that cannot be.
    #[error("`{id}`: {found} cannot be")]
    Hours {
        /// The activity.
        id: String,
        /// Hours, or person-hours for each unit.
        found: f64,
    },
    /// A rate for an activity that has none.
    #[error("`{id}` has no rate, only hours")]
    NoRate {
        /// The activity.
        id: String,
    },
    /// A crew of nobody, or of more persons than can be.
    #[error("`{id}`: a crew has at least one person, and at most a hundred")]
    Crew {
        /// The activity.
        id: String,
    },
    /// Days of waiting that cannot be.
    #[error("`{id}`: {days} days of waiting cannot be")]
    Wait {
        /// The activity.
        id: String,
        /// Days.
        days: i64,
    },
    /// No such figure.
    #[error("there is no figure `{id}`{}", meant(near.as_deref()))]
    NoFigure {
        /// What was given.
        id: String,
        /// The figure that is spelt most like it.
        near: Option<String>,
    },
    /// A value of another kind.
    #[error("`{id}` ({what}) is {kind}; `{found}` is none")]
    Kind {
        /// The figure.
        id: String,
        /// What it is.
        what: String,
        /// What its value is, such as "a length".
        kind: &'static str,
        /// What was given.
        found: String,
    },
    /// More than can be.
    #[error("`{id}` ({what}) cannot be `{found}`")]
    TooMuch {
        /// The figure.
        id: String,
        /// What it is.
        what: String,
        /// What was given.
        found: String,
    },
    /// A value that makes no sense as the figure is used.
    #[error("`{id}` ({what}) {why}")]
    Senseless {
        /// The figure.
        id: String,
        /// What it is.
        what: String,
        /// What it must be.
        why: Senseless,
    },
    /// Two figures that do not go together.
    #[error("`{lap}` must be shorter than `{piece}`")]
    Lap {
        /// The figure of the lap.
        lap: String,
        /// The figure of the piece that laps.
        piece: String,
    },
}

/// What a figure must be, as it is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Senseless {
    /// Something is divided by it.
    #[error("cannot be nothing")]
    Nothing,
    /// It is a share of an amount.
    #[error("is a waste: whole per cent, from 0 to 100")]
    Waste,
    /// It is the hours of a day of work.
    #[error("is a whole number of hours, from 1 to 24")]
    Shift,
    /// It counts things.
    #[error("is a whole number")]
    Whole,
}

fn meant(near: Option<&str>) -> String {
    near.map_or_else(String::new, |near| format!("; did you mean `{near}`?"))
}

impl Content {
    /// Sets how long an activity takes to the user's own: fixed hours of the crew, person-hours for each unit,
    /// persons, days and working days to wait.
    ///
    /// # Errors
    /// An [`OwnError`]: no such activity, no rate to replace, or a number that cannot be.
    pub fn set_time(
        &mut self,
        id: &str,
        hours: Option<f64>,
        rate: Option<f64>,
        crew: Option<i64>,
        wait: (Option<i64>, Option<i64>),
    ) -> Result<(), OwnError> {
        let known = self.activities.iter().map(|a| a.id.as_str());
        let named = || id.to_owned();
        let Some(number) = self.activities.iter().position(|a| a.id == id) else {
            return Err(OwnError::NoActivity { id: named(), near: nearest(id, known).map(str::to_owned) });
        };
        #[allow(clippy::cast_possible_truncation)] // hours of a job, in thousandths
        let thousandths = |n: f64| {
            let sound = n.is_finite() && (0.0..=1000.0).contains(&n);
            sound.then_some((n * 1000.0).round() as i64).ok_or_else(|| OwnError::Hours { id: named(), found: n })
        };
        let row = &mut self.activities[number];
        if let Some(hours) = hours {
            row.hours = thousandths(hours)?;
        }
        if let Some(own) = rate {
            let Some((_, per)) = row.rate else { return Err(OwnError::NoRate { id: named() }) };
            row.rate = Some((thousandths(own)?, per));
        }
        if let Some(crew) = crew {
            row.crew = crew;
            if !(1..=100).contains(&crew) {
                return Err(OwnError::Crew { id: named() });
            }
        }
        for (days, own) in [(&mut row.cure_days, wait.0), (&mut row.office_days, wait.1)] {
            if let Some(own) = own {
                if !(0..=365).contains(&own) {
                    return Err(OwnError::Wait { id: named(), days: own });
                }
                *days = own;
            }
        }
        Ok(())
    }
}

impl Content {
    /// Sets a figure to the user's own value.
    ///
    /// # Errors
    /// An [`OwnError`]: no such figure, or a value of another kind or that makes no sense.
    pub fn set_figure(&mut self, id: &str, text: &str, units: Units) -> Result<(), OwnError> {
        let known = self.plan_figures.iter().map(|f| f.id.as_str());
        let Some(number) = self.plan_figures.iter().position(|f| f.id == id) else {
            return Err(OwnError::NoFigure { id: id.to_owned(), near: nearest(id, known).map(str::to_owned) });
        };
        let figure = &mut self.plan_figures[number];
        let value = match figure.value {
            FigureValue::Length(_) => Length::parse(text, units).ok().map(FigureValue::Length),
            FigureValue::Number(_) => parse_thousandths(text).map(FigureValue::Number),
        };
        let (named, what, found) = (id.to_owned(), figure.what.to_string(), text.to_owned());
        let Some(value) = value.filter(|v| !is_negative(*v)) else {
            return Err(OwnError::Kind { id: named, what, kind: figure.value.kind(), found });
        };
        let fits = match value {
            FigureValue::Length(length) => length <= Length::inches(12_000),
            FigureValue::Number(number) => number <= 10_000_000,
        };
        if !fits {
            return Err(OwnError::TooMuch { id: named, what, found });
        }
        figure.value = value;
        figure.own = true;
        self.figure_makes_sense(number).map_err(|why| OwnError::Senseless { id: named, what, why })
    }

    /// Figures that do not go together, such as a lap that is longer than its piece.
    ///
    /// # Errors
    /// [`OwnError::Lap`] says which.
    pub fn figures_go_together(&self) -> Result<(), OwnError> {
        let pairs = [("lap", "piece"), ("end_lap", "roll_length"), ("side_lap", "roll_width")];
        for row in &self.quantities {
            let figure = |name: &str| {
                let at = row.formula.form().params.iter().position(|p| p.0 == name)?;
                match row.inputs[at] {
                    Input::Figure(number) => Some(&self.plan_figures[number]),
                    _ => None,
                }
            };
            for (lap, piece) in pairs {
                let (Some(lap), Some(piece)) = (figure(lap), figure(piece)) else { continue };
                if let (FigureValue::Length(a), FigureValue::Length(b)) = (lap.value, piece.value)
                    && a >= b
                {
                    return Err(OwnError::Lap { lap: lap.id.to_string(), piece: piece.id.to_string() });
                }
            }
        }
        Ok(())
    }

    /// A figure that the program itself counts with, as a length.
    #[must_use]
    pub fn figure_length(&self, id: FigureId) -> Option<Length> {
        match self.figure(id) {
            FigureValue::Length(length) => Some(length),
            FigureValue::Number(_) => None,
        }
    }

    /// A figure that the program itself counts with, as a number in thousandths.
    #[must_use]
    pub fn figure_number(&self, id: FigureId) -> Option<i64> {
        match self.figure(id) {
            FigureValue::Number(number) => Some(number),
            FigureValue::Length(_) => None,
        }
    }
}

impl Content {
    /// What makes no sense about a figure as it is used: waste and counts are whole, pieces are longer than nothing.
    fn figure_makes_sense(&self, number: usize) -> Result<(), Senseless> {
        let value = self.plan_figures[number].value;
        let whole = matches!(value, FigureValue::Number(n) if n % 1000 == 0);
        let zero = matches!(value, FigureValue::Length(Length::ZERO) | FigureValue::Number(0));
        let smallest = Length::parse("1/32", Units::Inch).unwrap_or(Length::ZERO);
        let tiny = matches!(value, FigureValue::Length(l) if l < smallest);
        let needed = [FigureId::StripHeight, FigureId::StoneWeight, FigureId::Shift];
        if zero && needed.iter().any(|id| self.catalog.names.figure(*id) == number) {
            return Err(Senseless::Nothing);
        }
        let shift = self.catalog.names.figure(FigureId::Shift) == number;
        if shift && !(whole && matches!(value, FigureValue::Number(1000..=24_000))) {
            return Err(Senseless::Shift);
        }
        for row in &self.quantities {
            if row.waste == Some(number) && !(whole && matches!(value, FigureValue::Number(0..=100_000))) {
                return Err(Senseless::Waste);
            }
            for ((param, _), input) in row.formula.form().params.iter().zip(&row.inputs) {
                if *input != Input::Figure(number) {
                    continue;
                }
                let lap = param.contains("lap");
                if !lap && (zero || tiny) {
                    return Err(Senseless::Nothing);
                }
                if matches!(*param, "count" | "layers") && !whole {
                    return Err(Senseless::Whole);
                }
            }
        }
        Ok(())
    }
}
