//! The user's own figures in place of the defaults.

use super::amount_rows::{FigureValue, Input, is_negative};
use super::content::Content;
use crate::flow::{nearest, parse_thousandths};
use crate::names::FigureId;
use crate::units::{Length, Units};

impl Content {
    /// Sets how long an activity takes to the user's own: fixed hours of the crew, person-hours for each unit,
    /// persons, days and working days to wait.
    ///
    /// # Errors
    /// What is wrong, for the user: no such activity, no rate to replace, or a number that cannot be.
    pub fn set_time(
        &mut self,
        id: &str,
        hours: Option<f64>,
        rate: Option<f64>,
        crew: Option<i64>,
        wait: (Option<i64>, Option<i64>),
    ) -> Result<(), String> {
        let known = self.activities.iter().map(|a| a.id.as_str());
        let Some(number) = self.activities.iter().position(|a| a.id == id) else {
            let hint =
                crate::flow::nearest(id, known).map_or_else(String::new, |near| format!("; did you mean `{near}`?"));
            return Err(format!("there is no activity `{id}`{hint}"));
        };
        #[allow(clippy::cast_possible_truncation)] // hours of a job, in thousandths
        let thousandths = |n: f64| {
            let sound = n.is_finite() && (0.0..=1000.0).contains(&n);
            sound.then_some((n * 1000.0).round() as i64).ok_or_else(|| format!("`{id}`: {n} cannot be"))
        };
        let row = &mut self.activities[number];
        if let Some(hours) = hours {
            row.hours = thousandths(hours)?;
        }
        if let Some(own) = rate {
            let Some((_, per)) = row.rate else { return Err(format!("`{id}` has no rate, only hours")) };
            row.rate = Some((thousandths(own)?, per));
        }
        if let Some(crew) = crew {
            row.crew = crew;
            if !(1..=100).contains(&crew) {
                return Err(format!("`{id}`: a crew has at least one person"));
            }
        }
        for (days, own) in [(&mut row.cure_days, wait.0), (&mut row.office_days, wait.1)] {
            if let Some(own) = own {
                if !(0..=365).contains(&own) {
                    return Err(format!("`{id}`: {own} days of waiting cannot be"));
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
    /// What is wrong, for the user: no such figure, or a value of another kind.
    pub fn set_figure(&mut self, id: &str, text: &str, units: Units) -> Result<(), String> {
        let known = self.plan_figures.iter().map(|f| f.id.as_str());
        let Some(number) = self.plan_figures.iter().position(|f| f.id == id) else {
            let hint = nearest(id, known).map_or_else(String::new, |near| format!("; did you mean `{near}`?"));
            return Err(format!("there is no figure `{id}`{hint}"));
        };
        let figure = &mut self.plan_figures[number];
        let value = match figure.value {
            FigureValue::Length(_) => Length::parse(text, units).ok().map(FigureValue::Length),
            FigureValue::Number(_) => parse_thousandths(text).map(FigureValue::Number),
        };
        let Some(value) = value.filter(|v| !is_negative(*v)) else {
            return Err(format!("`{id}` ({}) is {}; `{text}` is none", figure.what, figure.value.kind()));
        };
        let name = format!("`{id}` ({})", figure.what);
        let fits = match value {
            FigureValue::Length(length) => length <= Length::inches(12_000),
            FigureValue::Number(number) => number <= 10_000_000,
        };
        if !fits {
            return Err(format!("{name} cannot be `{text}`"));
        }
        figure.value = value;
        figure.own = true;
        self.figure_makes_sense(number).map_err(|what| format!("{name} {what}"))
    }

    /// Figures that do not go together, such as a lap that is longer than its piece.
    ///
    /// # Errors
    /// Which, for the user.
    pub fn figures_go_together(&self) -> Result<(), String> {
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
                    return Err(format!("`{}` must be shorter than `{}`", lap.id, piece.id));
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
    fn figure_makes_sense(&self, number: usize) -> Result<(), String> {
        let value = self.plan_figures[number].value;
        let whole = matches!(value, FigureValue::Number(n) if n % 1000 == 0);
        let zero = matches!(value, FigureValue::Length(Length::ZERO) | FigureValue::Number(0));
        let smallest = Length::parse("1/32", Units::Inch).unwrap_or(Length::ZERO);
        let tiny = matches!(value, FigureValue::Length(l) if l < smallest);
        let needed = [FigureId::StripHeight, FigureId::StoneWeight, FigureId::Shift];
        if zero && needed.iter().any(|id| self.catalog.names.figure(*id) == number) {
            return Err("cannot be nothing".to_owned());
        }
        let shift = self.catalog.names.figure(FigureId::Shift) == number;
        if shift && !(whole && matches!(value, FigureValue::Number(1000..=24_000))) {
            return Err("is a whole number of hours, from 1 to 24".to_owned());
        }
        for row in &self.quantities {
            if row.waste == Some(number) && !(whole && matches!(value, FigureValue::Number(0..=100_000))) {
                return Err("is a waste: whole per cent, from 0 to 100".to_owned());
            }
            for ((param, _), input) in row.formula.form().params.iter().zip(&row.inputs) {
                if *input != Input::Figure(number) {
                    continue;
                }
                let lap = param.contains("lap");
                if !lap && (zero || tiny) {
                    return Err("cannot be nothing".to_owned());
                }
                if matches!(*param, "count" | "layers") && !whole {
                    return Err("is a whole number".to_owned());
                }
            }
        }
        Ok(())
    }
}
